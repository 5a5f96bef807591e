package cooler

import (
	"math"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// meatHeat is the specific heat of a lean, bone-in carcass in kJ/kg K. Common
// practice, no source; James & James 2002 Table 13.2 gives 3.2 to 3.6.
const meatHeat = 3.3

// Panel is what a cooler's walls are made of.
type Panel string

// The two common panels, 4 in (100 mm) thick.
const (
	Polyurethane Panel = "polyurethane"
	Polystyrene  Panel = "polystyrene"
)

// conductance returns the heat a panel lets through, W/m2 K.
//
// Source: a panel maker's quick-load sheet gives; converted
// (science.md F.4).
func (p Panel) conductance() float64 {
	if p == Polystyrene {
		return 0.34
	}
	return 0.23
}

// side holds a side of a room to 0 to 100 m; what is no number counts as 100.
func side(m domain.Metre) domain.Metre {
	if !(m <= 100) {
		return 100
	}
	return max(m, 0)
}

// RoomUA returns the heat the walls, ceiling and floor of a room let in per
// degree, W/K: panel conductance times area. It is taken where nothing was
// measured.
func RoomUA(p Panel, length, width, height domain.Metre) float64 {
	length, width, height = side(length), side(width), side(height)
	return p.conductance() * float64(2*length*width+2*height*(length+width))
}

// RoomAir returns the heat capacity of a room's air and fittings, kJ/K: 1.3 kJ
// per m3 and degree of air, and 100 kJ/K of racks and liner (common practice, no
// source).
func RoomAir(length, width, height domain.Metre) float64 {
	return 1.3*float64(side(length)*side(width)*side(height)) + 100
}

// Warmup is a room whose cooling has stopped.
type Warmup struct {
	UA       float64 // W/K through the walls
	Fan      float64 // W of the fans that run on; 0: fans off
	Air      float64 // kJ/K of air and fittings
	Outside  domain.Celsius
	StartAir domain.Celsius
	// StartMeat is the mean temperature of the meat.
	StartMeat domain.Celsius
	Animals   int
	Animal    domain.Kilogram // weight of each
}

// longestWarmup is how far a warm-up is foreseen; nobody leaves a room so long.
const longestWarmup = 72.0 // hours

// longestAfter is the last hour that After looks at; later counts as this.
const longestAfter = 24 * 366.0

// State is the room some time after the cooling stopped.
type State struct {
	Air, Surface, Meat domain.Celsius // Surface and Meat only if there are animals
}

// Check refuses a warm-up that cannot be counted with, naming the field.
func (w Warmup) Check() error {
	for _, c := range []struct {
		at        string
		v, lo, hi float64
	}{
		{"ua_w_per_k", w.UA, 0, 10_000}, {"fan_w", w.Fan, 0, 50_000}, {"air_kj_per_k", w.Air, 0.1, 1e6},
		{"ambient_c", float64(w.Outside), -40, 60}, {"start_air_c", float64(w.StartAir), -40, 60},
		{"start_meat_c", float64(w.StartMeat), -40, 60}, {"animals", float64(w.Animals), 0, 10_000},
		{"animal_kg", float64(w.Animal), 1, 1500},
	} {
		if !(c.v >= c.lo && c.v <= c.hi) {
			return domain.Wrong(c.at, "This must be from %g to %g, not %g.", c.lo, c.hi, c.v)
		}
	}
	return nil
}

// exchange returns hA, the heat the air gives the meat per degree, W/K:
// 7.0 (kg/40)^0.667 per animal.
//
// Common practice, no source: a Meeh-type area and 6 to 10 W/m2 K in slow air
// (science.md F.1, F.4).
func (w Warmup) exchange() float64 {
	return 7.0 * math.Pow(float64(w.Animal)/40, 0.667) * float64(w.Animals)
}

// After returns the room h hours after the cooling stopped, from the two-node
// balance
//
//	C dTa/dt   = Qfan + UA (Tout - Ta) - hA (Ta - Tp)        (1)
//	m c dTp/dt = hA (Ta - Tp)                                (2)
//
// solved exactly: with A the matrix of (1) and (2) and b their constant part,
//
//	T(t) = T(0) + (f0 + f1 A)(A T(0) + b)
//
// where f0 + f1 A is the integral of the matrix exponential, found from A's two
// eigenvalues. The surface keeps 0.3 of the difference between meat and air.
//
// Source: science.md F.4, a lumped balance; Biot is about 1.3, so the meat is a
// mean and the bone is slower. Doors, lights and people are left out.
//
// For 0 to a year; what is no number counts as a year. In a room that Check refuses
// everything is at 60 °C, so that a broken figure never makes one look better.
func (w Warmup) After(h float64) State {
	if !(h <= longestAfter) {
		h = longestAfter
	}
	if w.Check() != nil {
		return State{exposure.MaxCelsius, exposure.MaxCelsius, exposure.MaxCelsius}
	}
	air, meat := w.solve(max(h, 0))
	s := State{Air: domain.Celsius(air), Meat: domain.Celsius(meat)}
	s.Surface = exposure.Surface(s.Air, s.Meat)
	return s
}

// solve returns air and meat after h hours, °C.
func (w Warmup) solve(h float64) (air, meat float64) {
	const perHour = 3.6 // kJ/h per W
	hA, mass := w.exchange(), float64(w.Animal)*float64(w.Animals)*meatHeat
	ta, tp := float64(w.StartAir), float64(w.StartMeat)
	a := -(w.UA + hA) * perHour / w.Air
	slopeA := (w.Fan + w.UA*(float64(w.Outside)-ta) - hA*(ta-tp)) * perHour / w.Air
	if w.Animals == 0 {
		return ta + grown(a, h)*slopeA, tp
	}
	b, c := hA*perHour/w.Air, hA*perHour/mass
	d := -c
	slopeP := c * (ta - tp)
	// Eigenvalues of [a b; c d]; b and c are positive, so they differ.
	half, root := (a+d)/2, math.Sqrt((a-d)*(a-d)/4+b*c)
	fast := half - root
	slow := (a*d - b*c) / fast // the product of both: no digits lost
	f1 := (grown(slow, h) - grown(fast, h)) / (slow - fast)
	f0 := grown(slow, h) - slow*f1
	return ta + f0*slopeA + f1*(a*slopeA+b*slopeP), tp + f0*slopeP + f1*(c*slopeA+d*slopeP)
}

// grown is the integral of e^(rate s) for s from 0 to h.
func grown(rate, h float64) float64 {
	if rate*h == 0 {
		return h
	}
	return math.Expm1(rate*h) / rate
}

// Pass is when one temperature was passed; nil: not within 72 h, or no meat.
type Pass struct {
	At                 domain.Celsius
	Air, Surface, Meat *time.Duration
}

// Passes returns when air, meat surface and meat on average rise above a limit:
// at once if they are above it already.
func (w Warmup) Passes(limit domain.Celsius) Pass {
	p := Pass{At: limit, Air: passes(func(h float64) float64 { return float64(w.After(h).Air) }, float64(limit))}
	if w.Animals > 0 {
		p.Surface = passes(func(h float64) float64 { return float64(w.After(h).Surface) }, float64(limit))
		p.Meat = passes(func(h float64) float64 { return float64(w.After(h).Meat) }, float64(limit))
	}
	return p
}

// passes returns when f, which turns at most once, first rises above limit.
func passes(f func(float64) float64, limit float64) *time.Duration {
	if f(0) > limit {
		return new(time.Duration)
	}
	top := highest(f)
	if !(f(top) > limit) { // a limit that is no number is never passed
		return nil
	}
	low, high := 0.0, top
	for range 60 {
		if mid := (low + high) / 2; f(mid) > limit {
			high = mid
		} else {
			low = mid
		}
	}
	at := time.Duration(high * float64(time.Hour))
	return &at
}

// highest returns the hour at which f, a sum of two exponentials, is highest
// within 72 h: an end, or its one turning point, by the golden section.
func highest(f func(float64) float64) float64 {
	const golden = 0.6180339887498949
	a, b := 0.0, longestWarmup
	for range 80 {
		x, y := b-golden*(b-a), a+golden*(b-a)
		if f(x) < f(y) {
			a = x
		} else {
			b = y
		}
	}
	if mid := (a + b) / 2; f(mid) > f(longestWarmup) {
		return mid
	}
	return longestWarmup
}
