package db_test

import (
	"slices"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
)

// The day of the kill is put right by a line of the register with its reason; the ageing
// clock follows, sent twice it is one line, and the line before stays.
func TestKillIsPutRight(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.KilledAt, d.KilledDayOnly, d.NotHung = dbtest.Noon.Add(-4*time.Hour), false, false
	before := receive(t, s, d)
	right := dbtest.Noon.Add(-28 * time.Hour)
	act := s.Act(s.Bob, dbtest.Noon.Add(time.Hour))
	for range 2 {
		if err := s.Tell(ctx, act, d.Number, killedOn(right.Format(db.RegisterTime))); err != nil {
			t.Fatal(err)
		}
	}
	a, err := s.Animal(ctx, d.Number)
	if err != nil || !a.KilledAt.Equal(right) || a.KilledDayOnly || a.Revision <= before.Revision || a.Door != "clean" {
		t.Errorf("stands %v, day alone %v, revision %d after %d, door %s, %v", a.KilledAt, a.KilledDayOnly, a.Revision, before.Revision, a.Door, err)
	}
	lines, err := s.RegisterOf(ctx, d.Number)
	if err != nil || len(lines) != 2 || lines[1].Corrects != lines[0].Seq || lines[1].Reason() != "told by phone" ||
		lines[1].Facts["killed"] != right.Format(db.RegisterTime) || lines[0].Facts["killed"] == lines[1].Facts["killed"] {
		t.Errorf("lines %+v, %v", lines, err)
	}
	told, err := s.TimeLine(ctx, a.ID)
	if err != nil || !slices.ContainsFunc(told, func(h db.Happening) bool {
		return h.What == "correct" && h.Detail["killed_was"] == lines[0].Facts["killed"] && h.Detail["killed"] == lines[1].Facts["killed"]
	}) {
		t.Errorf("time line %+v, %v", told, err)
	}
	if err := s.VerifyRegister(ctx); err != nil {
		t.Error(err)
	}
}

func killedOn(written string) db.Told {
	return db.Told{Fields: map[string]string{"killed": written}, Why: "told by phone"}
}

// What the drop-off refuses is refused afterwards too, and leaves no line.
func TestKillPutRightRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.KilledAt, d.FoundAt = dbtest.Noon.Add(-20*time.Hour), dbtest.Noon.Add(-10*time.Hour)
	receive(t, s, d)
	for written, at := range map[string]string{
		dbtest.Noon.Add(time.Hour).Format(db.RegisterTime):      "killed",    // after it was received
		dbtest.Noon.Add(-9 * time.Hour).Format(db.RegisterTime): "recovered", // after it was found
		"yesterday": "killed",
	} {
		if e := domain.As(s.Tell(ctx, s.Act(s.Bob, dbtest.Noon.AddDate(0, 0, 2)), d.Number, killedOn(written))); e.Kind != domain.Invalid || e.At != at {
			t.Errorf("%s: %v at %q", written, e, e.At)
		}
	}
	noWhy := killedOn("2026-11-17")
	noWhy.Why = ""
	if e := domain.As(s.Tell(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, noWhy)); e.At != "why" {
		t.Errorf("without a reason: %v", e)
	}
	if lines, err := s.RegisterOf(ctx, d.Number); err != nil || len(lines) != 1 {
		t.Errorf("something refused left a line: %d, %v", len(lines), err)
	}
}

// A warm carcass whose hour is told afterwards is graded by it as at the door: with a bad
// fault it is cut first, and what the door would refuse is held for the lead.
func TestHourToldIsGraded(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	deep := domain.Fahrenheit(52)
	loc := dbtest.Noon.Location()
	day := time.Date(dbtest.Noon.Year(), dbtest.Noon.Month(), dbtest.Noon.Day()-1, 0, 0, 0, 0, loc)
	for i, tt := range []struct {
		hours time.Duration
		grade animal.Grade
		held  int
	}{{17 * time.Hour, animal.BadFault, 0}, {30 * time.Hour, animal.RefuseGrade, 1}} {
		d := aDrop(i + 1)
		d.KilledAt, d.KilledDayOnly, d.DeepTemp = day, true, &deep
		a := receive(t, s, d)
		if g, err := s.DoorGrades(ctx, a.ID); err != nil || g[animal.DoorTemperature] != "" || a.Door != "clean" {
			t.Fatalf("graded before the hour is known: %v, %s, %v", g, a.Door, err)
		}
		for range 2 { // told a second time, nothing more is held
			if err := s.Tell(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, killedOn(dbtest.Noon.Add(-tt.hours).Format(db.RegisterTime))); err != nil {
				t.Fatal(err)
			}
		}
		now, err := s.Animal(ctx, d.Number)
		if err != nil || now.Door != "damaged" || now.ProtocolID == a.ProtocolID {
			t.Errorf("%v: door %s, rule %d, %v", tt.hours, now.Door, now.ProtocolID, err)
		}
		if g, err := s.DoorGrades(ctx, a.ID); err != nil || g[animal.DoorTemperature] != tt.grade {
			t.Errorf("%v: %v, %v", tt.hours, g, err)
		}
		holds, err := s.Holds(ctx, d.Number)
		if err != nil {
			t.Fatal(err)
		}
		held := 0
		for _, h := range holds {
			if h.Kind == hold.Quality && h.Open() {
				held++
			}
		}
		if held != tt.held {
			t.Errorf("%v: held %d times", tt.hours, held)
		}
	}
}

// Livestock cannot be said killed before a part of it was sold by its kill entry.
func TestKillNotBeforeTheSale(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Species, d.Sex, d.Points = domain.Hog, "", 0
	receive(t, s, d)
	sold := dbtest.Noon.AddDate(0, 0, -2)
	k := cutting.Kill{SaidBy: "Dell Hargrove", Household: true, Shares: []cutting.Buyer{{Portion: cutting.WholeAnimal, Name: "Dell Hargrove", SoldOn: sold, Evidence: "bill of sale"}}}
	if err := s.EnterKill(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, k); err != nil {
		t.Fatal(err)
	}
	if e := domain.As(s.Tell(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, killedOn(sold.AddDate(0, 0, -1).Format(time.DateOnly)))); e.Kind != domain.Invalid || e.At != "killed" {
		t.Errorf("killed before it was sold: %v", e)
	}
	if err := s.Tell(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, killedOn(sold.Format(time.DateOnly))); err != nil {
		t.Errorf("on the day of the sale: %v", err)
	}
}
