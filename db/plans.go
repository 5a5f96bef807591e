package db

import (
	"context"
	"reflect"
	"slices"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
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

	Idle     time.Time // a day on which the crew has time and nothing is ready; zero: none
	IdleFor  int       // how many could be cut then and wait
	Behind   plan.Behind
	IsBehind bool      // more hangs than the crew can cut in time
	FullFrom time.Time // the day the rooms fill before the last is ready; zero: none
}

// PlanDay is one day of the plan.
type PlanDay struct {
	plan.Day
	Jobs    []Planned // livestock first, then in the order of the cutter's list
	Minutes int       // what the crew has, of today what is left, in the crew's own count
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
	judged, err := db.judgements(ctx, now)
	if err != nil {
		return p, err
	}
	a, err := db.asked(ctx, judged, now)
	if err != nil {
		return p, err
	}
	p.Works, p.Barred = a.crew.Works, a.barred
	if err := db.plans.draw(&p, a.days, a.jobs); err != nil {
		return p, err
	}
	jobs := jobsOf(a.jobs)
	p.Idle, p.IdleFor = p.Plan.Idle(a.days, jobs)
	p.Behind, p.IsBehind = p.Plan.Behind(a.days, jobs)
	room, err := db.Capacity(ctx, now)
	p.FullFrom = plan.Full(jobs, room.FullOn(a.today))
	return p, err
}

// LatePromises are the planned animals whose promise cannot be kept.
func (p CutPlan) LatePromises() (late []Planned) {
	for _, d := range p.Days {
		for _, j := range d.Jobs {
			if j.Late() {
				late = append(late, j)
			}
		}
	}
	return late
}

// latePromises plans what hangs, where anything of it was promised to somebody.
func (db *DB) latePromises(ctx context.Context, t Today, now time.Time) ([]Planned, error) {
	if !slices.ContainsFunc(t.InHouse, func(a Present) bool { return a.Physical == animal.Hanging && a.PromisedOn != nil }) {
		return nil, nil
	}
	a, err := db.asked(ctx, judgedOf(t.Hung), now)
	if err != nil {
		return nil, err
	}
	p := CutPlan{Works: a.crew.Works}
	err = db.plans.draw(&p, a.days, a.jobs)
	return p.LatePromises(), err
}

// request is what the planner is asked.
type request struct {
	zone   *time.Location
	today  time.Time
	crew   plan.Crew
	days   []plan.Day
	jobs   []Planned
	barred []Queued
	paces  map[plan.Work]plan.Pace // the shop's own
}

func (db *DB) asked(ctx context.Context, judged judgements, now time.Time) (a request, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return a, err
	}
	a.zone = shop.Location()
	a.today = dateOf(now.In(a.zone))
	queue, barred, err := cuttingQueue(ctx, db.pool, judged, now, a.zone)
	if err != nil {
		return a, err
	}
	for _, b := range barred {
		if b.onlyWarm() {
			queue = append(queue, b)
		} else {
			a.barred = append(a.barred, b)
		}
	}
	if a.crew, err = db.crew(ctx, a.today); err != nil {
		return a, err
	}
	a.days = a.crew.Days(a.today, Horizon)
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return a, err
	}
	a.paces = numbers.Paces()
	if a.days[0], err = db.leftOf(ctx, a, now); err != nil {
		return a, err
	}
	traits, err := planTraits(ctx, db.pool)
	for _, q := range queue {
		a.jobs = append(a.jobs, a.job(q, traits[q.Number]))
	}
	return a, err
}

// leftOf is what is left of today: what was taken to the table and did not go back to the
// rail has had its time.
func (db *DB) leftOf(ctx context.Context, a request, now time.Time) (plan.Day, error) {
	y, m, d := a.today.Date()
	midnight := time.Date(y, m, d, 0, 0, 0, 0, a.zone)
	rows, err := all[trait](ctx, db.pool, traits+`WHERE a.physical <> 'hanging'
		AND a.id IN (SELECT animal_id FROM sessions_at_table WHERE started_at >= $2 AND started_at <= $3) LIMIT $4`, cutting.Specials, midnight, now, mostWaiting)
	begun := make([]int, len(rows))
	for i, t := range rows {
		begun[i] = a.crew.Takes(plan.Minutes(plan.WorkOf(t.Species, t.BoneIn), t.HangingKg, a.paces), a.today, Horizon)
	}
	return a.crew.Left(a.days[0], begun, time.Date(y, m, d+1, 0, 0, 0, 0, a.zone).Sub(now)), err
}

