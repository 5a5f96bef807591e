package cooler

import (
	"fmt"
	"math"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Fit is a room's own heat numbers as found from a warm-up in its record.
type Fit struct {
	UA  Fitted // W/K through the walls
	Air Fitted // kJ/K of air and fittings
	Fan Fitted // W of the fans

	Residual domain.Celsius // root mean square between the readings and the fit
	Readings int
	From, To time.Time
}

// Fitted is a number and its stated error: two standard errors either way.
type Fitted struct{ Value, Error float64 }

const (
	leastReadings = 12               // fewer say too little about three numbers
	leastFit      = 90 * time.Minute // so does a shorter warm-up
)

// FitRoom finds a room's heat numbers from the air of a warm-up with the cooling
// off and the fans running, by least squares: the UA, C and Qfan, and the first
// air, with which Warmup.After comes nearest to the readings. hA is that of the
// animals, so that its share of the rise tells C. w gives what is known (meat,
// outside) and where to begin.
//
// It refuses fewer than 12 readings, less than 90 min, a rise below 3 °C, an
// empty room, and readings that do not tell the three apart.
//
// Source: readiness.md section 7c. Gauss-Newton with Levenberg's damping on the
// logarithms of the three; the stated error is from the usual covariance
// s2 (J'J)^-1. Assumes that the door stayed shut.
func FitRoom(readings []exposure.Reading, w Warmup) (Fit, error) {
	n := len(readings)
	for i, r := range readings {
		if r.C != exposure.Within(r.C) {
			return Fit{}, domain.Wrong(fmt.Sprintf("readings[%d].c", i), "A reading of %g °C is outside -40 to 60 °C.", float64(r.C))
		}
	}
	if err := w.Check(); err != nil {
		return Fit{}, err
	}
	switch {
	case n < leastReadings || readings[n-1].At.Sub(readings[0].At) < leastFit:
		return Fit{}, domain.Refuse("fit", "This warm-up has %d readings: at least 12 over an hour and a half are needed.", n)
	case w.Animals == 0:
		return Fit{}, domain.Refuse("fit", "Nothing hung in the room then, so the heat of its air cannot be told from its walls'. Take a warm-up with meat in it.")
	case readings[n-1].C-readings[0].C < 3:
		return Fit{}, domain.Refuse("fit", "The air rose by less than 3 °C. Take a longer warm-up.")
	}
	w.StartAir = readings[0].C
	w.UA, w.Air, w.Fan = max(w.UA, 1), max(w.Air, 10), max(w.Fan, 20)
	w, cov, s2, ok := nearest(readings, w)
	if !ok {
		return Fit{}, domain.Refuse("fit", "These readings do not tell walls, fans and meat apart. Take a longer warm-up with the door shut and the cooling off all the time.")
	}
	off := func(i int, v float64) Fitted { return Fitted{v, 2 * math.Sqrt(max(0, cov[i][i])) * v} }
	f := Fit{UA: off(0, w.UA), Air: off(1, w.Air), Fan: off(2, w.Fan),
		Residual: domain.Celsius(math.Sqrt(s2)), Readings: n, From: readings[0].At, To: readings[n-1].At}
	for _, v := range []Fitted{f.UA, f.Air, f.Fan} {
		if !(v.Error < v.Value) {
			return Fit{}, domain.Refuse("fit", "These readings do not tell walls, fans and meat apart. Take a longer warm-up with the door shut and the cooling off all the time.")
		}
	}
	return f, nil
}

// moved returns the room with its numbers changed: the first three by so much of
// themselves, the last, the first air, in °C.
func (w Warmup) moved(by [4]float64) Warmup {
	w.UA, w.Air, w.Fan = w.UA*math.Exp(by[0]), w.Air*math.Exp(by[1]), w.Fan*math.Exp(by[2])
	w.StartAir += domain.Celsius(by[3])
	return w
}

// leftOver returns the readings less what the room says, and the sum of squares.
func leftOver(readings []exposure.Reading, w Warmup) (left []float64, sum float64) {
	left = make([]float64, len(readings))
	for i, r := range readings {
		left[i] = float64(r.C - w.After(r.At.Sub(readings[0].At).Hours()).Air)
		sum += left[i] * left[i]
	}
	return left, sum
}

// nearest moves the room towards the readings until it comes no nearer. It returns
// the covariance of what moved uses and the mean square of what is left over.
func nearest(readings []exposure.Reading, w Warmup) (_ Warmup, cov [4][4]float64, s2 float64, ok bool) {
	damping := 1e-2
	left, sum := leftOver(readings, w)
	for range 100 {
		normal, right := normals(readings, w, left)
		damped := normal
		for i := range damped {
			damped[i][i] *= 1 + damping
		}
		inverse, ok := invert(damped)
		if !ok {
			return w, cov, 0, false
		}
		var step [4]float64
		for i := range step {
			for j := range step {
				step[i] += inverse[i][j] * right[j]
			}
			step[i] = min(max(step[i], -2), 2)
		}
		next := w.moved(step)
		nextLeft, nextSum := leftOver(readings, next)
		if !(nextSum < sum) {
			if damping *= 10; damping > 1e8 {
				break
			}
			continue
		}
		still := sum-nextSum < 1e-12*sum
		w, left, sum, damping = next, nextLeft, nextSum, damping/10
		if still {
			break
		}
	}
	normal, _ := normals(readings, w, left)
	inverse, ok := invert(normal)
	s2 = sum / float64(len(readings)-4)
	for i := range cov {
		for j := range cov {
			cov[i][j] = s2 * inverse[i][j]
		}
	}
	return w, cov, s2, ok && !math.IsNaN(s2)
}

// normals are J'J and J' times what is left over, J by central differences.
func normals(readings []exposure.Reading, w Warmup, left []float64) (normal [4][4]float64, right [4]float64) {
	const small = 1e-4
	slopes := make([][4]float64, len(readings))
	for k := range right {
		var up, down [4]float64
		up[k], down[k] = small, -small
		more, less := w.moved(up), w.moved(down)
		for i, r := range readings {
			t := r.At.Sub(readings[0].At).Hours()
			slopes[i][k] = float64(more.After(t).Air-less.After(t).Air) / (2 * small)
		}
	}
	for i, row := range slopes {
		for j := range row {
			right[j] += row[j] * left[i]
			for k := range row {
				normal[j][k] += row[j] * row[k]
			}
		}
	}
	return normal, right
}

// invert is Gauss-Jordan elimination with the largest pivot; ok is false where
// the matrix has none to speak of.
func invert(m [4][4]float64) (inverse [4][4]float64, ok bool) {
	for i := range inverse {
		inverse[i][i] = 1
	}
	for i := range m {
		best := i
		for j := i + 1; j < len(m); j++ {
			if math.Abs(m[j][i]) > math.Abs(m[best][i]) {
				best = j
			}
		}
		m[i], m[best] = m[best], m[i]
		inverse[i], inverse[best] = inverse[best], inverse[i]
		pivot := m[i][i]
		if math.Abs(pivot) < 1e-9 {
			return inverse, false
		}
		for k := range m {
			m[i][k], inverse[i][k] = m[i][k]/pivot, inverse[i][k]/pivot
		}
		for j := range m {
			if j == i {
				continue
			}
			times := m[j][i]
			for k := range m {
				m[j][k] -= times * m[i][k]
				inverse[j][k] -= times * inverse[i][k]
			}
		}
	}
	return inverse, true
}
