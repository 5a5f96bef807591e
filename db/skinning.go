package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/domain/rail"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ToSkin is an animal that came in and is not yet weighed and hung for good.
type ToSkin struct {
	Number       domain.ShopNumber
	Species      domain.Species
	Form         domain.Form
	ReceivedAt   time.Time
	DeepC        *domain.Celsius
	Door         string // clean or damaged
	DoorNote     string
	Keeps        string // head, cape, antlers, hide the owner wants kept
	SampleWanted bool
	PlaceID      *int   // nil: it is not in the cooler yet
	Place        string // R1-4, "" where PlaceID is nil
	Held         bool
}

const waiting = `
	SELECT a.number, a.species, a.form, a.received_at, a.deep_c, a.door, a.door_note, a.keeps,
	       a.disease IN ('wanted', 'resample') AS sample_wanted, o.place_id, coalesce(r.name || '-' || p.position, '') AS place,
	       EXISTS (SELECT FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL) AS held
	FROM animals a
	LEFT JOIN occupancies o ON o.animal_id = a.id AND o.until IS NULL
	LEFT JOIN places p ON p.id = o.place_id LEFT JOIN rails r ON r.id = p.rail_id`

// WaitingForSkinner lists what came in and waits: first what is not in the cooler yet,
// then damaged and warm, then those that wait longest.
func (db *DB) WaitingForSkinner(ctx context.Context) ([]ToSkin, error) {
	return all[ToSkin](ctx, db.pool, waiting+`
		WHERE a.physical IN ('received', 'chilling')
		ORDER BY o.place_id IS NULL DESC, a.door = 'damaged' DESC, coalesce(a.deep_c > 10, false) DESC, a.received_at LIMIT 500`) // 10 °C is the 50 °F of trade.md 1.6
}

// WaitingAnimal is one of them.
func (db *DB) WaitingAnimal(ctx context.Context, number domain.ShopNumber) (ToSkin, error) {
	w, found, err := one[ToSkin](ctx, db.pool, waiting+` WHERE a.number = $1 AND a.physical IN ('received', 'chilling')`, number)
	if err == nil && !found {
		err = domain.Missing("%s does not wait for the skinner. Look at its record.", string(number))
	}
	return w, err
}

// Side is one side of a split carcass on its own place; place 0: the program
// chooses.
type Side struct {
	Gross, Tare domain.Kilogram
	Place       int
}

// Weighing is what the skinner says when the carcass is on the scale.
type Weighing struct {
	Gross, Tare domain.Kilogram
	Reading     uuid.UUID // of a scale that sends its weights, in place of Gross; zero: typed
	Place       int       // 0: it stays where it hangs; if it hangs nowhere, the program chooses
	Left, Right *Side     // both, where it was split: they become pieces L and R; Gross, Tare and Place are then not asked
	Confirmed   bool      // a person has said that an odd weight is right
	from        readFrom
}

// onScale takes the gross weight from the scale's reading, which is used up by it.
func (w Weighing) onScale(ctx context.Context, tx pgx.Tx, act Act) (Weighing, error) {
	if w.Reading == uuid.Nil || w.Left != nil {
		return w, nil
	}
	var net domain.Kilogram
	from, err := weightRead(ctx, tx, act, w.Reading, &net, w.Tare, "weight", "Put it on the scale again.")
	w.Gross, w.from = net+w.Tare, from
	return w, err
}

// WeighAndHang takes the hanging weight and hangs the carcass, or its two sides,
// for good. A place another animal has is refused with who hangs there and
// since when.
func (db *DB) WeighAndHang(ctx context.Context, act Act, number domain.ShopNumber, w Weighing) error {
	return db.act(ctx, act, "weigh and hang", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Physical, err = to.Physical.Do(animal.Hang); err != nil {
			return line{}, err
		}
		w, err := w.onScale(ctx, tx, act)
		if err != nil {
			return line{}, err
		}
		net, err := w.check(a, act.At)
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		a.Form = skinned(a.Form)
		_, err = tx.Exec(ctx, `UPDATE animals SET form = $2, hanging_kg = $3 WHERE id = $1`, a.ID, a.Form, net)
		if err != nil {
			return line{}, err
		}
		detail := w.from.detail(map[string]any{"kg": float64(net), "form": string(a.Form)}, w.Tare)
		if w.Left != nil {
			err = hangSides(ctx, tx, act, a, w, detail)
		} else {
			err = hangWhole(ctx, tx, act, a, w, detail)
		}
		return line{Animal: a.ID, What: string(animal.Hang), Detail: detail}, err
	})
}

// skinned is the form once the knife is back in its sheath.
func skinned(before domain.Form) domain.Form {
	if before == domain.WholeHideOn {
		return domain.Whole
	}
	return before
}

