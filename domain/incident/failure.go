package incident

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
)

// Failure is what is known of the moment the cooling stopped: the last good
// reading, the first bad one, and the room between them.
type Failure struct {
	Good, Bad exposure.Reading
	Room      cooler.Warmup // from the good reading on: StartAir and StartMeat as they were then
}

// Moments returns the earliest and the latest moment of failure that fit:
// failure right after the good reading, and the shortest warm-up that reaches the
// bad one by the two-node balance of cooler.Warmup. tooFast is true where even the
// earliest does not reach it in time: the room warmed faster than the model
// allows, because a door stood open or the room is not as recorded; then both are
// the moment of the good reading.
func (f Failure) Moments() (earliest, latest time.Time, tooFast bool) {
	earliest, latest = f.Good.At, f.Good.At
	if f.Bad.C <= f.Room.StartAir {
		return earliest, f.Bad.At, false
	}
	takes := f.Room.Passes(f.Bad.C).Air
	if takes == nil || f.Bad.At.Add(-*takes).Before(earliest) {
		return earliest, latest, true
	}
	return earliest, f.Bad.At.Add(-*takes), false
}

// step is how close together the moments of an air that nobody saw are laid.
const step = 5 * time.Minute

// Air returns the air between the two readings for a failure at a moment: as it
// was until then, then along the warm-up, never above the bad reading.
func (f Failure) Air(at time.Time) []exposure.Reading {
	var list []exposure.Reading
	if at.Sub(f.Good.At) > step {
		list = append(list, exposure.Reading{At: at, C: exposure.Within(f.Good.C)})
	}
	for t := at.Add(step); t.Before(f.Bad.At); t = t.Add(step) {
		c := min(f.Room.After(t.Sub(at).Hours()).Air, max(f.Bad.C, f.Good.C))
		list = append(list, exposure.Reading{At: t, C: exposure.Within(c)})
	}
	return list
}

// Cases returns the record with the best and the worst air that fit in place of
// what nobody saw.
func (f Failure) Cases(h *exposure.History) (best, worst *exposure.History, err error) {
	earliest, latest, _ := f.Moments()
	if best, err = h.With(f.Air(latest)); err != nil {
		return nil, nil, err
	}
	worst, err = h.With(f.Air(earliest))
	return best, worst, err
}

// Words says when the cooling can have failed.
func (f Failure) Words() domain.Words {
	earliest, latest, tooFast := f.Moments()
	switch {
	case tooFast:
		return domain.Say("The room warmed faster than its walls, fans and meat allow. Was a door open? The worst case counts from the last good reading, %v.", earliest)
	case latest.Sub(earliest) < step:
		return domain.Say("The cooling failed at about %v.", earliest)
	}
	return domain.Say("Nobody saw the cooling fail: at the earliest at %v, at the latest at %v.", earliest, latest)
}
