package db

import (
	"context"
	"slices"

	"coldrail/domain"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// PackMove is packs that lie in another box than it says.
type PackMove struct {
	Line  uuid.UUID
	Count int // of the line's packs
	Box   int // where they lie: a box of the animal, or the next number for one more box
	Place int // of one more box: where it stands
	Why   string
}

// MovePacks writes down in which box packs lie: put into the wrong one, or into one more.
// Both boxes are this animal's, still here, and one owner's; none is left empty.
func (db *DB) MovePacks(ctx context.Context, act Act, number domain.ShopNumber, m PackMove) error {
	return db.act(ctx, act, "move packs", func(tx pgx.Tx) (line, error) {
		if m.Why = tidy(m.Why); m.Why == "" {
			return line{}, domain.Wrong("why", "Say in a word how it got into the other box.")
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		p, err := boxedLine(ctx, tx, a, m.Line)
		if err != nil {
			return line{}, err
		}
		boxes, err := boxesAt(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		if err := m.may(p, boxes); err != nil {
			return line{}, err
		}
		if m.Box == len(boxes)+1 {
			if err := fillBox(ctx, tx, act, a.ID, NewBox{N: m.Box, Place: m.Place}); err != nil {
				return line{}, err
			}
		}
		if err := m.part(ctx, tx, a, p); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "move-packs", Detail: map[string]any{"packs": m.Count, "line": p.Cut, "from box": p.Box, "to box": m.Box}, Why: m.Why}, touch(ctx, tx, a.ID)
	})
}

// packsBoxed is a line of packs that is in a box.
type packsBoxed struct {
	Cut     string
	Count   int
	NetKg   domain.Kilogram
	TareKg  domain.Kilogram
	Portion cutting.Portion
	Box     int
}

func boxedLine(ctx context.Context, tx pgx.Tx, a Animal, id uuid.UUID) (packsBoxed, error) {
	p, found, err := one[packsBoxed](ctx, tx, `
		SELECT p.cut, p.count, p.net_kg, p.tare_kg, p.portion, b.n AS box FROM packs p JOIN boxes b ON b.id = p.box_id WHERE p.id = $1 AND p.animal_id = $2`, id, a.ID)
	if err == nil && !found {
		err = domain.Taken("Those packs are in no box, or the list has changed. Look at it again.")
	}
	return p, err
}

// may asks whether the packs can lie there.
func (m PackMove) may(p packsBoxed, boxes []Box) error {
	from, _ := boxNumbered(boxes, p.Box)
	to, found := boxNumbered(boxes, m.Box)
	switch {
	case m.Count < 1 || m.Count > p.Count:
		return domain.Wrong("packs", "Say how many of the %d packs lie in the other box.", p.Count)
	case from.ReleasedAt != nil:
		return domain.Refuse("to_box", "Box %d has gone home. What was in it is told by the hand-over.", p.Box)
	case m.Box == p.Box:
		return domain.Wrong("to_box", "They stand in box %d already. Choose the box they lie in.", p.Box)
	case !found && m.Box != len(boxes)+1:
		return domain.Wrong("to_box", "Choose the box they lie in.")
	case found && to.ReleasedAt != nil:
		return domain.Refuse("to_box", "Box %d has gone home. Nothing can lie in it here.", m.Box)
	case found && to.Portion != p.Portion:
		return domain.Wrong("to_box", "Box %d is another owner's. Give each owner boxes of their own.", m.Box)
	case from.Packs == m.Count:
		return domain.Wrong("packs", "Box %d would be empty. Leave it as it is and put the other packs into it.", p.Box)
	}
	return nil
}

// part moves the line, or the part of it that lies elsewhere with its part of the weight.
func (m PackMove) part(ctx context.Context, tx pgx.Tx, a Animal, p packsBoxed) error {
	const toBox = `(SELECT id FROM boxes WHERE animal_id = $2 AND n = $3)`
	if m.Count == p.Count {
		_, err := tx.Exec(ctx, `UPDATE packs SET box_id = `+toBox+` WHERE id = $1`, m.Line, a.ID, m.Box)
		return err
	}
	share := domain.Kilogram(m.Count) / domain.Kilogram(p.Count)
	net, tare := domain.Kilogram(round3(p.NetKg*share)), domain.Kilogram(round3(p.TareKg*share))
	rows := &pgx.Batch{}
	rows.Queue(`
		INSERT INTO packs (id, animal_id, session_id, box_id, cut, count, net_kg, tare_kg, wrapped_at, by_staff, batch_id, portion, scale, read_at)
		SELECT $4, animal_id, session_id, `+toBox+`, cut, $5, $6, $7, wrapped_at, by_staff, batch_id, portion, scale, read_at FROM packs WHERE id = $1`,
		m.Line, a.ID, m.Box, uuid.Must(uuid.NewV7()), m.Count, net, tare)
	rows.Queue(`UPDATE packs SET count = count - $2, net_kg = net_kg - $3, tare_kg = tare_kg - $4 WHERE id = $1`, m.Line, m.Count, net, tare)
	return tx.SendBatch(ctx, rows).Close()
}

// MoveBox writes down that a box stands elsewhere in the freezer.
func (db *DB) MoveBox(ctx context.Context, act Act, number domain.ShopNumber, n, place int) error {
	return db.act(ctx, act, "move box", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		boxes, err := boxesAt(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		b, found := boxNumbered(boxes, n)
		switch {
		case !found:
			return line{}, domain.Missing("%s has no box %d.", string(number), n)
		case b.ReleasedAt != nil:
			return line{}, domain.Taken("Box %d has gone home. Open the page again.", n)
		}
		spots, err := all[Spot](ctx, tx, freezerSpots)
		if err != nil {
			return line{}, err
		}
		at := slices.IndexFunc(spots, func(s Spot) bool { return s.ID == place })
		if at < 0 {
			return line{}, domain.Wrong("place", "Say where box %d stands in the freezer.", n)
		}
		if _, err := tx.Exec(ctx, `UPDATE boxes SET place_id = $2, placed_at = coalesce(placed_at, $3) WHERE id = $1`, b.ID, place, act.At); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "move-box", Detail: map[string]any{"box": n, "from": b.Place, "place": spots[at].Room + " " + spots[at].Name}}, touch(ctx, tx, a.ID)
	})
}
