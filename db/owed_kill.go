package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// readKilled reads a kill as the register writes it: an instant, or a day alone, which
// stands as its midnight in the shop's zone.
func readKilled(written string, loc *time.Location) (at time.Time, dayOnly bool, err error) {
	if at, err = time.Parse(RegisterTime, written); err == nil {
		return at, false, nil
	}
	if at, err = time.ParseInLocation(time.DateOnly, written, loc); err == nil {
		return at, true, nil
	}
	return at, false, domain.Wrong("killed", "Say which day it was killed.")
}

// followKill carries another day or hour of the kill into the animal's row, within the
// limits of the drop-off, and says in the detail what stood before. The temperature
// line of the door check rests on the hour, so it is graded again.
func (t Told) followKill(ctx context.Context, tx pgx.Tx, act Act, a Animal, detail map[string]any) error {
	written := t.Fields["killed"]
	if written == "" {
		return nil
	}
	loc, err := zoneOf(ctx, tx)
	if err != nil {
		return err
	}
	d, err := a.atDoor(ctx, tx)
	if err != nil {
		return err
	}
	was := d
	if d.KilledAt, d.KilledDayOnly, err = readKilled(written, loc); err != nil {
		return err
	}
	if err := animal.Check(d, act.At); err != nil {
		return err
	}
	if err := boughtBefore(ctx, tx, a, d.KilledAt.In(loc)); err != nil {
		return err
	}
	before := killed(Drop{Drop: was}, loc)
	detail["killed"], detail["killed_was"] = written, before
	if _, err := tx.Exec(ctx, `UPDATE animals SET killed_at = $2, killed_day_only = $3 WHERE id = $1`, a.ID, d.KilledAt, d.KilledDayOnly); err != nil {
		return err
	}
	if g, changed := was.Regraded(d.KilledAt, d.KilledDayOnly); changed {
		detail["door-temperature"] = string(g)
		return regraded(ctx, tx, act, a, g, detail)
	}
	return nil
}

// atDoor is the animal as the door saw it, without weights.
func (a Animal) atDoor(ctx context.Context, q querier) (animal.Drop, error) {
	d := a.drop(0)
	d.HangingWeight, d.DeepTemp = nil, a.DeepC
	found, _, err := one[struct{ FoundAt *time.Time }](ctx, q, `SELECT found_at FROM told_at_door WHERE animal_id = $1`, a.ID)
	if err == nil && found.FoundAt != nil {
		d.FoundAt = *found.FoundAt
	}
	if err == nil {
		d.Door, err = doorGrades(ctx, q, a.ID)
	}
	return d, err
}

// boughtBefore refuses a day of kill before a part of the animal was sold by its kill
// entry: which of the two is right only those who were there can say.
func boughtBefore(ctx context.Context, tx pgx.Tx, a Animal, killed time.Time) error {
	if a.Species.Game() {
		return nil
	}
	shares, err := buyersOf(ctx, tx, a.ID)
	after := func(sh cutting.Buyer) bool {
		return sh.SoldOn.UTC().Format(time.DateOnly) > killed.Format(time.DateOnly)
	}
	if i := slices.IndexFunc(shares, after); err == nil && i >= 0 {
		err = domain.Wrong("killed", "By the kill entry the %s was sold after that day. Ask which is right; a day of sale is put right on the page of its kill.", shares[i].Portion.Words())
	}
	return err
}

// regraded does what the door would have done with this grade: with a bad fault it is not
// aged and is cut first, and what the door refuses is held for the lead to decide.
func regraded(ctx context.Context, tx pgx.Tx, act Act, a Animal, g animal.Grade, detail map[string]any) error {
	bad := g == animal.BadFault || g == animal.RefuseGrade
	if !bad || !a.Physical.InHouse() {
		return nil
	}
	if a.Door == "clean" {
		detail["door"] = "damaged"
		if _, err := tx.Exec(ctx, `
			UPDATE animals SET door = 'damaged', protocol_id = coalesce((
			  SELECT id FROM protocols WHERE key = $2 AND since <= $3 ORDER BY version DESC LIMIT 1), protocol_id) WHERE id = $1`,
			a.ID, ageing.Pick(a.Species, a.Class, a.Form, true), act.At); err != nil {
			return err
		}
	}
	standing, err := openHolds(ctx, tx, a.ID)
	held := slices.ContainsFunc(standing, func(h hold.Hold) bool { return h.Kind == hold.Quality })
	if err != nil || held || g != animal.RefuseGrade {
		return err
	}
	detail["for"] = string(hold.Quality)
	return openHold(ctx, tx, act, a, hold.Quality, "door check says refuse by the hour of kill told since; the lead decides", time.Time{})
}

// doorGrades are the lines of the door check as they stand: as graded at the door, or
// since then by another hour of the kill. A line that is open again is left out.
func doorGrades(ctx context.Context, q querier, id uuid.UUID) (map[animal.DoorLine]animal.Grade, error) {
	list, err := all[struct{ Line, Grade string }](ctx, q, `
		SELECT DISTINCT ON (d.key) substr(d.key, 6) AS line, d.value AS grade FROM time_line t, jsonb_each_text(t.detail) d
		WHERE t.animal_id = $1 AND t.what IN ('receive', 'correct') AND d.key LIKE 'door-%' ORDER BY d.key, t.seq DESC LIMIT 20`, id)
	grades := map[animal.DoorLine]animal.Grade{}
	for _, g := range list {
		if g.Grade != "" {
			grades[animal.DoorLine(g.Line)] = animal.Grade(g.Grade)
		}
	}
	return grades, err
}