// job is what the planner is asked of one animal.
func (r request) job(q Queued, t trait) Planned {
	w := q.waiting(t, r.paces, r.zone)
	w.Minutes = r.crew.Takes(w.Minutes, r.today, Horizon)
	q.AfterCut = w.AfterCut
	return Planned{Queued: q, Job: w.Job(r.today)}
}

func jobsOf(planned []Planned) []plan.Job {
	jobs := make([]plan.Job, len(planned))
	for i, p := range planned {
		jobs[i] = p.Job
	}
	return jobs
}

// onlyWarm reports whether nothing stands against cutting but the cold that is
// still to come.
func (q Queued) onlyWarm() bool {
	return q.Condition == cutting.Chilling && q.Identified && q.TagComplete && q.OrderComplete && !q.MatesWaiting && len(q.Choice.Holds) == 0
}

// trait is what the planner asks of an animal beyond the cutter's list.
type trait struct {
	Number    domain.ShopNumber
	Species   domain.Species
	LongHang  bool
	HangingKg domain.Kilogram
	BoneIn    bool
	Specials  bool
}

// traits reads them. An animal without a weight counts as 100 kg where the weight
// decides: a cow elk or a side of beef.
const traits = `
	SELECT a.number, a.species, a.wish = 'long-hang' AS long_hang, coalesce(a.hanging_kg, 100) AS hanging_kg,
	       coalesce(o.bone_in, false) AS bone_in, coalesce(o.specials, false) AS specials
	FROM animals a LEFT JOIN LATERAL (
	  SELECT bool_or(l.treatment = 'bone-in-chops') AS bone_in, bool_or(l.treatment = ANY ($1)) AS specials
	  FROM orders w JOIN order_lines l ON l.order_id = w.id WHERE w.animal_id = a.id AND w.void_at IS NULL) o ON true `

// planTraits are those of all that hangs.
func planTraits(ctx context.Context, q querier) (map[domain.ShopNumber]trait, error) {
	rows, err := all[trait](ctx, q, traits+`WHERE a.physical = 'hanging' LIMIT $2`, cutting.Specials, mostWaiting)
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
func (q Queued) waiting(t trait, paces map[plan.Work]plan.Pace, zone *time.Location) plan.Waiting {
	w := plan.Waiting{
		ID: string(q.Number), Livestock: q.Livestock, AtOnce: q.Condition == cutting.CutFirst || q.Condition == cutting.Past,
		Chilling: q.Condition == cutting.Chilling, LongHang: t.LongHang, Rush: q.RushPaid, Promise: q.Candidate.Promise,
		AfterCut: plan.Freezing, DroppedOff: dateOf(q.Received.In(zone)), CutBy: dateOf(q.Received.In(zone)).AddDate(0, 6, 0),
		Minutes: plan.Minutes(plan.WorkOf(q.Species, t.BoneIn), t.HangingKg, paces),
	}
	if t.Specials {
		w.AfterCut += plan.Specials
	}
	if !q.CutBy.IsZero() {
		w.CutBy = dateOf(q.CutBy.In(zone))
	}
	if q.Verdict != nil && q.Verdict.ReadyFrom != nil {
		w.ReadyFrom = dateOf(q.Verdict.ReadyFrom.In(zone))
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
	if p.Plan, err = m.make(days, jobsOf(jobs)); err != nil {
		return err
	}
	byID, placed := make(map[string]Planned, len(jobs)), make(map[string]plan.Placed, len(p.Placed))
	for _, j := range jobs {
		byID[j.ID()] = j
	}
	for _, at := range p.Placed {
		placed[at.ID] = at
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
		for _, j := range jobs { // the day is the plan's; within it the list's own order
			at, ok := placed[j.ID()]
			if !ok || j.Livestock != livestock {
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
