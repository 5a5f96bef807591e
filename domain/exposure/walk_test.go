package exposure

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/domain"
)

var noon = time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)

func after(h float64) time.Time { return noon.Add(duration(h)) }

func history(t testing.TB, hoursAndCelsius ...float64) *History {
	t.Helper()
	var readings []Reading
	for i := 0; i < len(hoursAndCelsius); i += 2 {
		readings = append(readings, Reading{after(hoursAndCelsius[i]), domain.Celsius(hoursAndCelsius[i+1])})
	}
	h, err := NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// wavy is a busy season: a reading every step, a swing, defrosts, a bad night.
func wavy(t testing.TB, days float64, step time.Duration) *History {
	t.Helper()
	random := rand.New(rand.NewPCG(1, 2))
	var readings []Reading
	for at := time.Duration(0); at.Hours() <= days*24; at += step {
		h := at.Hours()
		c := 1.8 + 0.6*math.Sin(h/3) + 0.2*random.Float64()
		if math.Mod(h, 6) < 0.5 {
			c += 4 * math.Sin(math.Mod(h, 6)/0.5*math.Pi)
		}
		if h > 200 && h < 212 {
			c += (h - 200)
		}
		readings = append(readings, Reading{noon.Add(at), domain.Celsius(c)})
	}
	h, err := NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func live(in Record, from float64, meat Carcass, instants ...float64) []Moment {
	var at []time.Time
	for _, h := range instants {
		at = append(at, after(h))
	}
	return Live([]Stay{{after(from), in}}, meat, at...)
}

// slow integrates every rate by a hundred thousand small steps along the exact
// temperature: the plainest program there is, to hold the quick one against.
func slow(h *History, from, to float64, meat Carcass) (sum [rateCount]float64, above [len(Edges)]float64, deep float64) {
	const steps = 100_000
	deep = float64(meat.Deep)
	dt := (to - from) / steps
	for i := range steps {
		a, b := float64(h.At(after(from+dt*float64(i)))), float64(h.At(after(from+dt*float64(i+1))))
		r := newRamp(a, (b-a)/dt, deep, meat.Tau)
		mid, surface := r.deep(dt/2), r.surface(dt/2)
		for k, rate := range rates {
			at := surface
			if k >= surfaceRates {
				at = mid
			}
			sum[k] += rate(domain.Celsius(at)) * dt / 24
		}
		for k, e := range Edges {
			if surface > float64(e) {
				above[k] += dt
			}
		}
		deep = r.deep(dt)
	}
	return sum, above, deep
}

func TestWalkIsExactToAThousandth(t *testing.T) {
	for name, h := range map[string]*History{
		"one reading":          history(t, 0, 2.2),
		"two rounds a day":     history(t, 0, 1.5, 12, 2.5, 24, 1.5, 36, 9, 48, 2, 60, 1.5, 72, 3.3),
		"through freezing":     history(t, 0, -6, 10, 8, 20, -6, 30, 30, 40, -20),
		"logger every 5 min":   wavy(t, 4, 5*time.Minute),
		"stays near an edge":   history(t, 0, 4.35, 80, 4.35),
		"wanders across edges": history(t, 0, 2.9, 7, 3.1, 15, 2.95, 30, 6.2, 44, 5.1, 60, 3.05),
	} {
		t.Run(name, func(t *testing.T) {
			meat := Carcass{Tau(40, domain.Whole), 35}
			want, above, deep := slow(h, 0, 70, meat)
			got := live(h, 0, meat, 70)[0]
			for k := range want {
				if math.Abs(got.Dose.sum[k]-want[k]) > 0.001*want[k]+2e-5 {
					t.Errorf("rate %d: %v, by small steps %v", k, got.Dose.sum[k], want[k])
				}
			}
			for k := range above {
				if math.Abs(got.Dose.above[k]-above[k]) > 0.001*above[k]+0.004 {
					t.Errorf("above %v: %v h, by small steps %v h", Edges[k], got.Dose.above[k], above[k])
				}
			}
			if math.Abs(float64(got.Deep)-deep) > 1e-6 {
				t.Errorf("deep %v, by small steps %v", got.Deep, deep)
			}
		})
	}
}
