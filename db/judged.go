package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
)

// judgements are what the models say of what hangs, by number; nil where nothing can be
// said and somebody has to look first.
type judgements map[domain.ShopNumber]*ageing.Verdict

// judgements asks the models about everything on the rails.
func (db *DB) judgements(ctx context.Context, now time.Time) (judgements, error) {
	hung, err := db.Hanging(ctx, now)
	if err != nil {
		return nil, err
	}
	return judgedOf(hung), nil
}

// judgedOf is what the models said of these.
func judgedOf(hung []Hung) judgements {
	out := make(judgements, len(hung))
	for _, h := range hung {
		out[h.Number] = h.Verdict
	}
	return out
}
