package rail

import (
	"fmt"
	"strings"
	"testing"

	"coldrail/domain"
)

func TestNext(t *testing.T) {
	hide := Hung{Species: domain.Whitetail, Form: domain.WholeHideOn}
	beef := Hung{Species: domain.Beef, Form: domain.Whole}
	held := Hung{Species: domain.Whitetail, Form: domain.Whole, Held: true}
	tub := Hung{Species: domain.Whitetail, Form: domain.Boned}
	at := func(h Hung, p int) Hung { h.Position = p; return h }
	for _, tt := range []struct {
		name  string
		rails []Rail
		hung  Hung
		want  string // "" is refused
		src   string
	}{
		{"first hook from the door", []Rail{{Name: "R1", Kind: Bare, Places: hooks(5)}}, deer(0), "R1-1", "trade.md 5.2"},
		{"the gap between two deer", []Rail{{Name: "R1", Kind: Bare, Places: hooks(5), Hung: []Hung{deer(1), deer(3)}}}, deer(0), "R1-2", "trade.md 5.2"},
		{"a hook out of service", []Rail{{Name: "R1", Kind: Bare, Places: []int{2, 3}}}, deer(0), "R1-2", "trade.md Annex A: in service?"},
		{"the next rail when the first is full", []Rail{{Name: "R1", Kind: Bare, Places: hooks(1), Hung: []Hung{deer(1)}}, {Name: "R2", Kind: Bare, Places: hooks(5)}}, deer(0), "R2-1", "trade.md 5.2"},
		{"beef not on the game rail", []Rail{{Name: "R1", Kind: Bare, Places: hooks(5)}}, beef, "", "trade.md 5.4: separate rail"},
		{"deer not on the livestock rail", []Rail{{Name: "L", Kind: Livestock, Places: hooks(5)}}, deer(0), "", "trade.md 5.4: separate rail"},
		{"beef takes two hooks", []Rail{{Name: "L", Kind: Livestock, Places: hooks(6), Hung: []Hung{at(Hung{Species: domain.Hog, Form: domain.Whole}, 2)}}}, beef, "L-3", "trade.md 5.1: beef side 2"},
		{"beef does not hang half off the rail", []Rail{{Name: "L", Kind: Livestock, Places: hooks(3), Hung: []Hung{at(Hung{Species: domain.Lamb, Form: domain.Whole}, 2)}}}, beef, "", "trade.md 5.1: beef side 2"},
		{"hide-on has its own rail", []Rail{{Name: "R1", Kind: Bare, Places: hooks(5)}, {Name: "H", Kind: HideOn, Places: hooks(5)}}, hide, "H-1", "trade.md 5.4"},
		{"hide-on not beside bare", []Rail{{Name: "R1", Kind: Bare, Places: hooks(9), Hung: []Hung{deer(2)}}}, hide, "R1-4", "trade.md 5.4: never touching"},
		{"bare not beside hide-on", []Rail{{Name: "R1", Kind: Bare, Places: hooks(9), Hung: []Hung{at(hide, 1)}}}, deer(0), "R1-3", "trade.md 5.4: never touching"},
		{"hide-on beside hide-on", []Rail{{Name: "R1", Kind: Bare, Places: hooks(9), Hung: []Hung{at(hide, 1)}}}, hide, "R1-2", "trade.md 5.4: ok"},
		{"held goes to the hold rail", []Rail{{Name: "R1", Kind: Bare, Places: hooks(5)}, {Name: "Q", Kind: Hold, Places: hooks(4)}}, held, "Q-1", "trade.md 5.4: own rail"},
		{"held keeps an empty place", []Rail{{Name: "Q", Kind: Hold, Places: hooks(4), Hung: []Hung{at(held, 1)}}}, held, "Q-3", "trade.md 5.4: empty place between"},
		{"held without a hold rail", []Rail{{Name: "R1", Kind: Bare, Places: hooks(6), Hung: []Hung{deer(1)}}}, held, "R1-3", "trade.md 5.4: empty place between"},
		{"a tub on the shelf", []Rail{{Name: "R1", Kind: Bare, Places: hooks(6)}, {Name: "S", Kind: Shelf, Places: hooks(2)}}, tub, "S-1", "trade.md 5.2: shelf for tubs"},
		{"hung closer than it should be", []Rail{{Name: "H", Kind: HideOn, Places: hooks(4), Hung: []Hung{at(hide, 1), at(hide, 2)}}}, hide, "", "trade.md 5.1: 3 x 1.4 is more than 4"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			place, why, err := Next(tt.rails, tt.hung)
			switch {
			case tt.src == "":
				t.Fatal("every case needs a source")
			case tt.want == "" && domain.As(err).Kind != domain.Refused:
				t.Errorf("got %v, %v; want a refusal (%s)", place, err, tt.src)
			case tt.want != "" && (err != nil || fmt.Sprintf("%s-%d", place.Rail, place.Position) != tt.want):
				t.Errorf("got %v, %v; want %s (%s)", place, err, tt.want, tt.src)
			case tt.want != "" && !strings.HasPrefix(why.String(), place.Rail):
				t.Errorf("the reason does not name the place: %q", why)
			}
		})
	}
}

// Hanging one after the other, no rule is broken until the room says it is full.
func TestNextFillsTheRoom(t *testing.T) {
	rails := []Rail{{Name: "R1", Kind: Bare, Places: hooks(12)}, {Name: "Q", Kind: Hold, Places: hooks(4)}, {Name: "L", Kind: Livestock, Places: hooks(7)}}
	for i := 0; ; i++ {
		h := Hung{Species: domain.AllSpecies[(i*7)%len(domain.AllSpecies)], Form: domain.Forms[i%2], Held: i%9 == 0}
		place, _, err := Next(rails, h)
		if err != nil && i > 40 {
			break
		}
		if i > 200 {
			t.Fatal("the room never fills")
		}
		for r := range rails {
			if err == nil && rails[r].Name == place.Rail {
				h.Position = place.Position
				rails[r].Hung = append(rails[r].Hung, h)
			}
		}
	}
	if PercentFull(rails) > 100 || len(rails[0].Hung) < 4 {
		t.Errorf("%v percent full, %d on the first rail", PercentFull(rails), len(rails[0].Hung))
	}
	for _, r := range rails {
		for i, a := range r.Hung {
			for _, b := range r.Hung[i+1:] {
				a1, a2 := a.span()
				b1, b2 := b.span()
				if a1 <= b2 && b1 <= a2 || a1 <= b2+1 && b1 <= a2+1 && !beside(a, b) {
					t.Errorf("%s: %+v and %+v hang where they may not", r.Name, a, b)
				}
			}
		}
	}
	if _, why, err := Next(rails[1:2], Hung{Species: domain.Elk, Form: domain.Whole}); err == nil || why.Format != "" || !strings.Contains(err.Error(), "skinned game are full") {
		t.Errorf("a hold rail took game that is not held: %v", err)
	}
}
