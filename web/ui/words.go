package ui

import (
	"context"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"coldrail/domain"
)

// T returns the English format, or its translation, with args filled in. The
// English text is the key of the message catalogue. Format follows package
// fmt, and numbers are written the way the shop's language groups them, so a
// year or a number that is a name goes in as text. Quantities (domain.Celsius
// and its kin) and instants are written in the shop's units and zone by %s.
func T(ctx context.Context, format string, args ...any) string {
	s := sceneOf(ctx)
	if s.english && (strings.IndexByte(format, '%') < 0 || len(args) == 0 && !verb.MatchString(format)) {
		return format // the common case on a board of 500 animals; "at most 85 %, measured" is no format either
	}
	return s.printer.Sprintf(format, inShopWords(ctx, args)...)
}

// Say returns a sentence of the domain in the shop's language.
func Say(ctx context.Context, w domain.Words) string {
	if len(w.Args) == 0 {
		if s := sceneOf(ctx); s.english {
			return w.Format // not a format then: a % in it stands for itself
		}
	}
	return T(ctx, w.Format, w.Args...)
}

// inShopWords replaces the arguments that a screen writes in its own way. The
// slice is copied only if there is something to replace.
func inShopWords(ctx context.Context, args []any) []any {
	out := args
	for i, arg := range args {
		said, ok := shopWord(ctx, arg)
		if !ok {
			continue
		}
		if &out[0] == &args[0] {
			out = append([]any(nil), args...)
		}
		out[i] = said
	}
	return out
}

func shopWord(ctx context.Context, arg any) (any, bool) {
	switch v := arg.(type) {
	case domain.Words:
		return Say(ctx, v), true
	case domain.Celsius:
		return quantity{strings.Replace(Temp1(ctx, v), ".0"+Joint, Joint, 1), float64(v)}, true // a limit of 38 °F is no more exact than that
	case domain.Kilogram:
		return quantity{Weight(ctx, v), float64(v)}, true
	case domain.Millimetre:
		return quantity{Length(ctx, v), float64(v)}, true
	case time.Time:
		return Moment(ctx, v), true
	}
	return nil, false
}

// quantity writes itself in the shop's unit for %s and %v, and stays a plain
// number for %.1f and its kin.
type quantity struct {
	words  string
	number float64
}

// Format implements fmt.Formatter.
func (q quantity) Format(f fmt.State, verb rune) {
	if verb == 's' || verb == 'v' {
		fmt.Fprint(f, q.words)
		return
	}
	fmt.Fprintf(f, fmt.FormatString(f, verb), q.number)
}

// Named is somebody's name as it is shown: that there is none yet is said in the shop's
// language.
func Named(ctx context.Context, name string) string {
	if name == domain.NoName {
		return T(ctx, "no name yet")
	}
	return name
}

// Capital writes what stands in the middle of a sentence at its beginning.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// TellBy says how a person wants to be told that the meat is ready, where they
// asked for anything but a call.
func TellBy(ctx context.Context, way string) string {
	switch way {
	case "text":
		return T(ctx, "wants a text")
	case "mail":
		return T(ctx, "wants a letter")
	case "e-mail":
		return T(ctx, "wants an e-mail")
	}
	return ""
}

// TellWays are the ways an owner may ask to be told by.
func TellWays(ctx context.Context) []Option {
	return []Option{{Value: "call", Label: T(ctx, "A call")}, {Value: "text", Label: T(ctx, "A text")}, {Value: "e-mail", Label: T(ctx, "An e-mail")}, {Value: "mail", Label: T(ctx, "A letter")}}
}

// Side names a piece of a split carcass by its mark.
func Side(ctx context.Context, mark string) string {
	switch mark {
	case "L":
		return T(ctx, "left side")
	case "R":
		return T(ctx, "right side")
	}
	return T(ctx, "piece %s", mark)
}
