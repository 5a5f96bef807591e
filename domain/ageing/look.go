package ageing

import (
	"slices"
	"time"

	"coldrail/domain"
)

// Smell is what the nose found.
type Smell string

// The smells, the clean one first.
const (
	CleanSmell Smell = "clean"
	Gamey      Smell = "gamey"
	Musty      Smell = "musty"
	Fishy      Smell = "fishy"
	Sour       Smell = "sour"
	Putrid     Smell = "putrid"
	Sulphur    Smell = "sulphur"
)

// Smells lists every smell.
var Smells = []Smell{CleanSmell, Gamey, Musty, Fishy, Sour, Putrid, Sulphur}

// Bad reports whether the smell stops an animal.
func (s Smell) Bad() bool { return slices.Contains([]Smell{Fishy, Sour, Putrid, Sulphur}, s) }

// Surface is what the hand found.
type Surface string

// The surfaces, from best to worst.
const (
	Dry    Surface = "dry"
	Drying Surface = "drying" // a skin is forming
	Wet    Surface = "wet"
	Sticky Surface = "sticky"
	Slimy  Surface = "slimy"
)

// Surfaces lists every surface.
var Surfaces = []Surface{Dry, Drying, Wet, Sticky, Slimy}

// Site is where mould grows.
type Site string

// The sites. Neck and flank count as meat.
const (
	Ribs  Site = "ribs" // inside the ribs
	Fat   Site = "fat"
	Meat  Site = "meat"
	Neck  Site = "neck"
	Flank Site = "flank"
)

// Sites lists every site.
var Sites = []Site{Ribs, Fat, Meat, Neck, Flank}

// signSite reports whether growth here is the sign some shops wait for.
func (s Site) signSite() bool { return s == Ribs || s == Fat }

// Colour is the colour of mould.
type Colour string

// The colours. White and grey are common; the others stop the animal.
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

// Stops reports whether mould of this colour stops the animal, whatever its
// length: some moulds make toxins. White and grey do not prove a mould harmless.
func (c Colour) Stops() bool { return c != White && c != Grey }

// Mould is the longest growth of one colour at one site.
type Mould struct {
	Site   Site
	Length domain.Millimetre
	Colour Colour
}

// Look is what one person found on one animal at one moment.
type Look struct {
	At      time.Time
	Smell   Smell
	Surface Surface
	Mould   []Mould
	// FromRail: nobody touched this animal; it takes the surface found on another
	// of its kind on the same rail. Smell and Mould say nothing then.
	FromRail bool
}

// good reports whether the look found a clean smell and a dry or drying surface.
func (l Look) good() bool {
	return !l.FromRail && l.Smell == CleanSmell && (l.Surface == Dry || l.Surface == Drying)
}
