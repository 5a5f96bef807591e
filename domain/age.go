package domain

import "time"

// DayOfAge is which day since the kill it is: the first 24 hours are day 1, as whoever
// counts days on a wall does. Every screen and sheet that says "day 9" of a carcass
// counts so (readiness.md section 1: days of 24 hours from the kill).
func DayOfAge(killed, now time.Time) int { return int(now.Sub(killed)/(24*time.Hour)) + 1 }
