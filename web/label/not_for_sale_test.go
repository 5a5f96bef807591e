package label

import (
	"regexp"
	"strconv"
	"testing"

	"coldrail/domain"
)

var pathStep = regexp.MustCompile(`[MLHVZ][^MLHVZ]*`)
var coordinate = regexp.MustCompile(`\d*\.?\d+`)

// reach is the lowest and highest y a letter's stroke touches: its ends lie on
// the edge itself, its bends half a stroke inside.
func reach(t *testing.T, path string) (top, bottom float64) {
	t.Helper()
	top, bottom = 99, -99
	for _, step := range pathStep.FindAllString(path, -1) {
		n := coordinate.FindAllString(step[1:], -1)
		if step[0] == 'H' || step[0] == 'Z' {
			continue
		}
		y, err := strconv.ParseFloat(n[len(n)-1], 64)
		if err != nil {
			t.Fatalf("%q in %q: %v", step, path, err)
		}
		top, bottom = min(top, y), max(bottom, y)
	}
	return top, bottom
}

// Every letter is drawn, from the upper edge to the lower, and the edge is at
// least 3/8 in from the lower: 9 CFR 316.16 and 317.16.
func TestNotForSaleIsTallEnough(t *testing.T) {
	if min := domain.Inches(3.0 / 8); capital < min {
		t.Fatalf("capitals of %v mm, the law asks for %v", capital, min)
	}
	if got := notForSale; got.Text != "NOT FOR SALE" || len(got.Glyph) != 10 || got.height() != "10mm" || got.Wide > domain.Inches(3.6) {
		t.Errorf("%d letters drawn, %s by %s", len(got.Glyph), got.width(), got.height())
	}
	const half = 1.7 / 2
	for r, path := range letters {
		top, bottom := reach(t, path)
		if top > half || bottom < float64(capital)-half {
			t.Errorf("%c reaches from %v to %v of 0 to %v mm", r, top, bottom, capital)
		}
	}
}
