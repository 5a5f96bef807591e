package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cure"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BatchCure is a cure as it was weighed, reckoned and looked at by two people.
type BatchCure struct {
	Method   cure.Method
	MeatKg   domain.Kilogram
	CureG    float64
	Fraction float64
	PickleKg domain.Kilogram // 0 without a pickle
	PickUp   float64
	Lot      string
	PPM      float64
	Verdict  cure.Verdict
	Why      string
	At       time.Time
	By       string // initials of who weighed
	Second   string // and of who looked
}

// Weighed is the cure as it stands on the form.
type WeighedCure struct {
	Method   cure.Method
	Grams    float64
	Fraction float64
	Pickle   domain.Kilogram
	PickUp   float64
	Lot      string
	Why      string    // where it is over the limit
	Second   uuid.UUID // who looked too; their PIN has been asked
}

// BatchCures lists the reckonings of a batch, the one that counts first.
func (db *DB) BatchCures(ctx context.Context, number int) ([]BatchCure, error) {
	return all[BatchCure](ctx, db.pool, `
		SELECT c.method, c.meat_kg, c.cure_g, c.fraction, coalesce(c.pickle_kg, 0) AS pickle_kg, coalesce(c.pick_up, 0) AS pick_up, c.lot, c.ppm,
		       c.verdict, c.why, c.at, s.initials AS by, z.initials AS second
		FROM batch_cures c JOIN batches b ON b.id = c.batch_id JOIN staff s ON s.id = c.by_staff JOIN staff z ON z.id = c.second
		WHERE b.number = $1 ORDER BY c.at DESC, c.id DESC LIMIT 20`, number)
}

// Cure writes the cure of a batch down: reckoned on all the meat that is in it now,
// and looked at by a second person. Over the limit it takes a reason; too little,
// or more than ground meat may hold at all, is refused.
func (db *DB) Cure(ctx context.Context, act Act, number int, w WeighedCure) error {
	switch {
	case strings.TrimSpace(w.Lot) == "":
		return domain.Wrong("lot", "Write down the lot on the bag of cure.")
	case w.Second == uuid.Nil || w.Second == act.Staff:
		return domain.Wrong("second", "A second person looks at the cure too. Choose another name.")
	}
	return db.act(ctx, act, "cure", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen)
		if err != nil {
			return line{}, err
		}
		r, err := reckonCure(b, w)
		if err != nil {
			return line{}, err
		}
		pickle, pickUp := &w.Pickle, &w.PickUp
		if !w.Method.Pickle() {
			pickle, pickUp = nil, nil
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO batch_cures (id, batch_id, method, meat_kg, cure_g, fraction, pickle_kg, pick_up, lot, ppm, verdict, why, at, by_staff, second)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
			uuid.Must(uuid.NewV7()), b.ID, w.Method, b.InKg(), w.Grams, w.Fraction, pickle, pickUp, strings.TrimSpace(w.Lot), r.PPM, r.Verdict,
			strings.TrimSpace(w.Why), act.At, act.Staff, w.Second); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "cure", Detail: b.named("nitrite", r.Words().Kept())}
		return l, tell(ctx, tx, act, in, l)
	})
}

// reckonCure puts the cure before the domain, on the meat that is in the batch, and
// refuses what may not be mixed.
func reckonCure(b Batch, w WeighedCure) (cure.Reckoned, error) {
	fits := false
	for _, m := range b.Product.Methods() {
		fits = fits || m == w.Method
	}
	if !fits {
		return cure.Reckoned{}, domain.Wrong("cure_method", "%s is not cured that way. Choose again.", b.Product.Words())
	}
	r, err := cure.Reckon(cure.Cure{Method: w.Method, Meat: b.InKg(), Grams: w.Grams, Fraction: w.Fraction, Pickle: w.Pickle, PickUp: w.PickUp})
	if e := domain.As(err); err != nil && e.At == "meat_kg" {
		return r, domain.Refuse("inputs", "Weigh the meat in first: the cure is reckoned on it.")
	}
	switch {
	case err != nil:
		return r, err
	case r.Verdict == cure.Refused || r.Verdict == cure.Under:
		return r, domain.Wrong("cure_g", "%s", r.Words())
	case r.Verdict == cure.Over && strings.TrimSpace(w.Why) == "":
		return r, domain.Wrong("why", "%s", r.Words())
	}
	return r, nil
}

