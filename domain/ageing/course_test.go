package ageing_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
)

// What was gained is never lost again while the animal hangs, the plain growth
// stays between the slowest and the quickest, and the course ends in the verdict.
func TestCourseOnlyRises(t *testing.T) {
	t.Parallel()
	source := rand.New(rand.NewPCG(3, 14))
	received := time.Date(2026, 11, 7, 19, 10, 0, 0, time.UTC)
	for range 40 {
		var readings []exposure.Reading
		for h := range 240 {
			readings = append(readings, exposure.Reading{At: received.Add(time.Duration(h) * time.Hour), C: domain.Celsius(-1 + 6*source.Float64())})
		}
		history, err := exposure.NewHistory(readings)
		if err != nil {
			t.Fatal(err)
		}
		now := received.Add(240 * time.Hour)
		facts := ageing.Facts{Species: "whitetail", Class: "mature", Form: domain.Whole, Door: ageing.DoorClean, Killed: received.Add(-3 * time.Hour), Received: received, Weight: 40,
			Looks: []ageing.Look{{At: received.Add(30 * time.Hour), Smell: "clean", Surface: ageing.Dry}}}
		stays := []exposure.Stay{{From: received, In: history}}
		var instants []time.Time
		for at := received; !at.After(now); at = at.Add(8 * time.Hour) {
			instants = append(instants, at)
		}
		course, err := ageing.Course(facts, stays, instants...)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range course {
			if s.GrowthLow > s.Growth+1e-9 || s.Growth > s.GrowthHigh+1e-9 {
				t.Fatalf("at %v growth %g lies outside %g to %g", s.At, s.Growth, s.GrowthLow, s.GrowthHigh)
			}
			if i > 0 && (s.Tender < course[i-1].Tender-1e-12 || s.Growth < course[i-1].Growth-1e-12) {
				t.Fatalf("from %v to %v it lost what it had gained", course[i-1].At, s.At)
			}
		}
		last, err := ageing.Judge(facts, stays, now)
		if err != nil {
			t.Fatal(err)
		}
		if got := course[len(course)-1]; got.Tender != last.Tender || got.Growth != last.Growth || got.Deep != last.Deep {
			t.Fatalf("the course ends in %+v, Judge says %+v", got.Verdict, last)
		}
	}
}
