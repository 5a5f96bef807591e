package db

import (
	"context"
	"math"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Taking is what a cutter says when a carcass comes to the table.
type Taking struct {
	TagRead string // the number read off the tag itself, typed or scanned
	Version int    // of the order on the card in front of the cutter
	Why     string // where another comes first: the lead's word
}

// Start brings the carcass to the table: the number on its tag must be the
// number on the card, the order must be the newest, no gate may be shut, and
// only the lead takes another than the first. Its hook is free from now on and
// its order locked. Of two cutters who start the same carcass one wins; the
// other is told who and since when.
func (db *DB) Start(ctx context.Context, act Act, number domain.ShopNumber, take Taking) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	judged, err := db.judgements(ctx, act.At)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "start cutting", func(tx pgx.Tx) (line, error) {
		if err := sameTag(number, take.TagRead); err != nil {
			return line{}, err
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if a.Physical == animal.OnTable {
			return line{}, onTable(ctx, tx, a)
		}
		to := a.Tracks()
		if to.Physical, err = to.Physical.Do(animal.Start); err != nil {
			return line{}, err
		}
		order, err := newestOrder(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		if order.Version != take.Version {
			return line{}, domain.Taken("The order was changed: version %d counts now. The paper in your hand is void. Read the new one.", order.Version)
		}
		why, err := mayTake(ctx, tx, act, number, take.Why, judged, shop.Location())
		if err != nil {
			return line{}, err
		}
		if to.Order, err = to.Order.Do(animal.LockOrder); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		detail := map[string]any{"order version": order.Version}
		if why != "" {
			detail["not the first"] = why
		}
		return line{Animal: a.ID, What: "start", Detail: detail}, toTable(ctx, tx, act, a.ID, order.ID, why)
	})
}

// sameTag holds the number read off the tag against the number on the card.
func sameTag(number domain.ShopNumber, typed string) error {
	read, err := domain.ParseShopNumber("tag", typed)
	if err != nil {
		return err
	}
	if read != number {
		return domain.Wrong("tag", "Stop: the tag reads %s, the card says %s. Put the knife down and find the right carcass or the right card.", string(read), string(number))
	}
	return nil
}

// mayTake asks the domain whether the carcass may be cut now, and before others.
// It returns the reason to be kept: none where the carcass is the first anyway.
func mayTake(ctx context.Context, tx pgx.Tx, act Act, number domain.ShopNumber, why string, judged judgements, zone *time.Location) (string, error) {
	queue, barred, err := cuttingQueue(ctx, tx, judged, act.At, zone)
	if err != nil {
		return "", err
	}
	for _, b := range barred {
		if b.Number == number {
			return "", domain.Refuse("gate", "%s cannot be cut now. %s", string(number), b.Why[0])
		}
	}
	if len(queue) > 0 && queue[0].Number == number {
		return "", nil
	}
	why = strings.TrimSpace(why)
	choices := make([]cutting.Choice, len(queue))
	for i, w := range queue {
		choices[i] = w.Choice
	}
	if err := cutting.CheckPick(choices, number, why); err != nil {
		return "", err
	}
	lead, err := isLead(ctx, tx, act.Staff)
	if err == nil && !lead {
		err = domain.Refuse("lead", "%s comes first. Only the lead takes another before it.", string(queue[0].Number))
	}
	return why, err
}

// toTable frees the hook and begins the time on the table.
func toTable(ctx context.Context, tx pgx.Tx, act Act, id, order uuid.UUID, why string) error {
	if _, err := tx.Exec(ctx, `UPDATE occupancies SET until = greatest(since, $2) WHERE animal_id = $1 AND until IS NULL`, id, act.At); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `
		INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, started_by, why_not_next) VALUES ($1, $2, $3, $4, $5, $6)`,
		uuid.Must(uuid.NewV7()), id, order, act.At, act.Staff, why)
	return err
}

// StopCutting puts what is left of the carcass back on the rail, at lunch or
// when the power goes. Its order may be changed again.
func (db *DB) StopCutting(ctx context.Context, act Act, number domain.ShopNumber, place int) error {
	return db.act(ctx, act, "stop cutting", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Physical, err = to.Physical.Do(animal.Stop); err != nil {
			return line{}, err
		}
		if to.Order, err = to.Order.Do(animal.UnlockOrder); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		if err := endSession(ctx, tx, act, a.ID); err != nil {
			return line{}, err
		}
		p, err := takePlace(ctx, tx, place, "place")
		if err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "stop", Detail: map[string]any{"place": p.detail()}}, occupy(ctx, tx, act, p.ID, a.ID, uuid.Nil, "back from the table")
	})
}

func endSession(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) error {
	_, err := tx.Exec(ctx, `
		UPDATE sessions_at_table SET stopped_at = greatest(started_at, $2) WHERE animal_id = $1 AND stopped_at IS NULL`, id, act.At)
	return err
}

// Wrapped is one kind of pack that came off the table.
type Wrapped struct {
	Cut   string
	Count int
	Net   domain.Kilogram // of all of them together
}