// Mix closes a batch: nothing goes in any more. What is cured has its cure, reckoned
// on the meat that is in it now; pork and beef that were announced are in.
func (db *DB) Mix(ctx context.Context, act Act, number int) error {
	return db.act(ctx, act, "mix", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchOpen)
		if err != nil {
			return line{}, err
		}
		if err := mayMix(ctx, tx, b); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `UPDATE batches SET status = 'mixed', mixed_at = coalesce(mixed_at, $2) WHERE id = $1`, b.ID, act.At); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "mix", Detail: b.named("animals", b.Animals, "kg", round3(b.InKg()))}
		return l, tell(ctx, tx, act, in, l)
	})
}

func mayMix(ctx context.Context, tx pgx.Tx, b Batch) error {
	if b.Animals == 0 {
		return domain.Refuse("inputs", "Nobody's meat is in this batch yet.")
	}
	if err := batch.CheckLeast(b.Product, b.InKg()); err != nil {
		return err
	}
	var pork, beef bool
	var cured *domain.Kilogram
	err := tx.QueryRow(ctx, `
		SELECT EXISTS (SELECT FROM batch_lots WHERE batch_id = $1 AND kind = 'pork'), EXISTS (SELECT FROM batch_lots WHERE batch_id = $1 AND kind = 'beef'),
		       (SELECT meat_kg FROM batch_cures WHERE batch_id = $1 ORDER BY at DESC, id DESC LIMIT 1)`, b.ID).Scan(&pork, &beef, &cured)
	switch {
	case err != nil:
		return err
	case b.Pork && !pork:
		return domain.Refuse("added", "Pork was announced for this batch. Write down which: supplier, mark, weight.")
	case b.Beef && !beef:
		return domain.Refuse("added", "Beef was announced for this batch. Write down which: supplier, mark, weight.")
	case b.Product.Fresh():
		return nil
	case cured == nil:
		return domain.Refuse("cure", "The cure has not been weighed and looked at. That comes before mixing.")
	case round3(*cured) != round3(b.InKg()):
		return domain.Refuse("cure", "The cure was reckoned on %s; %s are in now. Weigh and reckon it again.", *cured, b.InKg())
	}
	return nil
}

// BatchProbe is one reading of the inside of a batch.
type BatchProbe struct {
	At     time.Time
	LowC   domain.Celsius  // the colder of two probes
	HighC  domain.Celsius  // the warmer
	HouseC *domain.Celsius // of the smokehouse
	WetC   *domain.Celsius // its wet bulb
	By     string          // initials

	Replaced bool // written again for the same minute: it does not count
}

// BatchProbes lists the readings of a batch, in order of time. Of two for the same minute
// the one that was written down later counts: so a slip is put right, and both stay.
func (db *DB) BatchProbes(ctx context.Context, number int) ([]BatchProbe, error) {
	return batchProbes(ctx, db.pool, number)
}

func batchProbes(ctx context.Context, q querier, number int) ([]BatchProbe, error) {
	return all[BatchProbe](ctx, q, `
		SELECT p.at, p.low_c, p.high_c, p.house_c, p.wet_c, s.initials AS by,
		       coalesce(lead(date_trunc('minute', p.at)) OVER (ORDER BY date_trunc('minute', p.at), p.id) = date_trunc('minute', p.at), false) AS replaced
		FROM batch_probes p JOIN batches b ON b.id = p.batch_id JOIN staff s ON s.id = p.by_staff
		WHERE b.number = $1 ORDER BY date_trunc('minute', p.at), p.id LIMIT 500`, number)
}

