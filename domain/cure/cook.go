package cure

import (
	"cmp"
	"math"
	"slices"
	"time"

	"coldrail/domain"
)

// Dwell is one row of the table of cooking: how long the coldest spot has to stay
// at a temperature, or above, once it has reached it. Zero is at once.
type Dwell struct {
	F           int           // °F
	SixAndAHalf time.Duration // for a 6.5-log reduction of Salmonella
	Seven       time.Duration // for a 7-log reduction
}

// Dwells is the table of cooking for meat, coldest row first. Between rows the row
// below counts; colder than the first nothing is known; warmer than the last the
// last counts.
//
// Source: FSIS Appendix A (1999), beef. Some copies round the seconds at 158 °F to
// 0; here 158 °F and above is at once. Humidity in the house and a quick way up to
// 130 °F go with the table; a study found the row of 130 °F too mild, so a shop
// should not cook by it.
var Dwells = []Dwell{
	{130, 112 * time.Minute, 121 * time.Minute}, {131, 89 * time.Minute, 97 * time.Minute}, {132, 71 * time.Minute, 77 * time.Minute},
	{133, 56 * time.Minute, 62 * time.Minute}, {134, 45 * time.Minute, 47 * time.Minute}, {135, 36 * time.Minute, 37 * time.Minute},
	{136, 28 * time.Minute, 32 * time.Minute}, {137, 23 * time.Minute, 24 * time.Minute}, {138, 18 * time.Minute, 19 * time.Minute},
	{139, 15 * time.Minute, 15 * time.Minute}, {140, 12 * time.Minute, 12 * time.Minute}, {141, 9 * time.Minute, 10 * time.Minute},
	{142, 8 * time.Minute, 8 * time.Minute}, {143, 6 * time.Minute, 6 * time.Minute}, {144, 5 * time.Minute, 5 * time.Minute},
	{145, 4 * time.Minute, 4 * time.Minute}, {146, 169 * time.Second, 182 * time.Second}, {147, 134 * time.Second, 144 * time.Second},
	{148, 107 * time.Second, 115 * time.Second}, {149, 85 * time.Second, 91 * time.Second}, {150, 67 * time.Second, 72 * time.Second},
	{151, 54 * time.Second, 58 * time.Second}, {152, 43 * time.Second, 46 * time.Second}, {153, 34 * time.Second, 37 * time.Second},
	{154, 27 * time.Second, 29 * time.Second}, {155, 22 * time.Second, 23 * time.Second}, {156, 17 * time.Second, 19 * time.Second},
	{157, 14 * time.Second, 15 * time.Second}, {158, 0, 0},
}

// hottest is the hottest a probe in wet meat can read, water boiling.
var hottest = domain.Fahrenheit(212)

// DwellAt looks the row for a temperature up. Below 130 °F and above 212 °F it
// refuses at field "temperature". A tenth of a millidegree forgives the way through °C.
func DwellAt(c domain.Celsius) (Dwell, error) {
	f := c.F() + 1e-4
	if !(f >= float64(Dwells[0].F)) { // a NaN fails too
		return Dwell{}, domain.Wrong("temperature", "%s is below the table of cooking, which begins at %s. No time makes up for it.", c, domain.Fahrenheit(130))
	}
	if !(c <= hottest) {
		return Dwell{}, domain.Wrong("temperature", "%s cannot be the inside of meat. Read the probe again.", c)
	}
	return Dwells[min(int(f)-Dwells[0].F, len(Dwells)-1)], nil
}

// Held is a time at a temperature.
type Held struct {
	Temp domain.Celsius
	For  time.Duration
}

// LogKill sums what times at temperatures did to Salmonella, in powers of ten:
//
//	sum of minutes / (D × 10^((140 − T)/10)),  D = 12/6.5 min at 140 °F, T in °F
//
// It stands under the sums and decides nothing. For 130 to 158 °F, where it gives
// each row of the table within 8 %; colder counts nothing, hotter as 158 °F.
// Source: fitted to FSIS Appendix A (6.5-log column), derived.
func LogKill(steps []Held) float64 {
	const d140, z = 12 / 6.5, 10.0
	logs := 0.0
	for _, s := range steps {
		f := min(s.Temp.F(), 158)
		if s.For > 0 && f+1e-9 >= 130 {
			logs += s.For.Minutes() / (d140 * math.Pow(10, (140-f)/z))
		}
	}
	return logs
}

