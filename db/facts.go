package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"

	"github.com/google/uuid"
)

// factsRow is what the models need of one animal's own row, its protocol and
// the last decision on it.
type factsRow struct {
	ID              uuid.UUID
	Revision        int
	Species         domain.Species
	Class           domain.Class
	Form            domain.Form
	Door            ageing.Door
	KilledAt        time.Time
	ReceivedAt      time.Time
	HangingKg       *domain.Kilogram
	DeepC           *domain.Celsius
	KeptC           *domain.Celsius
	Kept            ageing.Kept
	Wish            string
	Key             string
	Label           string
	Aged            bool
	Target          *float64
	MouldSign       ageing.Sign
	CeilingDays     float64
	LongCeilingDays float64
	DecidedAt       *time.Time
	Verdict         *ageing.Ruling
	StoppedAt       *time.Time // by the last incident
	Waiting         bool       // not weighed and hung for good
}

func (r factsRow) facts() ageing.Facts {
	f := ageing.Facts{
		Species: r.Species, Class: r.Class, Form: r.Form, Door: r.Door, Killed: r.KilledAt, Received: r.ReceivedAt,
		DeepAtDoor: r.DeepC, KeptAt: r.KeptC, Kept: r.Kept,
		CutWhenCold: r.Wish == "cut-when-cold", Waiting: r.Waiting, UntilDecided: true,
		Protocol: ageing.Protocol{Key: r.Key, Label: domain.Say(r.Label), Aged: r.Aged, Sign: r.MouldSign,
			Ceiling: r.CeilingDays, LongCeiling: r.LongCeilingDays},
	}
	if r.HangingKg != nil {
		f.Weight = *r.HangingKg
	}
	if r.Target != nil {
		f.Protocol.Target = *r.Target
	}
	if r.StoppedAt != nil {
		f.StoppedAt = *r.StoppedAt
	}
	if r.DecidedAt != nil {
		f.Decision = &ageing.Decision{At: *r.DecidedAt, Ruling: *r.Verdict}
	}
	return f
}

// readFacts reads what the models need of these animals: four queries, however
// many there are.
func (db *DB) readFacts(ctx context.Context, ids []uuid.UUID) (map[uuid.UUID]*known, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	rows, err := all[factsRow](ctx, db.pool, `
		SELECT a.id, a.revision, a.species, a.class, a.form, a.door, a.killed_at, a.received_at, a.hanging_kg, a.deep_c, a.kept_c,
		       coalesce(a.kept, '') AS kept, a.wish, p.key, p.label, p.aged, p.target, p.mould_sign, p.ceiling_days, p.long_ceiling_days,
		       d.at AS decided_at, d.verdict, (SELECT max(at) FROM incident_stops WHERE animal_id = a.id) AS stopped_at,
		       a.physical IN ('received', 'chilling') AS waiting
		FROM animals a
		JOIN protocols p ON p.id = a.protocol_id
		LEFT JOIN LATERAL (SELECT at, verdict FROM decisions WHERE animal_id = a.id ORDER BY at DESC LIMIT 1) d ON true
		WHERE a.id = ANY ($1)`, ids)
	if err != nil {
		return nil, err
	}
	found := make(map[uuid.UUID]*known, len(rows))
	for _, r := range rows {
		found[r.ID] = &known{revision: r.Revision, facts: r.facts()}
	}
	if err := db.readSignatures(ctx, ids, found); err != nil {
		return nil, err
	}
	if err := db.lowerCeilings(ctx, found); err != nil {
		return nil, err
	}
	if err := readLooks(ctx, db.pool, ids, func(id uuid.UUID, l ageing.Look) { found[id].facts.Looks = append(found[id].facts.Looks, l) }); err != nil {
		return nil, err
	}
	return found, db.readStays(ctx, ids, found)
}

// readLooks adds the looks, their mould, and the surfaces taken from a touched
// neighbour, in order of time.
func readLooks(ctx context.Context, q querier, ids []uuid.UUID, add func(uuid.UUID, ageing.Look)) error {
	type lookRow struct {
		AnimalID uuid.UUID
		At       time.Time
		Smell    ageing.Smell
		Surface  ageing.Surface
		FromRail bool
		Sites    []ageing.Site
		Lengths  []float64
		Colours  []ageing.Colour
	}
	rows, err := all[lookRow](ctx, q, `
		SELECT l.animal_id, l.at, l.smell, l.surface, false AS from_rail,
		       array_remove(array_agg(m.site), NULL) AS sites, array_remove(array_agg(m.length_mm), NULL) AS lengths,
		       array_remove(array_agg(m.colour), NULL) AS colours
		FROM looks l LEFT JOIN look_moulds m ON m.look_id = l.id
		WHERE l.animal_id = ANY ($1) GROUP BY l.id
		UNION ALL
		SELECT animal_id, at, '', surface, true, '{}', '{}', '{}' FROM rail_surfaces WHERE animal_id = ANY ($1)
		ORDER BY at`, ids)
	if err != nil {
		return err
	}
	for _, r := range rows {
		look := ageing.Look{At: r.At, Smell: r.Smell, Surface: r.Surface, FromRail: r.FromRail}
		for i := range r.Sites {
			look.Mould = append(look.Mould, ageing.Mould{Site: r.Sites[i], Length: domain.Millimetre(r.Lengths[i]), Colour: r.Colours[i]})
		}
		add(r.AnimalID, look)
	}
	return nil
}

// readStays adds the rooms each animal hung in. Until its first place it counts
// as in that place's room; the sides of one animal count where the first hangs.
func (db *DB) readStays(ctx context.Context, ids []uuid.UUID, found map[uuid.UUID]*known) error {
	type stayRow struct {
		AnimalID uuid.UUID
		Since    time.Time
		CoolerID int16
	}
	rows, err := all[stayRow](ctx, db.pool, `
		SELECT DISTINCT ON (o.animal_id, o.since) o.animal_id, o.since, r.cooler_id
		FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		WHERE o.animal_id = ANY ($1) ORDER BY o.animal_id, o.since, o.piece_id NULLS FIRST`, ids)
	if err != nil {
		return err
	}
	for _, r := range rows {
		k := found[r.AnimalID]
		from := r.Since
		if len(k.stays) == 0 {
			from = k.facts.Received
		} else if k.stays[len(k.stays)-1].cooler == r.CoolerID {
			continue
		}
		k.stays = append(k.stays, stay{from, r.CoolerID})
	}
	return nil
}
