package db

import (
	"context"
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/domain/rail"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// mover is an animal, or one piece of it, with where it hangs now.
type mover struct {
	Animal
	mark  string
	piece uuid.UUID
	from  int // the place; 0: it hangs nowhere yet
	holds []hold.Hold
}

// moverOf finds what is to be moved and asks whether anything forbids it.
func moverOf(ctx context.Context, q querier, a Animal, mark string) (m mover, err error) {
	m = mover{Animal: a, mark: mark}
	if m.holds, err = openHolds(ctx, q, a.ID); err != nil {
		return m, err
	}
	if err := hold.May(m.holds, hold.Move); err != nil {
		return m, err
	}
	if m.piece, err = pieceOf(ctx, q, a, mark); err != nil {
		return m, err
	}
	at, hangs, err := one[struct{ PlaceID int }](ctx, q, `
		SELECT place_id FROM occupancies WHERE animal_id = $1 AND piece_id IS NOT DISTINCT FROM $2 AND until IS NULL`, a.ID, orNull(m.piece))
	if err == nil && !hangs && !(mark == "" && m.waits()) {
		err = domain.Refuse("move", "%s hangs nowhere just now. Look at its record.", strings.TrimSpace(string(a.Number)+" "+mark))
	}
	m.from = at.PlaceID
	return m, err
}

// waits reports what was taken in and stands outside the cooler: it may hang as it came.
func (m mover) waits() bool {
	_, err := m.Physical.Do(animal.Chill)
	return err == nil
}

// FreePlace is a free place as one animal sees it.
type FreePlace struct {
	Place
	Fits bool
	Why  domain.Words // what stands against it, where it does not fit
}

// PlacesFor lists the free places for an animal, or one piece of it (mark "L",
// "R"; "" for the animal itself), in order from the door, each with whether it
// may hang there beside its neighbours. One that waits outside the cooler is judged as it
// came. What may not be moved is refused.
func (db *DB) PlacesFor(ctx context.Context, number domain.ShopNumber, mark string) ([]FreePlace, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, err
	}
	m, err := moverOf(ctx, db.pool, a, mark)
	if err != nil {
		return nil, translate(err)
	}
	return m.spots(ctx, db.pool)
}

// PlacesToHang lists the free places for a carcass at the scale as it hangs from then on,
// which is skinned where it came with the hide on. Where it hangs already is among them.
func (db *DB) PlacesToHang(ctx context.Context, number domain.ShopNumber) ([]FreePlace, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, err
	}
	m := mover{Animal: a}
	m.Form = skinned(a.Form)
	if m.holds, err = openHolds(ctx, db.pool, a.ID); err != nil {
		return nil, translate(err)
	}
	return m.spots(ctx, db.pool)
}

// spots judges every free place as if what moves had left its own already.
func (m mover) spots(ctx context.Context, q querier) ([]FreePlace, error) {
	hooks, err := hooks(ctx, q)
	if err != nil {
		return nil, err
	}
	taken := map[int]bool{m.from: true}
	for i, k := range hooks {
		switch {
		case k.Number == nil:
		case *k.Number == m.Number && k.Mark == m.mark:
			hooks[i].Number = nil
		default:
			taken[k.ID] = true
		}
	}
	rails, places := asRails(hooks)
	h := rail.Hung{Number: m.Number, Species: m.Species, Form: m.Form, Held: apart(m.holds)}
	var spots []FreePlace
	for _, r := range rails {
		for _, position := range r.Places {
			at := rail.Place{Rail: r.Name, Position: position}
			if p := places[at]; !taken[p.ID] {
				why, fits := rail.Fits(rails, h, at)
				spots = append(spots, FreePlace{Place: p, Fits: fits, Why: why})
			}
		}
	}
	return spots, nil
}

