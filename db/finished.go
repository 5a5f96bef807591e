package db

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
	"coldrail/domain/learn"
	"coldrail/domain/yield"

	"github.com/google/uuid"
)

// mostFinished bounds what is learned from: so many of each class, the latest, so
// that the shop's numbers follow the shop.
const mostFinished = 300

// cutAnimal is an animal that was cut and packed, as far as its numbers speak.
type cutAnimal struct {
	Species        domain.Species
	Class          domain.Class
	Form           domain.Form
	ReceivedAt     time.Time
	HangingKg      *float64
	FieldDressedKg *float64
	Weighed        *time.Time
	Started        time.Time
	Minutes        float64 // of all who cut, together
	Packed         float64
	Trimmed        float64
	Added          bool // pork or beef mixed in
	Unweighed      bool // a tub nobody weighed
	AllWeighed     bool
	BoneIn         bool
}

// finishedAnimals reads the latest of each class: one query over rows that do not
// change any more.
func (db *DB) finishedAnimals(ctx context.Context) ([]cutAnimal, error) {
	return all[cutAnimal](ctx, db.pool, `
		WITH latest AS (
		  SELECT a.*, row_number() OVER (PARTITION BY a.species, a.class ORDER BY a.received_at DESC) AS nth
		  FROM animals a WHERE a.order_state = 'done'
		), done AS (
		  SELECT a.*, sat.started, sat.all_weighed, sat.minutes
		  FROM latest a, LATERAL (
		    SELECT min(s.started_at) AS started, bool_or(s.all_weighed) AS all_weighed,
		           sum(extract(epoch FROM s.stopped_at - s.started_at) + coalesce((
		             SELECT sum(extract(epoch FROM s.stopped_at - greatest(c.since, s.started_at))) FROM session_cutters c
		             WHERE c.session_id = s.id AND c.staff_id <> s.started_by AND c.since < s.stopped_at), 0)) / 60 AS minutes
		    FROM sessions_at_table s WHERE s.animal_id = a.id AND s.stopped_at IS NOT NULL) sat
		  WHERE a.nth <= $1 AND sat.started IS NOT NULL
		)
		SELECT a.species, a.class, a.form, a.received_at, a.hanging_kg, a.field_dressed_kg, a.started, a.minutes::float8 AS minutes, a.all_weighed,
		       (SELECT max(w.at) FROM weigh_ins w WHERE w.animal_id = a.id AND w.purpose = 'hanging') AS weighed,
		       coalesce((SELECT sum(net_kg) FROM packs p WHERE p.animal_id = a.id AND p.batch_id IS NULL), 0)
		       + coalesce((SELECT sum(kg) FROM pieces k WHERE k.animal_id = a.id AND k.kind = 'tub' AND k.gone_to NOT IN ('packed', 'batch')), 0)
		       + greatest(coalesce((SELECT sum(kg) FROM pieces k WHERE k.animal_id = a.id AND k.kind = 'tub' AND k.gone_to = 'batch'), 0),
		                  coalesce((SELECT sum(b.kg) FROM batch_inputs b WHERE b.animal_id = a.id), 0)) AS packed,
		       coalesce((SELECT sum(kg) FROM trim t WHERE t.animal_id = a.id), 0) AS trimmed,
		       EXISTS (SELECT FROM orders o WHERE o.animal_id = a.id AND o.void_at IS NULL AND o.added_meat IN ('pork', 'beef')) AS added,
		       EXISTS (SELECT FROM pieces k WHERE k.animal_id = a.id AND k.kind = 'tub' AND k.gone_to <> 'packed' AND k.kg IS NULL) AS unweighed,
		       EXISTS (SELECT FROM orders o JOIN order_lines l ON l.order_id = o.id
		               WHERE o.animal_id = a.id AND o.void_at IS NULL AND l.treatment = 'bone-in-chops') AS bone_in
		FROM done a ORDER BY a.started DESC LIMIT 5000`, mostFinished)
}

// add puts the animal's numbers to those of its kinds. Meat with pork mixed in, a
// tub nobody weighed and a carcass that did not hang whole speak to no yield, bone
// left in neither; a loss is known only where all of it was on the scale.
func (f cutAnimal) add(values map[numberKey][]float64) {
	put := func(m learn.Measure, kind string, v float64) {
		key := numberKey{m, kind}
		values[key] = append(values[key], v)
	}
	put(learn.Minutes, workOf(f.Species, f.BoneIn), f.pace())
	if f.Added || f.Unweighed || f.Packed <= 0 {
		return
	}
	a := Animal{Species: f.Species, Class: f.Class, Form: f.Form}
	if f.HangingKg != nil && f.Form == domain.Whole && !f.BoneIn {
		put(learn.Yield, yieldKind(a, true), f.Packed / *f.HangingKg)
	}
	if f.FieldDressedKg != nil && !f.BoneIn {
		put(learn.Yield, yieldKind(a, false), f.Packed / *f.FieldDressedKg)
	}
	if f.HangingKg == nil || !f.AllWeighed {
		return
	}
	a.ReceivedAt = f.ReceivedAt
	if table := driedAway(a, f.Weighed, f.Started); table > leastLoss {
		put(learn.Shrink, yield.ShrinkKind(f.Species, f.Form), (*f.HangingKg-f.Packed-f.Trimmed) / *f.HangingKg / table)
	}
}

