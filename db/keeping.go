package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"

	"github.com/jackc/pgx/v5"
)

// InKeeping lists the heads, capes, antlers and hides that are here, those that are
// due in the freezer first.
func (db *DB) InKeeping(ctx context.Context) ([]Piece, error) {
	return all[Piece](ctx, db.pool, pieceColumns+` WHERE p.gone_at IS NULL AND p.kind IN ('head', 'cape', 'hide', 'antlers')
		ORDER BY freeze_by NULLS LAST, p.made_at, a.number, p.mark LIMIT 1000`)
}

// toFreeze lists those due in the freezer by now.
func (db *DB) toFreeze(ctx context.Context, now time.Time) ([]Piece, error) {
	return all[Piece](ctx, db.pool, `SELECT * FROM (`+pieceColumns+` WHERE p.gone_at IS NULL AND p.kind IN ('head', 'cape', 'hide', 'antlers')) p
		WHERE freeze_by <= $1 ORDER BY freeze_by, number, mark LIMIT 200`, now.Add(cutting.FreezeSoon))
}

// Lay says where a piece lies now, and whether that is a freezer.
func (db *DB) Lay(ctx context.Context, act Act, number domain.ShopNumber, mark, place string, frozen bool) error {
	return db.act(ctx, act, "lay piece", func(tx pgx.Tx) (line, error) {
		a, p, err := lockPiece(ctx, tx, number, mark)
		if err != nil {
			return line{}, err
		}
		if place = tidy(place); place == "" {
			return line{}, domain.Wrong("place", "Say where it lies: which freezer or hook, which shelf.")
		}
		rows := &pgx.Batch{}
		rows.Queue(`INSERT INTO piece_moves (id, piece_id, place, frozen, at, by_staff)
			SELECT $1, id, $4, $5, $6, $7 FROM pieces WHERE animal_id = $2 AND mark = $3`, act.ID, a.ID, p.Mark, place, frozen, act.At, act.Staff)
		detail := map[string]any{"piece": cutting.PieceName(number, mark), "where": place}
		if frozen {
			detail["frozen"] = true
		}
		return line{Animal: a.ID, What: "lay", Detail: detail, Rows: rows}, touch(ctx, tx, a.ID)
	})
}

// PieceOf is one piece of an animal.
func (db *DB) PieceOf(ctx context.Context, number domain.ShopNumber, mark string) (Piece, error) {
	return pieceMarked(ctx, db.pool, number, mark)
}

func pieceMarked(ctx context.Context, q querier, number domain.ShopNumber, mark string) (Piece, error) {
	p, found, err := one[Piece](ctx, q, pieceColumns+` WHERE a.number = $1 AND p.mark = $2`, number, mark)
	if err == nil && !found {
		err = domain.Missing("%s has no piece %s.", string(number), mark)
	}
	return p, err
}

// lockPiece locks the animal and reads a piece of it that is still here.
func lockPiece(ctx context.Context, tx pgx.Tx, number domain.ShopNumber, mark string) (a Animal, p Piece, err error) {
	if a, err = lockAnimal(ctx, tx, number); err != nil {
		return a, p, err
	}
	p, err = pieceMarked(ctx, tx, number, mark)
	if err == nil && p.GoneAt != nil {
		err = domain.Taken("%s%s is gone: %s, by %s, %s.", string(number), mark, cutting.WayWords(p.GoneTo), p.GoneBy, *p.GoneAt)
	}
	return a, p, err
}

// sampleWanted reports whether a disease sample is still to be taken.
func sampleWanted(a Animal) bool { return a.Disease == animal.Wanted || a.Disease == animal.Resample }

// maySendOff asks whether a piece may leave so, and whether who takes it may have it.
// A hold keeps every piece here, but not from the sampler, nor from a pack or a batch,
// which stay in the house and are asked for by themselves.
func maySendOff(ctx context.Context, tx pgx.Tx, a Animal, p Piece, to string, s Signature) (Signature, error) {
	if err := p.Kind.MayGo(to, sampleWanted(a)); err != nil {
		return s, err
	}
	if to != cutting.GonePacked && to != cutting.GoneBatch {
		holds, err := openHolds(ctx, tx, a.ID)
		if err != nil {
			return s, err
		}
		asked := hold.Release
		if to == cutting.GoneSampler {
			asked = hold.Move
		}
		if err := hold.May(holds, asked); err != nil {
			return s, err
		}
	}
	if !p.Kind.ToPerson(to) {
		return Signature{}, nil
	}
	s, err := s.check()
	if err != nil || to != cutting.GoneOwner {
		return s, err
	}
	if err = mayTakeHome(ctx, tx, a, Collection{Collector: s.Signer, Authority: animal.ByOwner}, nil); err != nil {
		err = mayTakeHome(ctx, tx, a, Collection{Collector: s.Signer, Authority: animal.ByName}, nil)
	}
	return s, err
}

// PieceClock is by when a kind of piece must be frozen.
type PieceClock struct {
	Kind  cutting.PieceKind
	Hours int // after it came off; 0: it need not be
	SetAt *time.Time
	SetBy string // initials; empty: as it came with the program
}

// PieceClocks lists the owner's rules.
func (db *DB) PieceClocks(ctx context.Context) ([]PieceClock, error) {
	return all[PieceClock](ctx, db.pool, `
		SELECT k.kind, coalesce(k.hours, 0) AS hours, k.set_at, coalesce(s.initials, '') AS set_by
		FROM piece_clocks k LEFT JOIN staff s ON s.id = k.set_by ORDER BY k.hours NULLS LAST, k.kind LIMIT 10`)
}

// SetPieceClocks changes by when each kind must be frozen, also for what is here.
func (db *DB) SetPieceClocks(ctx context.Context, act Act, hours map[cutting.PieceKind]int) error {
	return db.act(ctx, act, "set piece clocks", func(tx pgx.Tx) (line, error) {
		detail, rows := map[string]any{}, &pgx.Batch{}
		for _, kind := range cutting.InKeeping {
			if err := cutting.CheckHours(string(kind), hours[kind]); err != nil {
				return line{}, err
			}
			detail[string(kind)] = hours[kind]
			rows.Queue(`UPDATE piece_clocks SET hours = nullif($2::smallint, 0), set_at = $3, set_by = $4 WHERE kind = $1 AND hours IS DISTINCT FROM nullif($2::smallint, 0)`,
				kind, hours[kind], act.At, act.Staff)
		}
		return line{What: "set-piece-clocks", Detail: detail, Rows: rows}, nil
	})
}
