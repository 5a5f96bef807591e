package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/learn"
)

// seasonOpens is the month a season begins with: no hunt is cut in two by July 1.
// Common practice, no source.
const seasonOpens = time.July

// mostOfSeason bounds the animals one season's page reads.
const mostOfSeason = 8000

// SeasonMoney is what the animals of a season brought.
type SeasonMoney struct {
	Lines  []SeasonLine // by what it was charged for, the largest first
	Billed domain.Cents
	Takings
	Standing
}

// Standing is how the money of a season's animals stands, each by itself: one owner's
// deposit pays no other's bill.
type Standing struct {
	Owing     int          // animals billed and not paid
	OwedCents domain.Cents // on them
	BackCents domain.Cents // owed to owners who paid more than their bill
	Holding   int          // animals with a deposit and no bill yet
	HeldCents domain.Cents // of those
}

// SeasonLine is the sum of one kind of charge.
type SeasonLine struct {
	Label string
	Count int
	Cents domain.Cents
}

// Season is one season of the shop, animal by animal.
type Season struct {
	Year        int // it opened in
	From, Until time.Time
	Animals     []learn.Passed
	Refused     int
	Boxes       int
	Money       SeasonMoney
}

// Seasons lists the years in which a season with animals opened, the newest first.
func (db *DB) Seasons(ctx context.Context) (years []int, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return nil, err
	}
	var first, last *time.Time
	if err := db.pool.QueryRow(ctx, `SELECT min(received_at), max(received_at) FROM animals`).Scan(&first, &last); err != nil || first == nil {
		return nil, translate(err)
	}
	for year := SeasonOf(*last, shop.Location()); year >= SeasonOf(*first, shop.Location()) && len(years) < 60; year-- {
		years = append(years, year)
	}
	return years, nil
}

// SeasonOf is the year in which the season of a moment opened.
func SeasonOf(t time.Time, zone *time.Location) int {
	t = t.In(zone)
	if t.Month() < seasonOpens {
		return t.Year() - 1
	}
	return t.Year()
}

// Season reads the animals that came in one season and what they brought. All of it
// goes by the animals received in that year, so that ten seasons cost as one.
func (db *DB) Season(ctx context.Context, year int) (s Season, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return s, err
	}
	s = Season{Year: year, From: time.Date(year, seasonOpens, 1, 0, 0, 0, 0, shop.Location()), Until: time.Date(year+1, seasonOpens, 1, 0, 0, 0, 0, shop.Location())}
	if s.Animals, err = all[learn.Passed](ctx, db.pool, seasonAnimals, s.From, s.Until, mostOfSeason); err != nil {
		return s, err
	}
	if s.Money.Lines, err = all[SeasonLine](ctx, db.pool, seasonLines, s.From, s.Until); err != nil {
		return s, err
	}
	for _, l := range s.Money.Lines {
		s.Money.Billed += l.Cents
	}
	if s.Money.Takings, _, err = one[Takings](ctx, db.pool, seasonTakings, s.From, s.Until); err != nil {
		return s, err
	}
	if s.Money.Standing, _, err = one[Standing](ctx, db.pool, seasonStanding, s.From, s.Until); err != nil {
		return s, err
	}
	err = db.pool.QueryRow(ctx, `
		SELECT (SELECT count(*)::int FROM refusals WHERE at >= $1 AND at < $2),
		       (SELECT count(*)::int FROM boxes b JOIN animals a ON a.id = b.animal_id WHERE a.received_at >= $1 AND a.received_at < $2)`, s.From, s.Until).Scan(&s.Refused, &s.Boxes)
	return s, translate(err)
}

