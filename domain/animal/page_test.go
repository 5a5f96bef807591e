package animal

import (
	"testing"
	"time"
)

// A finished page is there while there is something to say, and never for ever.
func TestPageStands(t *testing.T) {
	now := time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)
	for _, p := range AllPhysical {
		gone := p == Released || p == Returned // issue: removed after pick-up
		if got := p.PageStands(now.AddDate(0, 0, -59), now); got == gone {
			t.Errorf("%s, 59 days after the last act: %t", p, got)
		}
		// Common practice, no source: sixty days for whoever has not called.
		if got, here := p.PageStands(now.AddDate(0, 0, -60), now), p == Expected || p.InHouse(); got != here {
			t.Errorf("%s, sixty days after the last act: %t", p, got)
		}
	}
}
