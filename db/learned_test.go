package db_test

import (
	"math"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/learn"
	"coldrail/domain/plan"
)

func numberOf(t *testing.T, s *dbtest.Shop, m learn.Measure, kind string) db.OwnNumber {
	t.Helper()
	n, err := s.Numbers(t.Context())
	must(t, err)
	for _, own := range n.List {
		if own.Measure == m && own.Kind == kind {
			return own
		}
	}
	t.Fatalf("no %s %s among %d numbers", m, kind, len(n.List))
	return db.OwnNumber{}
}

const deerYield = "hanging/whitetail/mature"

// A season made with known constants gives them back within the fit's own stated
// error, for yield, loss and minutes.
func TestNumbersAreTheShops(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.CutSeason(t, 40)
	for _, tt := range []struct {
		m    learn.Measure
		kind string
		want float64
	}{{learn.Yield, deerYield, dbtest.TrueYield}, {learn.Shrink, "game", dbtest.TrueLoss}, {learn.Minutes, string(plan.Boned), dbtest.TrueMinutes}} {
		n := numberOf(t, s, tt.m, tt.kind)
		if n.Count != 40 || !n.InUse() || !(n.From <= tt.want && tt.want <= n.To) || !(n.Low < n.Median && n.Median < n.High) {
			t.Errorf("%s %s: %+v, want %v between its From and To", tt.m, tt.kind, n.Own, tt.want)
		}
	}
}

// Nineteen animals change nothing; the twentieth puts the shop's own in place of
// the table; the owner goes back and forth, and what follows from it goes along.
func TestNumbersInUse(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	kg := domain.Kilogram(40)
	deer := db.Animal{Species: domain.Whitetail, Class: domain.Mature, Form: domain.Whole, HangingKg: &kg}
	expects := func(own bool) {
		t.Helper()
		n, err := s.Numbers(ctx)
		must(t, err)
		e := n.Expected(deer)
		if own != (e.Count > 0) || own != (e.Middle > 0) || !own && math.Abs(float64(e.Typical)-40*0.469) > 1e-9 || own && e.Typical < 22 {
			t.Errorf("own %v: %+v", own, e)
		}
		about, err := s.About(ctx, deer)
		must(t, err)
		if about.Expected != e.Clean || about.Usual != e.Typical {
			t.Errorf("an order is held against %+v, expected is %+v", about, e)
		}
	}
	expects(false)
	s.CutSeason(t, learn.Enough-1)
	expects(false)
	if n := numberOf(t, s, learn.Yield, deerYield); n.Count != 19 || n.InUse() {
		t.Errorf("%+v", n)
	}
	notAllowed(t, "too few", s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Yield, deerYield, true, "I know better"), domain.Refused, "enough")
	s = dbtest.OpenShop(t) // another, with one animal more
	s.CutSeason(t, learn.Enough)
	expects(true)
	notAllowed(t, "no reason", s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Yield, deerYield, false, " "), domain.Invalid, "reason")
	notAllowed(t, "no such number", s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Yield, "hanging/unicorn/mature", false, "x"), domain.NotFound, "")
	act := s.Act(s.Ann, dbtest.Noon)
	for range 2 {
		must(t, s.ChooseNumber(ctx, act, learn.Yield, deerYield, false, "a scale was off"))
	}
	expects(false)
	notAllowed(t, "in use already", s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Yield, deerYield, false, "again"), domain.Conflict, "")
	must(t, s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon.Add(time.Minute)), learn.Yield, deerYield, true, "scale mended"))
	expects(true)
	choices, err := s.NumberChoices(ctx)
	must(t, err)
	if len(choices) != 2 || !choices[0].Own || choices[0].Reason != "scale mended" || choices[1].By != "AK" {
		t.Errorf("%+v", choices)
	}
}

// The shop's pace at the table reaches the plan, and its loss the closure.
func TestNumbersReachPlanAndClosure(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.CutSeason(t, 30)
	n, err := s.Numbers(ctx)
	must(t, err)
	paces := n.Paces()
	if got := paces[plan.Boned].Minutes; math.Abs(float64(got)-dbtest.TrueMinutes) > 5 || len(paces) != 1 {
		t.Errorf("paces %v, want about %v minutes for deer alone", paces, dbtest.TrueMinutes)
	}
	// All weighed, so the closure counts the loss: by the shop's own it adds up
	// closer than by the table, for which a tenth of what hung dried away unseen.
	c, err := s.Closure(ctx, dbtest.Tag(505))
	must(t, err)
	must(t, s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Shrink, "game", false, "to compare"))
	table, err := s.Closure(ctx, dbtest.Tag(505))
	must(t, err)
	if !c.Shown || math.Abs(float64(c.Off)) >= math.Abs(float64(table.Off)) {
		t.Errorf("off by %v with the shop's own loss, by %v with the table's", c.Off, table.Off)
	}
	must(t, s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Minutes, string(plan.Boned), false, "new crew"))
	if n, err = s.Numbers(ctx); err != nil || len(n.Paces()) != 0 {
		t.Errorf("%v, %v: the table again", n.Paces(), err)
	}
}

