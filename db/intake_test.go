package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
)

// What the counter and the plan by day say of the coolers, by hand: the day they fill is
// counted from today, and a shop without a rail has nothing that fills.
func TestCapacitySays(t *testing.T) {
	t.Parallel()
	bare, err := dbtest.Open(t).Capacity(t.Context(), dbtest.Noon)
	must(t, err)
	for name, tt := range map[string]struct {
		c             db.Capacity
		noRails, soon bool
		full          time.Time
	}{
		"no rails":              {c: bare, noRails: true},
		"nothing hangs":         {c: db.Capacity{Free: 30}},
		"full":                  {c: db.Capacity{Percent: 100, Fills: true}, soon: true, full: day(19)},
		"fills tomorrow":        {c: db.Capacity{Percent: 90, Free: 3, Days: 1.9, Fills: true}, soon: true, full: day(20)},
		"the day after":         {c: db.Capacity{Percent: 90, Free: 3, Days: 2, Fills: true}, full: day(21)},
		"behind the plan's end": {c: db.Capacity{Percent: 9, Free: 90, Days: db.Horizon + 0.5, Fills: true}},
		"empties":               {c: db.Capacity{Percent: 90, Free: 3}},
	} {
		if tt.c.NoRails() != tt.noRails || tt.c.Soon() != tt.soon || !tt.c.FullOn(day(19)).Equal(tt.full) {
			t.Errorf("%s: no rails %t, soon %t, full on %s", name, tt.c.NoRails(), tt.c.Soon(), tt.c.FullOn(day(19)))
		}
	}
}
