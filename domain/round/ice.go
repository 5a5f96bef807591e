package round

import (
	"math"
	"time"

	"coldrail/domain"
)

// icePoint is what a right thermometer reads in crushed ice and water.
const icePoint domain.Celsius = 0

// iceTolerance is how far off, in °F, a thermometer may read in ice water:
// 32 °F ± 2 °F (trade.md 4.1; ice method North Carolina Department of
// Agriculture, the tolerance from a weak source). It is also how far the panel
// and an own thermometer may stand apart.
const iceTolerance = 2.0

// IceEvery is how long a passed ice check is good for: a week at the most, before
// first use, and after a drop. Common practice, no source (trade.md 4.1).
const IceEvery = 7 * 24 * time.Hour

// IceCheck is one reading of a thermometer held in ice water for half a minute.
type IceCheck struct {
	At      time.Time
	Reading domain.Celsius
}

// Passes reports a reading within tolerance.
func (c IceCheck) Passes() bool { return math.Abs(c.OffsetF()) <= iceTolerance+tiny }

// OffsetF is how much too warm the thermometer reads, in °F. It is only good near
// freezing, where it was found.
func (c IceCheck) OffsetF() float64 { return c.Reading.F() - icePoint.F() }

// True is the best estimate of what a reading meant, given this check.
func (c IceCheck) True(reading domain.Celsius) domain.Celsius {
	return domain.Fahrenheit(reading.F() - c.OffsetF())
}

// Check says whether the reading can be one taken in ice water.
func (c IceCheck) Check(arrived time.Time) error {
	if err := (Saved{WalkedAt: c.At, ArrivedAt: arrived}).Check(); err != nil {
		return err
	}
	if !(c.Reading >= -20 && c.Reading <= 30) { // a NaN fails too
		return domain.Wrong("reading", "That is not ice water. Fill a cup with crushed ice, top it up with water, stir, wait half a minute, read again.")
	}
	return nil
}

// ThermometerState says how a thermometer stands.
type ThermometerState string

// The states of a thermometer.
const (
	InService    ThermometerState = "in service"
	IceDue       ThermometerState = "due"    // no pass yet, or the last one too old
	OutOfService ThermometerState = "failed" // the last check failed
)

// Stands says how a thermometer stands at now, given its last check; nil: none.
func Stands(last *IceCheck, now time.Time) ThermometerState {
	switch {
	case last == nil:
		return IceDue
	case !last.Passes():
		return OutOfService
	case now.Sub(last.At) > IceEvery:
		return IceDue
	}
	return InService
}

// Words names the state.
func (s ThermometerState) Words() domain.Words {
	switch s {
	case InService:
		return domain.Say("in service")
	case IceDue:
		return domain.Say("ice check due")
	case OutOfService:
		return domain.Say("out of service")
	}
	return domain.Say("%s", string(s))
}

// Apart reports that panel and own thermometer do not agree.
func Apart(panel, own domain.Celsius) bool {
	return math.Abs(panel.F()-own.F()) > iceTolerance+tiny
}