// The shop's own mould moves the forecast of the sign, and going back to the
// table moves it back.
func TestNumbersReachTheMouldForecast(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t) // 2 °C for three weeks
	owner := dbtest.Owner(t, s.DB)
	for i := range 24 {
		n := s.HangDeer(t, 100+i, 1)
		_, err := owner.Exec(ctx, `UPDATE occupancies SET until = $2 WHERE until IS NULL AND animal_id = (SELECT id FROM animals WHERE number = $1)`, n, dbtest.Noon)
		must(t, err)
		_, err = owner.Exec(ctx, `
			WITH a AS (UPDATE animals SET class = 'mature', killed_at = $2, received_at = $2, deep_c = 2, order_state = 'done', physical = 'stored', revision = 2 WHERE number = $1 RETURNING id),
			     o AS (UPDATE occupancies SET since = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)),
			     l AS (INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface)
			           SELECT gen_random_uuid(), a.id, $2::timestamptz + d * interval '1 day', $2, $3, 'clean', 'dry' FROM a, unnest($4::float8[]) AS d RETURNING id, at)
			INSERT INTO look_moulds (look_id, site, length_mm, colour) SELECT id, 'ribs', 1 + 0.5 * (extract(epoch FROM at - $2::timestamptz) / 86400 - 8), 'white' FROM l`,
			n, dbtest.Noon.AddDate(0, 0, -20), s.Bob.ID, []float64{9, 12, 15 + float64(i%3)})
		must(t, err)
	}
	_, err := owner.Exec(ctx, `INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete) SELECT gen_random_uuid(), id, 1, 'counter', $1, $2, true FROM animals`, s.Bob.ID, dbtest.Noon)
	must(t, err)
	_, err = owner.Exec(ctx, `INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, stopped_at, started_by) SELECT gen_random_uuid(), animal_id, id, $1, $1, written_by FROM orders`, dbtest.Noon)
	must(t, err)
	pace, first := numberOf(t, s, learn.Mould, learn.MouldPace), numberOf(t, s, learn.Mould, learn.MouldFirst)
	// Made with 1 mm on day 8 and 0.5 mm a day at 2 °C; a day at 2 °C is worth
	// exposure.MouldPace(2) days at 1.7 °C, about 1.1 (Rosso's curve).
	if pace.Count != 24 || !pace.InUse() || pace.Median > 0.5 || pace.Median < 0.4 || first.Median < 8 || first.Median > 10 {
		t.Fatalf("pace %+v, first %+v", pace.Own, first.Own)
	}
	forecast := func() time.Time {
		t.Helper()
		// One that hangs since four days and waits for the sign.
		v := hungOf(t, s, dbtest.Tag(1), dbtest.Noon.Add(time.Minute)).Verdict
		if v.Mould.Forecast == nil {
			t.Fatalf("no forecast: %+v", v.Mould)
		}
		return *v.Mould.Forecast
	}
	s.HangDeer(t, 1, 2)
	own := forecast()
	must(t, s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Mould, learn.MouldPace, false, "to compare"))
	must(t, s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Mould, learn.MouldFirst, false, "to compare"))
	table := forecast()
	if days := table.Sub(own).Hours() / 24; days < 3 {
		t.Errorf("own %v, table %v: the shop's mould comes about five days sooner", own, table)
	}
}

// Two owners switch at once: one wins, the other is told.
func TestChooseNumberTwoAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.CutSeason(t, learn.Enough)
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() {
			errs[i] = s.ChooseNumber(ctx, s.Act(s.Ann, dbtest.Noon), learn.Yield, deerYield, false, "both")
		})
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("%v and %v: want one winner", errs[0], errs[1])
	}
	for _, err := range errs {
		if err != nil && domain.As(err).Kind != domain.Conflict {
			t.Errorf("the second is told %v", err)
		}
	}
}
