package ui

import (
	"strings"
	"testing"
)

// A line ends neither within a number nor between it and its unit.
func TestWhole(t *testing.T) {
	for text, want := range map[string]string{
		"half: steaks, 3/4 in thick, 2 lb to a pack": "half: steaks, 3/4" + Joint + "in thick, 2" + Joint + "lb to a pack",
		"Taken in Sat Nov 21. You may 2":             "Taken in Sat" + Joint + "Nov" + Joint + "21. You may 2",
		"tender 89 %, 5 days.":                       "tender 89" + Joint + "%, 5" + Joint + "days.",
		"Taken in 26-0103-5 <b>":                     `Taken in <span class="nowrap">26-0103-5</span> &lt;b&gt;`,
		"7 h 50 min of 8 h":                          "7" + Joint + "h" + Joint + "50" + Joint + "min of 8" + Joint + "h",
		"call them · two boxes":                      "call them" + Joint + "· two boxes",
		"weighed in pounds, lb":                      "weighed in pounds, lb",
	} {
		var b strings.Builder
		if err := Whole(text).Render(t.Context(), &b); err != nil || b.String() != want {
			t.Errorf("%q becomes %q, %v; want %q", text, b.String(), err, want)
		}
	}
}