// check judges the weights by the animal's kind and returns the net of all.
func (w Weighing) check(a Animal, now time.Time) (domain.Kilogram, error) {
	scales := []struct {
		Side
		weight, tare string
	}{{Side{w.Gross, w.Tare, w.Place}, "weight", "tare"}}
	if w.Left != nil || w.Right != nil {
		if w.Left == nil || w.Right == nil {
			return 0, domain.Wrong("right", "Weigh both sides.")
		}
		if !hangsInSides(a.Species, a.Form) {
			return 0, domain.Refuse("sides", "This kind hangs whole here. Weigh it in one piece.")
		}
		scales = scales[:0]
		scales = append(scales, struct {
			Side
			weight, tare string
		}{*w.Left, "left", "left_tare"}, struct {
			Side
			weight, tare string
		}{*w.Right, "right", "right_tare"})
	}
	var net domain.Kilogram
	for _, s := range scales {
		if !(s.Tare >= 0 && s.Tare < s.Gross) {
			return 0, domain.Wrong(s.tare, "Hook and tub cannot weigh as much as the whole. Weigh them again.")
		}
		net += s.Gross - s.Tare
	}
	d := a.drop(net)
	d.WeightConfirmed = w.Confirmed
	d.Form = skinned(a.Form)
	return net, animal.Check(d, now)
}

// InSides reports whether it may be hung as two sides.
func (w ToSkin) InSides() bool { return hangsInSides(w.Species, w.Form) }

// hangsInSides reports whether this kind, as it came, is hung as two sides
// (trade.md 5.1).
func hangsInSides(s domain.Species, f domain.Form) bool {
	return f != domain.Boned && f != domain.Quarters && slices.Contains([]domain.Species{domain.Beef, domain.Bison, domain.Veal, domain.Elk, domain.Moose, domain.Hog}, s)
}

// drop is the animal as the door would see it, with a hanging weight.
func (a Animal) drop(net domain.Kilogram) animal.Drop {
	d := animal.Drop{Number: a.Number, Species: a.Species, Class: a.Class, Form: a.Form, Sex: a.Sex, KilledAt: a.KilledAt,
		KilledDayOnly: a.KilledDayOnly, ReceivedAt: a.ReceivedAt, HangingWeight: &net}
	if a.Points != nil {
		d.Points = *a.Points
	}
	return d
}

func hangWhole(ctx context.Context, tx pgx.Tx, act Act, a Animal, w Weighing, detail map[string]any) error {
	if err := weighIn(ctx, tx, act, a.ID, uuid.Nil, "hanging", w.Gross, w.Tare, w.from); err != nil {
		return err
	}
	var hangs bool
	err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM occupancies WHERE animal_id = $1 AND until IS NULL AND ($2 = 0 OR place_id = $2))`,
		a.ID, w.Place).Scan(&hangs)
	if err != nil || hangs {
		return err
	}
	if _, err := vacate(ctx, tx, act, a.ID, uuid.Nil); err != nil {
		return err
	}
	p, err := hangOn(ctx, tx, act, a, uuid.Nil, w.Place, "place", "weighed and hung")
	detail["place"] = p.detail()
	return err
}

// hangSides turns the animal into pieces L and R, each on its own place.
func hangSides(ctx context.Context, tx pgx.Tx, act Act, a Animal, w Weighing, detail map[string]any) error {
	if _, err := vacate(ctx, tx, act, a.ID, uuid.Nil); err != nil {
		return err
	}
	for _, s := range []struct {
		Side
		mark, field string
	}{{*w.Left, "L", "left_place"}, {*w.Right, "R", "right_place"}} {
		piece := uuid.Must(uuid.NewV7())
		_, err := tx.Exec(ctx, `INSERT INTO pieces (id, animal_id, mark, kind, kg, made_at) VALUES ($1, $2, $3, 'side', $4, $5)`,
			piece, a.ID, s.mark, s.Gross-s.Tare, act.At)
		if err != nil {
			return err
		}
		if err := weighIn(ctx, tx, act, a.ID, piece, "hanging", s.Gross, s.Tare, readFrom{}); err != nil {
			return err
		}
		p, err := hangOn(ctx, tx, act, a, piece, s.Place, s.field, "weighed and hung")
		if err != nil {
			return err
		}
		detail[s.mark] = p.detail()
	}
	return nil
}

// hangOn takes the place, or the next one that fits, for the animal or its piece.
func hangOn(ctx context.Context, tx pgx.Tx, act Act, a Animal, piece uuid.UUID, place int, field, reason string) (Place, error) {
	if place == 0 {
		holds, err := openHolds(ctx, tx, a.ID)
		if err != nil {
			return Place{}, err
		}
		p, _, err := proposePlace(ctx, tx, rail.Hung{Number: a.Number, Species: a.Species, Form: a.Form, Held: apart(holds)})
		if err != nil {
			return p, err
		}
		place = p.ID
	}
	p, err := takePlace(ctx, tx, place, field)
	if err != nil {
		return p, err
	}
	return p, occupy(ctx, tx, act, p.ID, a.ID, piece, reason)
}

// apart reports whether one of the holds is among heldApart.
func apart(holds []hold.Hold) bool {
	return slices.ContainsFunc(holds, func(h hold.Hold) bool {
		return slices.Contains([]hold.Kind{hold.TestPending, hold.Positive, hold.Tag, hold.Warden, hold.Identity, hold.Quality}, h.Kind)
	})
}
