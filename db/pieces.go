package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/jackc/pgx/v5"
)

// Piece is something that came off an animal apart, under its own letters.
type Piece struct {
	Number      domain.ShopNumber
	Mark        string
	Kind        cutting.PieceKind
	Kg          *domain.Kilogram
	Instruction string
	MadeAt      time.Time
	MadeBy      string     // initials; empty: made when it was hung
	GoneAt      *time.Time // nil: it is still here
	GoneTo      string
	GoneBy      string
}

const pieceColumns = `
	SELECT a.number, p.mark, p.kind, p.kg, p.instruction, p.made_at, coalesce(s.initials, '') AS made_by, p.gone_at, p.gone_to, coalesce(g.initials, '') AS gone_by
	FROM pieces p JOIN animals a ON a.id = p.animal_id LEFT JOIN staff s ON s.id = p.made_by LEFT JOIN staff g ON g.id = p.gone_by`

// Pieces lists what came off the animal, in the order it came.
func (db *DB) Pieces(ctx context.Context, number domain.ShopNumber) ([]Piece, error) {
	return all[Piece](ctx, db.pool, pieceColumns+` WHERE a.number = $1 ORDER BY p.made_at, p.mark LIMIT 60`, number)
}

// OpenTubs lists the tubs of trim that stand about, the oldest first.
func (db *DB) OpenTubs(ctx context.Context) ([]Piece, error) {
	return all[Piece](ctx, db.pool, pieceColumns+` WHERE p.kind = 'tub' AND p.gone_at IS NULL ORDER BY p.made_at, a.number LIMIT 500`)
}

// NewPiece is what was taken off.
type NewPiece struct {
	Kind        cutting.PieceKind
	Kg          domain.Kilogram // 0: not weighed
	Instruction string          // "shoulder mount, to the taxidermist"
}

// CutOff gives a piece its letters at the moment it is cut off and returns them,
// also when the same act is sent twice.
func (db *DB) CutOff(ctx context.Context, act Act, number domain.ShopNumber, n NewPiece) (mark string, err error) {
	err = db.act(ctx, act, "cut off", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if !a.Physical.InHouse() || a.Physical == animal.PartReleased {
			return line{}, domain.Refuse("piece", "Nothing comes off %s any more: it is %s.", string(number), a.Physical.Words())
		}
		if !(n.Kg >= 0 && n.Kg <= 1500) || n.Kg > 0 && n.Kg < 0.1 {
			return line{}, domain.Wrong("piece_weight", "That weight cannot be right. Weigh it again.")
		}
		type taken struct{ Mark string }
		marks, err := all[taken](ctx, tx, `SELECT mark FROM pieces WHERE animal_id = $1`, a.ID)
		if err != nil {
			return line{}, err
		}
		used := make([]string, len(marks))
		for i, m := range marks {
			used[i] = m.Mark
		}
		if mark, err = cutting.NextMark(n.Kind, used); err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		detail := map[string]any{"piece": string(number) + mark, "what": n.Kind.Words().String()}
		if n.Kg > 0 {
			detail["kg"] = round3(n.Kg)
		}
		_, err = tx.Exec(ctx, `INSERT INTO pieces (id, animal_id, mark, kind, kg, made_at, made_by, instruction) VALUES ($1, $2, $3, $4, nullif($5::float8, 0), $6, $7, $8)`,
			act.ID, a.ID, mark, n.Kind, n.Kg, act.At, act.Staff, strings.TrimSpace(n.Instruction))
		return line{Animal: a.ID, What: "cut-off", Detail: detail}, err
	})
	if err == nil && mark == "" { // sent for the second time
		err = db.pool.QueryRow(ctx, `SELECT mark FROM pieces WHERE id = $1`, act.ID).Scan(&mark)
	}
	return mark, err
}

// SendOff notes where a piece went: to its owner, the taxidermist, the sampler,
// into the packs, into a batch, or away.
func (db *DB) SendOff(ctx context.Context, act Act, number domain.ShopNumber, mark, to string) error {
	return db.act(ctx, act, "send off", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		p, found, err := one[Piece](ctx, tx, pieceColumns+` WHERE p.animal_id = $1 AND p.mark = $2`, a.ID, mark)
		switch {
		case err != nil:
			return line{}, err
		case !found:
			return line{}, domain.Missing("%s has no piece %s.", string(number), mark)
		case p.GoneAt != nil:
			return line{}, domain.Taken("%s%s is gone: %s, by %s, %s.", string(number), mark, cutting.WayWords(p.GoneTo), p.GoneBy, *p.GoneAt)
		case !oneOf(p.Kind.Ways(), to):
			return line{}, domain.Wrong("gone", "Say where it went.")
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE pieces SET gone_at = $3, gone_to = $4, gone_by = $5 WHERE animal_id = $1 AND mark = $2 AND gone_at IS NULL`,
			a.ID, mark, act.At, to, act.Staff)
		return line{Animal: a.ID, What: "send-off", Detail: map[string]any{"piece": string(number) + mark, "where": cutting.WayWords(to).String()}}, err
	})
}

// TubCount is one count of the tubs at the day's close.
type TubCount struct {
	Counted int
	Open    int
	At      time.Time
	By      string
}

// LastTubCounts lists the last counts, the newest first.
func (db *DB) LastTubCounts(ctx context.Context) ([]TubCount, error) {
	return all[TubCount](ctx, db.pool, `
		SELECT c.counted, c.open, c.at, s.initials AS by FROM tub_counts c JOIN staff s ON s.id = c.by_staff ORDER BY c.at DESC, c.id DESC LIMIT 14`)
}

// CountTubs keeps the count, also one that is off: then the answer says what to
// look for, however often it is sent.
func (db *DB) CountTubs(ctx context.Context, act Act, counted int) error {
	if counted < 0 || counted > 500 {
		return domain.Wrong("counted", "Count the tubs and type how many stand there.")
	}
	err := db.act(ctx, act, "count tubs", func(tx pgx.Tx) (line, error) {
		var open int
		if err := tx.QueryRow(ctx, `SELECT count(*)::int FROM pieces WHERE kind = 'tub' AND gone_at IS NULL`).Scan(&open); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `INSERT INTO tub_counts (id, counted, open, at, by_staff) VALUES ($1, $2, $3, $4, $5)`, act.ID, counted, open, act.At, act.Staff)
		return line{What: "count-tubs", Detail: map[string]any{"counted": counted, "in the book": open}}, err
	})
	if err != nil {
		return err
	}
	c, _, err := one[TubCount](ctx, db.pool, `
		SELECT c.counted, c.open, c.at, s.initials AS by FROM tub_counts c JOIN staff s ON s.id = c.by_staff WHERE c.id = $1`, act.ID)
	if err != nil {
		return err
	}
	return cutting.CheckTubs(c.Counted, c.Open)
}
