package ui

import (
	"context"
	"time"

	"github.com/a-h/templ"
)

// LineView is one line of a ledger: what it is about, what it says, and the one
// tap that leads to the act. Text has been through T.
type LineView struct {
	Mark   templ.Component // what stands in the margin: a Tag, a time, a count
	Title  string
	Note   string
	Badge  templ.Component // a Condition, a Held, a Temperature; may be nil
	Phone  string          // of whoever is to be called, for those whose work it is; may be empty
	Href   string          // where the whole line leads; may be empty
	Act    string          // what a tap does, such as "Walk the round"
	Urgent bool            // needs a person now
}

// Entry is one line of a time line.
type Entry struct {
	At   time.Time
	What string // already in the shop's words
	Who  string
	Note string // what was corrected, a reason, when it was entered
}

// Step is one step of an animal's way or of a task.
type Step struct {
	Label string
	Note  string
	Done  bool
	Now   bool
}

// currentStep marks the step one is at for screen readers.
func currentStep(now bool) templ.Attributes {
	if now {
		return templ.Attributes{"aria-current": "step"}
	}
	return nil
}

// Sideways lets the keyboard reach what is wider than the screen, so that its keys
// move it. Use it as: <div class="table-scroll" { ui.Sideways(ctx)... }>.
func Sideways(ctx context.Context) templ.Attributes {
	return templ.Attributes{"tabindex": "0", "role": "group", "aria-label": T(ctx, "A table; the arrow keys move it sideways")}
}
