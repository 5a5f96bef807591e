package db_test

import (
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
)

// New times count from the next window that has not opened; a day with none of
// the staff at work has its rounds as well.
func TestSetRoundHours(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.WatchRounds(ctx, morning))
	was := round.Hours{Morning: 7 * 60, Evening: 19 * 60, Half: 2 * time.Hour}
	early := round.Hours{Morning: 6*60 + 30, Evening: 18 * 60, Half: 90 * time.Minute}
	act := s.Act(s.Ann, morning)
	for range 2 {
		must(t, s.SetRoundHours(ctx, act, early, was))
	}
	says(t, s.SetRoundHours(ctx, s.Act(s.Ann, morning), was, was), domain.Conflict, "Somebody else has just set the times: 6:30 and 18:00")
	says(t, s.SetRoundHours(ctx, s.Act(s.Ann, morning), round.Hours{Morning: 600, Evening: 500, Half: time.Hour}, early), domain.Invalid, "morning and an evening")
	// Sunday after Thanksgiving and all days before: closed or not, two a day.
	must(t, s.WatchRounds(ctx, morning.AddDate(0, 0, 3)))
	due := dueOf(t, s)
	if len(due) != 7 || !due[len(due)-2].DueAt.Equal(evening.Add(-time.Hour)) || !due[len(due)-1].DueAt.Equal(morning) {
		t.Errorf("due: %+v", due)
	}
	history, err := s.HoursHistory(ctx)
	must(t, err)
	if len(history) != 1 || history[0].Morning != "6:30" || history[0].WasEvening != "19:00" || history[0].By != "AK" {
		t.Errorf("history: %+v", history)
	}
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i, who := range []db.Staff{s.Ann, s.Bob} {
		h := was
		h.Half += time.Duration(i) * time.Minute
		wg.Go(func() { errs[i] = s.SetRoundHours(ctx, s.Act(who, morning), h, early) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Errorf("want one winner: %v, %v", errs[0], errs[1])
	}
}

// Both clock changes of 2026 (15 USC 260a: 8 March and 1 November at 2 o'clock):
// the rounds keep the time on the shop's wall.
func TestDueRoundsAcrossClockChanges(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for _, tt := range []struct{ from, want string }{
		{"2026-03-07T12:00:00Z", "2026-03-08T11:00:00Z"}, // 7 am EST on Saturday, EDT on Sunday
		{"2026-10-31T11:00:00Z", "2026-11-01T12:00:00Z"}, // and back
	} {
		from, err := time.Parse(time.RFC3339, tt.from)
		must(t, err)
		want, err := time.Parse(time.RFC3339, tt.want)
		must(t, err)
		must(t, s.WatchRounds(ctx, from))
		must(t, s.WatchRounds(ctx, want))
		if due := dueOf(t, s); due[0].State != round.Open || !due[0].DueAt.Equal(want) || due[0].ClosesAt.Sub(due[0].OpensAt) != 4*time.Hour {
			t.Errorf("due %+v, want %s", due[0], tt.want)
		}
	}
}
