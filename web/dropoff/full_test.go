package dropoff_test

import (
	"net/http"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The counter and the plan name one day on which the coolers are full; from the day
// before on the counter's line is urgent and leads to what we take. Ten came within the
// week: eleven free hooks last 7.7 days, two 1.4, one less than a day. By hand; four of
// the 25 are not in a cooler.
func TestCounterAndPlanAgreeWhenFull(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	b := s.As(t, s.Bob)
	if body := b.Get("/dropoff").Body; strings.Contains(body, "Take in less") {
		t.Error("an empty shop is told to take in less")
	}
	for n := range 10 {
		s.HangDeer(t, n+1, n+1)
	}
	do := func(sql string, args ...any) {
		t.Helper()
		if tag, err := s.Pool().Exec(t.Context(), sql, args...); err != nil || tag.RowsAffected() == 0 {
			t.Fatal(tag, err)
		}
	}
	// One of them is aged and waits to be ready, so that the plan asks when the rooms fill.
	do(`UPDATE animals SET order_state = 'complete', protocol_id = (SELECT id FROM protocols WHERE key LIKE 'deer%' AND aged ORDER BY id LIMIT 1), revision = revision + 1 WHERE number = $1`, dbtest.Tag(1))
	for _, tt := range []struct {
		hooks     int
		door, day string
	}{
		{25, "Coolers 48 % full; full in 7 days at the pace of the last week.", ""},
		{12, "Coolers 83 % full; full tomorrow at the pace of the last week.", "The rooms fill by Fri Nov 20"},
		{11, "Coolers 91 % full; full today at the pace of the last week.", "The rooms fill by Thu Nov 19"},
		{10, "Coolers 100 % full. ", "The rooms fill by Thu Nov 19"},
	} {
		do(`UPDATE places SET in_service = id IN (
			SELECT p.id FROM places p JOIN rails r ON r.id = p.rail_id ORDER BY r.name <> 'R1', p.position LIMIT $1)`, tt.hooks)
		door, plan := b.Get("/dropoff"), b.Get("/cutting/plan")
		door.Wants(t, http.StatusOK, tt.door)
		if urgent := strings.Contains(door.Body, "Take in less"); urgent != (tt.day != "") {
			t.Errorf("%d hooks: urgent is %t at the counter", tt.hooks, urgent)
		}
		plan.Wants(t, http.StatusOK, tt.day)
		if tt.day == "" && strings.Contains(plan.Body, "The rooms fill") {
			t.Error("the plan fears for rooms that last")
		}
	}
}
