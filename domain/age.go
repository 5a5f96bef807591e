package domain

import "time"

// DayOfAge is which day since the kill it is: the first 24 hours are day 1, as whoever
// counts days on a wall does. Every screen and sheet that says "day 9" of a carcass
// counts so (readiness.md section 1: days of 24 hours from the kill).
func DayOfAge(killed, now time.Time) int { return int(now.Sub(killed)/(24*time.Hour)) + 1 }

// DaysUntil counts the days of the calendar from one instant to another, as both show
// in the shop's zone: 0 on the same day, 1 from today to tomorrow whatever the hour,
// below 0 where it is gone.
func DaysUntil(now, then time.Time, zone *time.Location) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.In(zone).Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) // no clock change in between
	}
	return int(day(then).Sub(day(now)).Hours() / 24)
}
