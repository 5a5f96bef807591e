package billing

import (
	"slices"
	"strconv"
	"time"

	"coldrail/domain"
)

// StorageRule is the shop's fee for meat nobody fetches: so much a day once so many
// days have gone by since its owner was first told (trade.md 7.1: $1 to $5 a day after
// 7 to 14 days, common practice, no source). Whether a state allows it, and after how
// long, the shop asks there.
type StorageRule struct {
	On        bool
	AfterDays int          // days free, counted from the first notice; none on which a hold keeps the meat
	ADay      domain.Cents // for each day after them
	Taxable   bool
}

// Check says whether it makes a rule.
func (s StorageRule) Check() error {
	switch {
	case s.AfterDays < 1 || s.AfterDays > 365:
		return domain.Wrong("after", "Storage runs after 1 to 365 days.")
	case s.ADay < 1 || s.ADay > 100_00:
		return domain.Wrong("day", "Storage costs $0.01 to $100.00 a day.")
	}
	return nil
}

// Try is one try to reach an owner.
type Try struct {
	At      time.Time
	Reached bool // spoken to, word left, or a message or letter that went
}

// ToldAt is when an owner counts as told: at the first try that reached them, or the
// second that was made (trade.md 8, 2; common practice, no source). Zero: not yet.
// The tries are in order of time.
func ToldAt(tries []Try) time.Time {
	for i, t := range tries {
		if t.Reached || i == 1 {
			return t.At
		}
	}
	return time.Time{}
}

// Span is a stretch of time; a zero To: it lasts.
type Span struct{ From, To time.Time }

// StorageClock is how the fee runs for the meat of one animal.
type StorageClock struct {
	StorageRule
	Told     time.Time // when its owner counts as told
	Approved time.Time // by the owner of the shop, for this animal
	Held     []Span    // it could not have been fetched
}

// Starts is the first day that may cost something, at midnight in the zone, which is
// the shop's; zero while nobody was told or nobody approved it, or a hold that lasts
// keeps the free days from ending. Nothing runs from before it was approved.
//
//	first day = the later of (day told + free days on which nothing held it) and (day approved), + 1
func (s StorageClock) Starts(zone *time.Location) time.Time {
	if s.Told.IsZero() || s.Approved.IsZero() {
		return time.Time{}
	}
	day := midnight(s.Told.In(zone), 1)
	for free := 0; free < s.AfterDays; day = midnight(day, 1) {
		if s.lastsOn(day) {
			return time.Time{}
		}
		if !s.heldOn(day) {
			free++
		}
	}
	if approved := midnight(s.Approved.In(zone), 1); approved.After(day) {
		return approved
	}
	return day
}

// HeldAt reports whether a hold kept it from being fetched at that moment.
func (s StorageClock) HeldAt(at time.Time) bool {
	for _, h := range s.Held {
		if !h.From.After(at) && (h.To.IsZero() || h.To.After(at)) {
			return true
		}
	}
	return false
}

// HeldStill reports whether a hold keeps it that nobody has lifted.
func (s StorageClock) HeldStill() bool {
	return slices.ContainsFunc(s.Held, func(h Span) bool { return h.To.IsZero() })
}

// lastsOn reports whether such a hold was there before the day was over.
func (s StorageClock) lastsOn(day time.Time) bool {
	return slices.ContainsFunc(s.Held, func(h Span) bool { return h.To.IsZero() && h.From.Before(midnight(day, 1)) })
}

// Days counts the days on the shop's calendar that cost something, up to and with the
// day of now, which is in the shop's zone. A day on which a hold kept the meat back,
// be it for an hour, costs nothing.
func (s StorageClock) Days(now time.Time) (n int) {
	day := s.Starts(now.Location())
	if !s.On || day.IsZero() {
		return 0
	}
	for ; !day.After(now) && n < maxQuantity; day = midnight(day, 1) {
		if !s.heldOn(day) {
			n++
		}
	}
	return n
}

func (s StorageClock) heldOn(day time.Time) bool {
	for _, h := range s.Held {
		if h.From.Before(midnight(day, 1)) && (h.To.IsZero() || h.To.After(day)) {
			return true
		}
	}
	return false
}

// midnight is the beginning of the day so many days after the day of t: by the
// calendar, for two days of the year have not 24 hours.
func midnight(t time.Time, days int) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d+days, 0, 0, 0, 0, t.Location())
}

// Line is what the bill lacks of storage on the day of now, with billed days on it
// already; ok is false where it lacks nothing.
func (s StorageClock) Line(now time.Time, billed int) (l Line, ok bool) {
	n := s.Days(now) - billed
	if n <= 0 {
		return l, false
	}
	return Line{Code: "storage", Label: "Storage, by the day", Quantity: float64(n), Unit: UnitEach, Price: s.ADay, Total: s.ADay * domain.Cents(n), Taxable: s.Taxable,
		Why: "through " + now.Format("Jan 2") + ", first told " + s.Told.In(now.Location()).Format("Jan 2") + ", " + strconv.Itoa(s.AfterDays) + " days free"}, true
}