// Probe writes the inside of a batch down, by one probe or two.
func (db *DB) Probe(ctx context.Context, act Act, number int, p BatchProbe) error {
	p.LowC, p.HighC = min(p.LowC, p.HighC), max(p.LowC, p.HighC)
	switch {
	case !(p.LowC >= -40 && p.HighC <= 100):
		return domain.Wrong("probe", "That cannot be the inside of meat. Read the probe again.")
	case p.At.After(act.At):
		return domain.Wrong("when", "That time is still ahead. Look at the clock again.")
	}
	return db.act(ctx, act, "probe", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchMixed)
		if err != nil {
			return line{}, err
		}
		if b.Product.Fresh() {
			return line{}, domain.Refuse("cook", "%s leaves the shop raw. There is nothing to cook.", b.Product.Words())
		}
		if p.At.Before(b.MixedAt.Truncate(time.Minute)) { // a form says the minute alone
			return line{}, domain.Wrong("when", "That is before the batch was mixed. Look at the clock again.")
		}
		_, err = tx.Exec(ctx, `INSERT INTO batch_probes (id, batch_id, at, low_c, high_c, house_c, wet_c, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			uuid.Must(uuid.NewV7()), b.ID, p.At, p.LowC, p.HighC, p.HouseC, p.WetC, act.Staff)
		return line{What: "probe", Detail: b.named("inside_c", float64(p.LowC))}, err
	})
}

// CookAndCool is what the readings of a batch say against the tables.
type CookAndCool struct {
	Need      cure.Need
	Cooked    cure.Result
	Cooled    cure.Result
	Otherwise domain.Words // what another text would say
}

// Met reports whether both tables were met.
func (c CookAndCool) Met() bool { return c.Cooked.Met && c.Cooled.Met }

// CookAndCool holds the readings of a batch against the tables, by the meat in it.
func (db *DB) CookAndCool(ctx context.Context, b Batch) (CookAndCool, error) {
	return cookAndCool(ctx, db.pool, b)
}

func cookAndCool(ctx context.Context, q querier, b Batch) (c CookAndCool, err error) {
	rows, err := q.Query(ctx, `SELECT DISTINCT a.species FROM batch_inputs i JOIN animals a ON a.id = i.animal_id WHERE i.batch_id = $1`, b.ID)
	if err != nil {
		return c, err
	}
	species, err := pgx.CollectRows(rows, pgx.RowTo[domain.Species])
	if err != nil {
		return c, err
	}
	log, err := batchProbes(ctx, q, b.Number)
	if err != nil {
		return c, err
	}
	var readings []cure.Probe
	for _, p := range log {
		if !p.Replaced {
			readings = append(readings, cure.Probe{At: p.At, Low: p.LowC, High: p.HighC})
		}
	}
	cured := !b.Product.Fresh()
	c.Need = cure.NeedFor(species)
	c.Cooked, c.Cooled, c.Otherwise = cure.Cooked(readings, c.Need), cure.Cooled(readings, cured), cure.Otherwise(readings, cured)
	return c, nil
}

// AcceptBatch is the lead's word that a batch whose cook or cool missed its table
// goes on, and why: the shop's own process, or what the inspector said.
func (db *DB) AcceptBatch(ctx context.Context, act Act, number int, why string) error {
	if why = strings.TrimSpace(why); why == "" {
		return domain.Wrong("why", "Say why it goes on: which process it was made by, or what the inspector said.")
	}
	return db.act(ctx, act, "accept batch", func(tx pgx.Tx) (line, error) {
		b, err := lockBatch(ctx, tx, number, BatchMixed)
		if err != nil {
			return line{}, err
		}
		lead, err := isLead(ctx, tx, act.Staff)
		if err != nil {
			return line{}, err
		}
		if !lead {
			return line{}, domain.Refuse("lead", "Only the lead lets a batch go on that missed its table.")
		}
		judged, err := cookAndCool(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		if judged.Cooked.Met && judged.Cooled.Met {
			return line{}, domain.Refuse("cook", "Both tables are met. There is nothing to decide.")
		}
		if !judged.Cooked.Met && cureHard(judged.Need) {
			return line{}, domain.Refuse("cook", "%s", judged.Cooked.Words)
		}
		if _, err := tx.Exec(ctx, `UPDATE batches SET accepted_by = $2, accepted_why = $3 WHERE id = $1`, b.ID, act.Staff, why); err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		l := line{What: "accept-batch", Detail: b.named(), Why: why}
		return l, tell(ctx, tx, act, in, l)
	})
}

// cureHard reports whether nobody's word replaces the temperature: bear and wild hog.
func cureHard(n cure.Need) bool { return n.Temp > domain.Fahrenheit(161) }
