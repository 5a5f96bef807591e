package round

import (
	"math"
	"slices"
	"testing"
	"time"

	"coldrail/domain"
)

func TestLookCheck(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   string // "" is taken
		edit func(*Look)
	}{
		{"the example of readiness.md section 14", "", func(l *Look) { l.Mould = []Mould{{SiteRibs, 1.8, White}} }},
		{"two colours at one site", "", func(l *Look) { l.Mould = []Mould{{SiteRibs, 1.8, White}, {SiteRibs, 1, Black}} }},
		{"no mould", "", func(*Look) {}},
		{"no time", "at", func(l *Look) { l.At = time.Time{} }},
		{"not smelled", "smell", func(l *Look) { l.Smell = "" }},
		{"not touched", "surface", func(l *Look) { l.Surface = "soft" }},
		{"mould nowhere", "mould", func(l *Look) { l.Mould = []Mould{{"ear", 1, White}} }},
		{"mould of no colour", "mould", func(l *Look) { l.Mould = []Mould{{SiteFat, 1, ""}} }},
		{"mould below nothing", "mould", func(l *Look) { l.Mould = []Mould{{SiteFat, -1, White}} }},
		{"mould a yard long", "mould", func(l *Look) { l.Mould = []Mould{{SiteFat, 914, White}} }},
		{"mould not a number", "mould", func(l *Look) { l.Mould = []Mould{{SiteFat, domain.Millimetre(math.NaN()), White}} }},
		{"the same twice", "mould", func(l *Look) { l.Mould = []Mould{{SiteFat, 1, White}, {SiteFat, 2, White}} }},
	} {
		l := Look{At: time.Unix(1.79e9, 0), Smell: SmellClean, Surface: SurfaceDry}
		tt.edit(&l)
		if err := l.Check(); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// readiness.md section 10, 1, and section 9: what stops a carcass.
func TestWhatStops(t *testing.T) {
	for _, s := range Smells {
		if want := slices.Contains([]Smell{"fishy", "sour", "putrid", "sulphur"}, s); s.Bad() != want {
			t.Errorf("%s: bad %v, want %v", s, s.Bad(), want)
		}
	}
	for _, c := range Colours {
		if want := c != "white" && c != "grey"; c.Stops() != want {
			t.Errorf("%s: stops %v, want %v", c, c.Stops(), want)
		}
	}
	if SiteRibs.Words().String() != "inside the ribs" || SmellSulphur.Words().String() != "rotten eggs" {
		t.Error("a word on screen that a butcher would not say")
	}
}
