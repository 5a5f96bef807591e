package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// KeptRecord is a record as the owner sees it when it is a question of keeping it: an
// animal's, or one beside no animal. It names nobody.
type KeptRecord struct {
	Number domain.ShopNumber
	Paper  Paper        // where there is no animal
	Since  time.Time    // received
	Until  time.Time    // the longest of the rules
	Rule   statute.Rule // which one that is
	Held   domain.Words // what keeps it although its time is up; no format: nothing
	id     uuid.UUID
}

// keptRow is what the rules count from, and what is open.
type keptRow struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Form       domain.Form
	Physical   animal.Physical
	ReceivedAt time.Time
	LeftAt     *time.Time // the last hand-over, gift or other end
	PreparedAt *time.Time // the last time it left the table
	KilledAt   time.Time
	Holds      int
	Notices    int
	Visits     int
	Unpaid     bool
}

const keptRows = `
	SELECT a.id, a.number, a.species, a.form, a.physical, a.received_at, a.killed_at,
	       greatest((SELECT max(at) FROM handovers WHERE animal_id = a.id), (SELECT max(at) FROM donations WHERE animal_id = a.id),
	         CASE WHEN a.physical IN ('transferred', 'destroyed', 'condemned', 'seized', 'returned', 'refused', 'missing')
	           THEN (SELECT max(at) FROM time_line WHERE animal_id = a.id) END) AS left_at,
	       (SELECT max(stopped_at) FROM sessions_at_table WHERE animal_id = a.id) AS prepared_at,
	       (SELECT count(*) FROM holds WHERE animal_id = a.id AND closed_at IS NULL)::int AS holds,
	       (SELECT count(*) FROM notices WHERE animal_id = a.id AND sent_at IS NULL)::int AS notices,
	       (SELECT count(*) FROM visits WHERE ended_at IS NULL)::int AS visits,
	       a.money IN ('billed', 'part-paid') AS unpaid
	FROM animals a`

// ended reports whether nothing of the animal is here any more.
func (k keptRow) ended() bool { return !k.Physical.InHouse() && k.Physical != animal.Expected }

// judge says until when the rules keep the row, and what keeps it beyond.
func (k keptRow) judge(rules []statute.Rule, loc *time.Location) (r KeptRecord, some bool) {
	at := map[statute.Start]time.Time{statute.FromReceipt: k.ReceivedAt, statute.FromKill: k.KilledAt, statute.FromAcceptance: k.ReceivedAt}
	if k.LeftAt != nil {
		at[statute.FromRelease], at[statute.FromDisposal] = *k.LeftAt, *k.LeftAt
	}
	if k.PreparedAt != nil {
		at[statute.FromPreparation] = *k.PreparedAt
	} else if k.ended() && k.LeftAt != nil {
		at[statute.FromPreparation] = *k.LeftAt // it left uncut: nothing was prepared
	}
	var these []statute.Rule
	for _, rule := range rules {
		if rule.Topic == statute.Retention && rule.For(k.Species, k.Form) {
			these = append(these, rule)
		}
	}
	until, by, unending := statute.KeepUntil(these, at, loc)
	if by == nil {
		return r, false // no rule speaks of it: it is kept
	}
	open := statute.Open{InHouse: !k.ended(), Holds: k.Holds, Notices: k.Notices, Visits: k.Visits, Unpaid: k.Unpaid, Unending: unending}
	return KeptRecord{Number: k.Number, Since: k.ReceivedAt, Until: until, Rule: *by, Held: open.Keeps(), id: k.ID}, true
}

// KeptLongEnough lists the animals, and what stands beside no animal, whose records the rules keep no longer and whose
// personal things have not been blanked, the oldest first, at most 200: those that
// may be blanked, and those that something open keeps.
func (db *DB) KeptLongEnough(ctx context.Context, now time.Time) (due, held []KeptRecord, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return nil, nil, err
	}
	rules, err := rulesHere(ctx, db.pool)
	if err != nil {
		return nil, nil, err
	}
	rows, err := all[keptRow](ctx, db.pool, keptRows+`
		WHERE NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = a.id) AND a.received_at < $1 ORDER BY a.received_at, a.number LIMIT 2000`, now)
	if err != nil {
		return nil, nil, err
	}
	papers, err := all[paperRow](ctx, db.pool, papersKept+` WHERE g.paper_id IS NULL AND at < $1 ORDER BY at, id LIMIT 2000`, now)
	var judged []KeptRecord
	for _, row := range rows {
		if k, some := row.judge(rules, shop.Location()); some {
			judged = append(judged, k)
		}
	}
	for _, p := range papers {
		if k, some := p.judge(rules, shop.Location()); some {
			judged = append(judged, k)
		}
	}
	for _, k := range judged {
		switch {
		case len(due)+len(held) >= 200 || !k.Until.Before(now) || k.Until.IsZero():
		case k.Held.Format == "":
			due = append(due, k)
		default:
			held = append(held, k)
		}
	}
	return due, held, err
}

