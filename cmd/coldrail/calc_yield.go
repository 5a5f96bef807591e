package main

import (
	"coldrail/domain"
	"coldrail/domain/yield"
)

// yieldResult is the boneless meat to expect.
type yieldResult struct {
	Typical domain.Kilogram `json:"boneless_typical_kg"`
	Clean   domain.Kilogram `json:"boneless_clean_kg"`
	Basis   domain.Words    `json:"basis"`
}

// calcYield takes a species, a class and exactly one of the two weights.
func calcYield(o *object) (any, error) {
	o.only("species", "class", "field_dressed_kg", "hanging_kg")
	species := word(o, "species", domain.AllSpecies)
	class := classOf(o, species)
	dressed, hung := o.has("field_dressed_kg"), o.has("hanging_kg")
	if dressed == hung {
		o.form.wrong("field_dressed_kg", "Give exactly one of field_dressed_kg and hanging_kg.")
	}
	var e yield.Estimate
	err := o.form.err
	switch {
	case err != nil:
	case dressed:
		if kg := o.number("field_dressed_kg", 1, 1500); o.form.err == nil {
			e, err = yield.FromFieldDressed(species, domain.Kilogram(kg))
		}
	default:
		if kg := o.number("hanging_kg", 1, 1500); o.form.err == nil {
			e, err = yield.FromHanging(species, class, domain.Kilogram(kg))
		}
	}
	if o.form.err != nil {
		err = o.form.err
	}
	return yieldResult{e.Typical, e.Clean, e.Basis}, err
}

// classOf takes the class, which may be left out and must fit the species.
func classOf(o *object, species domain.Species) domain.Class {
	if !o.has("class") {
		return ""
	}
	class := domain.Class(o.text("class"))
	if o.form.err == nil && !species.Fits(class) {
		o.form.wrong("class", "A %s has no class %q.", string(species), shorten(string(class)))
	}
	return class
}
