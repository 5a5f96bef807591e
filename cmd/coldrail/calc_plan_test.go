package main

import (
	"fmt"
	"strings"
	"testing"
)

// cutPlan is the example of the calculator contract.
const cutPlan = `{"days":[{"date":"2026-11-20","cutter_minutes":[480,480]}],"jobs":[{"id":"26-0147","earliest":"2026-11-20","ready_from":"2026-11-22","cut_by":"2026-11-24","promise":"2026-11-28","dropped_off":"2026-11-08","minutes":45}]}`

func TestCalcPlan(t *testing.T) {
	got, status := calculateText(t, "plan", cutPlan)
	want := "map[bound_past_cut_by:0 bound_past_promise:0 days_before_ready:2 days_past_cut_by:0 days_past_promise:0 plan:[map[cutter:0 date:2026-11-20 id:26-0147]] unplanned:[]]"
	if status != 0 || fmt.Sprint(got) != want {
		t.Errorf("status %d: %v,\nwant %s: one listed day, two days before it is ready", status, got, want)
	}
	// Without the wishes nothing is counted for them.
	bare := strings.NewReplacer(`"ready_from":"2026-11-22",`, "", `"promise":"2026-11-28",`, "").Replace(cutPlan)
	if got, status := calculateText(t, "plan", bare); status != 0 || got["days_before_ready"] != 0.0 {
		t.Errorf("no wishes: status %d, %v", status, got)
	}
	none, status := calculateText(t, "plan", strings.Replace(cutPlan, `"earliest":"2026-11-20"`, `"earliest":"2026-11-21"`, 1))
	left, _ := none["unplanned"].([]any)
	if status != 0 || len(left) != 1 || left[0].(map[string]any)["reason"] == "" {
		t.Errorf("after the last day: status %d, %v", status, none)
	}
}

func TestCalcPlanRefuses(t *testing.T) {
	for _, tt := range []struct{ was, is, field string }{
		{`"minutes":45`, `"minutes":0`, "jobs[0].minutes"},
		{`"minutes":45`, `"minutes":1441`, "jobs[0].minutes"},
		{`"minutes":45`, `"minutes":44.5`, "jobs[0].minutes"},
		{`,"minutes":45`, ``, "jobs[0].minutes"},
		{`"id":"26-0147",`, ``, "jobs[0].id"},
		{`"id":"26-0147"`, `"id":""`, "jobs[0].id"},
		{`"id":"26-0147"`, `"id":147`, "jobs[0].id"},
		{`"earliest":"2026-11-20",`, ``, "jobs[0].earliest"},
		{`"cut_by":"2026-11-24",`, ``, "jobs[0].cut_by"},
		{`"cut_by":"2026-11-24"`, `"cut_by":"2026-11-31"`, "jobs[0].cut_by"},
		{`"cut_by":"2026-11-24"`, `"cut_by":"2026-11-24T00:00:00Z"`, "jobs[0].cut_by"},
		{`"promise":"2026-11-28"`, `"promise":null`, "jobs[0].promise"},
		{`"promise"`, `"Promise"`, "jobs[0].Promise"},
		{`"dropped_off":"2026-11-08",`, ``, "jobs[0].dropped_off"},
		{`}],"jobs":[`, `}],"jobs":[{"id":"26-0147","earliest":"2026-11-20","cut_by":"2026-11-24","dropped_off":"2026-11-08","minutes":45},`, "jobs[1].id"},
		{`[480,480]`, `[480,-1]`, "days[0].cutter_minutes[1]"},
		{`[480,480]`, `[480,"480"]`, "days[0].cutter_minutes[1]"},
		{`[480,480]`, `[0.5]`, "days[0].cutter_minutes"},
		{`"date":"2026-11-20",`, ``, "days[0].date"},
		{`{"date":"2026-11-20",`, `{"date":"2026-11-20","cutter_minutes":[1]},{"date":"2026-11-20",`, "days[1].date"},
		{`"days":[{"date":"2026-11-20","cutter_minutes":[480,480]}],`, ``, "days"},
		{`"days":[`, `"crew":1,"days":[`, "crew"},
	} {
		in := strings.Replace(cutPlan, tt.was, tt.is, 1)
		got, status := calculateText(t, "plan", in)
		problem, _ := got["error"].(map[string]any)
		if status != 2 || len(got) != 1 || problem["field"] != tt.field || problem["message"] == "" {
			t.Errorf("%s: status %d, %v; want 2 and field %q", in, status, got, tt.field)
		}
	}
}
