package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Taking is what a cutter says when a carcass comes to the table.
type Taking struct {
	TagRead string // the number read off the tag itself, typed or scanned
	Card    string // the square of the paper in hand, where the cutter reads one
	Version int    // of the order on the screen in front of the cutter
	Why     string // where another comes first: the lead's word
}

// Start brings the carcass to the table: the number on its tag must be the
// number on the card, the order must be the newest, no gate may be shut, and
// only the lead takes another than the first. Its hook is free from now on and
// its order locked. Of two cutters who start the same carcass one wins; the
// other is told who and since when. Where tag and card differ nothing is cut:
// both animals are held until somebody is certain.
func (db *DB) Start(ctx context.Context, act Act, number domain.ShopNumber, take Taking) error {
	read, err := domain.ParseShopNumber("tag", take.TagRead)
	if err != nil {
		return err
	}
	if read != number {
		return db.wrongAnimal(ctx, act, number, read)
	}
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	judged, err := db.judgements(ctx, act.At)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "start cutting", func(tx pgx.Tx) (line, error) {
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
		if err := take.sameOrder(number, order.Version); err != nil {
			return line{}, err
		}
		if err := noSpineCuts(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		if err := keptApart(ctx, tx, a); err != nil {
			return line{}, err
		}
		passed, err := mayTake(ctx, tx, act, number, take.Why, judged, shop.Location())
		if err != nil {
			return line{}, err
		}
		if to.Order, err = to.Order.Do(animal.LockOrder); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "start", Detail: passed.detail(order.Version), Why: passed.Why}, toTable(ctx, tx, act, a.ID, order.ID, passed)
	})
}

// sameOrder holds what the cutter has in front of them against the order that
// counts: the screen, and the paper where one was read.
func (t Taking) sameOrder(number domain.ShopNumber, version int) error {
	if strings.TrimSpace(t.Card) != "" {
		of, printed, err := cutting.ParseSheetCode("card", t.Card)
		switch {
		case err != nil:
			return err
		case of != number:
			return domain.Wrong("card", "Stop: the sheet in your hand is for %s, the carcass is %s. Put that sheet away and take the right one.", string(of), string(number))
		case printed != version:
			return domain.Taken("The sheet in your hand is version %d and void. Version %d counts: it stands below. Tear the old one up and print the new.", printed, version)
		}
	}
	if version != t.Version {
		return domain.Taken("The order was changed: version %d counts now. The paper in your hand is void. Read the new one.", version)
	}
	return nil
}

// wrongAnimal stops everything: the tag on the carcass is not the number on the
// card, so of neither animal is it certain whose it is. Both are held, and the
// answer is a refusal however often it is sent.
func (db *DB) wrongAnimal(ctx context.Context, act Act, card, tag domain.ShopNumber) error {
	err := db.act(ctx, act, "wrong animal", func(tx pgx.Tx) (line, error) {
		first, second := min(card, tag), max(card, tag) // locked in one order, so that two tables cannot wait for each other
		animals := map[domain.ShopNumber]Animal{}
		for _, n := range []domain.ShopNumber{first, second} {
			a, err := lockAnimal(ctx, tx, n)
			if domain.As(err).Kind == domain.NotFound && err != nil && n == tag {
				return line{}, domain.Wrong("tag", "Stop: the tag reads %s, and no animal here has that number. The card says %s. Put the knife down and read the tag again.", string(tag), string(card))
			}
			if err != nil {
				return line{}, err
			}
			animals[n] = a
		}
		why := fmt.Sprintf("At the table the tag read %s and the card said %s.", tag, card)
		for _, a := range animals {
			if err := doubt(ctx, tx, act, a, why); err != nil {
				return line{}, err
			}
		}
		detail := map[string]any{"for": string(hold.Identity), "tag read": string(tag), "card": string(card)}
		other := act
		other.ID = uuid.NewSHA1(act.ID, []byte(tag)) // each of the two has a line of its own
		if err := addLine(ctx, tx, other, line{Animal: animals[tag].ID, What: "hold", Detail: detail}); err != nil {
			return line{}, err
		}
		return line{Animal: animals[card].ID, What: "hold", Detail: detail}, nil
	})
	if err != nil {
		return err
	}
	return domain.Refuse("identity", "Stop: the tag reads %s, the card says %s. Put the knife down. Both are held until somebody is certain which is which: find the right carcass and tell the lead.", string(tag), string(card))
}

