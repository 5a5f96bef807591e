package cooler

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Issue 3: no NaN or infinity leaves a package; what is out of range is refused
// with its field named.
func TestNumbers(t *testing.T) {
	good := Warmup{UA: 12, Fan: 150, Air: 134, Outside: 25, StartAir: 2, StartMeat: 2, Animals: 6, Animal: 40}
	bad := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 1e-320} {
		c := domain.Celsius(x)
		for _, v := range []float64{RoomUA(Polystyrene, domain.Metre(x), 3, 2), RoomUA(Polyurethane, 3, domain.Metre(x), domain.Metre(x)), RoomAir(domain.Metre(x), domain.Metre(x), domain.Metre(x))} {
			if bad(v) {
				t.Errorf("a side of %v: %v leaves the package", x, v)
			}
		}
		for field, change := range map[string]func(*Warmup){
			"ua_w_per_k": func(w *Warmup) { w.UA = x }, "fan_w": func(w *Warmup) { w.Fan = x }, "air_kj_per_k": func(w *Warmup) { w.Air = x },
			"ambient_c": func(w *Warmup) { w.Outside = c }, "start_air_c": func(w *Warmup) { w.StartAir = c },
			"start_meat_c": func(w *Warmup) { w.StartMeat = c }, "animal_kg": func(w *Warmup) { w.Animal = domain.Kilogram(x) },
		} {
			w := good
			change(&w)
			err := w.Check()
			if tiny := x == 1e-320; !tiny && (err == nil || domain.As(err).At != field) {
				t.Errorf("%s of %v: %v", field, x, err)
			}
			for _, h := range []float64{0, 5, x} {
				if s := w.After(h); bad(float64(s.Air)) || bad(float64(s.Surface)) || bad(float64(s.Meat)) {
					t.Errorf("%s of %v after %v h: %+v", field, x, h, s)
				}
			}
			if p := w.Passes(5); p.Air != nil && (*p.Air < 0 || *p.Air > 72*time.Hour) {
				t.Errorf("%s of %v: passed after %v", field, x, *p.Air)
			}
			if _, err := FitRoom(warming(good, 4), w); err == nil && w.Check() != nil {
				t.Errorf("%s of %v: fitted", field, x)
			}
		}
		if p := good.Passes(c); p.Air != nil && (*p.Air < 0 || *p.Air > 72*time.Hour) {
			t.Errorf("a limit of %v is passed after %v", x, *p.Air)
		}
		list := warming(good, 4)
		list[3].C = c
		if _, err := FitRoom(list, good); x != 1e-320 && (err == nil || domain.As(err).At != "readings[3].c") {
			t.Errorf("a reading of %v: %v", x, err)
		}
	}
}

// warming is what a thermometer reads in a warming room, each five minutes.
func warming(w Warmup, hours int) []exposure.Reading {
	start := time.Date(2026, 11, 7, 0, 0, 0, 0, time.UTC)
	list := make([]exposure.Reading, 12*hours)
	for i := range list {
		list[i] = exposure.Reading{At: start.Add(time.Duration(i) * 5 * time.Minute), C: w.After(float64(i) / 12).Air}
	}
	return list
}
