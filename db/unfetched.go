package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"

	"github.com/jackc/pgx/v5"
)

// Unfetched is meat nobody has fetched: what was done to reach its owner, and the
// shop's ladder under the rules of its state.
type Unfetched struct {
	Told    animal.Told
	Ladder  animal.Ladder
	Rules   []statute.Rule // of the state, about this animal; its report among them
	MayHold Possession     // until when
}

// Rung is what comes next.
func (u Unfetched) Rung(now time.Time) animal.Rung { return u.Ladder.Rung(u.Told, now) }

// Report is the state's rule that wants a report, nil where none does.
func (u Unfetched) Report() *statute.Rule {
	for i, r := range u.Rules {
		if r.Topic == statute.Report {
			return &u.Rules[i]
		}
	}
	return nil
}

// Uncollected is an animal that waits, with what comes next for it.
type Uncollected struct {
	Waiting
	Unfetched
}

const toldColumns = `
	a.species, a.form, a.received_at, n.first, n.last, coalesce(n.tries, 0)::int AS tries, coalesce(n.lately, 0)::int AS lately,
	coalesce(l.letters, 0)::int AS letters, l.sent_at, l.back_at, coalesce(l.drafted, false) AS drafted, coalesce(l.approved, false) AS approved,
	EXISTS (SELECT FROM notices o JOIN statutes r ON r.id = o.statute_id WHERE o.animal_id = a.id AND r.trigger = 'abandoned' AND o.sent_at IS NULL) AS report_open,
	EXISTS (SELECT FROM door_photos d JOIN letters b ON b.id = d.letter_id WHERE b.animal_id = a.id AND b.back_at = l.back_at) AS back_seen
	FROM animals a
	LEFT JOIN LATERAL (SELECT min(at) AS first, max(at) AS last, count(*) AS tries, count(*) FILTER (WHERE at > $1::timestamptz - interval '7 days') AS lately
	  FROM contacts c WHERE c.animal_id = a.id AND c.way <> 'mail' AND c.outcome <> 'failed' AND c.at >= (SELECT min(placed_at) FROM boxes WHERE animal_id = a.id)) n ON true
	LEFT JOIN LATERAL (SELECT count(*) FILTER (WHERE sent_at IS NOT NULL) AS letters, max(sent_at) AS sent_at, max(back_at) AS back_at,
	  bool_or(approved_at IS NULL) AS drafted, bool_or(approved_at IS NOT NULL AND sent_at IS NULL) AS approved
	  FROM letters WHERE animal_id = a.id) l ON true`

type toldRow struct {
	Number               domain.ShopNumber
	Species              domain.Species
	Form                 domain.Form
	ReceivedAt           time.Time
	First, Last          *time.Time
	Tries, Lately        int
	Letters              int
	SentAt, BackAt       *time.Time
	Drafted, Approved    bool
	ReportOpen, BackSeen bool
}

func (r toldRow) told() animal.Told {
	t := animal.Told{Tries: r.Tries, Lately: r.Lately, Letters: r.Letters, Drafted: r.Drafted, Approved: r.Approved, ReportOpen: r.ReportOpen, BackSeen: r.BackSeen}
	for _, p := range []struct {
		from *time.Time
		into *time.Time
	}{{r.First, &t.First}, {r.Last, &t.Last}, {r.SentAt, &t.SentAt}, {r.BackAt, &t.BackAt}} {
		if p.from != nil {
			*p.into = *p.from
		}
	}
	return t
}

// under puts the shop's ladder under the rules of the state for this animal.
func (r toldRow) under(l animal.Ladder, rules []statute.Rule, loc *time.Location) Unfetched {
	u := Unfetched{Told: r.told(), Ladder: l, Rules: statute.Unfetched(rules, r.Species, r.Form)}
	u.Ladder.State = statute.TermsOf(u.Rules, r.ReceivedAt, u.Told.SentAt, loc)
	u.MayHold.Until, u.MayHold.By = statute.HeldUntil(rules, r.Species, r.Form, r.ReceivedAt, loc)
	return u
}

