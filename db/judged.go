package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cutting"
)

// judgement is what the models say of one hanging animal, as far as the cutter's
// list asks.
type judgement struct {
	condition cutting.Condition
	deep      domain.Celsius
	cutBy     time.Time       // zero: not known
	readyFrom time.Time       // zero: not known, or not within 60 days
	verdict   *ageing.Verdict // nil: nothing can be said
}

// judgements are those of all that hangs, by number.
type judgements map[domain.ShopNumber]judgement

// of returns what is said of one animal. Where nothing can be said, somebody has
// to look first.
func (j judgements) of(n domain.ShopNumber) judgement {
	if said, ok := j[n]; ok {
		return said
	}
	return judgement{condition: cutting.Look}
}

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
		if h.Verdict != nil {
			j := judgement{condition: cutting.Condition(h.Verdict.Condition), deep: h.Verdict.Deep, cutBy: h.Verdict.CutBy, verdict: h.Verdict}
			if h.Verdict.ReadyFrom != nil {
				j.readyFrom = *h.Verdict.ReadyFrom
			}
			out[h.Number] = j
		}
	}
	return out
}
