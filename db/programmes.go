package db

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Programme gives meat to people who need it: the owner of each deer that was signed
// over to it, and who pays for the work.
type Programme struct {
	ID           uuid.UUID
	Name         string
	Registration string
	cutting.Takes
	Words string // on each pack, beside NOT FOR SALE
	Deer  int
	InKg  domain.Kilogram // packed of its deer, of what it takes
	OutKg domain.Kilogram // delivered
	Held  []string        // numbers of its deer that a hold keeps here
}

// Programmes lists them with what they were given and what was delivered.
func (db *DB) Programmes(ctx context.Context) ([]Programme, error) {
	list, err := all[Programme](ctx, db.pool, `
		SELECT p.id, p.name, p.registration, p.whole_cuts, p.ground_only, p.words,
		       (SELECT count(*) FROM programme_deer d WHERE d.programme_id = p.id)::int AS deer, 0::float8 AS in_kg, '{}'::text[] AS held,
		       (SELECT coalesce(sum(l.kg), 0) FROM programme_loads l WHERE l.programme_id = p.id) AS out_kg
		FROM programmes p ORDER BY p.name LIMIT 50`)
	for i, p := range list {
		if err == nil {
			_, list[i].InKg, list[i].Held, err = fitting(ctx, db.pool, p.ID, p.Takes)
		}
	}
	return list, err
}

// fitting weighs what was packed of a programme's deer and is of a kind it takes: what
// may leave, all of it, and which deer a hold keeps here.
func fitting(ctx context.Context, q querier, programme uuid.UUID, takes cutting.Takes) (free, packed domain.Kilogram, held []string, err error) {
	packs, err := all[struct {
		Number string
		Cut    string
		Kg     domain.Kilogram
		Holds  []hold.Kind
	}](ctx, q, `
		SELECT a.number, k.cut, sum(k.net_kg) AS kg, ARRAY (SELECT h.kind FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL) AS holds
		FROM programme_deer d JOIN animals a ON a.id = d.animal_id JOIN packs k ON k.animal_id = a.id
		WHERE d.programme_id = $1 GROUP BY a.id, k.cut ORDER BY a.number, k.cut LIMIT $2`, programme, mostTraced)
	for _, p := range packs {
		if !takes.Accepts(p.Cut) {
			continue
		}
		packed += p.Kg
		switch {
		case !slices.ContainsFunc(p.Holds, func(k hold.Kind) bool { return k.Blocks(hold.Release) }):
			free += p.Kg
		case !slices.Contains(held, p.Number):
			held = append(held, p.Number)
		}
	}
	return free, packed, held, err
}

// programmeTakes refuses packs that the programme an animal was signed over to does
// not take.
func programmeTakes(ctx context.Context, tx pgx.Tx, a Animal, cut string) error {
	p, found, err := one[struct {
		Name string
		cutting.Takes
	}](ctx, tx, `SELECT p.name, p.whole_cuts, p.ground_only FROM programme_deer d JOIN programmes p ON p.id = d.programme_id WHERE d.animal_id = $1`, a.ID)
	if err == nil && found {
		err = p.Refuses(cut, p.Name)
	}
	return err
}

// AddProgramme writes down a programme the shop works for.
func (db *DB) AddProgramme(ctx context.Context, act Act, p Programme) error {
	return db.act(ctx, act, "add programme", func(tx pgx.Tx) (line, error) {
		p.Name, p.Registration, p.Words = tidy(p.Name), tidy(p.Registration), tidy(p.Words)
		switch {
		case p.Name == "":
			return line{}, domain.Wrong("programme", "Write the food program's name.")
		case p.Words == "":
			return line{}, domain.Wrong("words", "Write the words the food program wants on each pack, such as Donated game meat.")
		}
		if err := p.Takes.Check(); err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `INSERT INTO programmes (id, name, registration, whole_cuts, ground_only, words, since, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT (name) DO NOTHING`,
			act.ID, p.Name, p.Registration, p.WholeCuts, p.GroundOnly, p.Words, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("%s stands in the list already.", p.Name)
		}
		return line{What: "programme", Detail: map[string]any{"programme": p.Name}}, err
	})
}

// SignOver gives a whole animal of game to a programme: the hunter signs, and from
// now on it is the programme's. One that is boned, was shot through the gut or whose
// test is open is not taken.
func (db *DB) SignOver(ctx context.Context, act Act, number domain.ShopNumber, programme uuid.UUID, s Signature) error {
	s, err := s.check()
	if err != nil {
		return err
	}
	return db.act(ctx, act, "sign over", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		switch {
		case !a.Species.Game():
			return line{}, domain.Refuse("programme", "Food programs take game. Livestock is its owners' own.")
		case a.Physical.Cut() || !a.Physical.InHouse():
			return line{}, domain.Refuse("programme", "It is %s: it can be given to a food program only before it is cut.", a.Physical.Words())
		case a.Form == domain.Boned:
			return line{}, domain.Refuse("programme", "It came boned: food programs take whole animals.")
		case a.Door == "damaged":
			return line{}, domain.Refuse("programme", "A bad fault was found at the door: food programs take only clean animals whose gut is whole.")
		case a.Disease == animal.Detected || sampleOpen(a):
			return line{}, domain.Refuse("programme", "Its disease test is open or came back detected.")
		}
		var name string
		if err := tx.QueryRow(ctx, `SELECT name FROM programmes WHERE id = $1`, programme).Scan(&name); err == pgx.ErrNoRows {
			return line{}, domain.Wrong("programme", "Choose the food program.")
		} else if err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `INSERT INTO programme_deer (animal_id, programme_id, signer, strokes, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT (animal_id) DO NOTHING`,
			a.ID, programme, s.Signer, s.Strokes, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("It was signed over already.")
		}
		if err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "sign-over", Detail: map[string]any{"programme": name}}, touch(ctx, tx, a.ID)
	})
}

