package yield

import (
	"math"

	"coldrail/domain"
)

// Estimate is the expected boneless meat.
type Estimate struct {
	Typical domain.Kilogram // with the usual waste and damage
	Clean   domain.Kilogram // a clean carcass, boned by a patient hand
	Basis   domain.Words    // which table it comes from
	// By the shop's own numbers Typical and Clean are the 10 and 90 % points of its
	// animals, and these two their middle and how many there were.
	Middle domain.Kilogram // 0: by the table
	Count  int             // 0: by the table
}

// The published and customary shares (science.md G.2).
const (
	classicDressed = 1.331         // field-dressed to carcass, whitetail classic formula (from memory)
	classicIdeal   = 0.67          // carcass to ideal boneless (from memory)
	classicReal    = 0.70          // ideal to realistic, shot and waste off (from memory)
	deerClean      = 0.48          // of field-dressed: UW B-589R mule deer 55/114 and 44/93 lb, Ohio wildlife agency for whitetail
	elkClean       = 218.0 / 437.0 // of field-dressed: UW B-594R, six bulls
	deerHung       = 0.573         // clean, of hanging: UW B-589R, 55/96 lb
	deerHungTyp    = 0.469         // typical, of hanging: classic formula (from memory)
	bullHung       = 0.599         // clean, of hanging: UW B-594R, 218/364 lb
	cowHung        = 0.575         // clean, of hanging: UW B-594R, 169/294 lb
	elkTypical     = 0.8           // of clean. Common practice, no source
)

// FromFieldDressed returns the expected boneless meat from the field-dressed
// weight (gutted, lower legs off, head and hide on):
//
//	deer, caribou, pronghorn   typical = FD/1.331 * 0.67 * 0.70,  clean = 0.48 FD
//	elk, moose                 clean = 218/437 FD,                typical = 0.8 clean
//
// Other species are not weighed so and come back as an Invalid error at
// "field_dressed_kg", as does a weight outside 1 to 1500 kg.
//
// Sources: University of Wyoming B-589R and B-594R (2003), quoted in an article;
// the classic whitetail formula is from memory. A butcher would argue that a
// badly shot deer gives half.
func FromFieldDressed(species domain.Species, kg domain.Kilogram) (Estimate, error) {
	if err := weighed("field_dressed_kg", kg); err != nil {
		return Estimate{}, err
	}
	switch {
	case species.Deer(), species == domain.Pronghorn:
		return Estimate{Typical: kg / classicDressed * classicIdeal * classicReal, Clean: kg * deerClean,
			Basis: domain.Say("Field-dressed weight: typical by the classic whitetail formula (text not checked), clean by University of Wyoming B-589R.")}, nil
	case species == domain.Elk, species == domain.Moose:
		clean := kg * elkClean
		return Estimate{Typical: clean * elkTypical, Clean: clean,
			Basis: domain.Say("Field-dressed weight: clean by University of Wyoming B-594R (elk), typical 0.8 of it (common practice).")}, nil
	}
	return Estimate{}, domain.Wrong("field_dressed_kg", "A %s is not weighed field-dressed. Give its hanging weight.", string(species))
}

// share is typical and clean boneless meat as a part of the hanging weight.
type share struct{ typical, clean float64 }

// customary are the shares no bulletin gives. Common practice, no source.
var customary = map[domain.Species]share{
	domain.Hog: {0.62, 0.70}, domain.WildHog: {0.40, 0.50}, domain.Bear: {0.40, 0.50},
	domain.Lamb: {0.50, 0.60}, domain.Goat: {0.50, 0.60}, domain.Veal: {0.55, 0.65},
}

// FromHanging returns the expected boneless meat from the hanging weight
// (skinned, headless):
//
//	deer, caribou, pronghorn   0.469 to 0.573
//	elk, moose                 0.8 of clean to 0.599 (bull), 0.575 (cow, or sex not told)
//	beef, bison                0.55 to 0.65
//	others                     as customary
//
// Sources: University of Wyoming B-589R and B-594R (2003); beef: SDSU Extension,
// How much meat can you expect (490 lb from a 750 lb carcass). A weight outside 1
// to 1500 kg is an Invalid error at "hanging_kg".
func FromHanging(species domain.Species, class domain.Class, kg domain.Kilogram) (Estimate, error) {
	if err := weighed("hanging_kg", kg); err != nil {
		return Estimate{}, err
	}
	s, basis := customary[species], domain.Say("Hanging weight: common practice, no source.")
	switch {
	case species.Deer(), species == domain.Pronghorn:
		s, basis = share{deerHungTyp, deerHung}, domain.Say("Hanging weight: typical by the classic whitetail formula (text not checked), clean by University of Wyoming B-589R.")
	case species == domain.Elk, species == domain.Moose:
		clean := cowHung
		if class == domain.Bull {
			clean = bullHung
		}
		s, basis = share{elkTypical * clean, clean}, domain.Say("Hanging weight: clean by University of Wyoming B-594R (elk), typical 0.8 of it (common practice).")
	case species == domain.Beef, species == domain.Bison:
		s, basis = share{0.55, 0.65}, domain.Say("Hanging weight: South Dakota State University Extension, 55 to 65 % boneless.")
	}
	if s.clean == 0 {
		return Estimate{}, domain.Wrong("species", "%q is not a species this program knows.", string(species))
	}
	return Estimate{Typical: kg * domain.Kilogram(s.typical), Clean: kg * domain.Kilogram(s.clean), Basis: basis}, nil
}

func weighed(at string, kg domain.Kilogram) error {
	if !(kg >= 1 && kg <= 1500) {
		return domain.Wrong(at, "A weight is from 1 to 1,500 kg, not %g.", float64(kg))
	}
	return nil
}

// Shrink returns the fraction of the hot weight lost after days of hanging:
//
//	shrink % = L1 (1 - e^(-t/0.7)) + r t
//	beef, bison, veal and other livestock   L1 1.7, r 0.25 a day
//	game, skinned                           L1 2, r 0.5 to day 4, then 0.3
//	hide on                                 L1 as above, r 0.15
//
// For 0 to 60 days; less counts as 0, more as 60.
//
// Source: fitted to the 4 to 6 % beef is said to lose in 14 days and the 1.1 to
// 2.0 % UK chillers measured in a day (Gigiel 1998), science.md G.1; game and hide
// on are common practice, no source.
func Shrink(species domain.Species, form domain.Form, days float64) float64 {
	const settles, crust = 0.7, 4.0
	if math.IsNaN(days) {
		return 0
	}
	t := min(max(days, 0), 60)
	first, steady := 1.7, 0.25*t
	if species.Game() {
		first, steady = 2, 0.5*min(t, crust)+0.3*max(0, t-crust)
	}
	if form == domain.WholeHideOn {
		steady = 0.15 * t
	}
	return (first*-math.Expm1(-t/settles) + steady) / 100
}
