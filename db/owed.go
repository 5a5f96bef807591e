package db

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/register"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Owing is an animal whose line in the register still lacks something.
type Owing struct {
	Number     domain.ShopNumber
	Species    domain.Species
	Form       domain.Form
	ReceivedAt time.Time
	Name       string // of the owner, and the phone to ask
	Phone      string
	Given      map[string]string // plain fields told so far
	Sealed     []string          // names of the personal fields told so far

	rules []statute.Rule // that reach the shop
}

// Fields lists what is owed, in the order of the register.
func (o Owing) Fields() []register.Field {
	given := maps.Clone(o.Given)
	if given == nil {
		given = map[string]string{}
	}
	for _, name := range o.Sealed {
		given[name] = "told"
	}
	return statute.Owed(o.rules, o.Species, o.Form, given)
}

// AskProof are the rules that ask which proof was shown of it.
func (o Owing) AskProof() []statute.Rule {
	return statute.AskProof(o.rules, o.Species, o.Form, o.Given["kill_state"])
}

// ReceiptRule is the rule that wants a receipt given as it comes in; nil: none does.
func (o Owing) ReceiptRule() *statute.Rule {
	return statute.ReceiptDue(o.rules, statute.ComesIn, o.Species, o.Form)
}

// mostOwing bounds the list of animals that owe something.
const mostOwing = 500

// owing is an animal with whom to ask; toldOf what the register has been told of it
// over all its lines.
const (
	owing = `
	SELECT a.number, a.species, a.form, a.received_at, coalesce(p.name, '') AS name, coalesce(p.phone, '') AS phone, `
	toldOf = `
	       (SELECT coalesce(jsonb_object_agg(f.key, f.value ORDER BY r.seq), '{}') FROM register r, jsonb_each_text(r.facts) f
	        WHERE r.animal_id = a.id) AS given,
	       (SELECT coalesce(array_agg(DISTINCT k), '{}') FROM register r, jsonb_object_keys(r.digests) k
	        WHERE r.animal_id = a.id) AS sealed`
	owingFrom = `
	FROM animals a
	LEFT JOIN LATERAL (SELECT person_id FROM animal_people WHERE animal_id = a.id AND role = 'owner' ORDER BY since LIMIT 1) ap ON true
	LEFT JOIN people p ON p.id = ap.person_id`
	owingWhole = owing + toldOf + owingFrom
)

// Owed lists the animals whose line in the register still lacks something, those
// that wait longest first.
func (db *DB) Owed(ctx context.Context) ([]Owing, error) {
	rules, err := rulesHere(ctx, db.pool)
	if err != nil {
		return nil, err
	}
	return db.owedBy(ctx, rules)
}

func (db *DB) owedBy(ctx context.Context, rules []statute.Rule) ([]Owing, error) {
	rows, err := all[owingRow](ctx, db.pool, owing+`
	       a.id, (SELECT coalesce(max(seq), 0) FROM register WHERE animal_id = a.id) AS upto`+owingFrom+`
		WHERE a.legal IN ('unchecked', 'query', 'warden-hold') ORDER BY a.received_at LIMIT $1`, mostOwing)
	if err != nil {
		return nil, err
	}
	told, err := db.told.of(ctx, db.pool, rows)
	if err != nil {
		return nil, err
	}
	list := make([]Owing, 0, len(rows))
	for _, r := range rows {
		o := Owing{Number: r.Number, Species: r.Species, Form: r.Form, ReceivedAt: r.ReceivedAt, Name: r.Name, Phone: r.Phone,
			Given: told[r.ID].Given, Sealed: told[r.ID].Sealed, rules: rules}
		if len(o.Fields()) > 0 {
			list = append(list, o)
		}
	}
	return list, nil
}

// OwedBy says what the register still lacks of one animal.
func (db *DB) OwedBy(ctx context.Context, number domain.ShopNumber) (Owing, error) {
	o, found, err := one[Owing](ctx, db.pool, owingWhole+` WHERE a.number = $1`, number)
	if err == nil && !found {
		err = domain.Missing("There is no animal with the number %s.", string(number))
	}
	if err == nil {
		o.rules, err = rulesHere(ctx, db.pool)
	}
	return o, err
}

