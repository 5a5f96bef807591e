package label

import (
	"testing"

	"coldrail/domain"
)

// Whatever the printer does, the advice undoes it, and letters under 3/8 in are
// told (9 CFR 316.16 and 317.16).
func TestAdvise(t *testing.T) {
	line := domain.Inches(3)
	for percent := 40; percent <= 250; percent++ {
		scale := domain.Millimetre(percent) / 100
		said, bad, err := advise(line, line*scale)
		if err != nil || len(said) == 0 {
			t.Fatalf("%d %%: %v, %v", percent, said, err)
		}
		if want := capital*scale < domain.Inches(3.0/8); bad != want {
			t.Errorf("%d %%: bad %v, letters of %v mm", percent, bad, capital*scale)
		}
		if true100 := percent >= 99 && percent <= 101; (len(said[0].Args) == 0) != true100 {
			t.Errorf("%d %%: %s", percent, said[0])
		}
	}
	for _, wrong := range []domain.Millimetre{0, -3, 3, 400} {
		if _, _, err := advise(line, wrong); err == nil {
			t.Errorf("a line of %v mm passes for 3 in", wrong)
		}
	}
}
