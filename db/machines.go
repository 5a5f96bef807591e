package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Machine is something meat goes through, with what passed last.
type Machine struct {
	ID   int16
	Name string
}

// MachineRun is one line of a machine's day: a batch, an animal, or a clean-out.
type MachineRun struct {
	Machine string
	Batch   int // 0: none
	Product batch.Product
	Number  domain.ShopNumber // empty: none
	Clean   batch.Level       // empty: no clean-out
	Why     string
	At      time.Time
	By      string // initials
}

// Machines lists the machines of the shop.
func (db *DB) Machines(ctx context.Context) ([]Machine, error) {
	return all[Machine](ctx, db.pool, `SELECT id, name FROM machines ORDER BY id LIMIT 50`)
}

const runQuery = `
	SELECT m.name AS machine, coalesce(b.number, 0) AS batch, coalesce(b.product, '') AS product, coalesce(a.number, '') AS number, r.clean, r.why, r.at, s.initials AS by
	FROM machine_runs r JOIN machines m ON m.id = r.machine_id JOIN staff s ON s.id = r.by_staff
	LEFT JOIN batches b ON b.id = r.batch_id LEFT JOIN animals a ON a.id = r.animal_id`

// MachineRuns lists what went through the machines, the newest first.
func (db *DB) MachineRuns(ctx context.Context, limit int) ([]MachineRun, error) {
	return all[MachineRun](ctx, db.pool, runQuery+` ORDER BY r.at DESC, r.id DESC LIMIT $1`, limit)
}

// Through is what goes through a machine: a batch by its number, or the meat of one
// animal.
type Through struct {
	Machine int16
	Batch   int
	Number  domain.ShopNumber
}

