package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Look keeps one look at one carcass outside a round. The act's id becomes the
// look's.
func (db *DB) Look(ctx context.Context, act Act, number domain.ShopNumber, l Look) error {
	arrived := act.Arrival()
	if l.At.IsZero() {
		l.At = act.At
	}
	if err := l.Check(); err != nil {
		return err
	}
	if err := (round.Walk{From: l.At, To: l.At, Arrived: arrived}).Check(); err != nil {
		return err
	}
	l.ID, l.Number, act.At = act.ID, number, l.At
	return db.act(ctx, act, "look", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		_, err = addLook(ctx, tx, act, nil, arrived, a, l)
		return l.line(a), err
	})
}

// addLook writes the look and its moulds and raises the animal's revision.
// Added is false where the look was here before.
func addLook(ctx context.Context, tx pgx.Tx, act Act, roundID *uuid.UUID, arrived time.Time, a Animal, l Look) (added bool, err error) {
	tag, err := tx.Exec(ctx, `
		INSERT INTO looks (id, animal_id, round_id, at, arrived_at, by_staff, smell, surface, touched, note)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) ON CONFLICT (id) DO NOTHING`,
		l.ID, a.ID, roundID, l.At, arrived, act.Staff, l.Smell, l.Surface, l.Touched, strings.TrimSpace(l.Note))
	if err != nil || tag.RowsAffected() == 0 {
		return false, err
	}
	for _, m := range l.Mould {
		_, err := tx.Exec(ctx, `INSERT INTO look_moulds (look_id, site, length_mm, colour) VALUES ($1, $2, $3, $4)`, l.ID, m.Site, m.Length, m.Colour)
		if err != nil {
			return false, err
		}
	}
	if err := addPhoto(ctx, tx, act, l); err != nil {
		return false, err
	}
	return true, touch(ctx, tx, a.ID)
}

// line is what the animal's time line tells of the look.
func (l Look) line(a Animal) line {
	d := map[string]any{"smell": string(l.Smell), "surface": string(l.Surface)}
	var mould []any
	for _, m := range l.Mould {
		mould = append(mould, domain.Say("%s: %s, %s", m.Site.Words(), m.Colour.Words(), m.Length).Kept())
	}
	if len(mould) > 0 {
		d["mould"] = mould
	}
	return line{Animal: a.ID, What: "look", Detail: d, Why: strings.TrimSpace(l.Note)}
}

// neighbour is a carcass on the rail of a touched one.
type neighbour struct {
	ID       uuid.UUID
	RailID   int16
	Species  domain.Species
	Form     domain.Form
	KilledAt time.Time
	HungAt   time.Time
	Looked   bool // in this round, by itself
}

func (n neighbour) hanging() round.Hanging {
	return round.Hanging{Species: n.Species, Form: n.Form, KilledAt: n.KilledAt, HungAt: n.HungAt}
}

// hungAt is since when an animal a has dried in the cooler: from the scale after
// skinning, or from the door where it was never weighed.
const hungAt = `coalesce((SELECT min(g.at) FROM weigh_ins g WHERE g.animal_id = a.id AND g.purpose = 'hanging'), a.received_at)`

// spreadTouch lets the carcasses beside a touched one take its surface, where
// the domain allows it. One that was looked at by itself keeps its own look.
func spreadTouch(ctx context.Context, tx pgx.Tx, roundID uuid.UUID, room int16, l Look) error {
	hung, err := all[neighbour](ctx, tx, `
		SELECT DISTINCT ON (a.id, p.rail_id) a.id, p.rail_id, a.species, a.form, a.killed_at, `+hungAt+` AS hung_at,
		       EXISTS (SELECT FROM looks k WHERE k.animal_id = a.id AND k.round_id = $3) AS looked
		FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN animals a ON a.id = o.animal_id
		WHERE r.cooler_id = $1 AND o.since <= $2 AND (o.until IS NULL OR o.until > $2)`, room, l.At, roundID)
	if err != nil {
		return err
	}
	var animalID uuid.UUID
	if err := tx.QueryRow(ctx, `SELECT animal_id FROM looks WHERE id = $1`, l.ID).Scan(&animalID); err != nil {
		return err
	}
	for _, touched := range hung {
		if touched.ID != animalID {
			continue
		}
		for _, n := range hung {
			if n.RailID != touched.RailID || n.Looked || !n.hanging().TakesSurfaceOf(touched.hanging()) {
				continue
			}
			_, err := tx.Exec(ctx, `
				INSERT INTO rail_surfaces (animal_id, look_id, at, surface) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`, n.ID, l.ID, l.At, l.Surface)
			if err != nil {
				return err
			}
			if err := touch(ctx, tx, n.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

// Decide writes down what the lead decided about an animal, by name and with the
// reason. Condemning all of it takes two people, the second named in the reason
// (common practice, no source); it ends the animal's way and frees its hook.
func (db *DB) Decide(ctx context.Context, act Act, number domain.ShopNumber, verdict round.Decision, reason string) error {
	reason = strings.TrimSpace(reason)
	if err := verdict.Check(reason); err != nil {
		return err
	}
	return db.act(ctx, act, "decide", func(tx pgx.Tx) (line, error) {
		return decide(ctx, tx, act, number, verdict, reason)
	})
}

// decide writes one decision down and does what it brings with it.
func decide(ctx context.Context, tx pgx.Tx, act Act, number domain.ShopNumber, verdict round.Decision, reason string) (line, error) {
	a, err := lockAnimal(ctx, tx, number)
	if err != nil {
		return line{}, err
	}
	if !a.Physical.InHouse() {
		return line{}, domain.Refuse("physical", "%s is %s: there is nothing left to decide.", string(number), a.Physical.Words())
	}
	if _, err := tx.Exec(ctx, `INSERT INTO decisions (id, animal_id, verdict, reason, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
		act.ID, a.ID, verdict, reason, act.At, act.Staff); err != nil {
		return line{}, err
	}
	if err := follow(ctx, tx, a, verdict, act.At); err != nil {
		return line{}, err
	}
	return line{Animal: a.ID, What: "decide", Detail: map[string]any{"decision": string(verdict)}, Why: reason}, nil
}

// follow does what a decision brings with it. Whoever lost meat hears it from
// the lead first, so their page only asks them to call.
func follow(ctx context.Context, tx pgx.Tx, a Animal, verdict round.Decision, at time.Time) error {
	if verdict.Condemns() {
		if _, err := tx.Exec(ctx, `UPDATE animals SET call_first = true WHERE id = $1`, a.ID); err != nil {
			return err
		}
	}
	if verdict != round.CondemnAll {
		return touch(ctx, tx, a.ID)
	}
	to := a.Tracks()
	var err error
	if to.Physical, err = to.Physical.Do(animal.Condemn); err != nil {
		return err
	}
	if err := setTracks(ctx, tx, a, to); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `UPDATE sessions_at_table SET stopped_at = $2 WHERE animal_id = $1 AND stopped_at IS NULL`, a.ID, at); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE occupancies SET until = $2 WHERE animal_id = $1 AND until IS NULL`, a.ID, at)
	return err
}
