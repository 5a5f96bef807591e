package register

import "time"

// nightHour is the hour of the shop's clock after which the register is walked: the
// shop sleeps. Common practice, no source.
const nightHour = 3

// checkTooOld is the age past which the last walk is worth a person's time: two
// nights were missed.
const checkTooOld = 50 * time.Hour

// CheckDue reports whether the whole register is to be walked at now: once after each
// passing of the hour on the shop's clock, and at once where it never was. last is
// when the last walk began, zero for never.
func CheckDue(last, now time.Time, loc *time.Location) bool {
	y, m, d := now.In(loc).Date()
	mark := time.Date(y, m, d, nightHour, 0, 0, 0, loc)
	if mark.After(now) {
		mark = time.Date(y, m, d-1, nightHour, 0, 0, 0, loc)
	}
	return last.Before(mark)
}

// CheckOld reports whether the last walk is so old that somebody should ask why.
func CheckOld(last, now time.Time) bool { return !last.IsZero() && now.Sub(last) > checkTooOld }
