package statute

import (
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
)

// Unfetched are the rules that speak of the meat of an animal nobody fetches, its
// report among them.
func Unfetched(rules []Rule, s domain.Species, f domain.Form) []Rule {
	return slices.DeleteFunc(slices.Clone(rules), func(r Rule) bool { return !r.OfUnfetched() || !r.For(s, f) })
}

// OfUnfetched reports whether the rule is about meat nobody fetches, or its report.
func (r Rule) OfUnfetched() bool {
	return r.Topic == Abandonment || r.Topic == Report && r.Trigger == Abandoned
}

// TermsOf says what the rules make of one animal's days, the latest of each: from
// which day a letter may go, counted from the receipt, and after which moment it may
// be given away, counted from the mailing of the last letter (zero: none is out).
//
// The letter and the report may be made on the last day that is counted; the meat is
// given away only when that day is over, so that nothing is earlier than the state
// has it, whichever way the state counts.
func TermsOf(rules []Rule, received, mailed time.Time, loc *time.Location) (t animal.Terms) {
	for _, r := range rules {
		switch {
		case !r.OfUnfetched():
		case r.Starts == FromMailing:
			t.FromMailing = true
			if due, counted := r.Due(mailed, loc); counted && !mailed.IsZero() {
				t.Decide = later(t.Decide, due)
				if r.Topic == Report {
					t.Report = later(t.Report, midnight(due, loc))
				}
			}
		case r.Starts == FromReceipt:
			if due, counted := r.Due(received, loc); counted {
				t.Letter = later(t.Letter, midnight(due, loc))
			}
		}
	}
	return t
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func midnight(t time.Time, loc *time.Location) time.Time {
	y, m, d := t.In(loc).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, loc)
}
