package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/batch"

	"github.com/google/uuid"
)

// Touched is what the meat of an animal, or what it left in a machine, may have
// reached: for the day a test comes back detected.
type Touched struct {
	Reached []batch.Touch  // batches and animals, in order of time
	Packs   []TouchedPack  // packs of those, and where they are
	People  []TouchedOwner // who owns meat in them
}

// TouchedPack is packs of a touched batch, or of an animal that was touched by
// itself or is the one asked for.
type TouchedPack struct {
	Number   domain.ShopNumber
	Cut      string
	Count    int
	NetKg    domain.Kilogram
	Batch    int // 0: its own, of no batch
	Box      int // 0: in none
	Place    string
	Released *time.Time // gone home
}

// TouchedOwner is a person to be told: an owner, or who owns a share as the kill stands
// now.
type TouchedOwner struct {
	Person uuid.UUID // of nobody where a share's owner left no phone
	Number domain.ShopNumber
	Name   string
	Phone  string
	TellBy string
}

// mostTraced bounds how many lines of the machines, and of the batches, one trace
// reads, from the day the animal came, and how many packs and people it lists: more
// than a season has.
const mostTraced = 20_000

// Touched follows an animal through every batch and every machine until a full
// clean-out (domain/batch, Trace), and lists the packs and the people on that way.
// The animal's own packs and people are among them.
func (db *DB) Touched(ctx context.Context, number domain.ShopNumber) (t Touched, err error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return t, err
	}
	return touchedBy(ctx, db.pool, a)
}

// touchedBy follows the animal as the records stand for q.
func touchedBy(ctx context.Context, q querier, a Animal) (t Touched, err error) {
	number := a.Number
	joined, err := all[batch.Joined](ctx, q, `
		SELECT a.number, b.number AS batch, min(i.at) AS at FROM batch_inputs i JOIN animals a ON a.id = i.animal_id JOIN batches b ON b.id = i.batch_id
		WHERE i.at >= $1 GROUP BY a.number, b.number ORDER BY 3 LIMIT $2`, a.ReceivedAt, mostTraced)
	if err != nil {
		return t, err
	}
	rows, err := all[MachineRun](ctx, q, runQuery+` WHERE r.at >= $1 ORDER BY r.at, r.id LIMIT $2`, a.ReceivedAt, mostTraced)
	if err != nil {
		return t, err
	}
	runs := make([]batch.Run, len(rows))
	for i, r := range rows {
		runs[i] = batch.Run{Machine: r.Machine, At: r.At, Thing: batch.Thing{Batch: r.Batch, Number: r.Number}, Clean: r.Clean}
	}
	t.Reached = batch.Trace(number, runs, joined)
	batches, animals := t.things(number)
	return t, onTheWay(ctx, q, &t, batches, animals)
}

// things are the batches and animals on the way, the one asked for first.
func (t Touched) things(number domain.ShopNumber) (batches []int, animals []string) {
	batches, animals = []int{}, []string{string(number)}
	for _, r := range t.Reached {
		if r.Thing.Batch != 0 {
			batches = append(batches, r.Thing.Batch)
		} else {
			animals = append(animals, string(r.Thing.Number))
		}
	}
	return batches, animals
}

// onTheWay reads the packs and people of touched batches and animals.
func onTheWay(ctx context.Context, q querier, t *Touched, batches []int, animals []string) (err error) {
	if t.Packs, err = all[TouchedPack](ctx, q, `
		SELECT a.number, k.cut, k.count, k.net_kg, coalesce(b.number, 0) AS batch, coalesce(x.n, 0) AS box,
		       coalesce(r.name || '-' || p.position, '') AS place, x.released_at AS released
		FROM packs k JOIN animals a ON a.id = k.animal_id LEFT JOIN batches b ON b.id = k.batch_id
		LEFT JOIN boxes x ON x.id = k.box_id LEFT JOIN places p ON p.id = x.place_id LEFT JOIN rails r ON r.id = p.rail_id
		WHERE b.number = ANY ($1) OR a.number = ANY ($2) ORDER BY a.number, k.wrapped_at, k.id LIMIT $3`, batches, animals, mostTraced); err != nil {
		return err
	}
	t.People, err = all[TouchedOwner](ctx, q, `
		WITH way AS (SELECT id, number FROM animals WHERE number = ANY ($2)
			OR id IN (SELECT i.animal_id FROM batch_inputs i JOIN batches b ON b.id = i.batch_id WHERE b.number = ANY ($1)))
		SELECT p.id AS person, a.number, p.name, p.phone, p.tell_by FROM way a JOIN animal_people ap ON ap.animal_id = a.id AND ap.role = 'owner' JOIN people p ON p.id = ap.person_id
		UNION SELECT coalesce(p.id, '00000000-0000-0000-0000-000000000000'), a.number, coalesce(p.name, s.name), coalesce(p.phone, s.phone), coalesce(p.tell_by, '')
		FROM way a JOIN shares s ON s.animal_id = a.id LEFT JOIN people p ON p.id = s.person_id
		WHERE s.correction_id IS NOT DISTINCT FROM (SELECT k.id FROM kill_corrections k WHERE k.animal_id = a.id ORDER BY k.n DESC LIMIT 1)
		ORDER BY number, name LIMIT $3`, batches, animals, mostTraced)
	return err
}
