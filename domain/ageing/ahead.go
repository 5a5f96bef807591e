package ageing

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Window is when an animal may be cut if the room runs at Air from now on.
type Window struct {
	Air       domain.Celsius
	ReadyFrom *time.Time // nil: not within 60 days
	CutBy     time.Time
	CutByLow  time.Time // by the fastest growth
	CutByHigh time.Time // by the slowest
}

// TooLate reports whether it will be past its day before it is ready.
func (w Window) TooLate() bool { return w.ReadyFrom != nil && w.CutBy.Before(*w.ReadyFrom) }

// WindowsAt returns the window that follows for each air the room might run at
// from now on, all else as Judge has it: the air to come, which Judge takes to be
// the mean of the last 48 h, is replaced (readiness.md section 10). The change is
// taken as sudden; a room needs some hours for it. Airs outside -40 to 60 °C are
// refused at "air". The formulas and their sources are those of Judge.
func WindowsAt(f Facts, stays []exposure.Stay, now time.Time, airs ...domain.Celsius) ([]Window, error) {
	list := make([]Window, 0, len(airs))
	for _, air := range airs {
		if err := inRange("air", &air); err != nil {
			return nil, err
		}
		f.AirAhead = &air
		v, err := Judge(f, stays, now)
		if err != nil {
			return nil, err
		}
		list = append(list, Window{air, v.ReadyFrom, v.CutBy, v.CutByLow, v.CutByHigh})
	}
	return list, nil
}
