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
	TakenBy     string // who signed for it
	Strokes     string
	Place       string     // where it was laid last; empty: nobody has said
	FrozenAt    *time.Time // since when it lies in a freezer; nil: it does not, or no longer
	FreezeBy    *time.Time // by the owner's rule; nil: it is frozen, gone, or need not be
}

// ToFreeze reports whether it is due in the freezer.
func (p Piece) ToFreeze(now time.Time) bool {
	return p.FreezeBy != nil && !now.Before(p.FreezeBy.Add(-cutting.FreezeSoon))
}

const pieceColumns = `
	SELECT a.number, p.mark, p.kind, p.kg, p.instruction, p.made_at, coalesce(s.initials, '') AS made_by, p.gone_at, p.gone_to, coalesce(g.initials, '') AS gone_by,
	       p.taken_by, p.strokes, coalesce((SELECT m.place FROM piece_moves m WHERE m.piece_id = p.id ORDER BY m.at DESC, m.id DESC LIMIT 1), '') AS place,
	       f.at AS frozen_at, CASE WHEN p.gone_at IS NULL AND f.at IS NULL THEN p.made_at + make_interval(hours => k.hours) END AS freeze_by
	FROM pieces p JOIN animals a ON a.id = p.animal_id LEFT JOIN staff s ON s.id = p.made_by LEFT JOIN staff g ON g.id = p.gone_by
	LEFT JOIN piece_clocks k ON k.kind = p.kind
	LEFT JOIN LATERAL (SELECT min(m.at) AS at FROM piece_moves m WHERE m.piece_id = p.id AND m.frozen
		AND NOT EXISTS (SELECT FROM piece_moves later WHERE later.piece_id = p.id AND NOT later.frozen AND (later.at, later.id) > (m.at, m.id))) f ON true`

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
		detail := map[string]any{"piece": cutting.PieceName(number, mark), "what": string(n.Kind)}
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
// into the packs, into a batch, or away. Whoever takes a piece that was kept for
// somebody signs.
func (db *DB) SendOff(ctx context.Context, act Act, number domain.ShopNumber, mark, to string, s Signature) error {
	return db.act(ctx, act, "send off", func(tx pgx.Tx) (line, error) {
		a, p, err := lockPiece(ctx, tx, number, mark)
		if err != nil {
			return line{}, err
		}
		if s, err = maySendOff(ctx, tx, a, p, to, s); err != nil {
			return line{}, err
		}
		if err := touch(ctx, tx, a.ID); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `UPDATE pieces SET gone_at = $3, gone_to = $4, gone_by = $5, taken_by = $6, strokes = $7 WHERE animal_id = $1 AND mark = $2 AND gone_at IS NULL`,
			a.ID, mark, act.At, to, act.Staff, s.Signer, s.Strokes)
		return line{Animal: a.ID, What: "send-off", Detail: map[string]any{"piece": cutting.PieceName(number, mark), "went": to}}, err
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