// Told is what somebody has said since about an animal: register fields by
// name, and how they were told.
type Told struct {
	Fields    map[string]string
	Why       string // such as "told by phone"
	RepeatWhy string // for a tag number read before; see OfficialTag
}

// Tell enters what was owed, or puts right what was wrong, as a correction to
// the animal's receipt in the register: the old line stays, the new one says
// what, who, when and why. People, sex, tag and the kill follow. Once nothing is owed and
// a tag was read, the animal's paper counts as checked.
func (db *DB) Tell(ctx context.Context, act Act, number domain.ShopNumber, t Told) error {
	return db.act(ctx, act, "tell", func(tx pgx.Tx) (line, error) {
		t, err := t.check()
		if err != nil {
			return line{}, err
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		receipt, found, err := one[struct{ Seq int64 }](ctx, tx, `
			SELECT seq FROM register WHERE animal_id = $1 AND kind = 'receipt' ORDER BY seq LIMIT 1`, a.ID)
		if err == nil && !found {
			err = domain.Refuse("register", "%s has no line in the register to add to.", string(number))
		}
		if err != nil {
			return line{}, err
		}
		e := entry{Animal: a.ID, Number: number, Kind: register.Correction, Fields: t.Fields, Corrects: receipt.Seq, Why: t.Why}
		if _, err := enter(ctx, tx, act, e); err != nil {
			return line{}, err
		}
		detail := map[string]any{"fields": t.names()}
		if err := t.follow(ctx, tx, act, a, detail); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "correct", Detail: detail, Why: t.Why}, nil
	})
}

// ReceiptGiven is what the register says of a receipt once it was given.
const ReceiptGiven = "given"

// fixed are the fields the program enters itself; a person cannot tell them.
var fixed = []string{"received", "species", "form", "handed_over", "collector", "boxes", "receipt_out", "tag_returned", "disposition", "disposal"}

func (t Told) check() (Told, error) {
	t.Why, t.RepeatWhy = tidy(t.Why), tidy(t.RepeatWhy)
	told := map[string]string{}
	for name, value := range t.Fields {
		value = tidy(value)
		switch {
		case value == "":
			continue
		case !CanBeTold(name):
			return t, domain.Wrong(name, "This cannot be filled in afterwards.")
		case name == "sex" && value != "male" && value != "female":
			return t, domain.Wrong(name, "Choose male or female.")
		case name == "proof" && statute.WriteProof(statute.ReadProof(value)) != value:
			return t, domain.Wrong(name, "Tick what was shown from the list.")
		case name == "receipt" && value != ReceiptGiven:
			return t, domain.Wrong(name, "Say only that the receipt was given, once it was.")
		case name == "phone" && (len(digits(value)) < 7 || len(digits(value)) > 15):
			return t, domain.Wrong(name, "%s is not a whole phone number. Ask for it again.", value)
		}
		told[name] = value
	}
	t.Fields = told
	switch {
	case len(told) == 0:
		return t, domain.Wrong("why", "Nothing was filled in. Fill in what was told, then save.")
	case t.Why == "":
		return t, domain.Wrong("why", "Say how you know it, such as told by phone.")
	}
	return t, nil
}

// names are the fields that were told, for the time line; their values, but for the
// day of the kill, stay in the register.
func (t Told) names() (names []any) {
	for _, f := range register.Fields {
		if _, told := t.Fields[f.Name]; told {
			names = append(names, f.Name)
		}
	}
	return names
}

// follow carries what was told into the animal's row, its tag and its people, and adds
// to the detail of the time line what else it changed.
func (t Told) follow(ctx context.Context, tx pgx.Tx, act Act, a Animal, detail map[string]any) error {
	if err := t.followKill(ctx, tx, act, a, detail); err != nil {
		return err
	}
	if err := t.followPeople(ctx, tx, act, a.ID); err != nil {
		return err
	}
	if number := t.Fields["tag"]; number != "" {
		state, err := told(ctx, tx, a.ID, "tag_state")
		if err != nil {
			return err
		}
		tag, err := OfficialTag{Number: number, State: state, RepeatWhy: t.RepeatWhy}.check()
		if err != nil {
			return err
		}
		if err := tag.read(ctx, tx, act, a.ID); err != nil {
			return err
		}
	}
	if sex := t.Fields["sex"]; sex != "" {
		if _, err := tx.Exec(ctx, `UPDATE animals SET sex = $2 WHERE id = $1`, a.ID, sex); err != nil {
			return err
		}
	}
	return settleLegal(ctx, tx, a)
}

