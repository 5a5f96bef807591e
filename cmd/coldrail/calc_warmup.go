package main

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
)

// warmupAt is a room some hours after its cooling stopped.
type warmupAt struct {
	Hour    float64         `json:"h"`
	Air     domain.Celsius  `json:"air_c"`
	Surface *domain.Celsius `json:"surface_c"`
	Meat    *domain.Celsius `json:"meat_c"`
}

// warmupPass is when one limit is passed; null: not within 72 h.
type warmupPass struct {
	At      float64  `json:"c"`
	Air     *float64 `json:"air_h"`
	Surface *float64 `json:"surface_h"`
	Meat    *float64 `json:"meat_h"`
}

type warmupResult struct {
	At     []warmupAt   `json:"at"`
	Passes []warmupPass `json:"passes"`
}

// calcWarmup takes a room and says how it warms.
func calcWarmup(o *object) (any, error) {
	o.only("ua_w_per_k", "fan_w", "fans_on", "air_kj_per_k", "ambient_c", "start_air_c", "start_meat_c",
		"animals", "animal_kg", "hours", "limits_c")
	w := cooler.Warmup{
		UA: o.number("ua_w_per_k", 0, 10_000), Fan: o.number("fan_w", 0, 50_000), Air: o.number("air_kj_per_k", 0.1, 1e6),
		Outside: celsius(o, "ambient_c"), StartAir: celsius(o, "start_air_c"), StartMeat: celsius(o, "start_meat_c"),
		Animals: o.count("animals", 10_000), Animal: domain.Kilogram(o.number("animal_kg", 1, 1500)),
	}
	if !o.truth("fans_on") {
		w.Fan = 0
	}
	hours, limits := o.numbers("hours", 0, 8760), o.numbers("limits_c", -40, 60)
	if o.form.err != nil {
		return nil, o.form.err
	}
	if err := w.Check(); err != nil {
		return nil, err
	}
	result := warmupResult{At: []warmupAt{}, Passes: []warmupPass{}}
	for _, h := range hours {
		state := w.After(h)
		at := warmupAt{Hour: h, Air: state.Air}
		if w.Animals > 0 {
			at.Surface, at.Meat = &state.Surface, &state.Meat
		}
		result.At = append(result.At, at)
	}
	for _, c := range limits {
		p := w.Passes(domain.Celsius(c))
		result.Passes = append(result.Passes, warmupPass{c, inHours(p.Air), inHours(p.Surface), inHours(p.Meat)})
	}
	return result, nil
}

func celsius(o *object, name string) domain.Celsius {
	return domain.Celsius(o.number(name, -40, 60))
}

// inHours keeps null for what did not happen.
func inHours(d *time.Duration) *float64 {
	if d == nil {
		return nil
	}
	h := d.Hours()
	return &h
}
