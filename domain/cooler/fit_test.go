package cooler

import (
	"math"
	"math/rand/v2"
	"testing"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// recorded is a warm-up of a known room as a logger would have it, a reading every
// five minutes with some noise.
func recorded(w Warmup, hours, noise float64, seed uint64) (list []exposure.Reading) {
	r := rand.New(rand.NewPCG(seed, 1))
	for m := 0.0; m <= hours*60; m += 5 {
		list = append(list, exposure.Reading{At: noon.Add(minutes(m)), C: w.After(m/60).Air + domain.Celsius(noise*r.NormFloat64())})
	}
	return list
}

// On warm-ups with known constants the fit returns them within its own stated
// error: two standard errors hold in about nineteen of twenty, so of forty
// at least thirty-four are asked for.
func TestFitReturnsWhatWasPutIn(t *testing.T) {
	for _, w := range []Warmup{worked(12, 300), worked(6, 450), worked(30, 150)} {
		var held [3]int
		for seed := range uint64(40) {
			start := w // as the panels and the plate would say
			start.UA, start.Air, start.Fan = w.UA*1.6, w.Air*0.6, w.Fan*0.7
			f, err := FitRoom(recorded(w, 12, 0.05, seed), start)
			if err != nil {
				t.Fatalf("%d deer, %v W: %v", w.Animals, w.Fan, err)
			}
			for i, p := range []struct {
				got  Fitted
				want float64
			}{{f.UA, w.UA}, {f.Air, w.Air}, {f.Fan, w.Fan}} {
				if math.Abs(p.got.Value-p.want) <= p.got.Error {
					held[i]++
				}
			}
			if f.Residual < 0.03 || f.Residual > 0.08 {
				t.Errorf("residual %v for noise of 0.05 °C", f.Residual)
			}
		}
		t.Logf("%d deer, %v W: UA, air, fans within the stated error %v of 40 times", w.Animals, w.Fan, held)
		for i, n := range held {
			if n < 34 {
				t.Errorf("%d deer, %v W: number %d lies within its stated error only %d times of 40", w.Animals, w.Fan, i, n)
			}
		}
	}
}

func TestFitRefuses(t *testing.T) {
	w := worked(6, 450)
	for name, readings := range map[string][]exposure.Reading{
		"none": nil, "an hour": recorded(w, 1, 0, 1), "no rise": recorded(Warmup{UA: 1, Air: 500, Outside: 3, StartAir: 2, StartMeat: 2, Animals: 6, Animal: 40}, 5, 0, 1),
	} {
		if _, err := FitRoom(readings, w); domain.As(err).Kind != domain.Refused || domain.As(err).Error() == "" {
			t.Errorf("%s: %v, want it refused with words", name, err)
		}
	}
	if _, err := FitRoom(recorded(worked(0, 450), 5, 0.05, 1), worked(0, 450)); domain.As(err).Kind != domain.Refused {
		t.Errorf("an empty room: %v", err)
	}
	// Readings that jump about are no warm-up: whatever comes back is a number.
	r := rand.New(rand.NewPCG(9, 9))
	for range 40 {
		list := recorded(w, 6, 0, 1)
		for i := range list {
			list[i].C = domain.Celsius(r.Float64()*40 - 5)
		}
		if f, err := FitRoom(list, w); err == nil && (math.IsNaN(f.UA.Value+f.Air.Error+f.Fan.Error) || f.UA.Value <= 0) {
			t.Errorf("%+v", f)
		}
	}
}
