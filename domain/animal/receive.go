package animal

import (
	"slices"
	"time"

	"coldrail/domain"
)

// Sex is the animal's sex as the register wants it.
type Sex string

// The sexes. Empty: not known, and owed.
const (
	Male   Sex = "male"
	Female Sex = "female"
)

// Kept says how the carcass was kept before the door.
type Kept string

// The ways of keeping, by the calculator contract. Empty: nobody told.
const (
	KeptHung    Kept = "hung"
	KeptCovered Kept = "covered"
)

// Drop is what is said and measured at the door. A nil pointer means not taken.
type Drop struct {
	Number  domain.ShopNumber
	Species domain.Species
	Class   domain.Class // "" is the first class of the species
	Form    domain.Form
	Sex     Sex
	Points  int // antler points, 0 for none

	KilledAt      time.Time // a day alone stands as its midnight in the shop's zone
	KilledDayOnly bool
	FoundAt       time.Time // where it was found later than killed; zero: not told
	ReceivedAt    time.Time

	DeepTemp        *domain.Celsius // deep ham, at the door
	KeptTemp        *domain.Celsius
	Kept            Kept
	HangingWeight   *domain.Kilogram
	FieldWeight     *domain.Kilogram // field-dressed, hide on
	WeightConfirmed bool             // a person has said that an odd weight is right

	Door map[DoorLine]Grade
}

// Limits of what the door can have measured (readiness.md section 14).
const (
	minTemp, maxTemp     domain.Celsius  = -40, 60
	minWeight, maxWeight domain.Kilogram = 1, 1500
	maxPoints                            = 60

	// clockSlack is how far a tablet's clock may run ahead (readiness.md section 8).
	clockSlack = 10 * time.Minute

	// fieldToHanging is field-dressed over skinned weight (readiness.md section 12,
	// the classic formula, from memory). It only moves the question, not a result.
	fieldToHanging = 1.331
)

// Check says whether the drop can be taken as told. The first thing wrong comes
// back as Invalid at its field, or, for a weight far from what the kind weighs,
// as a question at "weight" that WeightConfirmed answers.
func Check(d Drop, now time.Time) error {
	for _, check := range []func(Drop, time.Time) error{checkKind, checkTimes, checkTemperatures, checkDoor, checkWeights} {
		if err := check(d, now); err != nil {
			return err
		}
	}
	return nil
}

func checkKind(d Drop, _ time.Time) error {
	if _, err := domain.ParseShopNumber("number", string(d.Number)); err != nil {
		return err
	}
	switch {
	case !d.Species.Known():
		return domain.Wrong("species", "We do not know this species. Choose one from the list.")
	case d.Class != "" && !d.Species.Fits(d.Class):
		return domain.Wrong("class", "That class does not go with this species. Choose again.")
	case !slices.Contains(domain.Forms, d.Form):
		return domain.Wrong("shape", "Say how it comes: whole, whole with the hide on, quarters, or boned.")
	case d.Sex != "" && d.Sex != Male && d.Sex != Female:
		return domain.Wrong("sex", "Choose male or female, or leave it open.")
	case d.Points < 0 || d.Points > maxPoints:
		return domain.Wrong("points", "Count the points again: %d cannot be right.", d.Points)
	}
	return nil
}

func checkTimes(d Drop, now time.Time) error {
	switch {
	case d.ReceivedAt.IsZero():
		return domain.Wrong("received", "Say when it came in.")
	case d.ReceivedAt.After(now.Add(clockSlack)):
		return domain.Wrong("received", "The drop-off lies in the future. Look at the clock of this tablet.")
	case d.KilledAt.IsZero():
		return domain.Wrong("killed", "Say which day it was killed.")
	case d.KilledAt.After(d.ReceivedAt):
		return domain.Wrong("killed", "It cannot have been killed after it was dropped off. Ask for the day again.")
	case d.KilledAt.After(now):
		return domain.Wrong("killed", "The day of the kill lies in the future. Ask for the day again.")
	case !d.FoundAt.IsZero() && (d.FoundAt.Before(d.KilledAt) || d.FoundAt.After(d.ReceivedAt)):
		return domain.Wrong("recovered", "It was found after the kill and before it came here. Ask for both again.")
	}
	return nil
}

func checkTemperatures(d Drop, _ time.Time) error {
	for _, t := range []struct {
		field string
		temp  *domain.Celsius
	}{{"deep", d.DeepTemp}, {"kept", d.KeptTemp}} {
		// Written so that a NaN fails too.
		if t.temp != nil && !(*t.temp >= minTemp && *t.temp <= maxTemp) {
			return domain.Wrong(t.field, "That temperature cannot be right. Measure again, from %v to %v.", minTemp, maxTemp)
		}
	}
	if d.Kept != "" && d.Kept != KeptHung && d.Kept != KeptCovered {
		return domain.Wrong("kept", "Say how it was kept: hung in the air, or covered.")
	}
	return nil
}

func checkWeights(d Drop, _ time.Time) error {
	usual := d.Species.HangingDefault()
	if err := checkWeight(d.HangingWeight, usual, d.WeightConfirmed); err != nil {
		return err
	}
	return checkWeight(d.FieldWeight, usual*fieldToHanging, d.WeightConfirmed)
}

// checkWeight asks again below a quarter and above three times what the kind
// usually weighs (readiness.md section 3), and refuses what no scale here shows.
func checkWeight(w *domain.Kilogram, usual domain.Kilogram, confirmed bool) error {
	switch {
	case w == nil:
		return nil
	case !(*w >= minWeight && *w <= maxWeight):
		return domain.Wrong("weight", "That weight cannot be right. Weigh it again, from %v to %v.", minWeight, maxWeight)
	case !confirmed && (*w < usual/4 || *w > usual*3):
		return domain.Wrong("weight", "Really %v? This kind is mostly near %v. Weigh it again, or say that it is right.", *w, usual)
	}
	return nil
}
