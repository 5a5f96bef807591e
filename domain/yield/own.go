package yield

import "coldrail/domain"

// Own is what the shop's own animals of a class gave, as a part of their weight:
// the 10, 50 and 90 % points of Count of them (domain/learn).
type Own struct {
	Count             int
	Low, Middle, High float64
}

// FromOwn returns the expected boneless meat by the shop's own numbers in place of
// the table (readiness.md section 12). The weight is the one own was found from:
// hanging, or field-dressed. A weight outside 1 to 1500 kg is an Invalid error.
func FromOwn(own Own, kg domain.Kilogram, hanging bool) (Estimate, error) {
	at, basis := "hanging_kg", domain.Say("Hanging weight: what %d of this shop's own animals of the class gave, 8 of 10 of them.", own.Count)
	if !hanging {
		at, basis = "field_dressed_kg", domain.Say("Field-dressed weight: what %d of this shop's own animals of the class gave, 8 of 10 of them.", own.Count)
	}
	if err := weighed(at, kg); err != nil {
		return Estimate{}, err
	}
	return Estimate{Typical: kg * domain.Kilogram(own.Low), Clean: kg * domain.Kilogram(own.High), Middle: kg * domain.Kilogram(own.Middle),
		Count: own.Count, Basis: basis}, nil
}

// ShrinkKind names the row of Shrink an animal falls under.
func ShrinkKind(species domain.Species, form domain.Form) string {
	switch {
	case form == domain.WholeHideOn:
		return "hide-on"
	case species.Game():
		return "game"
	}
	return "livestock"
}
