package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/plan"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Queued is a hanging animal on the cutter's list: in the queue with the
// reasons for its place, or barred with what stands against it.
type Queued struct {
	cutting.Choice
	ID      uuid.UUID
	Species domain.Species
	Class   domain.Class
	Form    domain.Form
	Place   string // "R2-7"; several where it hangs in parts
	Room    string
	Killed  time.Time
	Holds   []hold.Kind
	Packs   int             // of it that stand packed; Begun says that it was on the table
	Owner   string          // several where it is shared; empty: not written down
	Verdict *ageing.Verdict // how it stands; nil: nothing can be said
}

// NowAtTable is an animal being cut.
type NowAtTable struct {
	Number    domain.ShopNumber
	Species   domain.Species
	StartedAt time.Time
	By        string
	Why       string            // the lead's word, where another stood first
	InsteadOf domain.ShopNumber // and which that was
}

// mostWaiting bounds the cutter's list: twice what the largest shop hangs.
const mostWaiting = 1000

// CuttingQueue returns what hangs, in the order to cut it, and what may not be
// cut now, with the reasons for both.
func (db *DB) CuttingQueue(ctx context.Context, now time.Time) (queue, barred []Queued, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return nil, nil, err
	}
	judged, err := db.judgements(ctx, now)
	if err != nil {
		return nil, nil, err
	}
	return cuttingQueue(ctx, db.pool, judged, now, shop.Location())
}

func cuttingQueue(ctx context.Context, q querier, judged judgements, now time.Time, zone *time.Location) (queue, barred []Queued, err error) {
	rows, err := waitingRows(ctx, q)
	if err != nil {
		return nil, nil, err
	}
	byNumber := make(map[domain.ShopNumber]waitingRow, len(rows))
	candidates := make([]cutting.Candidate, len(rows))
	for i, r := range rows {
		byNumber[r.Number] = r
		candidates[i] = r.candidate(judged[r.Number])
	}
	first, shut := cutting.Next(candidates, now, zone)
	with := func(choices []cutting.Choice) []Queued {
		list := make([]Queued, len(choices))
		for i, c := range choices {
			list[i] = byNumber[c.Number].queued(c, judged[c.Number])
		}
		return list
	}
	return with(first), with(shut), nil
}

// waitingRow is what the shop's rows say of one hanging animal.
type waitingRow struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Class      domain.Class
	Form       domain.Form
	KilledAt   time.Time
	ReceivedAt time.Time
	Legal      animal.Legal
	OrderState animal.OrderTrack
	PromisedOn *time.Time
	Place      string
	Room       string
	Reach      int
	Unsettled  bool // two animals on one hook, nobody has said which
	Holds      []hold.Kind
	Boned      time.Time // the lead chose to bone and hold it; zero: not
	Rush       bool
	Mates      bool // a portion's owner has not ordered
	Begun      bool // it was on the table and hung back
	Packs      int
	Owner      string
}

// PlanRows counts the rows behind the cutter's list and behind the plan by day,
// collected as the pages collect them. The benchmark of the pages runs them bare
// to compare.
func PlanRows(ctx context.Context, conn *pgxpool.Conn) (waiting, traits int, err error) {
	rows, err := waitingRows(ctx, conn)
	if err != nil {
		return 0, 0, err
	}
	found, err := planTraits(ctx, conn)
	return len(rows), len(found), err
}

const waitingAnimals = `
	WITH hung AS (
	  SELECT o.animal_id, r.name || '-' || p.position AS place, c.label AS room,
	         row_number() OVER (PARTITION BY p.rail_id ORDER BY p.position) - 1 AS reach,
	         bool_or(o.conflict) OVER (PARTITION BY o.place_id) AS unsettled
	  FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
	  WHERE o.until IS NULL
	), placed AS (
	  SELECT animal_id, string_agg(place, ', ' ORDER BY place) AS place, min(room) AS room, min(reach) AS reach, bool_or(unsettled) AS unsettled
	  FROM hung GROUP BY animal_id
	), held AS (
	  SELECT animal_id, array_agg(kind ORDER BY opened_at) AS kinds, max(boned_at) AS boned FROM holds WHERE closed_at IS NULL GROUP BY animal_id
	), rush AS (
	  SELECT animal_id FROM charges WHERE code = 'rush' GROUP BY animal_id HAVING sum(quantity) > 0
	)
	SELECT a.id, a.number, a.species, a.class, a.form, a.killed_at, a.received_at, a.legal, a.order_state, a.promised_on,
	       coalesce(p.place, '') AS place, coalesce(p.room, '') AS room, coalesce(p.reach, 0)::int AS reach,
	       coalesce(p.unsettled, false) AS unsettled, coalesce(h.kinds, '{}') AS holds, coalesce(h.boned, '0001-01-01Z') AS boned, r.animal_id IS NOT NULL AS rush,
	       EXISTS (SELECT FROM orders o WHERE o.animal_id = a.id AND o.void_at IS NULL AND o.waits_for <> '') AS mates,
	       EXISTS (SELECT FROM sessions_at_table t WHERE t.animal_id = a.id) AS begun,
	       (SELECT coalesce(sum(k.count), 0)::int FROM packs k WHERE k.animal_id = a.id) AS packs,
	       coalesce((SELECT string_agg(w.name, ', ' ORDER BY ap.since, w.name) FROM animal_people ap JOIN people w ON w.id = ap.person_id
	                 WHERE ap.animal_id = a.id AND ap.role = 'owner' AND w.name <> '` + NoName + `'), '') AS owner
	FROM animals a LEFT JOIN placed p ON p.animal_id = a.id LEFT JOIN held h ON h.animal_id = a.id LEFT JOIN rush r ON r.animal_id = a.id `

