package rail

import (
	"math"
	"math/rand/v2"
	"testing"

	"coldrail/domain"
)

func hooks(n int) []int {
	places := make([]int, n)
	for i := range places {
		places[i] = i + 1
	}
	return places
}

func deer(position int) Hung {
	return Hung{Species: domain.Whitetail, Form: domain.Whole, Position: position}
}

func TestPlaceWeight(t *testing.T) {
	const src = "trade.md 5.1, capacity maths (common practice)"
	for _, tt := range []struct {
		hung Hung
		want float64
		src  string
	}{
		{Hung{Species: domain.Whitetail, Form: domain.Whole}, 1, src},
		{Hung{Species: domain.Whitetail, Form: domain.WholeHideOn}, 1.4, src},
		{Hung{Species: domain.Beef, Form: domain.Whole}, 2, src + ", a side"},
		{Hung{Species: domain.Hog, Form: domain.Whole}, 1, src + ", a half"},
		{Hung{Species: domain.Lamb, Form: domain.Whole}, 0.7, src},
		{Hung{Species: domain.Beef, Form: domain.Quarters}, 1, "half a side"},
		{Hung{Species: domain.Whitetail, Form: domain.Whole, Held: true}, 2, src + ": counts its empty neighbour"},
	} {
		if got := tt.hung.Weight(); tt.src == "" || math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%+v: %v, want %v (%s)", tt.hung, got, tt.want, tt.src)
		}
	}
}

func TestFull(t *testing.T) {
	rails := []Rail{{Places: hooks(10), Hung: []Hung{deer(1), deer(2), {Species: domain.Beef, Form: domain.Whole, Position: 4}}}, {Places: hooks(10)}}
	if got := PercentFull(rails); got != 20 {
		t.Errorf("4 of 20 places: %v percent", got)
	}
	for _, tt := range []struct {
		in, out, days float64
		fills         bool
	}{{6, 2, 4, true}, {2, 2, 0, false}, {1, 3, 0, false}, {math.NaN(), 0, 0, false}} {
		if days, fills := DaysUntilFull(rails, tt.in, tt.out); days != tt.days || fills != tt.fills {
			t.Errorf("in %v out %v: %v days, %v", tt.in, tt.out, days, fills)
		}
	}
	if days, fills := DaysUntilFull([]Rail{{Places: hooks(1), Hung: []Hung{deer(1)}}}, 0, 5); days != 0 || !fills {
		t.Error("a full rail is full today")
	}
	if PercentFull(nil) != 0 {
		t.Error("no rails, nothing full")
	}
}

// However a rail is hung, tags stand in order, inside the rail, none on another.
func TestDrawnNeverOverlaps(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		rail := Rail{Places: hooks(1 + r.IntN(30))}
		for range r.IntN(40) {
			rail.Hung = append(rail.Hung, Hung{
				Species: domain.AllSpecies[r.IntN(len(domain.AllSpecies))], Form: domain.Forms[r.IntN(len(domain.Forms))], Position: 1 + r.IntN(len(rail.Places)),
			})
		}
		spots := rail.Drawn()
		if len(spots) != len(rail.Hung) {
			t.Fatalf("%d hang, %d drawn", len(rail.Hung), len(spots))
		}
		for i, s := range spots {
			if s.Width <= 0 || s.Centre <= 0 || s.Centre >= 1 {
				t.Fatalf("spot %d of %d: centre %v, width %v", i, len(spots), s.Centre, s.Width)
			}
			if i > 0 && spots[i-1].Centre+spots[i-1].Width/2 > s.Centre-s.Width/2+1e-9 {
				t.Fatalf("tags %d and %d lie on each other: %+v %+v", i-1, i, spots[i-1], s)
			}
		}
	}
}

func TestDrawnToScale(t *testing.T) {
	spots := Rail{Places: hooks(10), Hung: []Hung{deer(10), deer(1)}}.Drawn()
	if spots[0].Centre != 0.05 || spots[0].Width != 0.1 || spots[1].Centre != 0.95 {
		t.Errorf("hooks 1 and 10 of 10 stand at %v and %v, %v wide", spots[0].Centre, spots[1].Centre, spots[0].Width)
	}
}
