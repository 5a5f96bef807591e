package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/statute"
)

// Possession is until when the rules let the shop hold an animal; By is nil where none
// speaks of it.
type Possession struct {
	Until time.Time
	By    *statute.Rule
}

// Near reports whether the day is so near, or past, that the owner has to be called.
func (p Possession) Near(now time.Time) bool {
	return p.By != nil && now.AddDate(0, 0, statute.WarnDays).After(p.Until)
}

// Over reports whether the day is past.
func (p Possession) Over(now time.Time) bool { return p.By != nil && now.After(p.Until) }

// PossessionOf reads until when an animal may be held.
func (db *DB) PossessionOf(ctx context.Context, a Animal) (p Possession, err error) {
	_, rules, loc, err := ladderHere(ctx, db.pool)
	if err == nil {
		p.Until, p.By = statute.HeldUntil(rules, a.Species, a.Form, a.ReceivedAt, loc)
	}
	return p, err
}

// MustGo is an animal that may not be held much longer.
type MustGo struct {
	Number  domain.ShopNumber
	Species domain.Species
	Possession
}

// mustGo lists those of the animals that are here whose day is near or past.
func mustGo(rules []statute.Rule, here []Present, now time.Time, loc *time.Location) (list []MustGo) {
	for _, a := range here {
		m := MustGo{Number: a.Number, Species: a.Species}
		m.Until, m.By = statute.HeldUntil(rules, a.Species, a.Form, a.ReceivedAt, loc)
		if m.Near(now) {
			list = append(list, m)
		}
	}
	return list
}

// RulesFor lists the rules about one thing that reach the shop.
func (db *DB) RulesFor(ctx context.Context, topics ...statute.Topic) (list []statute.Rule, err error) {
	rules, err := rulesHere(ctx, db.pool)
	for _, r := range rules {
		if slices.Contains(topics, r.Topic) {
			list = append(list, r)
		}
	}
	return list, err
}