// Blank takes the personal things of these animals away, as the owner approved:
// value and salt beside the register, signatures, pictures of the door and of looks,
// names of shares and bookings, and people who have no other animal; and the names of
// these papers. Each is asked again under lock: one that must be kept after all stops
// the whole list.
func (db *DB) Blank(ctx context.Context, act Act, numbers []domain.ShopNumber, papers []Paper) error {
	return db.act(ctx, act, "blank", func(tx pgx.Tx) (line, error) {
		if len(numbers)+len(papers) == 0 || len(numbers)+len(papers) > 200 {
			return line{}, domain.Wrong("list", "There is nothing to approve.")
		}
		due, err := blankable(ctx, tx, act.At, numbers)
		if err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO blankings (id, at, by_staff) VALUES ($1, $2, $3)`, act.ID, act.At, act.Staff); err != nil {
			return line{}, err
		}
		total := 0
		for _, k := range due {
			if _, err := tx.Exec(ctx, `INSERT INTO blanked (animal_id, blanking_id, kept_until, rule) VALUES ($1, $2, $3, $4)`, k.id, act.ID, k.Until, k.Rule.Key); err != nil {
				return line{}, err
			}
		}
		for _, k := range due {
			var fields int
			if err := tx.QueryRow(ctx, `SELECT blank_animal($1)`, k.id).Scan(&fields); err != nil {
				return line{}, err
			}
			if err := touch(ctx, tx, k.id); err != nil {
				return line{}, err
			}
			total += fields
		}
		return line{What: "blank", Detail: map[string]any{"animals": len(due), "fields": total, "papers": len(papers)}}, blankPapers(ctx, tx, act, papers)
	})
}

// blankable locks the animals and asks each again whether it may be blanked.
func blankable(ctx context.Context, tx pgx.Tx, now time.Time, numbers []domain.ShopNumber) (due []KeptRecord, err error) {
	var zone string
	if err := tx.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone); err != nil {
		return nil, err
	}
	rules, err := rulesHere(ctx, tx)
	if err != nil {
		return nil, err
	}
	rows, err := all[keptRow](ctx, tx, keptRows+` WHERE a.number = ANY ($1) ORDER BY a.id FOR UPDATE OF a`, numbers)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		var gone bool
		if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM blanked WHERE animal_id = $1)`, row.ID).Scan(&gone); err != nil {
			return nil, err
		}
		if gone {
			return nil, domain.Taken("%s was blanked by somebody else meanwhile. Open the list again.", string(row.Number))
		}
		k, some := row.judge(rules, Shop{Zone: zone}.Location())
		if !some || k.Held.Format != "" || !k.Until.Before(now) {
			return nil, domain.Refuse("list", "%s must be kept after all: open the list again and look.", string(row.Number))
		}
		due = append(due, k)
	}
	if len(due) != len(numbers) {
		return nil, domain.Missing("An animal on the list is not in the book. Open the list again.")
	}
	return due, nil
}

// Blanking is one approval.
type Blanking struct {
	At      time.Time
	By      string
	Animals int
	Papers  int // beside no animal
}

// Blankings lists the approvals, the latest first.
func (db *DB) Blankings(ctx context.Context) ([]Blanking, error) {
	return all[Blanking](ctx, db.pool, `
		SELECT g.at, s.initials AS by, (SELECT count(*) FROM blanked b WHERE b.blanking_id = g.id)::int AS animals,
		       (SELECT count(*) FROM blanked_papers p WHERE p.blanking_id = g.id)::int AS papers
		FROM blankings g JOIN staff s ON s.id = g.by_staff ORDER BY g.at DESC LIMIT 50`)
}
