package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// PackLine is some packs of one cut, weighed together.
type PackLine struct {
	ID        uuid.UUID
	Cut       string
	Count     int
	NetKg     domain.Kilogram
	TareKg    domain.Kilogram
	Portion   cutting.Portion
	Box       int // 0: in no box yet
	WrappedAt time.Time
	By        string     // initials
	Scale     string     // that read the weight; empty: typed
	ReadAt    *time.Time // when it did
}

// TrimLine is what was cut away at once.
type TrimLine struct {
	ID     uuid.UUID
	Kind   string
	Kg     domain.Kilogram
	TareKg domain.Kilogram
	Part   cutting.Part // an edible part that was thrown away
	Note   string
	At     time.Time
	By     string // initials
	Scale  string // that read the weight; empty: typed
	ReadAt *time.Time
}

// BoxLine is one box of an animal.
type BoxLine struct {
	N          int
	Place      string // "F1-3"; empty where it has none
	Room       string
	Packs      int
	NetKg      domain.Kilogram
	ReleasedAt *time.Time // nil: still here
}

// Spot is a place on a freezer shelf and how many boxes stand there.
type Spot struct {
	ID    int
	Name  string // "F1-3"
	Room  string
	Boxes int
}

// NewBox is one box as it is filled.
type NewBox struct {
	N     int
	Place int         // the freezer place's id
	Packs []uuid.UUID // the lines that go into it
}

// Packs lists what was wrapped of the animal, in the order it was wrapped.
func (db *DB) Packs(ctx context.Context, number domain.ShopNumber) ([]PackLine, error) {
	return all[PackLine](ctx, db.pool, `
		SELECT p.id, p.cut, p.count, p.net_kg, p.tare_kg, p.portion, coalesce(b.n, 0) AS box, p.wrapped_at, s.initials AS by, p.scale, p.read_at
		FROM packs p JOIN animals a ON a.id = p.animal_id JOIN staff s ON s.id = p.by_staff LEFT JOIN boxes b ON b.id = p.box_id
		WHERE a.number = $1 ORDER BY p.wrapped_at, p.id LIMIT 500`, number)
}

// Trims lists what was cut away from the animal.
func (db *DB) Trims(ctx context.Context, number domain.ShopNumber) ([]TrimLine, error) {
	return all[TrimLine](ctx, db.pool, `
		SELECT t.id, t.kind, t.kg, t.tare_kg, t.part, t.note, t.at, s.initials AS by, t.scale, t.read_at
		FROM trim t JOIN animals a ON a.id = t.animal_id JOIN staff s ON s.id = t.by_staff
		WHERE a.number = $1 ORDER BY t.at, t.id LIMIT 200`, number)
}

// Boxes lists the boxes of the animal by number.
func (db *DB) Boxes(ctx context.Context, number domain.ShopNumber) ([]BoxLine, error) {
	return all[BoxLine](ctx, db.pool, `
		SELECT b.n, coalesce(r.name || '-' || p.position, '') AS place, coalesce(c.label, '') AS room, b.released_at,
		       coalesce(k.packs, 0)::int AS packs, coalesce(k.net_kg, 0) AS net_kg
		FROM boxes b JOIN animals a ON a.id = b.animal_id
		LEFT JOIN places p ON p.id = b.place_id LEFT JOIN rails r ON r.id = p.rail_id LEFT JOIN coolers c ON c.id = r.cooler_id
		LEFT JOIN LATERAL (SELECT sum(count) AS packs, sum(net_kg) AS net_kg FROM packs WHERE box_id = b.id) k ON true
		WHERE a.number = $1 ORDER BY b.n LIMIT 100`, number)
}

// FreezerSpots lists the places on the freezers' shelves, in order.
func (db *DB) FreezerSpots(ctx context.Context) ([]Spot, error) {
	return all[Spot](ctx, db.pool, freezerSpots)
}

const freezerSpots = `
	SELECT p.id, r.name || '-' || p.position AS name, c.label AS room,
	       (SELECT count(*) FROM boxes b WHERE b.place_id = p.id AND b.released_at IS NULL)::int AS boxes
	FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
	WHERE c.kind = 'freezer' AND p.in_service ORDER BY c.id, r.ord, p.position LIMIT 500`

