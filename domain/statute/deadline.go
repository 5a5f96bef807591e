package statute

import "time"

// Start is what a period is counted from.
type Start string

// The starts seen (Annex D, Retention and Reports).
const (
	FromReceipt     Start = "receipt"
	FromRelease     Start = "release"
	FromDisposal    Start = "disposal"
	FromPreparation Start = "preparation"
	FromYearEnd     Start = "year-end"
	FromKill        Start = "kill"
	FromLeaving     Start = "leaving" // the county of kill
	FromAcceptance  Start = "acceptance"
	FromKnowledge   Start = "knowledge"
	FromMonthEnd    Start = "month-end"
	FromSeasonEnd   Start = "season-end"
	FromMailing     Start = "mailing"
)

// Unit is what a period counts.
type Unit string

// The units. Hours are hours of the sun: a night in which the clocks change is
// one hour longer or shorter. The others are days of the shop's calendar, up to
// their last minute.
const (
	Hours        Unit = "hours"
	BusinessDays Unit = "business-days"
	Days         Unit = "days"
	Months       Unit = "months"
	Years        Unit = "years"
	DayOfMonth   Unit = "day-of-month" // of the month after
	OnDate       Unit = "date"         // the next such day: month and day as 301
)

// Due says when the rule's time is up, counted from start in the shop's zone; ok is
// false where the rule counts nothing.
//
// The day of the start itself is not counted. Business days are Monday to Friday;
// public holidays count too, so that the date is never later than the state's own.
// A month that has no such day ends on its last one. From the end of a year or a
// month, start is first moved there.
func (r Rule) Due(start time.Time, loc *time.Location) (due time.Time, ok bool) {
	start = start.In(loc)
	y, m, d := start.Date()
	switch r.Starts {
	case FromYearEnd:
		m, d = time.December, 31
	case FromMonthEnd:
		d = lastDay(y, m)
	}
	last := func(y int, m time.Month, d int) (time.Time, bool) { return time.Date(y, m, d, 23, 59, 0, 0, loc), true }
	switch r.Unit {
	case Hours:
		return start.Add(time.Duration(r.Count) * time.Hour), true
	case Days:
		return last(y, m, d+r.Count)
	case BusinessDays:
		return last(businessDay(y, m, d, r.Count))
	case Months:
		return last(clamped(y, m+time.Month(r.Count), d))
	case Years:
		return last(clamped(y+r.Count, m, d))
	case DayOfMonth:
		return last(clamped(y, m+1, r.Count))
	case OnDate:
		month, day := time.Month(r.Count/100), r.Count%100
		if month < m || month == m && day <= d {
			y++
		}
		return last(y, month, day)
	}
	return time.Time{}, false
}

// clamped is the day of the month, or the month's last where it has none such.
func clamped(y int, m time.Month, d int) (int, time.Month, int) {
	first := time.Date(y, m, 1, 12, 0, 0, 0, time.UTC)
	return first.Year(), first.Month(), min(d, lastDay(first.Year(), first.Month()))
}

func lastDay(y int, m time.Month) int { return time.Date(y, m+1, 0, 12, 0, 0, 0, time.UTC).Day() }

// businessDay is the n-th day from Monday to Friday after the day given.
func businessDay(y int, m time.Month, d, n int) (int, time.Month, int) {
	day := time.Date(y, m, d, 12, 0, 0, 0, time.UTC)
	for n > 0 {
		day = day.AddDate(0, 0, 1)
		if w := day.Weekday(); w != time.Saturday && w != time.Sunday {
			n--
		}
	}
	return day.Date()
}

// KeepUntil is the day until which the rules want a record kept, the longest of
// them, and which one that is. At holds when each start came about; a rule whose
// start has not come keeps the record without end, and open is true.
func KeepUntil(rules []Rule, at map[Start]time.Time, loc *time.Location) (until time.Time, by *Rule, open bool) {
	for i, r := range rules {
		if r.Topic != Retention {
			continue
		}
		start, came := at[r.Starts]
		if r.Starts == FromYearEnd {
			start, came = at[FromReceipt]
		}
		if !came {
			return time.Time{}, &rules[i], true
		}
		if due, ok := r.Due(start, loc); ok && due.After(until) {
			until, by = due, &rules[i]
		}
	}
	return until, by, false
}
