package ageing

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/domain/learn"
)

// The mould sign (readiness.md section 9). Common practice, no source.
const (
	SignLength   domain.Millimetre = 1.5 // 1/16 in; longer counts too
	priorFrom                      = 14  // days at 1.7 °C until growth is seen
	priorLength  domain.Millimetre = 1   // its length then
	priorPace                      = 0.8 // mm a day at 1.7 °C from then on
	warnPace                       = 1.1 // mm a day
	warnAir      domain.Celsius    = 2.8 // 37 °F
	warnAirHours                   = 24
	signLookOut                    = 365 * 24 * time.Hour // nothing is foreseen beyond
)

// MouldSign is how far the sign some shops wait for has come.
type MouldSign struct {
	Reached  bool
	Length   domain.Millimetre // longest white or grey growth at ribs or fat, last look that names either
	Forecast *time.Time        // when 1.5 mm is expected; nil: reached, never a sign here, or not foreseen
	Pace     float64           // mm a day by the line through the looks; 0: no line
	Line     bool              // Forecast comes from this animal's own looks, not from the usual pace
}

// MouldPrior is the shop's usual mould: First scaled day on which it is 1 mm long,
// and Pace, mm a scaled day, from then on. A scaled day is a day at 1.7 °C.
type MouldPrior struct{ First, Pace float64 }

// UsualMould is the prior of readiness.md section 9: nothing before day 14, then
// 1 mm and 0.8 mm a day. Common practice, no source; the pace with temperature is
// that of exposure.MouldPace.
var UsualMould = MouldPrior{First: priorFrom, Pace: priorPace}

// days are the scaled days until the sign.
func (p MouldPrior) days() float64 {
	return p.First + float64(SignLength-priorLength)/p.Pace
}

// prior is the shop's own where it has one, else the usual.
func (f *Facts) prior() MouldPrior {
	if f.Mould.Pace > 0 {
		return f.Mould
	}
	return UsualMould
}

// signAt returns the longest white or grey growth at ribs or fat in a look, and
// whether the look names either site.
func signAt(l Look) (longest domain.Millimetre, named bool) {
	for _, m := range l.Mould {
		if !m.Site.signSite() {
			continue
		}
		named = true
		if !m.Colour.Stops() {
			longest = max(longest, m.Length)
		}
	}
	return longest, named
}

// mouldLine is the least-squares line through the non-zero lengths at ribs and
// fat: length = mean + pace (days since middle).
type mouldLine struct {
	middle time.Time
	mean   float64 // mm
	pace   float64 // mm a day; 0 or less foresees nothing
	looks  int
}

func lineThrough(looks []Look) mouldLine {
	var n, meanDay, mean, across, spread float64
	line := mouldLine{}
	for _, l := range looks {
		length, _ := signAt(l)
		if length <= 0 {
			continue
		}
		if n == 0 {
			line.middle = l.At
		}
		// Running means keep two looks seconds apart from losing their digits.
		day := l.At.Sub(line.middle).Hours() / 24
		n++
		dDay, dLength := day-meanDay, float64(length)-mean
		meanDay += dDay / n
		mean += dLength / n
		across += dDay * (float64(length) - mean)
		spread += dDay * (day - meanDay)
	}
	line.looks, line.mean = int(n), mean
	if spread > 0 {
		line.pace = across / spread
	}
	line.middle = daysAfter(line.middle, meanDay)
	return line
}

// sign judges the mould sign from the looks up to now and forecasts it.
func sign(looks []Look, possible bool, soFar, usual float64, ahead exposure.Ahead) MouldSign {
	var s MouldSign
	for i := len(looks) - 1; i >= 0; i-- {
		if length, named := signAt(looks[i]); named {
			s.Length = length
			break
		}
	}
	if !possible {
		return s
	}
	s.Reached = s.Length >= SignLength
	line := lineThrough(looks)
	s.Pace, s.Line = line.pace, line.looks >= 2
	if s.Reached {
		return s
	}
	if at, ok := signDay(line, usual-soFar, ahead); ok {
		if at.Before(ahead.Now) {
			at = ahead.Now
		}
		s.Forecast = &at
	}
	return s
}

// signDay returns when the sign is expected: by the line if there is one, else
// by the usual pace, of which left scaled days are to go, on the air to come.
func signDay(line mouldLine, left float64, ahead exposure.Ahead) (time.Time, bool) {
	if line.looks < 2 {
		return ahead.When(exposure.MouldDays, left, ahead.Now, signLookOut)
	}
	days := (float64(SignLength) - line.mean) / line.pace
	if line.pace <= 0 || days > 36500 {
		return time.Time{}, false
	}
	return daysAfter(line.middle, max(days, -36500)), true
}

// GrowthSeen returns the looks at an animal that name ribs or fat: how many scaled
// days its surface had had, and how long the growth was. It is what a shop learns
// its own pace from. Facts as for Judge; out of range they give nothing.
func GrowthSeen(f Facts, stays []exposure.Stay) []learn.Spot {
	var spots []learn.Spot
	var instants []time.Time
	seen := viewOf(f.Looks, latest(f.Looks))
	for _, l := range seen.looks {
		if length, named := signAt(l); named && l.At.After(f.Received) {
			spots, instants = append(spots, learn.Spot{Length: float64(length)}), append(instants, l.At)
		}
	}
	if len(spots) == 0 || len(stays) == 0 || f.check(latest(f.Looks)) != nil {
		return nil
	}
	meat, _ := f.meat(stays[0].In.History().At(f.Received))
	for i, m := range exposure.Live(stays, meat, instants...) {
		spots[i].Days = m.Dose.Of(exposure.MouldDays)
	}
	return spots
}

func latest(looks []Look) (at time.Time) {
	for _, l := range looks {
		if l.At.After(at) {
			at = l.At
		}
	}
	return at
}
