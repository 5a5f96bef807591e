package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/plan"
)

// HomeRange is when the meat of an animal may go home, as the plan stands: a range,
// and why.
type HomeRange struct {
	From, To time.Time // days; zero: the listed days are full
	Why      []domain.Words
}

// WhenHome plans an animal that has just come in behind all that waits, once ready
// as early and once as late as its kind usually is. Its order counts as in.
func (db *DB) WhenHome(ctx context.Context, number domain.ShopNumber, now time.Time) (q HomeRange, err error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return q, err
	}
	judged, err := db.judgements(ctx, now)
	if err != nil {
		return q, err
	}
	asked, err := db.asked(ctx, judged, now)
	if err != nil {
		return q, err
	}
	usual, err := db.usualDays(ctx, a)
	if err != nil {
		return q, err
	}
	others := make([]plan.Job, 0, len(asked.jobs)+1)
	for _, j := range asked.jobs {
		if j.Number != number {
			others = append(others, j.Job)
		}
	}
	q.Why = []domain.Words{
		domain.Say("Hangs %g to %g days from the kill, as its kind usually does.", usual.From, usual.To),
		domain.Say("Waiting to be cut before it: %d.", len(others)),
		domain.Say("Then %d day to freeze; sausage, sticks, jerky, cured or smoked meat come back %d days later at the least.", plan.Freezing, plan.Specials),
	}
	if q.From, err = asked.homeBy(a, usual.From, others); err != nil {
		return q, err
	}
	q.To, err = asked.homeBy(a, usual.To, others)
	return q, err
}

// homeBy is the day the meat may go home if it is ready so many days after the
// kill.
func (r request) homeBy(a Animal, ready float64, others []plan.Job) (time.Time, error) {
	w := plan.Waiting{
		ID: string(a.Number), Livestock: !a.Species.Game(), Chilling: true, LongHang: true, DroppedOff: r.today.AddDate(0, 0, 1),
		ReadyFrom: dateOf(a.KilledAt.Add(time.Duration(ready * 24 * float64(time.Hour))).In(r.zone)),
	}
	w.CutBy = w.ReadyFrom.AddDate(0, 0, Horizon) // it takes its turn, and pushes nobody out
	if w.AtOnce = a.Door == "damaged"; w.AtOnce {
		w.CutBy = r.today
	}
	weight := domain.Kilogram(100)
	if a.HangingKg != nil {
		weight = *a.HangingKg
	}
	w.Minutes = r.crew.Takes(plan.Minutes(plan.WorkOf(a.Species, false), weight, r.paces), r.today, Horizon)
	made, err := plan.Make(r.days, append(others[:len(others):len(others)], w.Job(r.today)))
	for _, at := range made.Placed {
		if at.ID == w.ID {
			return at.Date.AddDate(0, 0, plan.Freezing), err
		}
	}
	return time.Time{}, err
}

// usualDays is how long an animal usually hangs by the shop's own rule for it.
func (db *DB) usualDays(ctx context.Context, a Animal) (ageing.Days, error) {
	rule, err := ruleOf(ctx, db.pool, a)
	return rule.Usual, err
}
