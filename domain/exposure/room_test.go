package exposure

import (
	"math"
	"sync"
	"testing"
	"time"

	"coldrail/domain"
)

// near fails unless the two moments agree to 0.1 % in every integral.
func near(t *testing.T, what string, got, want Moment) {
	t.Helper()
	for k := range want.Dose.sum {
		if math.Abs(got.Dose.sum[k]-want.Dose.sum[k]) > 0.001*want.Dose.sum[k]+1e-4 {
			t.Errorf("%s: rate %d is %v by the sums, %v by walking", what, k, got.Dose.sum[k], want.Dose.sum[k])
		}
	}
	for k := range want.Dose.above {
		if math.Abs(got.Dose.above[k]-want.Dose.above[k]) > 0.001*want.Dose.above[k]+0.1 {
			t.Errorf("%s: above %v is %v h by the sums, %v h by walking", what, Edges[k], got.Dose.above[k], want.Dose.above[k])
		}
	}
	if got.IsCold != want.IsCold || math.Abs((got.Chilled-want.Chilled).Hours()) > 0.02 {
		t.Errorf("%s: chilled %v %v by the sums, %v %v by walking", what, got.IsCold, got.Chilled, want.IsCold, want.Chilled)
	}
	if math.Abs(float64(got.Deep-want.Deep)) > 0.06 {
		t.Errorf("%s: deep %v by the sums, %v by walking", what, got.Deep, want.Deep)
	}
}

func TestRoomEqualsWalking(t *testing.T) {
	h := wavy(t, 40, 5*time.Minute)
	room := NewRoom(h)
	for _, kg := range []domain.Kilogram{12, 22, 40, 47, 80, 150, 300} {
		for _, form := range []domain.Form{domain.Whole, domain.WholeHideOn, domain.Boned} {
			for _, from := range []float64{0, 7.3, 190, 500} {
				meat := Carcass{Tau(kg, form), 28}
				instants := []float64{from, from + 1, from + 30, from + 31.7, from + 100.2, from + 400}
				want, got := live(h, from, meat, instants...), live(room, from, meat, instants...)
				for i := range want {
					near(t, string(form), got[i], want[i])
				}
			}
		}
	}
}

// Two rooms in turn, hand readings, a warm room: the sums follow the walk.
func TestRoomThroughMoves(t *testing.T) {
	logger, hand, warm := wavy(t, 20, 5*time.Minute), history(t, 0, 2, 12, 3, 24, 2.5, 60, 4, 200, 2), history(t, 0, 6, 100, 7, 400, 5.5)
	stays := func(records ...Record) (s []Stay) {
		for i, r := range records {
			s = append(s, Stay{after(10 + 90*float64(i)), r})
		}
		return s
	}
	for name, path := range map[string][][]Record{
		"logger then hand": {{logger, hand}, {NewRoom(logger), NewRoom(hand)}},
		"warm then logger": {{warm, logger}, {NewRoom(warm), NewRoom(logger)}},
		"there and back":   {{logger, hand, logger, warm}, {NewRoom(logger), NewRoom(hand), NewRoom(logger), NewRoom(warm)}},
		"of the meat":      {{logger.OfMeat(), hand}, {NewRoom(logger.OfMeat()), NewRoom(hand)}},
	} {
		meat, when := Carcass{Tau(60, domain.Whole), 20}, []time.Time{after(50), after(250), after(470)}
		want, got := Live(stays(path[0]...), meat, when...), Live(stays(path[1]...), meat, when...)
		for i := range want {
			near(t, name, got[i], want[i])
		}
	}
}

// Readings that come later extend the sums; readings that come late change them.
func TestRoomAdd(t *testing.T) {
	all := wavy(t, 10, 5*time.Minute).Readings()
	full, err := NewHistory(all)
	if err != nil {
		t.Fatal(err)
	}
	first, err := NewHistory(all[:400])
	if err != nil {
		t.Fatal(err)
	}
	room, meat := NewRoom(first), Carcass{Tau(40, domain.Whole), 30}
	want := live(full, 20, meat, 200)[0]
	for from := 400; from < len(all); from += 333 {
		live(room, 20, meat, 200) // builds sums that the next readings must not spoil
		if err := room.Add(all[from:min(from+333, len(all))]); err != nil {
			t.Fatal(err)
		}
	}
	near(t, "in order", live(room, 20, meat, 200)[0], want)

	gappy, err := NewHistory(append(append([]Reading{}, all[:600]...), all[1500:]...))
	if err != nil {
		t.Fatal(err)
	}
	room = NewRoom(gappy)
	live(room, 20, meat, 200)
	if err := room.Add(all[600:1500]); err != nil {
		t.Fatal(err)
	}
	near(t, "a late file", live(room, 20, meat, 200)[0], want)
	if err := room.Add([]Reading{{noon, 99}}); domain.As(err).At != "readings[2881].c" {
		t.Errorf("a reading of 99 °C: %v", err)
	}
}

func TestRoomForManyAtOnce(t *testing.T) {
	h := wavy(t, 10, 5*time.Minute)
	room := NewRoom(h)
	var wait sync.WaitGroup
	for i := range 20 {
		wait.Go(func() {
			meat := Carcass{Tau(domain.Kilogram(30+i), domain.Whole), 30}
			near(t, "one of twenty", live(room, float64(i), meat, 200)[0], live(h, float64(i), meat, 200)[0])
		})
		wait.Go(func() {
			if err := room.Add([]Reading{{after(240 + float64(i)), 2}}); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}
