package ui

import (
	"context"
	"math"
	"strings"
	"time"
)

// Day writes a date of this season in the shop's zone, such as "Sat Nov 7".
func Day(ctx context.Context, t time.Time) string {
	s := sceneOf(ctx)
	t = t.In(s.Zone)
	if s.english {
		return t.Format("Mon Jan 2")
	}
	return T(ctx, "%[1]s %[2]s %[3]s", T(ctx, t.Format("Mon")), T(ctx, t.Format("Jan")), t.Format("2"))
}

// Calendar is a date without a time, as the database has it (midnight UTC), as
// an instant within that day in the shop's zone: what Day and Date are given for
// it, so that no shop west of Greenwich reads the day before.
func Calendar(ctx context.Context, day time.Time) time.Time {
	y, m, d := day.UTC().Date()
	return time.Date(y, m, d, 12, 0, 0, 0, ShopOf(ctx).Zone)
}

// Date writes a date with its year, such as "Nov 7, 2026".
func Date(ctx context.Context, t time.Time) string {
	s := sceneOf(ctx)
	t = t.In(s.Zone)
	if s.english {
		return t.Format("Jan 2, 2006")
	}
	return T(ctx, "%[1]s %[2]s, %[3]s", T(ctx, t.Format("Jan")), t.Format("2"), t.Format("2006"))
}

// Clock writes a time of day in the shop's zone, such as "7:10 pm".
func Clock(ctx context.Context, t time.Time) string {
	s := sceneOf(ctx)
	t = t.In(s.Zone)
	if s.english {
		return t.Format("3:04" + Joint + "pm")
	}
	return t.Format("15:04")
}

// WallClock writes a time of day that was typed, "07:30", as Clock writes one. What
// is no time of day stays as it is.
func WallClock(ctx context.Context, typed string) string {
	at, err := time.Parse("15:04", typed)
	if err != nil || !sceneOf(ctx).english {
		return typed
	}
	return at.Format("3:04" + Joint + "pm")
}

// Moment writes day and time, such as "Sat Nov 7, 7:10 pm".
func Moment(ctx context.Context, t time.Time) string {
	return Day(ctx, t) + ", " + Clock(ctx, t)
}

// Stamp writes a moment with its year, such as "Sat Nov 7, 2026, 7:10 pm": for paper,
// which is filed.
func Stamp(ctx context.Context, t time.Time) string {
	return Day(ctx, t) + ", " + t.In(ShopOf(ctx).Zone).Format("2006") + ", " + Clock(ctx, t)
}

// Ago says how long before now t was, in the largest unit that fits: "just
// now", "12 minutes ago", "3 hours ago", "5 days ago". A t after now is said
// to be "in 2 hours" and so on. Units are cut, not rounded: 47 hours are one
// day ago.
func Ago(ctx context.Context, t, now time.Time) string {
	d := now.Sub(t)
	if d < 0 {
		return ahead(ctx, -d)
	}
	switch {
	case d < time.Minute:
		return T(ctx, "just now")
	case d < time.Hour:
		return T(ctx, "%d minutes ago", int(d.Minutes()))
	case d < 24*time.Hour:
		return T(ctx, "%d hours ago", int(d.Hours()))
	}
	return T(ctx, "%d days ago", int(d.Hours()/24))
}

func ahead(ctx context.Context, d time.Duration) string {
	switch {
	case d < time.Minute:
		return T(ctx, "any moment")
	case d < time.Hour:
		return T(ctx, "in %d minutes", int(d.Minutes()))
	case d < 24*time.Hour:
		return T(ctx, "in %d hours", int(d.Hours()))
	}
	return T(ctx, "in %d days", int(d.Hours()/24))
}

// Span writes a duration for people: "50 min", "3.5 h", "4 days". Below two
// hours it counts minutes, below two days half hours.
func Span(ctx context.Context, d time.Duration) string {
	said := T(ctx, "%d days", int(math.Round(d.Hours()/24)))
	switch {
	case d < 2*time.Hour:
		said = T(ctx, "%d min", int(math.Round(d.Minutes())))
	case d < 48*time.Hour:
		said = T(ctx, "%s h", number(math.Round(d.Hours()*2)/2, decimalsOfHalf(d)))
	}
	return strings.Replace(said, " ", Joint, 1)
}

// decimalsOfHalf is 1 where d, rounded to half hours, is not whole.
func decimalsOfHalf(d time.Duration) int {
	return int(math.Round(d.Hours()*2)) % 2
}

// TypedDay writes a date as a date field holds it.
func TypedDay(ctx context.Context, t time.Time) string {
	return t.In(ShopOf(ctx).Zone).Format(time.DateOnly)
}

// whenForm is an instant as a datetime-local field sends it.
const whenForm = "2006-01-02T15:04"

// TypedWhen is an instant as a datetime-local field shows it, in the shop's zone.
func TypedWhen(ctx context.Context, t time.Time) string {
	return t.In(ShopOf(ctx).Zone).Format(whenForm)
}