// Uncollected lists what waits in the freezer, with what was done about it, the
// longest waiting first.
func (db *DB) Uncollected(ctx context.Context, now time.Time, limit int) ([]Uncollected, error) {
	waiting, err := db.WaitingForPickup(ctx, limit)
	if err != nil {
		return nil, err
	}
	numbers := make([]string, len(waiting))
	for i, w := range waiting {
		numbers[i] = string(w.Number)
	}
	rows, err := all[toldRow](ctx, db.pool, `SELECT a.number, `+toldColumns+` WHERE a.number = ANY ($2)`, now, numbers)
	if err != nil {
		return nil, err
	}
	l, rules, loc, err := ladderHere(ctx, db.pool)
	if err != nil {
		return nil, err
	}
	told := map[domain.ShopNumber]Unfetched{}
	for _, r := range rows {
		told[r.Number] = r.under(l, rules, loc)
	}
	list := make([]Uncollected, len(waiting))
	for i, w := range waiting {
		list[i] = Uncollected{Waiting: w, Unfetched: told[w.Number]}
	}
	return list, nil
}

// ladderHere reads the shop's ladder, the rules that reach it and its zone.
func ladderHere(ctx context.Context, q querier) (animal.Ladder, []statute.Rule, *time.Location, error) {
	f, err := fetching(ctx, q)
	if err != nil {
		return f.Ladder, nil, nil, err
	}
	rules, err := rulesHere(ctx, q)
	if err != nil {
		return f.Ladder, nil, nil, err
	}
	loc, err := zoneOf(ctx, q)
	return f.Ladder, rules, loc, err
}

// UnfetchedRules lists the rules that reach the shop and speak of meat nobody fetches.
func (db *DB) UnfetchedRules(ctx context.Context) ([]statute.Rule, error) {
	rules, err := rulesHere(ctx, db.pool)
	return slices.DeleteFunc(rules, func(r statute.Rule) bool { return !r.OfUnfetched() }), err
}

// lettersDue lists those for which a letter is to be written, approved or sent, the
// state is to be told, or the owner is to decide.
func (db *DB) lettersDue(ctx context.Context, now time.Time) ([]Uncollected, error) {
	f, err := db.Fetching(ctx)
	if err != nil || !f.On {
		return nil, err
	}
	list, err := db.Uncollected(ctx, now, 300)
	return slices.DeleteFunc(list, func(u Uncollected) bool { return !u.Rung(now).Due() }), err
}

// UnfetchedOf is how it stands with the meat of one animal.
func (db *DB) UnfetchedOf(ctx context.Context, number domain.ShopNumber, now time.Time) (Unfetched, error) {
	return unfetched(ctx, db.pool, number, now)
}

func unfetched(ctx context.Context, q querier, number domain.ShopNumber, now time.Time) (Unfetched, error) {
	l, rules, loc, err := ladderHere(ctx, q)
	if err != nil {
		return Unfetched{}, err
	}
	r, _, err := one[toldRow](ctx, q, `SELECT a.number, `+toldColumns+` WHERE a.number = $2`, now, number)
	return r.under(l, rules, loc), err
}

// queueAbandoned raises what the state wants told of meat nobody fetches, once a
// letter is in the post.
func queueAbandoned(ctx context.Context, tx pgx.Tx, rows *pgx.Batch, act Act, a Animal) error {
	list, err := all[Statute](ctx, tx, statutesHere)
	if err != nil {
		return err
	}
	loc, err := zoneOf(ctx, tx)
	due := reportRules(list, statute.Abandoned, func(r statute.Rule) bool { return r.For(a.Species, a.Form) })
	queueNotices(rows, act, a.ID, due, act.At, loc)
	return err
}
