package round

import (
	"slices"
	"time"

	"coldrail/domain"
)

// Smell is what a carcass or a room smells of. The words are those of the
// calculator contract (readiness.md section 14).
type Smell string

// The smells.
const (
	SmellClean   Smell = "clean"
	SmellGamey   Smell = "gamey"
	SmellMusty   Smell = "musty"
	SmellFishy   Smell = "fishy"
	SmellSour    Smell = "sour"
	SmellPutrid  Smell = "putrid"
	SmellSulphur Smell = "sulphur"
)

// Smells lists every smell, the good ones first.
var Smells = []Smell{SmellClean, SmellGamey, SmellMusty, SmellFishy, SmellSour, SmellPutrid, SmellSulphur}

// Bad reports a smell that stops the carcass (readiness.md section 10, 1).
func (s Smell) Bad() bool {
	return s == SmellFishy || s == SmellSour || s == SmellPutrid || s == SmellSulphur
}

// Surface is how the outside feels under a clean hand.
type Surface string

// The surfaces.
const (
	SurfaceWet    Surface = "wet"
	SurfaceDrying Surface = "drying"
	SurfaceDry    Surface = "dry"
	SurfaceSticky Surface = "sticky"
	SurfaceSlimy  Surface = "slimy"
)

// Surfaces lists every surface.
var Surfaces = []Surface{SurfaceWet, SurfaceDrying, SurfaceDry, SurfaceSticky, SurfaceSlimy}

// Site is where mould stands.
type Site string

// The sites.
const (
	SiteRibs  Site = "ribs" // inside
	SiteFat   Site = "fat"
	SiteMeat  Site = "meat"
	SiteNeck  Site = "neck"
	SiteFlank Site = "flank"
)

// Sites lists every site.
var Sites = []Site{SiteRibs, SiteFat, SiteMeat, SiteNeck, SiteFlank}

// Colour is the colour of mould.
type Colour string

// The colours.
const (
	White     Colour = "white"
	Grey      Colour = "grey"
	Black     Colour = "black"
	BlueGreen Colour = "blue-green"
	Yellow    Colour = "yellow"
	Pink      Colour = "pink"
)

// Colours lists every colour.
var Colours = []Colour{White, Grey, Black, BlueGreen, Yellow, Pink}

// Stops reports a colour that stops the carcass whatever its length: some of
// these moulds make toxins (readiness.md section 9). White and grey do not
// prove a mould harmless either.
func (c Colour) Stops() bool {
	return c == Black || c == BlueGreen || c == Yellow || c == Pink
}

// Mould is one growth seen.
type Mould struct {
	Site   Site
	Length domain.Millimetre
	Colour Colour
}

// Look is what one person found on one carcass.
type Look struct {
	At      time.Time
	Smell   Smell
	Surface Surface
	Mould   []Mould
}

// maxMould is the longest growth taken without doubt: beyond it the number was
// surely not millimetres. Common practice, no source; whisker moulds reach 1 in.
const maxMould domain.Millimetre = 100

// Check says whether the look can be taken. The first thing wrong comes back as
// Invalid at its field.
func (l Look) Check() error {
	if l.At.IsZero() {
		return domain.Wrong("at", "The look has no time. Look again.")
	}
	if !slices.Contains(Smells, l.Smell) {
		return domain.Wrong("smell", "Say what it smells of.")
	}
	if !slices.Contains(Surfaces, l.Surface) {
		return domain.Wrong("surface", "Touch it and say how it feels.")
	}
	for i, m := range l.Mould {
		if err := m.check(); err != nil {
			return err
		}
		for _, other := range l.Mould[:i] {
			if other.Site == m.Site && other.Colour == m.Colour {
				return domain.Wrong("mould", "The same mold stands twice. Give its longest length once.")
			}
		}
	}
	return nil
}

func (m Mould) check() error {
	switch {
	case !slices.Contains(Sites, m.Site):
		return domain.Wrong("mould", "Say where the mold is: inside the ribs, fat, meat, neck or flank.")
	case !slices.Contains(Colours, m.Colour):
		return domain.Wrong("mould", "Say what color the mold is.")
	case !(m.Length >= 0 && m.Length <= maxMould): // a NaN fails too
		return domain.Wrong("mould", "That length cannot be right. Hold the scale beside it and read again.")
	}
	return nil
}

// Words names the smell.
func (s Smell) Words() domain.Words {
	if s == SmellSulphur {
		return domain.Say("rotten eggs")
	}
	return domain.Say(string(s))
}

// Words names the surface.
func (s Surface) Words() domain.Words { return domain.Say(string(s)) }

// Words names the site.
func (s Site) Words() domain.Words {
	if s == SiteRibs {
		return domain.Say("inside the ribs")
	}
	return domain.Say(string(s))
}

// Words names the colour.
func (c Colour) Words() domain.Words {
	if c == Grey {
		return domain.Say("gray")
	}
	return domain.Say(string(c))
}

// TellByMouth reports a look whose finding stops the carcass: its owner hears of it
// from a person, before any page shows it.
func (l Look) TellByMouth() bool {
	return l.Smell.Bad() || l.Surface == SurfaceSlimy || slices.ContainsFunc(l.Mould, func(m Mould) bool { return m.Colour.Stops() })
}
