package ui

import (
	"context"
	"io"
	"strings"

	"github.com/a-h/templ"
)

// Whole writes text so that a number with hyphens in it, such as 26-0147-3, F2-13 or
// 607-555-0142, is never broken over two lines. The words stay the same letters, so
// that they can be found and copied.
func Whole(text string) templ.Component {
	return templ.ComponentFunc(func(_ context.Context, w io.Writer) error {
		if strings.IndexByte(text, '-') < 0 {
			_, err := io.WriteString(w, templ.EscapeString(text))
			return err
		}
		var b strings.Builder
		for i, word := range strings.Split(text, " ") {
			if i > 0 {
				b.WriteByte(' ')
			}
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