// doubt holds an animal that is still here for its identity, unless it is held
// for that already.
func doubt(ctx context.Context, tx pgx.Tx, act Act, a Animal, why string) error {
	holds, err := openHolds(ctx, tx, a.ID)
	if err != nil || !a.Physical.InHouse() || slices.ContainsFunc(holds, func(h hold.Hold) bool { return h.Kind == hold.Identity }) {
		return err
	}
	if err := openHold(ctx, tx, act, a, hold.Identity, why, time.Time{}); err != nil {
		return err
	}
	return touch(ctx, tx, a.ID)
}

// passed is the reason for taking another than the first, and which was first.
type passed struct {
	Why   string
	First domain.ShopNumber
}

func (p passed) detail(version int) map[string]any {
	d := map[string]any{"order version": version}
	if p.Why != "" {
		d["instead of"] = string(p.First)
	}
	return d
}

// mayTake asks the domain whether the carcass may be cut now, and before others.
// It returns the reason to be kept: none where the carcass is the first anyway.
func mayTake(ctx context.Context, tx pgx.Tx, act Act, number domain.ShopNumber, why string, judged judgements, zone *time.Location) (passed, error) {
	queue, barred, err := cuttingQueue(ctx, tx, judged, act.At, zone)
	if err != nil {
		return passed{}, err
	}
	for _, b := range barred {
		if b.Number == number {
			return passed{}, domain.Refuse("gate", "%s cannot be cut now. %s", string(number), b.Why[0])
		}
	}
	if len(queue) > 0 && queue[0].Number == number {
		return passed{}, nil
	}
	why = strings.TrimSpace(why)
	choices := make([]cutting.Choice, len(queue))
	for i, w := range queue {
		choices[i] = w.Choice
	}
	if err := cutting.CheckPick(choices, number, why); err != nil {
		return passed{}, err
	}
	lead, err := isLead(ctx, tx, act.Staff)
	if err == nil && !lead {
		err = domain.Refuse("lead", "%s comes first. Only the lead takes another before it.", string(queue[0].Number))
	}
	return passed{why, queue[0].Number}, err
}

// toTable frees the hook and begins the time on the table.
func toTable(ctx context.Context, tx pgx.Tx, act Act, id, order uuid.UUID, p passed) error {
	if _, err := tx.Exec(ctx, `UPDATE occupancies SET until = greatest(since, $2) WHERE animal_id = $1 AND until IS NULL`, id, act.At); err != nil {
		return err
	}
	session := uuid.Must(uuid.NewV7())
	if _, err := tx.Exec(ctx, `
		INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, started_by, why_not_next, instead_of) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		session, id, order, act.At, act.Staff, p.Why, p.First); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `INSERT INTO session_cutters (session_id, staff_id, since) VALUES ($1, $2, $3)`, session, act.Staff, act.At)
	return err
}

// Join notes that somebody cuts along. Whoever is written down already changes
// nothing.
func (db *DB) Join(ctx context.Context, act Act, number domain.ShopNumber) error {
	return db.act(ctx, act, "join at the table", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if a.Physical != animal.OnTable {
			return line{}, domain.Refuse("table", "%s is not on the table: it is %s.", string(number), a.Physical.Words())
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO session_cutters (session_id, staff_id, since)
			SELECT id, $2, $3 FROM sessions_at_table WHERE animal_id = $1 AND stopped_at IS NULL ON CONFLICT DO NOTHING`, a.ID, act.Staff, act.At)
		return line{Animal: a.ID, What: "join"}, err
	})
}

// Sitting is one time an animal lay on the table.
type Sitting struct {
	StartedAt  time.Time
	StoppedAt  *time.Time // nil: it lies there now
	StartedBy  string
	Cutters    []string
	Version    int    // of the order that was cut to
	WhyNotNext string // the lead's word, where another stood first
	InsteadOf  domain.ShopNumber
	AllWeighed bool
}

// Minutes is how long the knife was on it, up to now.
func (s Sitting) Minutes(now time.Time) int {
	if s.StoppedAt != nil {
		now = *s.StoppedAt
	}
	return int(now.Sub(s.StartedAt).Minutes())
}

// Sittings lists the times an animal lay on the table, the first one first.
func (db *DB) Sittings(ctx context.Context, number domain.ShopNumber) ([]Sitting, error) {
	return all[Sitting](ctx, db.pool, `
		SELECT t.started_at, t.stopped_at, s.name AS started_by, t.why_not_next, t.instead_of, t.all_weighed, o.version,
		       ARRAY(SELECT c.name FROM session_cutters k JOIN staff c ON c.id = k.staff_id WHERE k.session_id = t.id ORDER BY k.since, c.name) AS cutters
		FROM sessions_at_table t JOIN animals a ON a.id = t.animal_id JOIN staff s ON s.id = t.started_by JOIN orders o ON o.id = t.order_id
		WHERE a.number = $1 ORDER BY t.started_at LIMIT 50`, number)
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
