package db

import (
	"context"
	"reflect"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/plan"
)

// CutPlan is who is cut on which of the coming days.
type CutPlan struct {
	Days   []PlanDay
	Left   []Planned // no listed day takes it; Why says so
	Barred []Queued  // a gate is shut: it is not planned at all
	Works  plan.Works
	plan.Plan
}

// PlanDay is one day of the plan.
type PlanDay struct {
	plan.Day
	Jobs    []Planned // livestock first, then by cutter
	Minutes int       // what the crew has, in the crew's own count
	Load    int       // what is planned of it
}

// Planned is an animal with its day.
type Planned struct {
	Queued
	plan.Job
	Cutter int
	Day    time.Time // zero: none
	Home   time.Time // the day its meat may go home; zero: none
	Why    domain.Words
}

// Late reports whether the promise cannot be kept.
func (p Planned) Late() bool { return !p.Promised().IsZero() && p.Home.After(p.Promised()) }

// Promised is the day the owner was told; zero: none.
func (p Planned) Promised() time.Time { return p.Candidate.Promise }

// Horizon is how many days the shop's plan looks ahead.
const Horizon = 30

// CutPlan plans what hangs and may be cut, from the shop's day of now on.
func (db *DB) CutPlan(ctx context.Context, now time.Time) (p CutPlan, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return p, err
	}
	today := dateOf(now.In(shop.Location()))
	judged, err := db.judgements(ctx, now)
	if err != nil {
		return p, err
	}
	queue, barred, err := cuttingQueue(ctx, db.pool, judged, now, shop.Location())
	if err != nil {
		return p, err
	}
	for _, b := range barred {
		if b.onlyWarm() {
			queue = append(queue, b)
		} else {
			p.Barred = append(p.Barred, b)
		}
	}
	crew, err := db.crew(ctx, today)
	if err != nil {
		return p, err
	}
	traits, err := db.planTraits(ctx)
	if err != nil {
		return p, err
	}
	jobs := make([]Planned, len(queue))
	for i, q := range queue {
		w := q.waiting(judged.of(q.Number), traits[q.Number], shop.Location())
		w.Minutes = crew.Takes(w.Minutes, today, Horizon)
		jobs[i] = Planned{Queued: q, Job: w.Job(today)}
		jobs[i].Queued.AfterCut = w.AfterCut
	}
	p.Works = crew.Works
	return p, db.plans.draw(&p, crew.Days(today, Horizon), jobs)
}

// onlyWarm reports whether nothing stands against cutting but the cold that is
// still to come.
func (q Queued) onlyWarm() bool {
	return q.Condition == cutting.Chilling && q.Identified && q.TagComplete && q.OrderComplete && !q.MatesWaiting && len(q.Choice.Holds) == 0
}

// trait is what the planner asks of an animal beyond the cutter's list.
type trait struct {
	Number    domain.ShopNumber
	LongHang  bool
	HangingKg domain.Kilogram
	BoneIn    bool
	Specials  bool
}

// planTraits reads them for all that hangs. An animal without a weight counts as
// 100 kg where the weight decides: a cow elk or a side of beef.
func (db *DB) planTraits(ctx context.Context) (map[domain.ShopNumber]trait, error) {
	rows, err := all[trait](ctx, db.pool, `
		WITH asked AS (
		  SELECT o.animal_id, bool_or(l.treatment = 'bone-in-chops') AS bone_in, bool_or(l.treatment = ANY ($1)) AS specials
		  FROM orders o JOIN order_lines l ON l.order_id = o.id WHERE o.void_at IS NULL GROUP BY o.animal_id
		)
		SELECT a.number, a.wish = 'long-hang' AS long_hang, coalesce(a.hanging_kg, 100) AS hanging_kg,
		       coalesce(o.bone_in, false) AS bone_in, coalesce(o.specials, false) AS specials
		FROM animals a LEFT JOIN asked o ON o.animal_id = a.id WHERE a.physical = 'hanging' LIMIT $2`, cutting.Specials, mostWaiting)
	if err != nil {
		return nil, err
	}
	found := make(map[domain.ShopNumber]trait, len(rows))
	for _, r := range rows {
		found[r.Number] = r
	}
	return found, nil
}

// waiting puts the animal before the planner. What the models know no day for
// keeps its ceiling's place: half a year ahead, after all that is pressing.
func (q Queued) waiting(j judgement, t trait, zone *time.Location) plan.Waiting {
	w := plan.Waiting{
		ID: string(q.Number), Livestock: q.Livestock, AtOnce: q.Condition == cutting.CutFirst || q.Condition == cutting.Past,
		Chilling: q.Condition == cutting.Chilling, LongHang: t.LongHang, Rush: q.RushPaid, Promise: q.Candidate.Promise,
		AfterCut: plan.Freezing, DroppedOff: dateOf(q.Received.In(zone)), CutBy: dateOf(q.Received.In(zone)).AddDate(0, 6, 0),
		Minutes: plan.Minutes(plan.WorkOf(q.Species, t.BoneIn), t.HangingKg, nil),
	}
	if t.Specials {
		w.AfterCut += plan.Specials
	}
	if !j.cutBy.IsZero() {
		w.CutBy = dateOf(j.cutBy.In(zone))
	}
	if !j.readyFrom.IsZero() {
		w.ReadyFrom = dateOf(j.readyFrom.In(zone))
	}
	return w
}

// planMemory remembers the last plan: the days and jobs it was made from change a few
// times a day, the page is asked for often.
type planMemory struct {
	mu   sync.Mutex
	days []plan.Day
	jobs []plan.Job
	plan plan.Plan
}

func (m *planMemory) make(days []plan.Day, jobs []plan.Job) (plan.Plan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.days) > 0 && reflect.DeepEqual(m.days, days) && reflect.DeepEqual(m.jobs, jobs) {
		return m.plan, nil
	}
	made, err := plan.Make(days, jobs)
	if err == nil {
		m.days, m.jobs, m.plan = days, jobs, made
	}
	return made, err
}

// draw makes the plan and lays it out by day.
func (m *planMemory) draw(p *CutPlan, days []plan.Day, jobs []Planned) (err error) {
	asked, byID := make([]plan.Job, len(jobs)), make(map[string]Planned, len(jobs))
	for i, j := range jobs {
		asked[i], byID[j.ID()] = j.Job, j
	}
	if p.Plan, err = m.make(days, asked); err != nil {
		return err
	}
	byDate := make(map[time.Time]int, len(days))
	for i, day := range days {
		p.Days = append(p.Days, PlanDay{Day: day})
		byDate[day.Date] = i
		for _, m := range day.Cutters {
			p.Days[i].Minutes += m
		}
	}
	for _, livestock := range []bool{true, false} { // one run of livestock, then game (trade.md 6.1, 9)
		for _, at := range p.Placed {
			j := byID[at.ID]
			if j.Livestock != livestock {
				continue
			}
			j.Day, j.Cutter, j.Home = at.Date, at.Cutter, at.Date.AddDate(0, 0, j.AfterCut)
			on := &p.Days[byDate[at.Date]]
			on.Jobs, on.Load = append(on.Jobs, j), on.Load+j.Minutes
		}
	}
	for _, l := range p.Plan.Left {
		j := byID[l.ID]
		j.Why = l.Why
		p.Left = append(p.Left, j)
	}
	return nil
}

// ID is the shop number, as the planner knows the animal by.
func (p Planned) ID() string { return string(p.Number) }

// dateOf is the date t shows, as midnight UTC.
func dateOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