// Probe is one reading of the inside of a batch, at its thickest. Two probes may
// have been used; the colder one counts while cooking, the warmer while cooling.
type Probe struct {
	At   time.Time
	Low  domain.Celsius
	High domain.Celsius
}

// Need is what a batch has to reach in the house.
type Need struct {
	Temp  domain.Celsius // at once, at its coldest spot
	Dwell bool           // or a row of the table of cooking
	Why   domain.Words
}

// NeedFor returns what the batch has to reach, by the meat in it: bear and wild hog
// 165 °F, since freezing does not help there; other game 160 °F; livestock alone
// 160 °F or the dwell of Appendix A (6.5 log; the sources also give 7 log, which
// differs by some minutes below 139 °F only).
//
// Sources: bear and wild carnivores 165 °F, public-health report of 2022 (science.md
// H.4); wild hog as bear, common practice, no source; game 160 °F, extension
// service (trade.md 6.8); ground meat 160 °F, consumer rule (science.md H.3).
func NeedFor(species []domain.Species) Need {
	game := false
	for _, s := range species {
		if NoFreezing(s) {
			return Need{Temp: domain.Fahrenheit(165), Why: domain.Say("Bear or wild hog is in it: %s at the coldest spot. Freezing does not help.", domain.Fahrenheit(165))}
		}
		game = game || s.Game()
	}
	if game {
		return Need{Temp: domain.Fahrenheit(160), Why: domain.Say("Game is in it: %s at the coldest spot.", domain.Fahrenheit(160))}
	}
	return Need{Temp: domain.Fahrenheit(160), Dwell: true, Why: domain.Say("%s at the coldest spot, or the time of the table at a lower one.", domain.Fahrenheit(160))}
}

// Result is a record held against a table.
type Result struct {
	Met   bool
	Words domain.Words
}

// Cooked holds the readings of the house against the need. Between two readings
// the batch counts as no warmer than the colder one, so that sparse readings never
// help.
func Cooked(readings []Probe, need Need) Result {
	list := inOrder(readings)
	if len(list) == 0 {
		return Result{Words: domain.Say("No temperature of the inside was written down. %s", need.Why)}
	}
	hot := list[0].Low
	for _, p := range list {
		hot = max(hot, p.Low)
	}
	if hot >= need.Temp-1e-4 {
		return Result{Met: true, Words: domain.Say("It reached %s inside; %s were asked for.", hot, need.Temp)}
	}
	if need.Dwell {
		if row, held, ok := dwelt(list); ok {
			return Result{Met: true, Words: domain.Say("It stayed at %s or above for %s; the table asks for %s.", domain.Fahrenheit(float64(row.F)), minutes(held), minutes(row.SixAndAHalf))}
		}
	}
	return Result{Words: domain.Say("It reached %s inside. %s Cook on, or throw it out; every owner in it is told.", hot, need.Why)}
}

// dwelt looks for a row of the table whose time the batch stayed at or above it.
func dwelt(list []Probe) (Dwell, time.Duration, bool) {
	for _, row := range Dwells {
		at := domain.Fahrenheit(float64(row.F)) - 1e-4
		var since time.Time
		for _, p := range list {
			switch {
			case p.Low < at:
				since = time.Time{}
			case since.IsZero():
				since = p.At
			}
			if held := p.At.Sub(since); !since.IsZero() && p.Low >= at && held >= row.SixAndAHalf {
				return row, held, true
			}
		}
	}
	return Dwell{}, 0, false
}

// sound reports a reading that meat can have; any other is left out, as if nobody
// had read it.
func (p Probe) sound() bool {
	return p.Low >= -40 && p.Low <= hottest && p.High >= -40 && p.High <= hottest
}

func minutes(d time.Duration) domain.Words { return domain.Say("%.0f min", d.Minutes()) }

// inOrder returns the readings by time.
func inOrder(readings []Probe) []Probe {
	list := slices.DeleteFunc(slices.Clone(readings), func(p Probe) bool { return !p.sound() })
	slices.SortStableFunc(list, func(a, b Probe) int { return cmp.Compare(a.At.UnixNano(), b.At.UnixNano()) })
	return list
}
