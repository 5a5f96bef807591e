package logger

import (
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
)

// wall is a date and time as the logger's clock showed it.
type wall struct {
	at     time.Time // the wall's numbers as if they were UTC; the instant itself where offset is known
	offset bool      // the text carried an offset or Z
}

// readWall reads a date and time.
func readWall(s string) (wall, bool) {
	s = strings.Replace(strings.TrimSpace(s), "T", " ", 1)
	date, rest, found := strings.Cut(s, " ")
	if !found {
		return wall{}, false
	}
	y, m, d, ok := readDate(date)
	if !ok {
		return wall{}, false
	}
	rest, offset, zoned, ok := cutOffset(strings.TrimSpace(rest))
	if !ok {
		return wall{}, false
	}
	clock, ok := readClock(rest)
	if !ok {
		return wall{}, false
	}
	day := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if day.Day() != d || int(day.Month()) != m {
		return wall{}, false // 31 November
	}
	return wall{at: day.Add(clock - offset), offset: zoned}, true
}

// readDate reads 2026-11-07, 11/7/2026 (month first) or 7.11.2026 (day first).
func readDate(s string) (y, m, d int, ok bool) {
	for _, form := range []struct {
		mark    string
		y, m, d int
	}{{"-", 0, 1, 2}, {"/", 2, 0, 1}, {".", 2, 1, 0}} {
		parts := strings.Split(s, form.mark)
		if len(parts) != 3 {
			continue
		}
		var n [3]int
		for i, p := range parts {
			if n[i], ok = digits(p, 4); !ok {
				return 0, 0, 0, false
			}
		}
		y, m, d = n[form.y], n[form.m], n[form.d]
		if len(parts[form.y]) == 2 {
			y += 2000
		}
		return y, m, d, y >= 1990 && y <= 2200 && m >= 1 && m <= 12 && d >= 1 && d <= 31
	}
	return 0, 0, 0, false
}

// readClock reads 19:10, 19:10:05, 19:10:05.25 and 7:10 PM.
func readClock(s string) (time.Duration, bool) {
	upper := strings.ReplaceAll(strings.ToUpper(s), ".M.", "M")
	text, pm := strings.CutSuffix(upper, "PM")
	text, am := strings.CutSuffix(text, "AM")
	parts := strings.Split(strings.TrimSpace(text), ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	h, ok := digits(parts[0], 2)
	if !ok || h > 23 || (am || pm) && (h < 1 || h > 12) {
		return 0, false
	}
	if (am || pm) && h == 12 {
		h = 0
	}
	if pm {
		h += 12
	}
	m, ok := digits(parts[1], 2)
	if !ok || m > 59 {
		return 0, false
	}
	clock := time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
	if len(parts) == 3 {
		sec, err := strconv.ParseFloat(parts[2], 64)
		if err != nil || strings.Trim(parts[2], ".0123456789") != "" || sec >= 60 {
			return 0, false
		}
		clock += time.Duration(sec*1000+0.5) * time.Millisecond
	}
	return clock, true
}

// cutOffset takes Z, +01:00, -0500 or +01 off the end of a time of day.
func cutOffset(s string) (rest string, offset time.Duration, zoned, ok bool) {
	if cut, found := strings.CutSuffix(s, "Z"); found {
		return strings.TrimSpace(cut), 0, true, true
	}
	i := strings.LastIndexAny(s, "+-")
	if i < 0 {
		return s, 0, false, true
	}
	text := strings.Replace(s[i+1:], ":", "", 1)
	if len(text) == 2 {
		text += "00"
	}
	n, ok := digits(text, 4)
	if !ok || len(text) != 4 || n/100 > 14 || n%100 > 59 {
		return "", 0, false, false
	}
	offset = time.Duration(n/100)*time.Hour + time.Duration(n%100)*time.Minute
	if s[i] == '-' {
		offset = -offset
	}
	return strings.TrimSpace(s[:i]), offset, true, true
}

// digits reads a whole number of at most so many digits.
func digits(s string, most int) (int, bool) {
	if s == "" || len(s) > most || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

// settle turns the walls into instants, in the order the logger wrote them: a
// file whose newest reading stands first is read from its end.
func (t *table) settle() error {
	last := len(t.walls) - 1
	backwards := t.walls[last].at.Before(t.walls[0].at)
	var c clock
	for k := range t.walls {
		i := k
		if backwards {
			i = last - k
		}
		at, err := c.next(t.walls[i], t.told.Zone, t.rows[i])
		if err != nil {
			return err
		}
		t.rows[i].At = at
	}
	return nil
}

// clock follows the logger's clock from row to row.
type clock struct {
	last time.Time
	step time.Duration // between the last two rows
}

// next returns the instant of the next row. Where the clocks go back an hour
// comes twice; the row belongs to the first unless that would run backwards, or
// stand still in a file of hourly readings.
func (c *clock) next(w wall, zone *time.Location, r Row) (time.Time, error) {
	at := w.at
	if !w.offset {
		if zone == nil {
			return at, domain.Wrong("zone", "Line %d: the times in this file carry no zone. Give the zone of the logger's clock, such as America/New_York.", r.Line)
		}
		first, second := both(w.at, zone)
		if first.IsZero() {
			return at, domain.Wrong("zone", "Line %d: there is no %s in %s, because the clocks go forward. This logger's clock does not follow them: give its fixed zone, such as Etc/GMT+5 for Eastern standard time.", r.Line, short(r.RawAt), zone.String())
		}
		at = first
		if first.Before(c.last) || first.Equal(c.last) && c.step > 40*time.Minute {
			at = second
		}
	}
	if !c.last.IsZero() {
		c.step = at.Sub(c.last)
	}
	c.last = at
	return at, nil
}

// both returns the instants at which the wall clock of zone shows w: the same
// one twice, two on the night the clocks go back, none (zero) where they jump.
func both(w time.Time, zone *time.Location) (first, second time.Time) {
	around := [2]time.Time{w.Add(-26 * time.Hour), w.Add(26 * time.Hour)}
	for i := range around {
		_, offset := around[i].In(zone).Zone()
		at := w.Add(-time.Duration(offset) * time.Second)
		if _, there := at.In(zone).Zone(); there != offset {
			continue
		}
		if first.IsZero() || at.Before(first) {
			first, second = at, later(at, first)
		} else {
			second = at
		}
	}
	return first, second
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
