package animal

import "time"

// callUsFor is how long a finished page may say "please call us" after the last thing
// that was done about an animal that is gone (common practice, no source).
const callUsFor = 60 * 24 * time.Hour

// PageStands reports whether the finished page of an owner stays where it was put: as
// long as the animal is expected or here. It goes when the last of it was picked up or
// went home uncut; one that has to be told by mouth goes sixty days after the last act.
func (p Physical) PageStands(last, now time.Time) bool {
	switch {
	case p == Expected || p.InHouse():
		return true
	case p.TellByMouth():
		return now.Sub(last) < callUsFor
	}
	return false
}
