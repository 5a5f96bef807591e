package domain

import (
	"fmt"
	"math"
)

// Words is a sentence for a person: an English format that is also its key in
// the message catalogue, and the values that go into it. The domain speaks
// Words so that a screen in another language can say the same thing.
type Words struct {
	Format string
	Args   []any
}

// Say makes Words. Format follows package fmt.
func Say(format string, args ...any) Words { return Words{Format: format, Args: args} }

// String returns the sentence in English. Arguments that are Words themselves
// are written in English too, and measures in the units of an American shop;
// package ui writes them in the shop's own.
func (w Words) String() string {
	if len(w.Args) == 0 {
		return w.Format
	}
	said := make([]any, len(w.Args))
	for i, arg := range w.Args {
		said[i] = spoken{arg}
	}
	return fmt.Sprintf(w.Format, said...)
}

// spoken writes a measure with its unit for %v and %s; any other value and any
// other verb stay as they are.
type spoken struct{ arg any }

// Format implements fmt.Formatter.
func (s spoken) Format(f fmt.State, verb rune) {
	if verb == 'v' || verb == 's' {
		switch v := s.arg.(type) {
		case Celsius:
			fmt.Fprint(f, tenths(v.F()), " °F")
			return
		case Kilogram:
			fmt.Fprint(f, tenths(v.Lb()), " lb")
			return
		case Millimetre:
			fmt.Fprint(f, tenths(float64(v)), " mm")
			return
		}
	}
	fmt.Fprintf(f, fmt.FormatString(f, verb), s.arg)
}

// tenths rounds to one decimal; fmt then drops a trailing zero.
func tenths(n float64) float64 { return math.Round(n*10) / 10 }

// MarshalText writes the English sentence, for the calculator contract and logs.
func (w Words) MarshalText() ([]byte, error) { return []byte(w.String()), nil }
