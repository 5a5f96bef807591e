package plan

import (
	"math"

	"coldrail/domain"
)

// Work is a kind of cutting work with a pace of its own.
type Work string

// The kinds of work.
const (
	Boned  Work = "boned"   // deer and like game off the bone
	BoneIn Work = "bone-in" // the same with chops on the bone, sawn
	Heavy  Work = "heavy"   // beef, bison, veal, elk, moose: by the weight
	Hogs   Work = "hogs"    // hog, wild hog, bear
	Lambs  Work = "lambs"   // lamb, goat
)

// Pace is how long one person takes: Minutes for a carcass, or PerKg minutes for
// each kilogram of hanging weight where that is set.
type Pace struct {
	Minutes int
	PerKg   float64
}

// Paces are the usual ones, the middle of each range. Common practice, no source
// (trade.md 6.5): a plain deer 30 to 50 min, bone-in style 20 to 30, beef 120 to
// 200 lb hanging an hour, a hog 35 to 60, a lamb 20 to 35. That bear and wild hog
// go like a hog and elk and moose like beef is ours.
var Paces = map[Work]Pace{
	Boned: {Minutes: 40}, BoneIn: {Minutes: 25}, Heavy: {PerKg: 60 / (160 / 2.20462)}, Hogs: {Minutes: 47}, Lambs: {Minutes: 27},
}

// WorkOf says which kind of work an animal is; boneIn: its order asks for chops
// on the bone.
func WorkOf(s domain.Species, boneIn bool) Work {
	switch s {
	case domain.Beef, domain.Bison, domain.Veal, domain.Elk, domain.Moose:
		return Heavy
	case domain.Hog, domain.WildHog, domain.Bear:
		return Hogs
	case domain.Lamb, domain.Goat:
		return Lambs
	}
	if boneIn {
		return BoneIn
	}
	return Boned
}

// Minutes is how long one person takes for a carcass of that hanging weight, at
// the shop's own pace where paces has one, else at the usual one; 1 to 1,440.
func Minutes(w Work, hanging domain.Kilogram, paces map[Work]Pace) int {
	p, own := paces[w]
	if !own {
		p = Paces[w]
	}
	minutes := float64(p.Minutes)
	if p.PerKg > 0 {
		minutes = p.PerKg * float64(hanging)
	}
	if !(minutes <= MostMinutes) { // a NaN takes the whole day
		return MostMinutes
	}
	return int(max(math.Ceil(minutes), 1))
}
