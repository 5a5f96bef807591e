package cutting

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"coldrail/domain"
)

// For any weights: what adds up exactly is said to add up, what is off by more
// than the tolerance is not, and nothing is said where a part was not weighed.
func TestClosureProperty(t *testing.T) {
	rnd := rand.New(rand.NewPCG(12, 69))
	for range 20000 {
		hanging := domain.Kilogram(10 + 290*rnd.Float64())
		low := hanging * domain.Kilogram(0.01*rnd.Float64())
		w := Weighed{Hanging: &hanging, ShrinkLow: low, ShrinkHigh: 3 * low}
		left := hanging - 2*low // after the middle of the shrink
		cut := func() domain.Kilogram {
			k := left * domain.Kilogram(rnd.Float64())
			left -= k
			return k
		}
		bone, discard := cut(), cut()
		w.Tubs, w.BoneFat, w.Discard = cut(), &bone, &discard
		w.Packed = left
		if c := Close(w); !c.Shown || !c.AddsUp || math.Abs(float64(c.Off)) > 1e-9 {
			t.Fatalf("%+v of %+v", c, w)
		}
		tolerance := 0.04*hanging + low // readiness.md section 12: 4 % and half the width of the shrink's range
		w.Packed -= tolerance + 0.01
		if c := Close(w); c.AddsUp || c.Off <= 0 {
			t.Fatalf("just outside adds up: %+v of %+v", c, w)
		}
		w.Packed += 0.02
		if c := Close(w); !c.AddsUp {
			t.Fatalf("just inside does not add up: %+v of %+v", c, w)
		}
		w.BoneFat = nil
		if c := Close(w); c.Shown {
			t.Fatalf("bone was not weighed, and yet it closes: %+v", c)
		}
	}
}

// A tub set aside for sticks is meat of the animal: with it the weights are within what
// such an animal gives, and nobody is sent to look for it. What is packed beside it counts
// too. The numbers are made up.
func TestTubsAreMeatToo(t *testing.T) {
	w := Weighed{Packed: 16, Tubs: 6, ExpectedLow: 21, ExpectedHigh: 24}
	if c := Close(w); !c.AddsUp || !strings.Contains(c.Words.String(), "packed and in tubs") {
		t.Errorf("22 of 21 to 24: %+v", c)
	}
	w.Packed = 19
	if c := Close(w); c.AddsUp {
		t.Errorf("25 of 21 to 24 adds up: %+v", c)
	}
	w.Packed, w.Tubs = 16, 0
	if c := Close(w); c.AddsUp || strings.Contains(c.Words.String(), "tubs;") {
		t.Errorf("16 of 21 to 24, no tub: %+v", c)
	}
}

// trade.md 6.9: neighbours within the hour, one with plus and one with minus.
func TestMixUp(t *testing.T) {
	lacks := Closure{Shown: true, Off: 3}
	around := []Neighbour{{"26-0148-1", Closure{Shown: true, Off: -2.8}}, {"26-0149-2", Closure{Shown: true, Off: 2}},
		{"26-0150-3", Closure{Shown: true, Off: -0.2, AddsUp: true}}, {"26-0151-4", Closure{Off: -4}}}
	if got := MixUp(lacks, around); len(got) != 1 || got[0].Number != "26-0148-1" {
		t.Errorf("%+v", got)
	}
	for name, c := range map[string]Closure{"adds up": {Shown: true, AddsUp: true, Off: 0.1}, "not weighed": {Off: 3}} {
		if got := MixUp(c, around); got != nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// Every piece has letters of its own, and its code reads back as it.
func TestPieceMarks(t *testing.T) {
	number, taken := domain.NewShopNumber(26, 147), []string{"L", "R"}
	for _, kind := range PieceKinds {
		for {
			mark, err := NextMark(kind, taken)
			if err != nil {
				break
			}
			for _, other := range taken {
				if other == mark {
					t.Fatalf("%s twice", mark)
				}
			}
			taken = append(taken, mark)
			n, read, err := ParsePieceCode("tag", PieceCode(number, mark))
			if err != nil || n != number || read != mark {
				t.Errorf("%s reads back as %s %s, %v", mark, n, read, err)
			}
		}
		if len(kind.Ways()) == 0 || pieceWords[kind] == "" {
			t.Errorf("%s goes nowhere or has no words", kind)
		}
		for _, way := range kind.Ways() {
			if wayWords[way] == "" {
				t.Errorf("%s has no words", way)
			}
		}
	}
	if len(taken) != 2+27+4+5 {
		t.Errorf("%d marks", len(taken))
	}
	if _, err := NextMark("tail", nil); err == nil {
		t.Error("a piece nobody knows got letters")
	}
	for _, bad := range []string{"", "2601473", "2601470T", "2601473V2", "2601473ZZ", "T"} {
		if _, _, err := ParsePieceCode("tag", bad); err == nil {
			t.Errorf("%q passes for a piece", bad)
		}
	}
}

func TestTubCount(t *testing.T) {
	for counted := range 5 {
		for open := range 5 {
			if err := CheckTubs(counted, open); (err == nil) != (counted == open) {
				t.Errorf("%d of %d: %v", counted, open, err)
			}
		}
	}
}
