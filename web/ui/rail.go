package ui

import (
	"context"
	"io"
	"math"
	"strconv"

	"coldrail/domain"

	"github.com/a-h/templ"
)

// grid is the step of the rail drawing: one class of width per 5 cm.
const grid = domain.Metre(0.05)

// widest is the last width class of the stylesheet: 4 m, or that many places.
const widest = 80

// RailWidth returns the class that draws a length along a rail to scale, in
// steps of 5 cm: "u9" for 0.45 m. Less than one step is one step, more than
// 4 m is 4 m.
func RailWidth(along domain.Metre) string {
	return widthOf(int(math.Round(float64(along / grid))))
}

// widthOf is the class of so many steps, or of so many places.
func widthOf(n int) string { return "u" + strconv.Itoa(min(max(n, 1), widest)) }

// Hung is one carcass or piece as it hangs on a Rail, at a place of its own.
type Hung struct {
	Number    domain.ShopNumber
	Hook      string // the hook in words, "hook 7"; empty where the shop numbers none
	Days      int    // since the kill
	Condition string
	Brief     string // how it stands, in at most five words; empty: the condition's own
	Held      bool
	Part      string // "left side", "fore quarter"; empty for a whole animal
}

// HangTag is one animal on a Rail: its tag below the line. It is
// written by hand and not as a template, because a full board has hundreds of
// them and a template costs several times as much.
func HangTag(h Hung) templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		_, err := w.Write(h.html(ctx, make([]byte, 0, 640)))
		return err
	})
}

// html appends the tag to b. Whatever came from outside is escaped.
func (h Hung) html(ctx context.Context, b []byte) []byte {
	number, code := templ.EscapeString(string(h.Number)), templ.EscapeString(h.Condition)
	b = append(b, `<li class="hang"><a class="hang-tag cond-`...)
	b = append(b, code...)
	if h.Held {
		b = append(b, ` is-held`...)
	}
	b = append(b, `" href="/animals/`...)
	b = append(b, number...)
	b = append(b, `">`...)
	b = span(b, "hang-number", h.Number.Short())
	b = span(b, "hang-days", dayNumber(ctx, h.Days))
	b = append(b, `<i class="fill" aria-hidden="true"></i>`...)
	said := h.Brief
	if said == "" {
		said = conditionWords(ctx, h.Condition)
	}
	b = span(b, "hang-cond", said)
	if h.Held {
		b = span(b, "hang-held", T(ctx, "held"))
	}
	if h.Part != "" {
		b = span(b, "hang-part", h.Part)
	}
	b = append(b, `</a>`...)
	if h.Hook != "" {
		b = span(b, "hook", h.Hook)
	}
	return append(b, `</li>`...)
}

func span(b []byte, class, text string) []byte {
	b = append(b, `<span class="`...)
	b = append(b, class...)
	b = append(b, `">`...)
	b = append(b, templ.EscapeString(text)...)
	return append(b, `</span>`...)
}

// dayNumber says on which day since the kill an animal hangs.
func dayNumber(ctx context.Context, n int) string {
	day := strconv.Itoa(n)
	if sceneOf(ctx).english {
		return "day " + day // the printer would cost more than the rest of the tag
	}
	return T(ctx, "day %s", day)
}
