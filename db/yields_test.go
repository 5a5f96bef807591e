package db_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
)

// A deer of 40 kg hanging gives 18.8 to 22.9 kg (0.469 and 0.573 of hanging,
// readiness.md section 12). With every part weighed the sum counts instead; it
// dries some 2 to 3 % in the 66 hours between the door and the table.
func TestClosure(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := readyDeer(t, s, 1, 1)
	if err := s.Start(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Taking{TagRead: string(number), Version: 1}); err != nil {
		t.Fatal(err)
	}
	pack := func(kg domain.Kilogram) {
		t.Helper()
		if err := s.Pack(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Wrapped{Cut: "stew", Count: 10, Net: kg}); err != nil {
			t.Fatal(err)
		}
	}
	trim := func(kind string, kg domain.Kilogram) {
		t.Helper()
		if err := s.Trim(ctx, s.Act(s.Bob, dbtest.Noon), number, db.Trimmed{Kind: kind, Kg: kg}); err != nil {
			t.Fatal(err)
		}
	}
	says := func(adds, shown bool, why string) {
		t.Helper()
		c, err := s.Closure(ctx, number)
		if err != nil || c.AddsUp != adds || c.Shown != shown {
			t.Errorf("%s: %+v %q, %v", why, c, c.Words, err)
		}
	}
	pack(17)
	says(false, false, "17 kg is less than 18.8 kg")
	pack(3)
	says(true, false, "20 kg is within 18.8 to 22.9 kg")
	trim("bone", 16)
	says(true, false, "what was cut away is not weighed yet, so the range counts")
	trim("shot", 2)
	says(true, false, "nobody has said that this is all")
	if _, err := s.Pool().Exec(ctx, `UPDATE sessions_at_table SET all_weighed = true`); err != nil {
		t.Fatal(err)
	}
	says(true, true, "40 - 20 - 16 - 2 - 1 leaves 1 kg, within 1.6 kg and the drying")
	trim("bone", 5)
	says(false, true, "4 kg more than hung there")
}
