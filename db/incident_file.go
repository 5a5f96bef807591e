package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/incident"

	"github.com/google/uuid"
)

// IncidentFile is everything about one incident: the room's air, when the cooling
// can have failed, and what that may have done to each animal that was there.
type IncidentFile struct {
	Incident
	Cooler   Cooler
	Readings []exposure.Reading // from some hours before until now or the end
	Failure  *incident.Failure  // nil: a sensor watched the air all the way up
	Animals  []Affected
	Meat     []MeatReading
}

// Affected is one animal that was in the room.
type Affected struct {
	ID        uuid.UUID
	Number    domain.ShopNumber
	Species   domain.Species
	Place     string
	Since     time.Time // in the room
	Revision  int
	Here      bool       // still in the room's keeping
	StoppedAt *time.Time // by this incident
	Verdict   *string    // the last decision since then
	Reason    *string
	DecidedAt *time.Time
	DecidedBy *string // initials
	Measured  *domain.Celsius

	Deep        domain.Celsius   // when the room began to warm
	Best, Worst incident.Outcome // of no use where Known is false
	Known       bool
	Standing    incident.Standing
	Why         domain.Words
}

// Stops reports whether the incident sets it to stop.
func (a Affected) Stops() bool { return a.Here && a.Standing == incident.Stopped }

// Waits reports whether the lead has still to decide about it.
func (a Affected) Waits() bool { return a.StoppedAt != nil && a.DecidedAt == nil && a.Here }

// MeatReading is one measurement an incident asked for.
type MeatReading struct {
	Place  string
	Number *domain.ShopNumber
	C      domain.Celsius
	At     time.Time
	By     string // initials
}

// before is how much of the time before an incident its file shows.
const incidentBefore = 12 * time.Hour

// IncidentFile reads the file of an incident as it stands at now.
func (db *DB) IncidentFile(ctx context.Context, i Incident, now time.Time) (f IncidentFile, err error) {
	f.Incident = i
	if f.Cooler, err = db.Cooler(ctx, i.Room); err != nil {
		return f, err
	}
	until := i.Until(now)
	if f.Animals, err = db.affected(ctx, i, until); err != nil {
		return f, fmt.Errorf("incident file: %w", err)
	}
	f.Meat, err = all[MeatReading](ctx, db.pool, `
		SELECT m.place, a.number, m.c, m.at, s.initials AS by
		FROM incident_meat m JOIN staff s ON s.id = m.by_staff LEFT JOIN animals a ON a.id = m.animal_id
		WHERE m.incident_id = $1 ORDER BY m.at LIMIT 500`, i.ID)
	if err != nil {
		return f, fmt.Errorf("incident file: %w", err)
	}
	records, err := db.roomRecords(ctx, now)
	if err != nil {
		return f, err
	}
	record := records[i.CoolerID]
	if record == nil {
		return f, nil
	}
	h := record.History()
	f.Readings = h.Within(i.BeganAt.Add(-incidentBefore), until.Add(time.Hour))
	return f, db.outcomes(ctx, &f, records, until)
}

