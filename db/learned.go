package db

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/learn"
	"coldrail/domain/plan"
	"coldrail/domain/yield"

	"github.com/jackc/pgx/v5"
)

// OwnNumber is one number the shop's own animals speak to, and what the owner
// chose about it.
type OwnNumber struct {
	Measure learn.Measure
	Kind    string // such as hanging/whitetail/mature, game, pace or boned
	learn.Own
	Choice *NumberChoice // the last; nil: none was made
}

// NumberChoice is the owner's word on one number: the shop's own or the table's.
type NumberChoice struct {
	Measure learn.Measure
	Kind    string
	Own     bool
	Reason  string
	At      time.Time
	By      string // initials
}

// InUse reports whether the shop's own number stands in place of the table's.
func (n OwnNumber) InUse() bool {
	if n.Choice == nil {
		return n.Own.InUse(nil)
	}
	return n.Own.InUse(&n.Choice.Own)
}

// Numbers are all the numbers the shop's animals speak to. The zero Numbers is
// the tables alone.
type Numbers struct {
	List []OwnNumber
	by   map[numberKey]int
}

type numberKey struct {
	measure learn.Measure
	kind    string
}

// own is the number in use; ok is false where the table's stands.
func (n *Numbers) own(m learn.Measure, kind string) (learn.Own, bool) {
	i, found := n.by[numberKey{m, kind}]
	if !found || !n.List[i].InUse() {
		return learn.Own{}, false
	}
	return n.List[i].Own, true
}

// yieldKind names a class of animals weighed hanging or field-dressed.
func yieldKind(a Animal, hanging bool) string {
	way := "dressed/"
	if hanging {
		way = "hanging/"
	}
	return way + string(a.Species) + "/" + string(a.Class)
}

// Expected is the boneless meat the animal should give, from its hanging weight
// or, where that is not known yet, from the field-dressed one: by the shop's own
// numbers where they are in use, else by the table. The zero Estimate where no
// weight is known or the species is not weighed so.
func (n *Numbers) Expected(a Animal) yield.Estimate {
	for _, w := range []struct {
		kg      *domain.Kilogram
		hanging bool
	}{{a.HangingKg, true}, {a.FieldDressedKg, false}} {
		if w.kg == nil {
			continue
		}
		if e, err := n.estimate(a, *w.kg, w.hanging); err == nil {
			return e
		}
	}
	return yield.Estimate{}
}

func (n *Numbers) estimate(a Animal, kg domain.Kilogram, hanging bool) (yield.Estimate, error) {
	if own, ok := n.own(learn.Yield, yieldKind(a, hanging)); ok && (a.Form == domain.Whole || !hanging) {
		return yield.FromOwn(yield.Own{Count: own.Count, Low: own.Low, Middle: own.Median, High: own.High}, kg, hanging)
	}
	if hanging {
		return yield.FromHanging(a.Species, a.Class, kg)
	}
	return yield.FromFieldDressed(a.Species, kg)
}

// drying is how many times the table's loss an animal loses while it hangs. By
// the table the range around it is common practice, no source: half as much in a
// damp still room, half more in a dry draught.
func (n *Numbers) drying(a Animal) (low, middle, high float64) {
	if own, ok := n.own(learn.Shrink, yield.ShrinkKind(a.Species, a.Form)); ok {
		return own.Low, own.Median, own.High
	}
	return 0.5, 1, 1.5
}

// mould is the shop's prior for the mould sign.
func (n *Numbers) mould() ageing.MouldPrior {
	p := ageing.UsualMould
	if own, ok := n.own(learn.Mould, learn.MouldFirst); ok {
		p.First = own.Median
	}
	if own, ok := n.own(learn.Mould, learn.MouldPace); ok {
		p.Pace = own.Median
	}
	return p
}

// Paces are the shop's own paces at the table, for the plan; a kind of work whose
// table is in use is not among them.
func (n *Numbers) Paces() map[plan.Work]plan.Pace {
	paces := map[plan.Work]plan.Pace{}
	for work := range plan.Paces {
		own, ok := n.own(learn.Minutes, string(work))
		switch {
		case !ok:
		case string(work) == learn.PerKg:
			paces[work] = plan.Pace{PerKg: own.Median}
		default:
			paces[work] = plan.Pace{Minutes: int(own.Median + 0.5)}
		}
	}
	return paces
}

// learnedMemory remembers the numbers as of what they were found from.
type learnedMemory struct {
	mu      sync.Mutex
	as      learnedFrom
	numbers *Numbers
}

