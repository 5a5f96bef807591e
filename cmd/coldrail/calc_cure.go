package main

import (
	"coldrail/domain"
	"coldrail/domain/cure"
)

// cureResult is the nitrite going in, held against its limit.
type cureResult struct {
	PPM     float64      `json:"nitrite_ppm"`
	Limit   float64      `json:"limit_ppm"`
	Verdict cure.Verdict `json:"verdict"`
}

// calcCure takes the cure as it was weighed. The methods with a pickle take its
// weight and the pick-up; the meat may be given with them and changes nothing.
func calcCure(o *object) (any, error) {
	c := cure.Cure{Method: word(o, "method", cure.Methods)}
	known := []string{"method", "meat_kg", "cure_g", "cure_nitrite_fraction"}
	if c.Method.Pickle() {
		known = append(known, "pickle_kg", "pump_fraction")
	}
	o.only(known...)
	c.Grams = o.number("cure_g", 0, 1_500_000)
	c.Fraction = o.number("cure_nitrite_fraction", 0, 1)
	if !c.Method.Pickle() || o.has("meat_kg") {
		c.Meat = domain.Kilogram(o.number("meat_kg", 1, 1500))
	}
	if c.Method.Pickle() {
		c.Pickle = domain.Kilogram(o.number("pickle_kg", 1, 1500))
		c.PickUp = o.number("pump_fraction", 0, 1)
	}
	if o.form.err != nil {
		return nil, o.form.err
	}
	r, err := cure.Reckon(c)
	return cureResult(r), err
}