// affected lists the animals that hung in the room while it was warm.
func (db *DB) affected(ctx context.Context, i Incident, until time.Time) ([]Affected, error) {
	type row struct {
		ID        uuid.UUID
		Number    domain.ShopNumber
		Species   domain.Species
		Place     string
		Since     time.Time
		Revision  int
		Here      bool
		StoppedAt *time.Time
		Verdict   *string
		Reason    *string
		DecidedAt *time.Time
		DecidedBy *string
		Measured  *domain.Celsius
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT * FROM (
		  SELECT DISTINCT ON (a.id) a.id, a.number, a.species, r.name || '-' || p.position AS place, o.since, a.revision,
		         a.physical IN ('received', 'chilling', 'hanging', 'on-table', 'split') AS here,
		         t.at AS stopped_at, d.verdict, d.reason, d.at AS decided_at, s.initials AS decided_by, m.c AS measured
		  FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN animals a ON a.id = o.animal_id
		  LEFT JOIN incident_stops t ON t.incident_id = $1 AND t.animal_id = a.id
		  LEFT JOIN LATERAL (SELECT verdict, reason, at, by_staff FROM decisions WHERE animal_id = a.id AND at >= t.at ORDER BY at DESC LIMIT 1) d ON true
		  LEFT JOIN staff s ON s.id = d.by_staff
		  LEFT JOIN LATERAL (SELECT c FROM incident_meat WHERE incident_id = $1 AND animal_id = a.id ORDER BY at DESC LIMIT 1) m ON true
		  WHERE r.cooler_id = $2 AND o.since <= $4 AND (o.until IS NULL OR o.until > $3)
		  ORDER BY a.id, o.since) x
		ORDER BY number LIMIT 1000`, i.ID, i.CoolerID, i.BeganAt, until)
	if err != nil {
		return nil, err
	}
	list := make([]Affected, len(rows))
	for k, r := range rows {
		list[k] = Affected{ID: r.ID, Number: r.Number, Species: r.Species, Place: r.Place, Since: r.Since, Revision: r.Revision, Here: r.Here,
			StoppedAt: r.StoppedAt, Verdict: r.Verdict, Reason: r.Reason, DecidedAt: r.DecidedAt, DecidedBy: r.DecidedBy, Measured: r.Measured}
	}
	return list, nil
}

// outcomes asks the models what the warm room may have done to each animal.
func (db *DB) outcomes(ctx context.Context, f *IncidentFile, records map[int16]*exposure.Room, until time.Time) error {
	which := make([]asked, len(f.Animals))
	for i, a := range f.Animals {
		which[i] = asked{a.ID, a.Revision}
	}
	facts, err := db.refresh(ctx, which)
	if err != nil {
		return err
	}
	h := records[f.CoolerID].History()
	best, worst := h, h
	start := f.BeganAt
	meat := f.meatThen(facts, records, start)
	if f.Failure = failureOf(h, f.Incident, f.Cooler, meat); f.Failure != nil {
		start = f.Failure.Good.At
		meat = f.meatThen(facts, records, start)
		if best, worst, err = f.Failure.Cases(h); err != nil {
			return err
		}
	}
	for k := range f.Animals {
		a := &f.Animals[k]
		m := meat[a.ID]
		var bad *incident.Outcome
		if m.known {
			from := start
			if a.Since.After(from) {
				from = a.Since
			}
			a.Known, a.Deep = true, m.Deep
			a.Best, a.Worst = incident.Outcomes(best, m.Meat, from, until), incident.Outcomes(worst, m.Meat, from, until)
			bad = &a.Worst
		}
		a.Standing, a.Why = incident.Judge(m.Meat, bad, a.Measured, until.Sub(f.BeganAt))
	}
	return nil
}

// then is one animal when the room began to warm.
type then struct {
	incident.Meat
	kg    domain.Kilogram
	known bool
}

// meatThen asks the models how warm each animal was at a moment, or at the door
// where it came later.
func (f *IncidentFile) meatThen(facts map[uuid.UUID]*known, records map[int16]*exposure.Room, at time.Time) map[uuid.UUID]then {
	list := make(map[uuid.UUID]then, len(f.Animals))
	for _, a := range f.Animals {
		k := facts[a.ID]
		if k == nil || len(k.stays) == 0 {
			continue
		}
		moment := at
		if k.facts.Received.After(moment) {
			moment = k.facts.Received
		}
		stays := make([]exposure.Stay, 0, len(k.stays))
		for _, s := range k.stays {
			if room := records[s.cooler]; room != nil {
				stays = append(stays, exposure.Stay{From: s.from, In: room})
			}
		}
		v, err := ageing.Judge(k.facts, stays, moment)
		if err != nil {
			continue // nothing can be said of it: it stops
		}
		kg := k.facts.Weight
		if kg == 0 {
			kg = k.facts.Species.HangingDefault()
		}
		list[a.ID] = then{incident.Meat{Tau: exposure.Tau(kg, k.facts.Form), Deep: v.Deep, Surface: v.Surface}, kg, true}
	}
	return list
}

// failureOf finds the silence in which the room began to warm: the last good
// reading and the first bad one, where they lie further apart than an hour.
func failureOf(h *exposure.History, i Incident, c Cooler, meat map[uuid.UUID]then) *incident.Failure {
	readings := h.Within(i.BeganAt.Add(-7*24*time.Hour), i.BeganAt.Add(7*24*time.Hour))
	for n := 1; n < len(readings); n++ {
		good, bad := readings[n-1], readings[n]
		if bad.At.Before(i.BeganAt) || good.At.After(i.BeganAt) {
			continue
		}
		if bad.At.Sub(good.At) <= time.Hour {
			return nil
		}
		return &incident.Failure{Good: good, Bad: bad, Room: c.warmup(good.C, meat)}
	}
	return nil
}

// warmup is the room without cooling and with its fans running, from an air and
// the meat that hangs in it.
func (c Cooler) warmup(air domain.Celsius, meat map[uuid.UUID]then) cooler.Warmup {
	w := cooler.Warmup{UA: cooler.RoomUA(cooler.Panel(c.Panel), c.LengthM, c.WidthM, c.HeightM), Fan: c.FanW, Outside: c.OutsideC,
		Air: cooler.RoomAir(c.LengthM, c.WidthM, c.HeightM), StartAir: air, StartMeat: air, Animal: 1}
	if c.UaWPerK != nil {
		w.UA = *c.UaWPerK
	}
	if c.AirKjPerK != nil {
		w.Air = *c.AirKjPerK
	}
	var kg, heat float64
	for _, m := range meat {
		if m.known {
			w.Animals++
			kg, heat = kg+float64(m.kg), heat+float64(m.kg)*float64(m.Deep)
		}
	}
	if w.Animals > 0 {
		w.Animal, w.StartMeat = domain.Kilogram(kg/float64(w.Animals)), domain.Celsius(heat/kg)
	}
	return w
}
