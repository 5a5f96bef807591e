package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/closing"
)

// DayWork is what was done since the last close, and what is in the house.
type DayWork struct {
	CameIn     int             `json:"came_in"`
	Refused    int             `json:"refused"`
	Weighed    int             `json:"weighed"` // and hung
	Cut        int             `json:"cut"`
	Packs      int             `json:"packs"`
	PackedKg   domain.Kilogram `json:"packed_kg"`
	Boxes      int             `json:"boxes"` // into the freezer
	Fetched    int             `json:"fetched"`
	BoxesOut   int             `json:"boxes_out"`
	WentHome   int             `json:"went_home"` // animals, all of it
	Stayed     int             `json:"stayed"`    // counted as gone home before, and had not left
	GivenAway  int             `json:"given_away"`
	ThrownOut  int             `json:"thrown_out"`
	Rounds     int             `json:"rounds"`
	Missed     int             `json:"missed"`
	InHouse    int             `json:"in_house"` // animals, whatever is left of them
	OnRail     int             `json:"on_rail"`
	NotHung    int             `json:"not_hung"` // taken in, in no place yet; closes of before counted them on the rail
	OnTable    int             `json:"on_table"` // or cut and not boxed
	InBoxes    int             `json:"in_boxes"`
	Before     int             `json:"before"` // in the house at the last close
	KnowBefore bool            `json:"know_before"`
}

// Heads is the count that has to come out.
func (w DayWork) Heads() closing.Heads {
	return closing.Heads{Before: w.Before, In: w.CameIn + w.Stayed, Out: w.WentHome + w.GivenAway + w.ThrownOut, Now: w.InHouse}
}

// dayWork counts what was done in the stretch the close covers. Before the first
// close nobody counted: what was in the house then is reckoned backwards, so that
// its sum always comes out.
func dayWork(ctx context.Context, q querier, c Closing) (DayWork, error) {
	w, _, err := one[DayWork](ctx, q, `
		WITH house AS (
		  SELECT count(*) FILTER (WHERE physical IN ('chilling', 'hanging'))::int AS on_rail,
		         count(*) FILTER (WHERE physical = 'received')::int AS not_hung,
		         count(*) FILTER (WHERE physical IN ('on-table', 'split'))::int AS on_table,
		         count(*) FILTER (WHERE physical IN ('stored', 'part-released', 'unclaimed'))::int AS in_boxes,
		         count(*) FILTER (WHERE physical <> 'arrived')::int AS in_house
		  FROM animals WHERE physical IN ('arrived', 'received', 'chilling', 'hanging', 'on-table', 'split', 'stored', 'part-released', 'unclaimed')
		), packed AS (
		  SELECT coalesce(sum(count), 0)::int AS packs, coalesce(sum(net_kg), 0) AS packed_kg FROM packs WHERE wrapped_at > $1 AND wrapped_at <= $2
		), fetched AS (
		  SELECT count(*)::int AS fetched, count(DISTINCT h.animal_id) FILTER (WHERE a.physical = 'released' AND NOT EXISTS (
		           SELECT FROM handovers l WHERE l.animal_id = h.animal_id AND l.at > h.at AND `+tookPlace("l")+`))::int AS went_home,
		         coalesce(sum((SELECT count(*) FROM boxes b WHERE b.handover_id = h.id)), 0)::int AS boxes_out
		  FROM handovers h JOIN animals a ON a.id = h.animal_id WHERE h.at > $1 AND h.at <= $2 AND `+tookPlace("h")+`
		)
		SELECT (SELECT count(*)::int FROM animals WHERE received_at > $1 AND received_at <= $2) AS came_in,
		       (SELECT count(*)::int FROM refusals WHERE at > $1 AND at <= $2) AS refused,
		       (SELECT count(DISTINCT animal_id)::int FROM weigh_ins WHERE purpose = 'hanging' AND at > $1 AND at <= $2) AS weighed,
		       (SELECT count(DISTINCT t.animal_id)::int FROM sessions_at_table t JOIN animals a ON a.id = t.animal_id
		        WHERE t.started_at > $1::timestamptz - interval '2 days' AND t.stopped_at > $1 AND t.stopped_at <= $2 AND a.order_state = 'done') AS cut,
		       packed.packs, packed.packed_kg,
		       (SELECT count(*)::int FROM boxes WHERE placed_at > $1 AND placed_at <= $2) AS boxes,
		       fetched.fetched, fetched.boxes_out, fetched.went_home,
		       (SELECT count(DISTINCT h.animal_id)::int FROM handover_corrections c JOIN handovers h ON h.id = c.handover_id
		        WHERE c.was_gone AND c.at > $1 AND c.at <= $2 AND h.at <= $1) AS stayed,
		       (SELECT count(*)::int FROM donations WHERE at > $1 AND at <= $2) AS given_away,
		       (SELECT count(DISTINCT animal_id)::int FROM decisions WHERE verdict = 'condemn-all' AND at > $1 AND at <= $2) AS thrown_out,
		       (SELECT count(*)::int FROM rounds WHERE finished AND walked_to > $1 AND walked_to <= $2) AS rounds,
		       (SELECT count(*)::int FROM due_rounds WHERE state = 'missed' AND closes_at > $1 AND closes_at <= $2) AS missed,
		       house.in_house, house.on_rail, house.not_hung, house.on_table, house.in_boxes, 0 AS before, false AS know_before
		FROM house, packed, fetched`, c.Since, c.Until)
	if err != nil {
		return w, err
	}
	if w.KnowBefore = c.Before != nil; w.KnowBefore {
		w.Before = c.Before.Work.InHouse
	} else {
		w.Before = w.InHouse - w.Heads().In + w.Heads().Out
	}
	return w, nil
}

