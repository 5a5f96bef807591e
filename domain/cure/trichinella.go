package cure

import (
	"time"

	"coldrail/domain"
)

// Frozen is one row of the freezing of pork against Trichinella, by the air of the
// freezer.
type Frozen struct {
	F         int // °F, or colder
	ThinDays  int // pieces up to 6 in
	ThickDays int // pieces above 6 and up to 27 in
}

// FrozenRows is the table of freezing by the air, warmest row first. Source: 9 CFR
// 318.10, groups 1 and 2.
var FrozenRows = []Frozen{{5, 20, 30}, {-10, 10, 20}, {-20, 6, 12}}

// CentreRow is one row of the freezing of pork by the temperature at its centre.
type CentreRow struct {
	F   int
	For time.Duration
}

// CentreRows is the table of freezing by the centre of the meat, warmest row first.
// Source: 9 CFR 318.10.
var CentreRows = []CentreRow{{0, 106 * time.Hour}, {-5, 82 * time.Hour}, {-10, 63 * time.Hour}, {-15, 48 * time.Hour},
	{-20, 35 * time.Hour}, {-25, 22 * time.Hour}, {-30, 8 * time.Hour}, {-35, 30 * time.Minute}}

// HeatRows is the table of heating pork against Trichinella, coldest row first;
// zero is at once. Source: 9 CFR 318.10.
var HeatRows = []CentreRow{{120, 21 * time.Hour}, {122, 9*time.Hour + 30*time.Minute}, {124, 4*time.Hour + 30*time.Minute}, {126, 2 * time.Hour},
	{128, time.Hour}, {130, 30 * time.Minute}, {132, 15 * time.Minute}, {134, 6 * time.Minute}, {136, 3 * time.Minute},
	{138, 2 * time.Minute}, {140, time.Minute}, {142, time.Minute}, {144, 0}}

// The thickest pieces of the two groups.
// coldestAir is colder than any freezer of a shop, °C. Common practice, no source.
const coldestAir domain.Celsius = -90

var thin, thick = domain.Inches(6), domain.Inches(27)

// NoFreezing reports whether freezing is no answer to Trichinella in this species:
// bear, whose worms outlive it (meat frozen 45 days still made six people ill,
// 2022), and wild hog, which is treated as bear (common practice, no source).
func NoFreezing(s domain.Species) bool { return s == domain.Bear || s == domain.WildHog }

// FreezingMet holds days in a freezer against the table of 9 CFR 318.10, which is
// for pork: bear and wild hog are refused, whatever the days, and so is any other
// species, for which the table says nothing. Warmer than 5 °F or thicker than 27 in
// is outside the table and refused at its field.
func FreezingMet(s domain.Species, piece domain.Millimetre, air domain.Celsius, days float64) (bool, error) {
	if err := onlyPork(s); err != nil {
		return false, err
	}
	switch {
	case !(piece > 0 && piece <= thick+1e-6):
		return false, domain.Wrong("thickness", "The table of freezing is for pieces up to %.0f in.", thick.In())
	case !(days >= 0 && days <= 3650):
		return false, domain.Wrong("days", "Give the days in the freezer.")
	}
	if !(air >= coldestAir) { // a NaN fails too
		return false, domain.Wrong("temperature", "No freezer is at %g °C. Read it again.", float64(air))
	}
	for i := len(FrozenRows) - 1; i >= 0; i-- {
		row := FrozenRows[i]
		if air.F() > float64(row.F)+1e-4 {
			continue
		}
		if piece > thin+1e-6 {
			return days >= float64(row.ThickDays), nil
		}
		return days >= float64(row.ThinDays), nil
	}
	return false, domain.Wrong("temperature", "The table of freezing begins at %s. Warmer than that nothing is known.", domain.Fahrenheit(float64(FrozenRows[0].F)))
}

// CentreFreezingMet holds a time at a centre temperature against 9 CFR 318.10; the
// same species are refused as in FreezingMet, and a centre above 0 °F is outside.
func CentreFreezingMet(s domain.Species, centre domain.Celsius, held time.Duration) (bool, error) {
	if err := onlyPork(s); err != nil {
		return false, err
	}
	if !(centre >= coldestAir) {
		return false, domain.Wrong("temperature", "No freezer is at %g °C. Read it again.", float64(centre))
	}
	for i := len(CentreRows) - 1; i >= 0; i-- {
		if centre.F() <= float64(CentreRows[i].F)+1e-4 {
			return held >= CentreRows[i].For, nil
		}
	}
	return false, domain.Wrong("temperature", "The table of freezing by the center begins at %s. Warmer than that nothing is known.", domain.Fahrenheit(0))
}

func onlyPork(s domain.Species) error {
	switch {
	case NoFreezing(s):
		return domain.Refuse("freezing", "Freezing does not help with bear or wild hog. Cook it to %s.", domain.Fahrenheit(165))
	case s != domain.Hog:
		return domain.Wrong("species", "The table of freezing is for pork. For this meat it says nothing.")
	}
	return nil
}

// HeatingMet holds a time at a temperature of the whole piece against 9 CFR 318.10.
// Below 120 °F is outside the table and refused.
func HeatingMet(c domain.Celsius, held time.Duration) (bool, error) {
	if !(c <= hottest) {
		return false, domain.Wrong("temperature", "%g °C cannot be the inside of meat. Read the probe again.", float64(c))
	}
	for i := len(HeatRows) - 1; i >= 0; i-- {
		if c.F() >= float64(HeatRows[i].F)-1e-4 {
			return held >= HeatRows[i].For, nil
		}
	}
	return false, domain.Wrong("temperature", "The table of heating begins at %s. Colder than that nothing is known.", domain.Fahrenheit(120))
}