// learnedFrom tells whether anything was finished or chosen since: the last line of
// the one, all of the few others.
type learnedFrom struct{ Finished, Choices int64 }

// Numbers reads what the shop's own animals say. They are worked out anew when an
// animal was finished or the owner chose.
func (db *DB) Numbers(ctx context.Context) (*Numbers, error) {
	as, _, err := one[learnedFrom](ctx, db.pool, `
		SELECT coalesce((SELECT max(seq) FROM time_line WHERE what = 'finish'), 0) AS finished, (SELECT count(*) FROM number_choices) AS choices`)
	if err != nil {
		return nil, fmt.Errorf("own numbers: %w", err)
	}
	db.learned.mu.Lock()
	defer db.learned.mu.Unlock()
	if db.learned.numbers == nil || db.learned.as != as {
		numbers, err := db.learn(ctx)
		if err != nil {
			return nil, fmt.Errorf("own numbers: %w", err)
		}
		db.learned.numbers, db.learned.as = numbers, as
	}
	return db.learned.numbers, nil
}

// learn works them out.
func (db *DB) learn(ctx context.Context) (*Numbers, error) {
	animals, err := db.finishedAnimals(ctx)
	if err != nil {
		return nil, err
	}
	values := map[numberKey][]float64{}
	for _, f := range animals {
		f.add(values)
	}
	if err := db.mouldSeen(ctx, values); err != nil {
		return nil, err
	}
	choices, err := db.NumberChoices(ctx)
	if err != nil {
		return nil, err
	}
	n := &Numbers{by: map[numberKey]int{}}
	for _, key := range sortedKeys(values) {
		n.by[key] = len(n.List)
		own := OwnNumber{Measure: key.measure, Kind: key.kind, Own: learn.Of(values[key], learn.Possible(key.measure, key.kind))}
		for i := range choices { // the latest comes first
			if choices[i].Measure == key.measure && choices[i].Kind == key.kind {
				own.Choice = &choices[i]
				break
			}
		}
		n.List = append(n.List, own)
	}
	return n, nil
}

// NumberChoices lists what the owner chose, the latest first.
func (db *DB) NumberChoices(ctx context.Context) ([]NumberChoice, error) {
	return all[NumberChoice](ctx, db.pool, `
		SELECT n.measure, n.kind, n.own, n.reason, n.at, s.initials AS by
		FROM number_choices n JOIN staff s ON s.id = n.by_staff ORDER BY n.at DESC, n.id DESC LIMIT 500`)
}

// ChooseNumber has the shop's own number used, or the table's again, with the
// reason. It may be chosen back at any time.
func (db *DB) ChooseNumber(ctx context.Context, act Act, m learn.Measure, kind string, own bool, reason string) error {
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "choose number", func(tx pgx.Tx) (line, error) {
		if reason = strings.TrimSpace(reason); reason == "" {
			return line{}, domain.Wrong("reason", "Say why. Whoever reads it later wants to know.")
		}
		i, found := numbers.by[numberKey{m, kind}]
		if !found {
			return line{}, domain.Missing("The shop's own animals say nothing of that number yet.")
		}
		if count := numbers.List[i].Count; own && count < learn.Enough {
			return line{}, domain.Refuse("enough", "Only %d animals stand behind it. From %d on it can be used.", count, learn.Enough)
		}
		// One after the other, so that the second sees what the first chose.
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('number_choices'))`); err != nil {
			return line{}, err
		}
		last, chosen, err := one[NumberChoice](ctx, tx, `
			SELECT n.measure, n.kind, n.own, n.reason, n.at, s.initials AS by FROM number_choices n JOIN staff s ON s.id = n.by_staff
			WHERE n.measure = $1 AND n.kind = $2 ORDER BY n.at DESC, n.id DESC LIMIT 1`, m, kind)
		if err != nil {
			return line{}, err
		}
		if chosen && last.Own == own || !chosen && numbers.List[i].InUse() == own {
			return line{}, domain.Taken("That one is in use already. Look again.")
		}
		_, err = tx.Exec(ctx, `INSERT INTO number_choices (id, measure, kind, own, reason, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, m, kind, own, reason, act.At, act.Staff)
		return line{What: "choose-number", Detail: map[string]any{"measure": string(m), "kind": kind, "own": own, "why": reason}}, err
	})
}

// workOf is the kind of work an animal was.
func workOf(s domain.Species, boneIn bool) string { return string(plan.WorkOf(s, boneIn)) }
