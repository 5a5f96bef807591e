package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/plan"
)

// HomeRange is when the meat of an animal may go home, as the plan stands: a range,
// and why.
type HomeRange struct {
	From, To time.Time       // days; zero: none can be named
	Verdict  *ageing.Verdict // of one that hangs: what its record, its telephone card and the owner's page say
	Shut     bool            // a hold, or what was seen on it: nobody can name a day before that is settled
	Why      []domain.Words
}

// WhenHome is what an owner may be told. An animal that hangs is planned as the plan by
// day has it, its order counted as in: home at the earliest on the day the plan says, at
// the latest when it was cut on its last day. For one that does not hang yet stands
// how its kind usually does: behind all that waits, once ready as early and once as late.
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
	q.Verdict = judged[number]
	holds, err := db.Holds(ctx, number)
	if q.Shut = q.shut(holds); err != nil || q.Shut {
		return q, err
	}
	t, _, err := one[trait](ctx, db.pool, traits+`WHERE a.id = $2`, cutting.Specials, a.ID)
	if err != nil {
		return q, err
	}
	if q.Verdict == nil {
		rule, err := ruleOf(ctx, db.pool, a)
		if err != nil {
			return q, err
		}
		err = q.ofKind(rule.Usual, asked, a, t)
		return q, err
	}
	own, _, err := one[waitingRow](ctx, db.pool, waitingAnimals+`WHERE a.id = $1`, a.ID)
	if err != nil {
		return q, err
	}
	queued := own.queued(cutting.Choice{Candidate: own.candidate(q.Verdict)}, q.Verdict)
	err = q.ofHung(asked, asked.job(queued, t))
	return q, err
}

// shut reports whether nobody can name a day: it is held from the knife, or has to be
// looked at or decided on first. An order that is not in counts as in.
func (q HomeRange) shut(holds []Hold) bool {
	if q.Verdict != nil && (q.Verdict.Condition == ageing.Stop || q.Verdict.Condition == ageing.LookAtIt) {
		return true
	}
	return slices.ContainsFunc(holds, func(h Hold) bool {
		return h.Kind != hold.OrderIncomplete && h.Kind != hold.ShareMate && h.Stops(hold.Cut)
	})
}

func (r request) without(number domain.ShopNumber) []plan.Job {
	return jobsOf(slices.DeleteFunc(slices.Clone(r.jobs), func(p Planned) bool { return p.Number == number }))
}

// ofHung reads the day off the plan that has this job in it.
func (q *HomeRange) ofHung(r request, own Planned) error {
	made, err := plan.Make(r.days, append(r.without(own.Number), own.Job))
	if err != nil {
		return err
	}
	i := slices.IndexFunc(made.Placed, func(at plan.Placed) bool { return at.ID == own.ID() })
	if i < 0 {
		return nil
	}
	cut, before := made.Placed[i].Date, 0
	for _, at := range made.Placed {
		if at.Date.Before(cut) {
			before++
		}
	}
	q.From = cut.AddDate(0, 0, own.AfterCut)
	q.To = q.From
	if last := own.Job.CutBy.AddDate(0, 0, own.AfterCut); last.After(q.To) {
		q.To = last
	}
	q.Why = []domain.Words{afterCut(own.AfterCut)}
	if before > 0 {
		q.Why = append([]domain.Words{domain.Say("Ahead of it on the plan: %d.", before)}, q.Why...)
	}
	return nil
}

func afterCut(days int) domain.Words {
	if days > plan.Freezing {
		return domain.Say("Then %d day to freeze, and %d days for the sausage, sticks, jerky, cured or smoked meat it is ordered as.", plan.Freezing, plan.Specials)
	}
	return domain.Say("Then %d day to freeze; sausage, sticks, jerky, cured or smoked meat come back %d days later at the least.", plan.Freezing, plan.Specials)
}

// ofKind goes by how its kind usually hangs.
func (q *HomeRange) ofKind(usual ageing.Days, r request, a Animal, t trait) (err error) {
	others, after := r.without(a.Number), plan.Freezing
	if t.Specials {
		after += plan.Specials
	}
	q.Why = []domain.Words{
		domain.Say("Hangs %g to %g days from the kill, as its kind usually does.", usual.From, usual.To),
		domain.Say("Waiting to be cut before it: %d.", len(others)),
		afterCut(after),
	}
	if q.From, err = r.homeBy(a, t, usual.From, after, others); err != nil {
		return err
	}
	q.To, err = r.homeBy(a, t, usual.To, after, others)
	return err
}

// homeBy is the day the meat may go home if it is ready so many days after the
// kill.
func (r request) homeBy(a Animal, t trait, ready float64, after int, others []plan.Job) (time.Time, error) {
	w := plan.Waiting{
		ID: string(a.Number), Livestock: !a.Species.Game(), Chilling: true, LongHang: true, DroppedOff: r.today.AddDate(0, 0, 1),
		ReadyFrom: dateOf(a.KilledAt.Add(time.Duration(ready * 24 * float64(time.Hour))).In(r.zone)),
	}
	w.CutBy = w.ReadyFrom.AddDate(0, 0, Horizon) // it takes its turn, and pushes nobody out
	if w.AtOnce = a.Door == "damaged"; w.AtOnce {
		w.CutBy = r.today
	}
	w.Minutes = r.crew.Takes(plan.Minutes(plan.WorkOf(a.Species, t.BoneIn), t.HangingKg, r.paces), r.today, Horizon)
	made, err := plan.Make(r.days, append(others[:len(others):len(others)], w.Job(r.today)))
	for _, at := range made.Placed {
		if at.ID == w.ID {
			return at.Date.AddDate(0, 0, after), err
		}
	}
	return time.Time{}, err
}