// sampleOpen reports whether a disease test is on its way.
func sampleOpen(a Animal) bool {
	return sampleWanted(a) || a.Disease == animal.Drawn || a.Disease == animal.Pending
}

// SignedOver is a deer that is a programme's.
type SignedOver struct {
	Number    domain.ShopNumber
	Programme string
	At        time.Time
	By        string
	Kg        domain.Kilogram // packed so far
}

// SignedOverDeer lists them, the latest first.
func (db *DB) SignedOverDeer(ctx context.Context) ([]SignedOver, error) {
	return all[SignedOver](ctx, db.pool, `
		SELECT a.number, p.name AS programme, d.at, s.initials AS by, (SELECT coalesce(sum(net_kg), 0) FROM packs WHERE animal_id = a.id) AS kg
		FROM programme_deer d JOIN animals a ON a.id = d.animal_id JOIN programmes p ON p.id = d.programme_id JOIN staff s ON s.id = d.by_staff
		ORDER BY d.at DESC LIMIT 300`)
}

// Delivery is meat of a programme as it left.
type Delivery struct {
	Programme string
	Kg        domain.Kilogram
	Charity   string
	Receipt   string
	TakenBy   string
	LeftAt    time.Time
	By        string
}

// Deliveries lists what was delivered, the latest first.
func (db *DB) Deliveries(ctx context.Context) ([]Delivery, error) {
	return all[Delivery](ctx, db.pool, `
		SELECT p.name AS programme, l.kg, l.charity, l.receipt, l.taken_by, l.left_at, s.initials AS by
		FROM programme_loads l JOIN programmes p ON p.id = l.programme_id JOIN staff s ON s.id = l.by_staff ORDER BY l.left_at DESC LIMIT 300`)
}

// Deliver writes down meat of a programme that left, against the charity's receipt.
// No more leaves than was packed of its deer, and nothing of one that is held: loads are
// not told apart by deer, so what left before counts against those that are not.
func (db *DB) Deliver(ctx context.Context, act Act, programme uuid.UUID, d Delivery) error {
	return db.act(ctx, act, "deliver", func(tx pgx.Tx) (line, error) {
		d.Charity, d.Receipt, d.TakenBy = tidy(d.Charity), tidy(d.Receipt), tidy(d.TakenBy)
		switch {
		case !(d.Kg > 0 && d.Kg <= 30000):
			return line{}, domain.Wrong("load_weight", "Weigh what leaves.")
		case d.Charity == "":
			return line{}, domain.Wrong("charity", "Write who gets it.")
		case d.Receipt == "":
			return line{}, domain.Wrong("receipt", "Write the number of the charity's receipt.")
		case d.TakenBy == "":
			return line{}, domain.Wrong("taken_by", "Write who took it.")
		}
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('programme ' || $1::text))`, programme); err != nil { // one load after the other
			return line{}, err
		}
		p, found, err := one[struct {
			Name string
			cutting.Takes
			Gone domain.Kilogram
		}](ctx, tx, `
			SELECT p.name, p.whole_cuts, p.ground_only, (SELECT coalesce(sum(l.kg), 0) FROM programme_loads l WHERE l.programme_id = p.id) AS gone
			FROM programmes p WHERE p.id = $1`, programme)
		free, _, held, errPacked := fitting(ctx, tx, programme, p.Takes)
		switch {
		case err != nil:
			return line{}, err
		case !found:
			return line{}, domain.Wrong("programme", "Choose the food program.")
		case errPacked != nil:
			return line{}, errPacked
		case d.Kg > free-p.Gone+0.01 && len(held) > 0: // ten grams, which no scale here tells apart
			return line{}, domain.Wrong("load_weight", "Only %s of what it takes may leave: the meat of %s is held. Keep it here until its hold is settled.", max(free-p.Gone, 0), strings.Join(held, ", "))
		case d.Kg > free-p.Gone+0.01:
			return line{}, domain.Wrong("load_weight", "Only %s of what it takes is packed and here. Weigh again, or pack first.", max(free-p.Gone, 0))
		}
		_, err = tx.Exec(ctx, `INSERT INTO programme_loads (id, programme_id, kg, charity, receipt, taken_by, left_at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			act.ID, programme, d.Kg, d.Charity, d.Receipt, d.TakenBy, act.At, act.Staff)
		return line{What: "deliver", Detail: map[string]any{"programme": p.Name, "kg": round3(d.Kg), "receipt": d.Receipt}}, err
	})
}

// DonatedWords are the words on the packs of an animal that is a programme's: the
// programme's, then each the state's rules ask for. None where it is not given.
func (db *DB) DonatedWords(ctx context.Context, number domain.ShopNumber) ([]string, error) {
	p, found, err := one[struct {
		Words   string
		Species domain.Species
		Form    domain.Form
	}](ctx, db.pool, `
		SELECT p.words, a.species, a.form FROM programme_deer d JOIN programmes p ON p.id = d.programme_id JOIN animals a ON a.id = d.animal_id WHERE a.number = $1`, number)
	if err != nil || !found {
		return nil, err
	}
	rules, err := rulesHere(ctx, db.pool)
	words := []string{p.Words}
	for _, r := range statute.Donating(rules, p.Species, p.Form) {
		if r.Mark != "" && !oneOf(words, r.Mark) {
			words = append(words, r.Mark)
		}
	}
	return words, err
}
