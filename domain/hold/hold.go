package hold

import (
	"strings"
	"time"

	"coldrail/domain"
)

// Hold is one stop on one animal, or on a piece or box of it.
type Hold struct {
	Kind     Kind
	Why      string // in the words of who opened it
	OpenedAt time.Time
	OpenedBy string
	ReviewBy time.Time // when somebody has to look at it again; zero for never
	ClosedAt time.Time // zero while open
	BonedAt  time.Time // of a test that is out: when the lead chose to bone and hold; zero for whole
}

// Open reports whether the hold still stands.
func (h Hold) Open() bool { return h.ClosedAt.IsZero() }

// Stops reports whether the hold forbids the act now. One for a test that is out lets
// an animal be cut that the lead chose to bone and hold, and nothing else (trade.md 2.4).
func (h Hold) Stops(a Act) bool {
	return h.Open() && h.Kind.Blocks(a) && !(a == Cut && h.Kind == TestPending && !h.BonedAt.IsZero())
}

// CheckOpen says whether the hold may be opened at now. A second open hold of
// the same kind would need closing twice, so it is refused.
func CheckOpen(h Hold, standing []Hold, now time.Time) error {
	switch {
	case !h.Kind.Known():
		return domain.Wrong("kind", "Choose what the hold is for.")
	case strings.TrimSpace(h.OpenedBy) == "":
		return domain.Wrong("by", "Say who opens the hold.")
	case strings.TrimSpace(h.Why) == "":
		return domain.Wrong("why", "Say in a few words why it is held.")
	case !h.ReviewBy.IsZero() && !h.ReviewBy.After(now):
		return domain.Wrong("review", "The day to look again has to lie ahead.")
	}
	for _, other := range standing {
		if other.Open() && other.Kind == h.Kind {
			return domain.Refuse("hold", "It is already held: %s, by %s. Close that hold or leave it.", h.Kind.Words(), other.OpenedBy)
		}
	}
	return nil
}

// Blocking returns the open holds that forbid the act, hardest first.
func Blocking(holds []Hold, a Act) []Hold {
	var found []Hold
	for _, kind := range Kinds {
		for _, h := range holds {
			if h.Kind == kind && h.Stops(a) {
				found = append(found, h)
			}
		}
	}
	return found
}

// May says whether the act is allowed under these holds; the refusal names the
// hardest hold in the way.
func May(holds []Hold, a Act) error {
	found := Blocking(holds, a)
	if len(found) == 0 {
		return nil
	}
	why := found[0].Kind.Words()
	switch a {
	case Cut:
		return domain.Refuse("hold", "It is held: %s. Do not cut it.", why)
	case Pool:
		return domain.Refuse("hold", "It is held: %s. Keep its meat out of any batch.", why)
	case Release:
		return domain.Refuse("hold", "It is held: %s. Nothing of it leaves the shop.", why)
	}
	return domain.Refuse("hold", "It is held: %s. Nobody moves it.", why)
}