// standing gathers what is open now: numbers of animals and names of rooms, no
// person.
func (db *DB) standing(ctx context.Context, now time.Time) ([]closing.Open, error) {
	type row struct {
		Kind  closing.OpenKind
		Which string
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT kind, which FROM (
		  SELECT 'incidents' AS kind, c.label AS which, i.opened_at AS at FROM incidents i JOIN coolers c ON c.id = i.cooler_id WHERE i.closed_at IS NULL
		  UNION ALL SELECT CASE d.state WHEN 'open' THEN 'rounds-due' ELSE 'rounds-missed' END, c.label, d.due_at FROM due_rounds d JOIN coolers c ON c.id = d.cooler_id
		    WHERE d.closes_at > $1::timestamptz - interval '24 hours' AND d.opens_at <= $1 AND d.state IN ('open', 'missed')
		  UNION ALL SELECT CASE a.physical WHEN 'on-table' THEN 'on-table' ELSE 'not-boxed' END, a.number, a.received_at FROM animals a WHERE a.physical IN ('on-table', 'split')
		  UNION ALL SELECT 'tubs', a.number || '-' || p.mark, p.made_at FROM pieces p JOIN animals a ON a.id = p.animal_id WHERE p.kind = 'tub' AND p.gone_at IS NULL
		  UNION ALL SELECT 'bay', f.number, f.found_at FROM night_finds f WHERE f.settled_at IS NULL AND f.card_id IS NULL
		    AND NOT EXISTS (SELECT FROM night_finds n WHERE n.card_id = f.id)
		  UNION ALL SELECT 'holds', a.number, min(h.opened_at) FROM holds h JOIN animals a ON a.id = h.animal_id WHERE h.closed_at IS NULL GROUP BY a.number
		  UNION ALL SELECT 'no-order', a.number, a.received_at FROM animals a WHERE a.physical IN ('received', 'chilling', 'hanging') AND a.order_state IN ('none', 'incomplete')
		  UNION ALL SELECT 'not-billed', a.number, a.received_at FROM animals a WHERE a.physical IN ('stored', 'part-released', 'unclaimed') AND a.money IN ('quoted', 'deposit')
		  UNION ALL SELECT 'money-open', a.number, a.received_at FROM animals a WHERE a.money IN ('billed', 'part-paid') AND a.physical IN ('stored', 'part-released', 'unclaimed', 'released')
		) open ORDER BY kind, at, which LIMIT 4000`, now)
	if err != nil {
		return nil, err
	}
	which := map[closing.OpenKind][]string{}
	for _, r := range rows {
		which[r.Kind] = append(which[r.Kind], r.Which)
	}
	if err := db.addListed(ctx, now, which); err != nil {
		return nil, err
	}
	return closing.Standing(which), nil
}

// addListed adds what other lists of the shop's know.
func (db *DB) addListed(ctx context.Context, now time.Time, which map[closing.OpenKind][]string) error {
	actions, err := db.OpenActions(ctx)
	if err != nil {
		return err
	}
	for _, a := range actions {
		which[closing.ToPutRight] = append(which[closing.ToPutRight], a.Label)
	}
	moved, err := db.PromisesMoved(ctx)
	if err != nil {
		return err
	}
	for _, m := range moved {
		which[closing.CallsDue] = append(which[closing.CallsDue], string(m.Number))
	}
	letters, err := db.lettersDue(ctx, now)
	if err != nil {
		return err
	}
	for _, l := range letters {
		which[closing.CallsDue] = append(which[closing.CallsDue], string(l.Number))
	}
	notices, err := db.OpenNotices(ctx)
	if err != nil {
		return err
	}
	for _, n := range notices {
		which[closing.NoticesDue] = append(which[closing.NoticesDue], string(n.Number))
	}
	owed, err := db.Owed(ctx)
	for _, o := range owed {
		which[closing.FieldsOwed] = append(which[closing.FieldsOwed], string(o.Number))
	}
	return err
}
