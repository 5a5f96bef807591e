package ui

import (
	"context"
	"io"
	"slices"
	"strings"

	"github.com/a-h/templ"
)

// Whole writes text so that a number with hyphens in it, such as 26-0147-3, F2-13 or
// 607-555-0142, is never broken over two lines, and that no line ends between a number
// and its unit, a month and its day, or before the dot between two things said. The words stay the same letters, so that they can be found and copied.
func Whole(text string) templ.Component {
	return templ.ComponentFunc(func(_ context.Context, w io.Writer) error {
		if !strings.ContainsAny(text, "0123456789·") && !strings.Contains(text, "--") {
			_, err := io.WriteString(w, templ.EscapeString(text))
			return err
		}
		var b strings.Builder
		last := ""
		for i, word := range strings.Split(text, " ") {
			switch {
			case i > 0 && (word == "·" || measures(last, word)):
				b.WriteString(Joint)
			case i > 0:
				b.WriteByte(' ')
			}
			last = word
			if isNumber(word) {
				b.WriteString(`<span class="nowrap">` + templ.EscapeString(word) + `</span>`)
				continue
			}
			b.WriteString(templ.EscapeString(word))
		}
		_, err := io.WriteString(w, b.String())
		return err
	})
}

// measures tells a unit that follows its number, and the month and the day of a date.
func measures(number, word string) bool {
	switch {
	case slices.Contains(weekdays, number):
		return slices.Contains(months, word)
	case slices.Contains(months, number) || number == "h":
		return word != "" && word[0] >= '1' && word[0] <= '9'
	}
	if number == "" || number[len(number)-1] < '0' || number[len(number)-1] > '9' {
		return false
	}
	switch strings.TrimRight(word, ",.;:)") {
	case "lb", "oz", "kg", "g", "in", "ft", "mm", "m", "°F", "°C", "h", "min", "minute", "minutes", "hour", "hours", "day", "days", "times", "%", "W":
		return true
	}
	return false
}

var (
	weekdays = []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
	months   = []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
)

// isNumber tells a word that is a number or a place of the shop: a hyphen before a
// digit. Longer ones than a phone number with its comma may be broken. A word of the
// command line is kept as it is typed too.
func isNumber(word string) bool {
	if strings.HasPrefix(word, "--") {
		return true
	}
	for i := 1; i+1 < len(word) && len(word) <= 16; i++ {
		if next := word[i+1]; word[i] == '-' && next >= '0' && next <= '9' {
			return true
		}
	}
	return false
}