// Move hangs an animal, or one piece of it (mark "L", "R"; "" for the animal
// itself), on another place. The place before stays in its history; if two were
// written on it, the one that stays has it alone from now on. A place it does
// not fit by the rules of the rail needs a reason. A warden's hold forbids it.
// What waits outside the cooler is hung as it came, hide on and not weighed, as if it
// had been hung at the drop-off.
func (db *DB) Move(ctx context.Context, act Act, number domain.ShopNumber, mark string, place int, reason string) error {
	return db.act(ctx, act, "move", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		m, err := moverOf(ctx, tx, a, mark)
		if err != nil {
			return line{}, err
		}
		// Both hooks in one order, so that two who trade places do not wait for each other.
		if _, err := tx.Exec(ctx, `SELECT FROM places WHERE id IN ($1, $2) ORDER BY id FOR UPDATE`, m.from, place); err != nil {
			return line{}, err
		}
		if act.Kept() {
			return m.moveKept(ctx, tx, act, place, tidy(reason))
		}
		to, err := takePlace(ctx, tx, place, "place")
		if err != nil {
			return line{}, err
		}
		if err := m.mayHang(ctx, tx, to, tidy(reason)); err != nil {
			return line{}, err
		}
		return m.hang(ctx, tx, act, to, tidy(reason))
	})
}

// mayHang asks for a reason where the place is not one for this kind.
func (m mover) mayHang(ctx context.Context, q querier, to Place, reason string) error {
	if reason != "" {
		return nil
	}
	spots, err := m.spots(ctx, q)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(spots, func(s FreePlace) bool { return s.ID == to.ID })
	if i >= 0 && !spots[i].Fits {
		return domain.Wrong("reason", "%s: %s. Choose another, or say why it hangs there all the same.", to.Words(), spots[i].Why)
	}
	return nil
}

// hang takes it off its place, where it has one, and puts it on the other.
func (m mover) hang(ctx context.Context, tx pgx.Tx, act Act, to Place, reason string) (line, error) {
	from, err := vacate(ctx, tx, act, m.ID, m.piece)
	if err != nil {
		return line{}, err
	}
	if err := occupy(ctx, tx, act, to.ID, m.ID, m.piece, reason); err != nil {
		return line{}, err
	}
	stays, err := settle(ctx, tx, from.ID)
	if err != nil {
		return line{}, err
	}
	if m.from == 0 {
		step, tracks := firstHung(m.HangingKg), m.Tracks()
		if tracks.Physical, err = tracks.Physical.Do(step); err != nil {
			return line{}, err
		}
		return line{Animal: m.ID, What: string(step), Detail: map[string]any{"form": string(m.Form), "place": to.detail()}, Why: reason},
			setTracks(ctx, tx, m.Animal, tracks)
	}
	return line{Animal: m.ID, What: string(hold.Move), Detail: map[string]any{
		"piece": m.mark, "from": from.detail(), "place": to.detail(), "left-there": string(stays)}, Why: reason}, touch(ctx, tx, m.ID)
}

// settle gives a hook on which two were written to the one that is left, and
// returns its number; "" if nothing was to be settled.
func settle(ctx context.Context, tx pgx.Tx, place int) (domain.ShopNumber, error) {
	left, _, err := one[struct{ Number domain.ShopNumber }](ctx, tx, `
		UPDATE occupancies o SET conflict = false FROM animals a
		WHERE a.id = o.animal_id AND o.place_id = $1 AND o.until IS NULL AND o.conflict
		  AND (SELECT count(*) FROM occupancies WHERE place_id = $1 AND until IS NULL) = 1
		RETURNING a.number`, place)
	return left.Number, err
}

// pieceOf finds a piece of the animal by its mark; "" is the animal itself.
func pieceOf(ctx context.Context, q querier, a Animal, mark string) (uuid.UUID, error) {
	if mark == "" {
		return uuid.Nil, nil
	}
	p, found, err := one[struct{ ID uuid.UUID }](ctx, q, `SELECT id FROM pieces WHERE animal_id = $1 AND mark = $2`, a.ID, mark)
	if err == nil && !found {
		err = domain.Missing("%s has no piece %s.", string(a.Number), mark)
	}
	return p.ID, err
}
