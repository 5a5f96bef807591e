package office

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/domain"
)

// Looks of one minute that say the same are one line with their count; a look that
// showed more, or came later, keeps a line of its own.
func TestLooksAlikeAreCounted(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 11, 19, 12, 0, 50, 0, time.UTC)
	look := func(seconds int, shown ...domain.Private) db.PrivateLook {
		return db.PrivateLook{At: at.Add(time.Duration(-seconds) * time.Second), By: "Ann", Page: "record", Shown: shown}
	}
	list := counted([]db.PrivateLook{look(0, domain.Names), look(10, domain.Names), look(20, domain.Names, domain.Addresses), look(30, domain.Names), look(90, domain.Names)})
	var times []int
	for _, l := range list {
		times = append(times, l.Times)
	}
	if len(times) != 4 || times[0] != 2 || times[1] != 1 || times[2] != 1 || times[3] != 1 {
		t.Errorf("counted %v, want 2 1 1 1", times)
	}
}
