package main

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/plan"
)

type planPlaced struct {
	ID     string `json:"id"`
	Date   string `json:"date"`
	Cutter int    `json:"cutter"`
}

type planLeft struct {
	ID     string       `json:"id"`
	Reason domain.Words `json:"reason"`
}

// planResult is who is cut when, and how near any plan could come.
type planResult struct {
	Plan             []planPlaced `json:"plan"`
	Unplanned        []planLeft   `json:"unplanned"`
	PastCutBy        int          `json:"days_past_cut_by"`
	PastPromise      int          `json:"days_past_promise"`
	BeforeReady      int          `json:"days_before_ready"`
	BoundPastCutBy   int          `json:"bound_past_cut_by"`
	BoundPastPromise int          `json:"bound_past_promise"`
}

// calcPlan takes the days on which somebody cuts and the jobs, and plans them.
func calcPlan(o *object) (any, error) {
	o.only("days", "jobs")
	days, jobs := planDays(o), planJobs(o)
	if o.form.err != nil {
		return nil, o.form.err
	}
	p, err := plan.Make(days, jobs)
	if err != nil {
		return nil, err
	}
	result := planResult{Plan: []planPlaced{}, Unplanned: []planLeft{}, PastCutBy: p.PastCutBy, PastPromise: p.PastPromise,
		BeforeReady: p.BeforeReady, BoundPastCutBy: p.BoundPastCutBy, BoundPastPromise: p.BoundPastPromise}
	for _, at := range p.Placed {
		result.Plan = append(result.Plan, planPlaced{at.ID, at.Date.Format(time.DateOnly), at.Cutter})
	}
	for _, l := range p.Left {
		result.Unplanned = append(result.Unplanned, planLeft{l.ID, l.Why})
	}
	return result, nil
}

func planDays(o *object) (days []plan.Day) {
	for _, each := range o.mustObjects("days") {
		each.only("date", "cutter_minutes")
		d := plan.Day{Date: each.date("date")}
		for _, m := range each.numbers("cutter_minutes", 0, plan.MostMinutes) {
			if m != float64(int(m)) {
				each.form.wrong(each.path+"cutter_minutes", "Minutes must be whole numbers.")
			}
			d.Cutters = append(d.Cutters, int(m))
		}
		days = append(days, d)
	}
	return days
}

func planJobs(o *object) (jobs []plan.Job) {
	for _, each := range o.mustObjects("jobs") {
		each.only("id", "earliest", "ready_from", "cut_by", "promise", "dropped_off", "minutes")
		j := plan.Job{ID: each.text("id"), Earliest: each.date("earliest"), CutBy: each.date("cut_by"), DroppedOff: each.date("dropped_off"),
			Minutes: each.count("minutes", plan.MostMinutes)}
		if each.has("ready_from") {
			j.ReadyFrom = each.date("ready_from")
		}
		if each.has("promise") {
			j.Promise = each.date("promise")
		}
		jobs = append(jobs, j)
	}
	return jobs
}

// mustObjects returns a list of objects that must be there.
func (o *object) mustObjects(name string) []*object {
	if !o.has(name) {
		o.form.wrong(o.path+name, "This is missing.")
	}
	return o.objects(name)
}

// date returns a day written as in 2026-11-20.
func (o *object) date(name string) time.Time {
	s := o.text(name)
	if o.form.err != nil {
		return time.Time{}
	}
	t, err := time.Parse(time.DateOnly, s)
	switch {
	case err != nil:
		o.form.wrong(o.path+name, "%q is not a day as in 2026-11-20.", shorten(s))
	case t.Year() < 1900 || t.Year() > 2199:
		o.form.wrong(o.path+name, "The year %d cannot be right.", t.Year())
	}
	return t
}
