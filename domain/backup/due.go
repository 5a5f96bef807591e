// Package backup decides when the records are copied to a safe place, which old
// copies go, and when the shop is told that the last good one is too old.
package backup

import "time"

// TooOld is the age past which the last good copy is worth a person's time: a
// night and two hours for a slow disk.
const TooOld = 26 * time.Hour

// Again is how long after a copy that failed the next is tried.
const Again = time.Hour

// Standing is what the first page says of the copies.
type Standing int

// A shop that never turned them on is left in peace.
const (
	Off Standing = iota
	Fresh
	Old
)

// Past is what is known of the copies made so far; a zero time is one that never was.
type Past struct {
	OnSince time.Time // when the owner turned them on
	Good    time.Time // the last that is whole
	Tried   time.Time // the last that was begun
}

// Stands says how the copies stand at now.
func (p Past) Stands(now time.Time) Standing {
	switch {
	case p.OnSince.IsZero():
		return Off
	case now.Sub(later(p.Good, p.OnSince)) > TooOld:
		return Old
	}
	return Fresh
}

// Due says whether one is to be made at now: once after each passing of the hour
// on the shop's own clock, and at once after being turned on; after a failure
// again in an hour.
func (p Past) Due(now time.Time, hour int, zone *time.Location) bool {
	if p.OnSince.IsZero() {
		return false
	}
	local := now.In(zone)
	mark := time.Date(local.Year(), local.Month(), local.Day(), hour, 0, 0, 0, zone)
	if mark.After(now) {
		mark = time.Date(local.Year(), local.Month(), local.Day()-1, hour, 0, 0, 0, zone)
	}
	waiting := p.Good.Before(mark) || p.Good.Before(p.OnSince)
	return waiting && now.Sub(p.Tried) >= Again
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