// RunMachine writes down what goes through a machine next. Where what passed since
// the last full clean-out may not be followed by it, the clean-out comes first.
func (db *DB) RunMachine(ctx context.Context, act Act, t Through) error {
	return db.act(ctx, act, "run machine", func(tx pgx.Tx) (line, error) {
		if err := lockMachine(ctx, tx, t.Machine); err != nil {
			return line{}, err
		}
		next, batchID, animalID, err := passing(ctx, tx, t)
		if err != nil {
			return line{}, err
		}
		since, err := sinceClean(ctx, tx, t.Machine)
		if err != nil {
			return line{}, err
		}
		if why := batch.CleanFirst(since, next); why.Format != "" {
			return line{}, domain.Refuse("clean", "%s Clean it out in full first, and enter that.", why)
		}
		if _, err := tx.Exec(ctx, `INSERT INTO machine_runs (id, machine_id, batch_id, animal_id, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), t.Machine, orNull(batchID), orNull(animalID), act.At, act.Staff); err != nil {
			return line{}, err
		}
		var name string
		if err := tx.QueryRow(ctx, `SELECT name FROM machines WHERE id = $1`, t.Machine).Scan(&name); err != nil {
			return line{}, err
		}
		detail := map[string]any{"machine": name}
		if batchID == uuid.Nil {
			return line{Animal: animalID, What: "machine", Detail: detail}, touch(ctx, tx, animalID)
		}
		b, _, err := one[Batch](ctx, tx, batchQuery+` WHERE b.id = $1`, batchID)
		if err != nil {
			return line{}, err
		}
		in, err := animalsIn(ctx, tx, b)
		if err != nil {
			return line{}, err
		}
		detail["batch"] = b.Number
		l := line{What: "machine", Detail: detail}
		return l, tell(ctx, tx, act, in, l)
	})
}

// lockMachine keeps the order of a machine's lines while one is added.
func lockMachine(ctx context.Context, tx pgx.Tx, id int16) error {
	if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('machine'), $1)`, int32(id)); err != nil {
		return err
	}
	var there bool
	err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM machines WHERE id = $1)`, id).Scan(&there)
	if err == nil && !there {
		err = domain.Wrong("machine", "Choose the machine.")
	}
	return err
}

// passing reads what has to be known of the thing that goes through.
func passing(ctx context.Context, tx pgx.Tx, t Through) (p batch.Passage, batchID, animalID uuid.UUID, err error) {
	if t.Batch != 0 {
		b, err := lockBatch(ctx, tx, t.Batch, BatchOpen, BatchMixed)
		if err != nil {
			return p, batchID, animalID, err
		}
		p = batch.Passage{Thing: batch.Thing{Batch: b.Number}, Own: b.Kind == batch.Own, Pork: b.Pork, Beef: b.Beef}
		err = tx.QueryRow(ctx, `
			SELECT coalesce(bool_or(a.species = ANY ($2)), true) FROM batch_inputs i JOIN animals a ON a.id = i.animal_id WHERE i.batch_id = $1`, b.ID, gameSpecies).Scan(&p.Game)
		return p, b.ID, uuid.Nil, err
	}
	a, err := lockAnimal(ctx, tx, t.Number)
	if err != nil {
		return p, batchID, animalID, err
	}
	if a.Physical != animal.OnTable && !a.Physical.Cut() {
		return p, batchID, animalID, domain.Refuse("table", "%s is not on the table: it is %s.", string(a.Number), a.Physical.Words())
	}
	return batch.Passage{Thing: batch.Thing{Number: a.Number}, Own: true, Game: a.Species.Game()}, uuid.Nil, a.ID, nil
}

// gameSpecies are the names of game, for the database.
var gameSpecies = func() (names []string) {
	for _, s := range domain.AllSpecies {
		if s.Game() {
			names = append(names, string(s))
		}
	}
	return names
}()

// sinceClean lists what passed a machine since its last full clean-out.
func sinceClean(ctx context.Context, q querier, machine int16) ([]batch.Passage, error) {
	type row struct {
		Batch           int
		Number          domain.ShopNumber
		Own, Pork, Beef bool
		Game            bool
	}
	rows, err := all[row](ctx, q, `
		SELECT coalesce(b.number, 0) AS batch, coalesce(a.number, '') AS number, b.id IS NULL OR b.kind = 'own' AS own, coalesce(b.pork, false) AS pork,
		       coalesce(b.beef, false) AS beef,
		       coalesce(a.species, (SELECT x.species FROM batch_inputs i JOIN animals x ON x.id = i.animal_id WHERE i.batch_id = b.id LIMIT 1), 'whitetail') = ANY ($2) AS game
		FROM machine_runs r LEFT JOIN batches b ON b.id = r.batch_id LEFT JOIN animals a ON a.id = r.animal_id
		WHERE r.machine_id = $1 AND r.clean = '' AND (r.at, r.id) > coalesce((
		  SELECT (at, id) FROM machine_runs WHERE machine_id = $1 AND clean IN ('full', 'prion') ORDER BY at DESC, id DESC LIMIT 1), ('-infinity'::timestamptz, '00000000-0000-0000-0000-000000000000'::uuid))
		ORDER BY r.at, r.id LIMIT 200`, machine, gameSpecies)
	if err != nil {
		return nil, err
	}
	list := make([]batch.Passage, len(rows))
	for i, r := range rows {
		list[i] = batch.Passage{Thing: batch.Thing{Batch: r.Batch, Number: r.Number}, Own: r.Own, Pork: r.Pork, Beef: r.Beef, Game: r.Game}
	}
	return list, nil
}

// CleanOut writes a clean-out of a machine down: how thorough, and why.
func (db *DB) CleanOut(ctx context.Context, act Act, machine int16, level batch.Level, why string) error {
	if !level.Known() {
		return domain.Wrong("level", "Say how thorough it was: a rinse, a full clean-out, or the prion soak.")
	}
	return db.act(ctx, act, "clean out", func(tx pgx.Tx) (line, error) {
		if err := lockMachine(ctx, tx, machine); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `INSERT INTO machine_runs (id, machine_id, clean, why, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), machine, level, strings.TrimSpace(why), act.At, act.Staff)
		return line{What: "clean-out", Detail: map[string]any{"level": level.Words().String()}}, err
	})
}
