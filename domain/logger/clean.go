package logger

import (
	"cmp"
	"slices"
	"time"

	"coldrail/domain"
)

// Flag says whether a reading can be believed, and if not, why.
type Flag string

// The flags.
const (
	OK        Flag = "ok"
	Duplicate Flag = "duplicate" // the instant has a reading already
	Junk      Flag = "junk"      // no number, or one no cooler can have
	Stuck     Flag = "stuck"     // the same to the last digit for more than 12 h
	Future    Flag = "future"    // later than now
)

// Flags lists every flag.
var Flags = []Flag{OK, Duplicate, Junk, Stuck, Future}

// Words names the flag.
func (f Flag) Words() domain.Words {
	switch f {
	case OK:
		return domain.Say("kept")
	case Duplicate:
		return domain.Say("twice the same moment")
	case Junk:
		return domain.Say("no temperature a room can have")
	case Stuck:
		return domain.Say("stuck for more than 12 hours")
	case Future:
		return domain.Say("in the future")
	}
	return domain.Say("%s", string(f))
}

// The limits of readiness.md section 8.
const (
	powerUp     domain.Celsius = 85   // what a one-wire sensor says before its first measurement
	disconnect  domain.Celsius = -127 // and without its wire
	coldest     domain.Celsius = -40
	warmest     domain.Celsius = 60
	stuckAfter                 = 12 * time.Hour
	fineEnough                 = 0.5 // a coarser sensor may rightly repeat itself
	ahead                      = 10 * time.Minute
	restAtLeast                = time.Hour // a shorter interval is never a gap
	restAtMost                 = 14 * time.Hour
)

// Clean flags each row; resolution is the smallest step the sensor shows.
func Clean(rows []Row, resolution float64, now time.Time) []Flag {
	flags := make([]Flag, len(rows))
	order := make([]int, 0, len(rows))
	for i, r := range rows {
		switch {
		case !r.Read || junk(r.C):
			flags[i] = Junk
		case r.At.After(now.Add(ahead)):
			flags[i] = Future
		default:
			flags[i] = OK
			order = append(order, i)
		}
	}
	// Of two at one instant the first one given counts.
	slices.SortStableFunc(order, func(a, b int) int { return rows[a].At.Compare(rows[b].At) })
	kept := order[:0]
	for _, i := range order {
		if n := len(kept); n > 0 && rows[kept[n-1]].At.Equal(rows[i].At) {
			flags[i] = Duplicate
			continue
		}
		kept = append(kept, i)
	}
	if resolution < fineEnough {
		flagStuck(rows, kept, flags)
	}
	return flags
}

// junk reports a value that no cooler, freezer or kill floor can have. The
// tolerance lets 185.0 °F be 85.0 °C.
func junk(c domain.Celsius) bool {
	near := func(mark domain.Celsius) bool { return c > mark-0.01 && c < mark+0.01 }
	return near(powerUp) || near(disconnect) || !(c >= coldest-1e-9 && c <= warmest+1e-9)
}

// flagStuck flags whole runs of one value that last longer than 12 h. A silence
// breaks a run: nobody knows what the sensor would have said.
func flagStuck(rows []Row, order []int, flags []Flag) {
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && rows[order[to]].C == rows[order[from]].C && rows[order[to]].At.Sub(rows[order[to-1]].At) <= 3*time.Hour {
			to++
		}
		if rows[order[to-1]].At.Sub(rows[order[from]].At) > stuckAfter {
			for _, i := range order[from:to] {
				flags[i] = Stuck
			}
		}
		from = to
	}
}

// Gap is an interval in which nobody watched.
type Gap struct {
	From, To time.Time
}

// Gaps lists the gaps between instants in order of time: intervals longer than
// the larger of 60 min and three times the median, and any longer than 14 h
// (readiness.md section 2).
func Gaps(at []time.Time) []Gap {
	if len(at) < 2 {
		return nil
	}
	steps := make([]time.Duration, len(at)-1)
	for i := range steps {
		steps[i] = at[i+1].Sub(at[i])
	}
	sorted := slices.Clone(steps)
	slices.SortFunc(sorted, cmp.Compare)
	longest := min(max(restAtLeast, 3*sorted[len(sorted)/2]), restAtMost)
	var gaps []Gap
	for i, s := range steps {
		if s > longest {
			gaps = append(gaps, Gap{at[i], at[i+1]})
		}
	}
	return gaps
}
