package domain

import "slices"

// Species is the kind of animal on the hook, by the names of the calculator
// contract (readiness.md section 14).
type Species string

// The species a small custom shop meets. Game first, then livestock.
const (
	Whitetail Species = "whitetail"
	MuleDeer  Species = "mule-deer"
	OtherDeer Species = "other-deer"
	Elk       Species = "elk"
	Moose     Species = "moose"
	Caribou   Species = "caribou"
	Pronghorn Species = "pronghorn"
	Bear      Species = "bear"
	WildHog   Species = "wild-hog"
	Beef      Species = "beef"
	Bison     Species = "bison"
	Veal      Species = "veal"
	Lamb      Species = "lamb"
	Goat      Species = "goat"
	Hog       Species = "hog"
)

// AllSpecies lists every species in the order a counter reads them out.
var AllSpecies = []Species{Whitetail, MuleDeer, OtherDeer, Elk, Moose, Caribou, Pronghorn,
	Bear, WildHog, Beef, Bison, Veal, Lamb, Goat, Hog}

// Class divides a species where age, sex or fat cover changes how it hangs.
type Class string

// The classes. Mature is accepted for every species.
const (
	Mature   Class = "mature"
	Young    Class = "young"
	Thin     Class = "thin"
	Bull     Class = "bull"
	Cow      Class = "cow"
	FatCover Class = "fat-cover"
	Lean     Class = "lean"
)

// Form is the shape in which the animal hangs or lies.
type Form string

// The forms a carcass arrives in.
const (
	Whole       Form = "whole"
	WholeHideOn Form = "whole-hide-on"
	Quarters    Form = "quarters"
	Boned       Form = "boned"
)

// Forms lists every form.
var Forms = []Form{Whole, WholeHideOn, Quarters, Boned}

// Known reports whether s is one of AllSpecies.
func (s Species) Known() bool { return slices.Contains(AllSpecies, s) }

// Game reports whether s is game; the rest is livestock and falls under the
// custom exemption of 21 USC 623.
func (s Species) Game() bool {
	return slices.Index(AllSpecies, s) <= slices.Index(AllSpecies, WildHog) && s.Known()
}

// Deer reports whether s hangs by the rules for deer.
func (s Species) Deer() bool {
	return s == Whitetail || s == MuleDeer || s == OtherDeer || s == Caribou
}

// Classes lists the classes that fit s, the default first.
func (s Species) Classes() []Class {
	switch s {
	case Whitetail, MuleDeer, OtherDeer, Caribou:
		return []Class{Mature, Young, Thin}
	case Elk, Moose:
		return []Class{Cow, Bull, Mature}
	case Beef, Bison:
		return []Class{FatCover, Lean, Mature}
	}
	return []Class{Mature}
}

// Fits reports whether class c may be given for s.
func (s Species) Fits(c Class) bool { return slices.Contains(s.Classes(), c) }

// HangingDefault is the hanging weight assumed until the scale has spoken.
//
// Common practice, no source (readiness.md section 3).
func (s Species) HangingDefault() Kilogram {
	switch s {
	case Caribou:
		return 70
	case Elk:
		return 150
	case Moose:
		return 220
	case Pronghorn:
		return 22
	case Bear:
		return 60
	case WildHog:
		return 50
	case Beef, Bison:
		return 300
	case Veal, Hog:
		return 80
	case Lamb, Goat:
		return 25
	}
	return 40 // whitetail, mule-deer, other-deer
}