func waitingRows(ctx context.Context, q querier) ([]waitingRow, error) {
	return all[waitingRow](ctx, q, waitingAnimals+`WHERE a.physical = 'hanging' ORDER BY a.received_at LIMIT $1`, mostWaiting)
}

// queued is the row as the cutter's list shows it.
func (r waitingRow) queued(c cutting.Choice, v *ageing.Verdict) Queued {
	return Queued{Choice: c, ID: r.ID, Species: r.Species, Class: r.Class, Form: r.Form, Place: r.Place, Room: r.Room,
		Killed: r.KilledAt, Holds: r.Holds, Packs: r.Packs, Owner: r.Owner, Verdict: v}
}

// candidate puts the row and what the models say of it before the domain. What
// blocks the table is the holds that forbid cutting; a bill unpaid does not.
func (r waitingRow) candidate(v *ageing.Verdict) cutting.Candidate {
	c := cutting.Candidate{
		Number: r.Number, Received: r.ReceivedAt, Livestock: !r.Species.Game(), Reach: r.Reach, Begun: r.Begun,
		Identified: !r.Unsettled, TagComplete: r.Legal.Checked(),
		OrderComplete: r.OrderState == animal.Complete, Condition: cutting.Look,
		AfterCut: plan.Freezing, RushPaid: r.Rush, MatesWaiting: r.Mates,
	}
	if v != nil {
		c.Condition, c.DeepTemp, c.CutBy = cutting.Condition(v.Condition), v.Deep, v.CutBy
	}
	for _, k := range r.Holds {
		if (hold.Hold{Kind: k, BonedAt: r.Boned}).Stops(hold.Cut) {
			c.Holds = append(c.Holds, k.Words())
		}
	}
	if r.PromisedOn != nil {
		c.Promise = *r.PromisedOn
	}
	return c
}

// AtTable lists what is being cut now, the longest on the table first.
func (db *DB) AtTable(ctx context.Context) ([]NowAtTable, error) {
	return all[NowAtTable](ctx, db.pool, `
		SELECT a.number, a.species, t.started_at, s.name AS by, t.why_not_next AS why, t.instead_of
		FROM sessions_at_table t JOIN animals a ON a.id = t.animal_id JOIN staff s ON s.id = t.started_by
		WHERE t.stopped_at IS NULL ORDER BY t.started_at LIMIT 50`)
}

// Unboxed lists what was cut but is not all in boxes, the oldest first.
func (db *DB) Unboxed(ctx context.Context) ([]NowAtTable, error) {
	return all[NowAtTable](ctx, db.pool, `
		SELECT a.number, a.species, t.started_at, s.name AS by, t.why_not_next AS why, t.instead_of
		FROM animals a JOIN LATERAL (
		  SELECT started_at, started_by, why_not_next, instead_of FROM sessions_at_table WHERE animal_id = a.id ORDER BY started_at DESC LIMIT 1
		) t ON true JOIN staff s ON s.id = t.started_by
		WHERE a.physical = 'split' ORDER BY t.started_at LIMIT 50`)
}

// onTable reads who has the animal on the table, for whoever comes second.
func onTable(ctx context.Context, tx pgx.Tx, a Animal) error {
	var by string
	var since time.Time
	err := tx.QueryRow(ctx, `
		SELECT s.name, t.started_at FROM sessions_at_table t JOIN staff s ON s.id = t.started_by
		WHERE t.animal_id = $1 AND t.stopped_at IS NULL`, a.ID).Scan(&by, &since)
	if err != nil {
		return err
	}
	return domain.Taken("%s started on %s, %s. Take the next one.", by, string(a.Number), since)
}
