package rail

import (
	"testing"

	"coldrail/domain"
)

func TestFits(t *testing.T) {
	hide := Hung{Species: domain.Whitetail, Form: domain.WholeHideOn}
	side := Hung{Species: domain.Beef, Form: domain.Whole}
	held := Hung{Species: domain.Whitetail, Form: domain.Whole, Held: true}
	at := func(h Hung, p int) Hung { h.Position = p; return h }
	rails := []Rail{
		{Name: "R1", Kind: Bare, Places: hooks(8), Hung: []Hung{deer(1), at(held, 5)}},
		{Name: "L", Kind: Livestock, Places: hooks(6), Hung: []Hung{at(side, 2)}},
		{Name: "H", Kind: HideOn, Places: hooks(2), Hung: []Hung{at(hide, 1)}},
		{Name: "Q", Kind: Hold, Places: hooks(4)},
	}
	for _, tt := range []struct {
		name string
		hung Hung
		at   Place
		want string // "" fits
		src  string
	}{
		{"a deer beside a deer", deer(0), Place{"R1", 2}, "", "trade.md 5.2"},
		{"a deer on a hook the program would not choose first", deer(0), Place{"R1", 3}, "", "any free place of its rail, trade.md 5.2"},
		{"beside a held one", deer(0), Place{"R1", 4}, "a held one keeps an empty place on either side", "trade.md 5.4"},
		{"held beside another", held, Place{"R1", 2}, "a held one keeps an empty place on either side", "trade.md 5.4"},
		{"held apart on its own kind's rail", held, Place{"R1", 3}, "", "trade.md 5.4"},
		{"held on the hold rail", held, Place{"Q", 1}, "", "trade.md 5.4"},
		{"hide on beside bare", hide, Place{"R1", 2}, "hide on and skinned would hang side by side", "trade.md 5.4: never touching"},
		{"hide on, nothing bare beside it", hide, Place{"R1", 3}, "", "trade.md 5.4"},
		{"a rail that carries enough", hide, Place{"H", 2}, "the rail would hang closer than it should", "trade.md 5.1: 2 x 1.4 is more than 2"},
		{"a deer among livestock", deer(0), Place{"L", 1}, "the rail is for something else", "trade.md 5.4: separate rail"},
		{"where the side reaches over", side, Place{"L", 3}, "the next carcass reaches over that hook", "trade.md 5.1: a side takes 2"},
		{"half off the rail", side, Place{"L", 6}, "it needs more hooks side by side", "trade.md 5.1: a side takes 2"},
		{"a side beside a side", side, Place{"L", 4}, "", "trade.md 5.1"},
		{"no such rail", deer(0), Place{"R9", 1}, "it needs more hooks side by side", "definition"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every case needs a source")
			}
			why, fits := Fits(rails, tt.hung, tt.at)
			if fits != (tt.want == "") || why.String() != tt.want {
				t.Errorf("got %q, %v; want %q (%s)", why, fits, tt.want, tt.src)
			}
		})
	}
}

// Whatever Next chooses also fits.
func TestNextFits(t *testing.T) {
	rails := []Rail{{Name: "R1", Kind: Bare, Places: hooks(12)}, {Name: "Q", Kind: Hold, Places: hooks(4)}, {Name: "L", Kind: Livestock, Places: hooks(7)}}
	kinds := []Hung{deer(0), {Species: domain.Whitetail, Form: domain.WholeHideOn}, {Species: domain.Whitetail, Form: domain.Whole, Held: true},
		{Species: domain.Beef, Form: domain.Whole}}
	hung := 0
	for i := range 40 {
		h := kinds[i%len(kinds)]
		p, _, err := Next(rails, h)
		if err != nil {
			continue
		}
		if why, fits := Fits(rails, h, p); !fits {
			t.Errorf("Next hangs %+v at %v, where %s", h, p, why)
		}
		for j := range rails {
			if rails[j].Name == p.Rail {
				h.Position = p.Position
				rails[j].Hung, hung = append(rails[j].Hung, h), hung+1
			}
		}
	}
	if hung < 10 {
		t.Errorf("only %d were hung, too few to say anything", hung)
	}
}
