package animals

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/web/ui"
)

// livedView is the air an animal lived through, as it is drawn.
type livedView struct {
	From, To  time.Time
	Stretches []db.Lived
	Looks     []db.LookRow
}

// livedOf makes the drawing's data.
func livedOf(stretches []db.Lived, looks []db.LookRow, from, to time.Time) livedView {
	v := livedView{From: from, To: to, Stretches: stretches}
	for _, l := range looks {
		if !l.At.Before(from) && !l.At.After(to) {
			v.Looks = append(v.Looks, l)
		}
	}
	return v
}

// Empty reports whether there is nothing to draw.
func (v livedView) Empty() bool {
	for _, s := range v.Stretches {
		if len(s.Readings) > 0 {
			return v.To.Sub(v.From) < time.Minute
		}
	}
	return true
}

// dayLived is one calendar day of the air, for the table beneath the drawing.
type dayLived struct {
	Day       time.Time
	Room      string
	Readings  int
	Low, High domain.Celsius
	Unseen    time.Duration
	Looks     int

	Bone, Tender, Count, Mould string // as it stood at the day's end; "–": nothing to say
}

// days tells the drawing day by day.
func (v recordView) days(ctx context.Context) []dayLived {
	list := v.Lived.days(ctx)
	for i := range list {
		d, end := &list[i], v.Lived.To
		if i+1 < len(list) {
			end = list[i+1].Day
		}
		d.Bone, d.Tender, d.Count, d.Mould = "–", "–", "–", "–"
		for _, s := range v.Course {
			if !s.At.After(end) {
				d.stood(ctx, s)
			}
		}
		for _, l := range v.Lived.Looks {
			for _, m := range l.Mould {
				if !l.At.Before(d.Day) && l.At.Before(end) {
					d.Mould = ui.T(ctx, "%s at %s", ui.Length(ctx, m.Length), string(m.Site))
				}
			}
		}
	}
	return list
}

func (d *dayLived) stood(ctx context.Context, s ageing.Stood) {
	low, high := s.CountRange()
	d.Bone, d.Count = ui.Temp1(ctx, s.Deep), ui.T(ctx, "%.1f (%.1f to %.1f)", s.LogCount, low, high)
	if s.Tenders {
		d.Tender = ui.T(ctx, "%d %%", ageing.Percent(s.Tender))
	}
}

// days cuts the air into the shop's calendar days.
func (v livedView) days(ctx context.Context) []dayLived {
	zone := ui.ShopOf(ctx).Zone
	var list []dayLived
	for at := v.From; at.Before(v.To); {
		y, m, d := at.In(zone).Date()
		next := time.Date(y, m, d+1, 0, 0, 0, 0, zone)
		end := next
		if end.After(v.To) {
			end = v.To
		}
		list = append(list, v.day(at, end))
		at = next
	}
	return list
}

func (v livedView) day(from, to time.Time) dayLived {
	d := dayLived{Day: from}
	for _, s := range v.Stretches {
		if !s.From.Before(to) || !s.To.After(from) {
			continue
		}
		d.Room = s.Room
		for _, r := range s.Readings {
			if r.At.Before(from) || !r.At.Before(to) {
				continue
			}
			if d.Readings == 0 {
				d.Low, d.High = r.C, r.C
			}
			d.Low, d.High, d.Readings = min(d.Low, r.C), max(d.High, r.C), d.Readings+1
		}
		for _, g := range s.Silences {
			d.Unseen += overlap(g.From, g.To, from, to)
		}
	}
	for _, l := range v.Looks {
		if !l.At.Before(from) && l.At.Before(to) {
			d.Looks++
		}
	}
	return d
}

func overlap(a, b, from, to time.Time) time.Duration {
	if a.Before(from) {
		a = from
	}
	if b.After(to) {
		b = to
	}
	return max(0, b.Sub(a))
}
