package animal

import (
	"time"

	"coldrail/domain"
)

// CheckPromise says whether an owner may be told today that the meat is ready on
// day; both are days of the shop's calendar, with any time of day. A promise is
// made while the animal is still to be cut and lies within half a year.
func (p Physical) CheckPromise(day, today time.Time) error {
	switch {
	case !p.InHouse():
		return domain.Refuse("promise", "It is not here any more, so no day can be promised.")
	case p.Cut():
		return domain.Refuse("promise", "It is cut already. Tell the owner to come for it.")
	case day.IsZero():
		return domain.Wrong("promised", "Choose the day you told the owner.")
	}
	days := dayNumber(day) - dayNumber(today)
	switch {
	case days < 0:
		return domain.Wrong("promised", "That day is past. Choose today or a later day.")
	case days > longestPromise:
		return domain.Wrong("promised", "That day is more than half a year away. Check the year.")
	}
	return nil
}

// longestPromise is how many days ahead a promise may lie. Common practice, no
// source: nothing hangs or waits that long before the knife.
const longestPromise = 183

// dayNumber counts the days of the calendar, whatever the clocks did.
func dayNumber(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}