// seasonAnimals reads each animal's way. What went into batches counts to its packs
// as it went in, and what came back of them does not, as in Closure.
const seasonAnimals = `
	SELECT a.species || ' ' || a.class AS kind, a.received_at AS received, a.promised_on::timestamptz AS promised, a.hanging_kg AS hanging,
	       (SELECT max(w.at) FROM weigh_ins w WHERE w.animal_id = a.id AND w.purpose = 'hanging' AND w.piece_id IS NULL) AS hung,
	       sat.tabled, coalesce(sat.minutes, 0)::float8 AS minutes,
	       ARRAY(SELECT s.initials FROM staff s WHERE s.id = ANY (sat.starters) OR s.id IN (
	         SELECT c.staff_id FROM session_cutters c WHERE c.session_id = ANY (sat.ids)) ORDER BY s.initials) AS cutters,
	       CASE WHEN a.physical IN ('stored', 'part-released', 'released', 'unclaimed', 'transferred')
	            THEN (SELECT max(b.placed_at) FROM boxes b WHERE b.animal_id = a.id) END AS boxed,
	       CASE WHEN a.physical = 'released' THEN (SELECT max(h.at) FROM handovers h WHERE h.animal_id = a.id) END AS home,
	       CASE WHEN a.physical NOT IN ('expected', 'arrived', 'received', 'chilling', 'hanging', 'on-table', 'split', 'stored', 'part-released', 'unclaimed', 'released')
	            THEN coalesce((SELECT max(d.at) FROM donations d WHERE d.animal_id = a.id), (SELECT max(d.at) FROM decisions d WHERE d.animal_id = a.id), a.received_at) END AS gone,
	       coalesce((SELECT sum(p.net_kg) FROM packs p WHERE p.animal_id = a.id AND p.batch_id IS NULL), 0) + coalesce(tubs.kg, 0)
	       + greatest(coalesce(tubs.batch_kg, 0), coalesce((SELECT sum(b.kg) FROM batch_inputs b WHERE b.animal_id = a.id), 0)) AS packed,
	       a.order_state = 'done' AND a.form = 'whole' AND NOT coalesce(tubs.unweighed, false) AND NOT EXISTS (
	         SELECT FROM orders o LEFT JOIN order_lines l ON l.order_id = o.id AND l.treatment = 'bone-in-chops'
	         WHERE o.animal_id = a.id AND o.void_at IS NULL AND (o.added_meat IN ('pork', 'beef') OR l.order_id IS NOT NULL)) AS yield_told
	FROM animals a
	LEFT JOIN LATERAL (
	  SELECT min(t.started_at) AS tabled, array_agg(t.id) AS ids, array_agg(t.started_by) AS starters,
	         sum(extract(epoch FROM t.stopped_at - t.started_at) + coalesce((
	           SELECT sum(extract(epoch FROM t.stopped_at - greatest(c.since, t.started_at))) FROM session_cutters c
	           WHERE c.session_id = t.id AND c.staff_id <> t.started_by AND c.since < t.stopped_at), 0)) / 60 AS minutes
	  FROM sessions_at_table t WHERE t.animal_id = a.id) sat ON true
	LEFT JOIN LATERAL (
	  SELECT sum(k.kg) FILTER (WHERE k.gone_to NOT IN ('packed', 'batch')) AS kg, sum(k.kg) FILTER (WHERE k.gone_to = 'batch') AS batch_kg,
	         bool_or(k.gone_to <> 'packed' AND k.kg IS NULL) AS unweighed
	  FROM pieces k WHERE k.animal_id = a.id AND k.kind = 'tub') tubs ON true
	WHERE a.received_at >= $1 AND a.received_at < $2 ORDER BY a.received_at LIMIT $3`

const seasonLines = `
	SELECT c.label, count(*)::int AS count, sum(c.total_cents)::bigint AS cents FROM charges c JOIN animals a ON a.id = c.animal_id
	WHERE a.received_at >= $1 AND a.received_at < $2 GROUP BY c.label ORDER BY sum(c.total_cents) DESC, c.label LIMIT 200`

const seasonTakings = `
	SELECT coalesce(sum(p.cents) FILTER (WHERE p.way = 'cash'), 0)::bigint AS cash_cents, coalesce(sum(p.cents) FILTER (WHERE p.way = 'check'), 0)::bigint AS check_cents,
	       coalesce(sum(p.cents) FILTER (WHERE p.way = 'card'), 0)::bigint AS card_cents, coalesce(sum(p.cents) FILTER (WHERE p.way = 'other'), 0)::bigint AS other_cents
	FROM payments p JOIN animals a ON a.id = p.animal_id WHERE a.received_at >= $1 AND a.received_at < $2`

// seasonStanding counts as the close of a day does: what is billed and not paid.
const seasonStanding = `
	SELECT count(*) FILTER (WHERE money IN ('billed', 'part-paid'))::int AS owing,
	       coalesce(sum(due) FILTER (WHERE money IN ('billed', 'part-paid')), 0)::bigint AS owed_cents,
	       coalesce(-sum(due) FILTER (WHERE money = 'credit'), 0)::bigint AS back_cents,
	       count(*) FILTER (WHERE money = 'deposit')::int AS holding,
	       coalesce(sum(paid) FILTER (WHERE money = 'deposit'), 0)::bigint AS held_cents
	FROM (SELECT a.money, p.paid, coalesce((SELECT sum(c.total_cents) FROM charges c WHERE c.animal_id = a.id), 0) - p.paid AS due
	      FROM animals a, LATERAL (SELECT coalesce(sum(cents), 0) AS paid FROM payments WHERE animal_id = a.id) p
	      WHERE a.received_at >= $1 AND a.received_at < $2 AND a.money <> 'quoted') m`
