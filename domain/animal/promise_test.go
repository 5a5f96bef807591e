package animal

import (
	"testing"
	"time"

	"coldrail/domain"
)

func TestCheckPromise(t *testing.T) {
	ny := time.FixedZone("EST", -5*3600)
	today := time.Date(2026, 11, 19, 23, 30, 0, 0, ny) // the 20th already at Greenwich
	day := func(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, ny) }
	for _, tt := range []struct {
		name string
		p    Physical
		day  time.Time
		want string // the field or rule that refuses it; "": it may be promised
	}{
		{"today, late in the evening", Hanging, day(2026, 11, 19), ""},
		{"in two weeks", Received, day(2026, 12, 3), ""},
		{"on the table", OnTable, day(2026, 11, 20), ""},
		{"yesterday", Hanging, day(2026, 11, 18), "promised"},
		{"next year by a slip", Hanging, day(2027, 11, 20), "promised"},
		{"no day", Hanging, time.Time{}, "promised"},
		{"cut already", Stored, day(2026, 12, 3), "promise"},
		{"gone", Released, day(2026, 12, 3), "promise"},
		{"condemned", Condemned, day(2026, 12, 3), "promise"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := tt.p.CheckPromise(tt.day, today)
			if got := domain.As(err); err == nil && tt.want != "" || err != nil && got.At != tt.want {
				t.Errorf("got %v, want a refusal at %q", err, tt.want)
			}
		})
	}
}