// told is the newest value of a plain field of the register.
func told(ctx context.Context, q querier, id uuid.UUID, field string) (value string, err error) {
	err = q.QueryRow(ctx, `
		SELECT facts ->> $2 FROM register WHERE animal_id = $1 AND facts ? $2 ORDER BY seq DESC LIMIT 1`, id, field).Scan(&value)
	if err == pgx.ErrNoRows {
		return "", nil
	}
	return value, err
}

// settleLegal calls the paper checked if nothing is owed any more and a tag was
// read, and raises the revision either way.
func settleLegal(ctx context.Context, tx pgx.Tx, a Animal) error {
	o, _, err := one[Owing](ctx, tx, owingWhole+` WHERE a.id = $1`, a.ID)
	if err == nil {
		o.rules, err = rulesHere(ctx, tx)
	}
	if err != nil {
		return err
	}
	var tagged bool
	if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM official_tags WHERE animal_id = $1)`, a.ID).Scan(&tagged); err != nil {
		return err
	}
	to := a.Tracks()
	to.Legal = legalAfter(a.Legal, tagged || !a.Species.Game(), len(o.Fields()))
	return setTracks(ctx, tx, a, to)
}

// followPeople gives the people of the animal the names, phones, addresses and
// licence that were told.
func (t Told) followPeople(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	for _, role := range []string{"owner", "taker", "deliverer"} {
		name, address := t.Fields[role], t.Fields[role+"_address"]
		var phone, licence string
		if role == "owner" {
			phone = t.Fields["phone"]
		}
		if role == "taker" {
			licence = t.Fields["licence"]
		}
		if name+address+phone+licence == "" {
			continue
		}
		if err := meet(ctx, tx, act, id, role, Person{Name: name, Phone: phone, Address: address, Licence: licence}); err != nil {
			return err
		}
	}
	return nil
}

// meet joins what was told with who stood in the role so far. A new name or
// phone is another person, met or known; the one before keeps their own row.
func meet(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID, role string, p Person) error {
	was, found, err := one[Person](ctx, tx, `
		SELECT `+personColumns+` FROM animal_people ap JOIN people p ON p.id = ap.person_id
		WHERE ap.animal_id = $1 AND ap.role = $2 ORDER BY ap.since LIMIT 1`, id, role)
	if err != nil {
		return err
	}
	if p.Name == "" {
		p.Name = was.Name
	}
	if p.Phone == "" && (p.Name == was.Name || !was.Named()) {
		p.Phone = was.Phone
	}
	person := was.ID
	if p.Phone == was.Phone && strings.EqualFold(p.Name, was.Name) {
		_, err = tx.Exec(ctx, `
			UPDATE people SET address = coalesce(nullif($2, ''), address), licence = coalesce(nullif($3, ''), licence) WHERE id = $1`,
			was.ID, p.Address, p.Licence)
	} else {
		person, err = know(ctx, tx, p, act.At)
	}
	if err != nil || found && person == was.ID {
		return err
	}
	_, err = tx.Exec(ctx, `
		WITH now AS (UPDATE animal_people SET person_id = $2 WHERE animal_id = $1 AND role = $3 AND person_id = $4)
		INSERT INTO animal_people (animal_id, person_id, role, since) SELECT $1, $2, $3, $5 WHERE NOT $6::boolean`,
		id, person, role, was.ID, act.At, found)
	return err
}

// CanBeTold reports whether a person may enter the field after drop-off.
func CanBeTold(field string) bool {
	_, known := register.FieldNamed(field)
	return known && !slices.Contains(fixed, field)
}