// BoxUp puts every pack into a numbered box and each box on its place in the
// freezer. No pack may be left over, none may be in two boxes. What a look stopped waits
// for the lead's decision.
func (db *DB) BoxUp(ctx context.Context, act Act, number domain.ShopNumber, boxes []NewBox) error {
	return db.act(ctx, act, "box up", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Physical, err = to.Physical.Do(animal.Box); err != nil {
			return line{}, err
		}
		if err := leadDecides(ctx, tx, act, number); err != nil {
			return line{}, err
		}
		if err := checkBoxes(ctx, tx, a.ID, boxes); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		for _, b := range boxes {
			if err := fillBox(ctx, tx, act, a.ID, b); err != nil {
				return line{}, err
			}
		}
		return line{Animal: a.ID, What: "box", Detail: map[string]any{"boxes": len(boxes)}}, db.tellReady(ctx, tx, act, number)
	})
}

// checkBoxes holds the boxes against the packs of the animal.
func checkBoxes(ctx context.Context, tx pgx.Tx, id uuid.UUID, boxes []NewBox) error {
	type pack struct {
		ID      uuid.UUID
		Cut     string
		Portion cutting.Portion
	}
	packs, err := all[pack](ctx, tx, `SELECT id, cut, portion FROM packs WHERE animal_id = $1`, id)
	if err != nil {
		return err
	}
	in := map[uuid.UUID]int{}
	for i, b := range boxes {
		if b.N != i+1 {
			return domain.Wrong("box", "The boxes are numbered 1, 2, 3 and so on; number %d is left out. Number them again.", i+1)
		}
		if len(b.Packs) == 0 {
			return domain.Wrong("box", "Box %d is empty. Put packs into it or leave it out.", b.N)
		}
		for _, p := range b.Packs {
			in[p]++
		}
	}
	whose := map[uuid.UUID]cutting.Portion{}
	for _, p := range packs {
		whose[p.ID] = p.Portion
	}
	for _, b := range boxes {
		for _, p := range b.Packs {
			if whose[p] != whose[b.Packs[0]] {
				return domain.Wrong("box", "Box %d holds packs of two owners. Give each owner boxes of their own.", b.N)
			}
		}
	}
	for _, p := range packs {
		switch in[p.ID] {
		case 0:
			return domain.Wrong("box", "The %s is in no box. A pack without a box is a pack that gets lost.", p.Cut)
		case 1:
			delete(in, p.ID)
		}
	}
	if len(in) > 0 {
		return domain.Taken("The packs have changed meanwhile. Look at them again and fill the boxes anew.")
	}
	return nil
}

// fillBox writes one box, its place and its packs.
func fillBox(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, b NewBox) error {
	var there bool
	err := tx.QueryRow(ctx, `
		SELECT EXISTS (SELECT FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		WHERE p.id = $1 AND p.in_service AND c.kind = 'freezer')`, b.Place).Scan(&there)
	if err != nil {
		return err
	}
	if !there {
		return domain.Wrong("place", "Say where box %d stands in the freezer.", b.N)
	}
	id := uuid.Must(uuid.NewV7())
	if _, err := tx.Exec(ctx, `INSERT INTO boxes (id, animal_id, n, place_id, placed_at) VALUES ($1, $2, $3, $4, $5)`,
		id, animal, b.N, b.Place, act.At); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE packs SET box_id = $1 WHERE animal_id = $2 AND id = ANY ($3)`, id, animal, b.Packs)
	return err
}

// TakeBack takes a line of packs or trim off again that was a slip of the
// finger, before the packs are in boxes. The time line keeps both.
func (db *DB) TakeBack(ctx context.Context, act Act, number domain.ShopNumber, id uuid.UUID, why string) error {
	return db.act(ctx, act, "take back", func(tx pgx.Tx) (line, error) {
		if why == "" {
			return line{}, domain.Wrong("why", "Say in a word what was wrong with the line.")
		}
		a, _, err := lockCut(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		type gone struct {
			What string
			Kg   domain.Kilogram
		}
		g, found, err := one[gone](ctx, tx, `
			WITH p AS (DELETE FROM packs WHERE id = $1 AND animal_id = $2 AND box_id IS NULL RETURNING cut AS what, net_kg AS kg),
			     t AS (DELETE FROM trim WHERE id = $1 AND animal_id = $2 RETURNING kind AS what, kg)
			SELECT what, kg FROM p UNION ALL SELECT what, kg FROM t`, id, a.ID)
		if err == nil && !found {
			err = domain.Taken("That line is gone already. Look at the list again.")
		}
		if err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "take-back", Detail: map[string]any{"line": g.What, "kg": round3(g.Kg)}, Why: why}, touch(ctx, tx, a.ID)
	})
}