// leastLoss is the least loss by the table from which a shop's own can be told from
// the scales' error: 1 %. Common practice, no source.
const leastLoss = 0.01

// pace is the animal's minutes, or minutes for a kilogram where its kind of work
// goes by the weight.
func (f cutAnimal) pace() float64 {
	if workOf(f.Species, f.BoneIn) != learn.PerKg {
		return f.Minutes
	}
	if f.HangingKg == nil {
		return 0 // out of any range: left out
	}
	return f.Minutes / *f.HangingKg
}

// mostMould bounds the animals whose mould is followed back.
const mostMould = 200

// mouldSeen adds when mould was first 1 mm long and how fast it grew, on finished
// animals that were looked at with growth at ribs or fat at least twice.
func (db *DB) mouldSeen(ctx context.Context, values map[numberKey][]float64) error {
	type row struct {
		ID uuid.UUID
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT a.id FROM (
		  SELECT l.animal_id FROM look_moulds m JOIN looks l ON l.id = m.look_id
		  WHERE m.site IN ('ribs', 'fat') AND m.length_mm > 0 AND m.colour IN ('white', 'grey')
		  GROUP BY l.animal_id HAVING count(DISTINCT l.id) >= 2) grew
		JOIN animals a ON a.id = grew.animal_id WHERE a.order_state = 'done'
		ORDER BY a.received_at DESC LIMIT $1`, mostMould)
	if err != nil || len(rows) == 0 {
		return err
	}
	ids := make([]uuid.UUID, len(rows))
	for i, r := range rows {
		ids[i] = r.ID
	}
	found, err := db.readFacts(ctx, ids)
	if err != nil {
		return err
	}
	rooms, err := db.hourlyRooms(ctx, found)
	if err != nil {
		return err
	}
	for _, id := range ids {
		pace, first, ok := learn.Growth(found[id].growth(rooms))
		if ok {
			values[numberKey{learn.Mould, learn.MouldPace}] = append(values[numberKey{learn.Mould, learn.MouldPace}], pace)
			values[numberKey{learn.Mould, learn.MouldFirst}] = append(values[numberKey{learn.Mould, learn.MouldFirst}], first)
		}
	}
	return nil
}

// hourlyRooms reads the air of the rooms by the hour, for as long as any of the
// animals hung: the mean of an hour is plenty for what grows over weeks.
func (db *DB) hourlyRooms(ctx context.Context, found map[uuid.UUID]*known) (map[int16]*exposure.Room, error) {
	from, to := time.Time{}, time.Time{}
	for _, k := range found {
		if from.IsZero() || k.facts.Received.Before(from) {
			from = k.facts.Received
		}
		for _, l := range k.facts.Looks {
			if l.At.After(to) {
				to = l.At
			}
		}
	}
	type hour struct {
		CoolerID int16
		At       time.Time
		C        domain.Celsius
	}
	rows, err := all[hour](ctx, db.pool, `
		SELECT r.cooler_id, date_trunc('hour', r.at) + interval '30 minutes' AS at, avg(r.c) AS c
		FROM readings r JOIN sensors s ON s.id = r.sensor_id
		WHERE r.at BETWEEN $1 AND $2 AND r.flag = 'ok' AND s.measures = 'air'
		GROUP BY r.cooler_id, date_trunc('hour', r.at) ORDER BY 2 DESC LIMIT 50000`, from, to)
	if err != nil {
		return nil, err
	}
	readings := map[int16][]exposure.Reading{}
	for _, r := range rows {
		readings[r.CoolerID] = append(readings[r.CoolerID], exposure.Reading{At: r.At, C: r.C})
	}
	rooms := map[int16]*exposure.Room{}
	for id, list := range readings {
		h, err := exposure.NewHistory(list)
		if err != nil {
			return nil, err
		}
		rooms[id] = exposure.NewRoom(h)
	}
	return rooms, nil
}

// growth is what was seen of an animal's mould. One that hung where no air was
// read for a while around its first look says nothing.
func (k *known) growth(rooms map[int16]*exposure.Room) []learn.Spot {
	var stays []exposure.Stay
	for _, s := range k.stays {
		room := rooms[s.cooler]
		if room == nil || room.History().Readings()[0].At.After(s.from.Add(24*time.Hour)) {
			return nil
		}
		stays = append(stays, exposure.Stay{From: s.from, In: room})
	}
	return ageing.GrowthSeen(k.facts, stays)
}

func sortedKeys(values map[numberKey][]float64) []numberKey {
	return slices.SortedFunc(maps.Keys(values), func(a, b numberKey) int {
		return cmp.Or(cmp.Compare(slices.Index(learn.Measures, a.measure), slices.Index(learn.Measures, b.measure)), cmp.Compare(a.kind, b.kind))
	})
}
