package animal

import (
	"strings"
	"time"

	"coldrail/domain"
)

// BookingKind is what a day is for.
type BookingKind string

// The kinds: livestock is killed on set days (trade.md 1.2), and a hunter may keep a
// place in the season.
const (
	KillDay    BookingKind = "kill"
	SeasonSlot BookingKind = "season"
)

// Booking is who brings what on a day.
type Booking struct {
	Kind    BookingKind
	Species domain.Species
	Heads   int
	Name    string
	Phone   string
	BringAt string // "07:30", or empty
	Note    string
}

// Check says whether the booking may be written down, with so many heads still free
// on its day.
func (b Booking) Check(free int) error {
	switch {
	case !b.Species.Known():
		return domain.Wrong("species", "Say what kind of animal it is.")
	case b.Kind == KillDay && b.Species.Game():
		return domain.Wrong("species", "A kill day is for livestock. Book game on a day of the season.")
	case b.Kind == SeasonSlot && !b.Species.Game():
		return domain.Wrong("species", "Livestock is booked on a kill day.")
	case strings.TrimSpace(b.Name) == "":
		return domain.Wrong("name", "Write down who brings it.")
	case b.Heads < 1 || b.Heads > 50:
		return domain.Wrong("heads", "Say how many heads, from 1 to 50.")
	case b.Heads > free:
		return domain.Wrong("heads", "That day has room for %d more. Take another day, or fewer.", max(free, 0))
	}
	if b.BringAt != "" {
		if _, err := time.Parse("15:04", b.BringAt); err != nil {
			return domain.Wrong("bring_at", "Give the time as 7:30 in the morning is 07:30.")
		}
	}
	return nil
}

// CheckDay says whether a day may be opened for bookings; both are days of the
// shop's calendar.
func CheckDay(kind BookingKind, day, today time.Time, heads int) error {
	switch {
	case kind != KillDay && kind != SeasonSlot:
		return domain.Wrong("kind", "Say what the day is for: a kill day, or places in the season.")
	case day.IsZero():
		return domain.Wrong("day", "Choose the day.")
	case dayNumber(day) < dayNumber(today):
		return domain.Wrong("day", "That day is past. Choose today or a later day.")
	case dayNumber(day)-dayNumber(today) > 400:
		return domain.Wrong("day", "That day is more than a year away. Check the year.")
	case heads < 1 || heads > 200:
		return domain.Wrong("heads", "Say how many heads the day takes, from 1 to 200.")
	}
	return nil
}