// Pack notes packs of one cut with their weight together.
func (db *DB) Pack(ctx context.Context, act Act, number domain.ShopNumber, w Wrapped) error {
	return db.act(ctx, act, "pack", func(tx pgx.Tx) (line, error) {
		w.Cut = strings.TrimSpace(w.Cut)
		switch {
		case w.Cut == "":
			return line{}, domain.Wrong("cut", "Say which cut is in the packs.")
		case w.Count < 1 || w.Count > 500:
			return line{}, domain.Wrong("count", "Give the number of packs, 1 to 500.")
		case !(w.Net > 0 && w.Net <= 1500):
			return line{}, domain.Wrong("weight", "Give the weight of the packs together.")
		}
		a, session, err := lockCut(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := fitsCarcass(ctx, tx, a, w.Net); err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO packs (id, animal_id, session_id, cut, count, net_kg, wrapped_at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			uuid.Must(uuid.NewV7()), a.ID, session, w.Cut, w.Count, w.Net, act.At, act.Staff)
		return line{Animal: a.ID, What: "pack", Detail: map[string]any{"cut": w.Cut, "packs": w.Count, "kg": round3(w.Net)}}, err
	})
}

// fitsCarcass refuses a weight that with all before it is more than one and a
// half times the hanging weight: fat and pork may be added to sausage, but not
// that much, so it is a slip of the finger or the wrong animal.
//
// Common practice, no source (trade.md 6.2: up to a fifth of fat added).
func fitsCarcass(ctx context.Context, tx pgx.Tx, a Animal, net domain.Kilogram) error {
	if a.HangingKg == nil {
		return nil
	}
	var before domain.Kilogram
	err := tx.QueryRow(ctx, `SELECT coalesce((SELECT sum(net_kg) FROM packs WHERE animal_id = $1), 0)`, a.ID).Scan(&before)
	if err == nil && before+net > 1.5**a.HangingKg {
		return domain.Wrong("weight", "That makes %s of packs from a carcass of %s. Read the scale and the tag again.", before+net, *a.HangingKg)
	}
	return err
}

// Trimmed is what was cut away.
type Trimmed struct {
	Kind string // bone, fat, shot, mould, dirt, dried or other
	Kg   domain.Kilogram
	Note string
}

// TrimKinds lists the kinds of trim in the order a cutter says them.
var TrimKinds = []string{"bone", "fat", "shot", "mould", "dirt", "dried", "other"}

// Trim notes what was cut away and why.
func (db *DB) Trim(ctx context.Context, act Act, number domain.ShopNumber, t Trimmed) error {
	return db.act(ctx, act, "trim", func(tx pgx.Tx) (line, error) {
		switch {
		case !oneOf(TrimKinds, t.Kind):
			return line{}, domain.Wrong("kind", "Say what was cut away: bone, fat, shot, mould, dirt, dried or other.")
		case !(t.Kg > 0 && t.Kg <= 1500):
			return line{}, domain.Wrong("trim_weight", "Give the weight of what was cut away.")
		}
		a, _, err := lockCut(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if a.HangingKg != nil && t.Kg > *a.HangingKg {
			return line{}, domain.Wrong("trim_weight", "That is %s cut away from a carcass of %s. Read the scale again.", t.Kg, *a.HangingKg)
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `INSERT INTO trim (id, animal_id, kind, kg, note, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			uuid.Must(uuid.NewV7()), a.ID, t.Kind, t.Kg, strings.TrimSpace(t.Note), act.At, act.Staff)
		return line{Animal: a.ID, What: "trim", Detail: map[string]any{"kind": t.Kind, "kg": round3(t.Kg)}}, err
	})
}

// lockCut locks an animal that is on the table or cut up and not yet all in
// boxes, and finds the session its pieces belong to.
func lockCut(ctx context.Context, tx pgx.Tx, number domain.ShopNumber) (a Animal, session uuid.UUID, err error) {
	if a, err = lockAnimal(ctx, tx, number); err != nil {
		return a, session, err
	}
	if a.Physical != animal.OnTable && a.Physical != animal.InPieces {
		return a, session, domain.Refuse("table", "%s is not on the table: it is %s.", string(number), a.Physical.Words())
	}
	err = tx.QueryRow(ctx, `SELECT id FROM sessions_at_table WHERE animal_id = $1 ORDER BY started_at DESC LIMIT 1`, a.ID).Scan(&session)
	return a, session, err
}

// Finish ends the cutting: every piece has a label, the tub is empty, and the
// state's tag is off the carcass and with its card. Boxes follow.
func (db *DB) Finish(ctx context.Context, act Act, number domain.ShopNumber, allLabelled bool) error {
	return db.act(ctx, act, "finish", func(tx pgx.Tx) (line, error) {
		if !allLabelled {
			return line{}, domain.Wrong("labelled", "Look first: every pack has its label, the tub is empty, the tag is with the card. Then tick it.")
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		to, err := finished(a.Tracks())
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		var packs int
		if err := tx.QueryRow(ctx, `SELECT coalesce(sum(count), 0)::int FROM packs WHERE animal_id = $1`, a.ID).Scan(&packs); err != nil {
			return line{}, err
		}
		if packs == 0 {
			return line{}, domain.Refuse("packs", "There are no packs of %s yet. Enter what came off the table first.", string(number))
		}
		if _, err := tx.Exec(ctx, `UPDATE official_tags SET custody = 'on-card' WHERE animal_id = $1 AND custody = 'on-carcass'`, a.ID); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "finish", Detail: map[string]any{"packs": packs}}, endSession(ctx, tx, act, a.ID)
	})
}

// finished moves what the end of cutting moves: the carcass is in pieces, its
// order done, and its tag, which nothing carries any more, with the card.
func finished(t animal.Tracks) (to animal.Tracks, err error) {
	to = t
	if to.Physical, err = t.Physical.Do(animal.Split); err != nil {
		return t, err
	}
	if to.Order, err = t.Order.Do(animal.FinishOrder); err != nil {
		return t, err
	}
	if t.Legal == animal.Verified {
		to.Legal, err = t.Legal.Do(animal.TakeTag)
	}
	return to, err
}

// round3 keeps grams on the time line, and no more.
func round3(k domain.Kilogram) float64 { return math.Round(float64(k)*1000) / 1000 }

// oneOf reports whether word is in list.
func oneOf(list []string, word string) bool { return slices.Contains(list, word) }
