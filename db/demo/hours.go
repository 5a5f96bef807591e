package demo

import "time"

// The doors are open from eight to eight by the wall clock. The season ends at the moment
// of loading, whatever the hour, and nobody brings a deer at three at night.
const opens, closes = 8, 20

// opened returns the moment so many days before now in which a day is its open hours
// alone: what came within such days lies in them, in the same order and as far apart.
func (s *season) opened(days float64) time.Time {
	left := time.Duration(days * (closes - opens) * float64(time.Hour))
	for ago := 0; ; ago++ {
		from, until := s.day(ago, opens, 0), s.day(ago, closes, 0)
		if until.After(s.now) {
			until = s.now
		}
		if open := until.Sub(from); open > left {
			return until.Add(-left)
		} else if open > 0 {
			left -= open
		}
	}
}

// nextOpen is the moment itself while the doors are open, or within the hour after they
// open next.
func (s *season) nextOpen(at time.Time) time.Time {
	t := at.In(s.zone)
	switch {
	case t.Hour() < opens:
		return time.Date(t.Year(), t.Month(), t.Day(), opens, t.Minute(), 0, 0, s.zone)
	case t.Hour() >= closes:
		return time.Date(t.Year(), t.Month(), t.Day()+1, opens, t.Minute(), 0, 0, s.zone)
	}
	return at
}

// nearestOpen is the moment itself, the hour before the doors closed, or where it is not
// ahead the hour after they opened, whichever is nearer.
func (s *season) nearestOpen(at time.Time) time.Time {
	t := at.In(s.zone)
	if next := s.nextOpen(at); next.Equal(at) || t.Hour() >= 2 && t.Hour() < opens && next.Before(s.now) {
		return next
	}
	day := t.Day()
	if t.Hour() < opens {
		day--
	}
	return time.Date(t.Year(), t.Month(), day, closes-1, t.Minute(), 0, 0, s.zone)
}

// daylight is the moment itself by day, or else the light nearest to it:
// game is shot between dawn and dusk (here about 6:45 to 16:45, the end of November in
// the north; each state has its own table).
func (s *season) daylight(at time.Time) time.Time {
	t := at.In(s.zone)
	dawn, dusk := time.Date(t.Year(), t.Month(), t.Day(), 6, 45, 0, 0, s.zone), time.Date(t.Year(), t.Month(), t.Day(), 16, 45, 0, 0, s.zone)
	switch {
	case at.Before(dawn):
		return dawn.Add(minutes(t.Minute()) / 2)
	case at.After(dusk):
		return dusk.Add(-minutes(t.Minute()) / 2)
	}
	return at
}
