package label

import (
	"fmt"
	"strings"

	"coldrail/domain"
)

// capital is the height of the letters of NOT FOR SALE: 10 mm, a little above
// the 3/8 in (9.525 mm) the law asks for, so that a printer that shrinks a page
// by four in a hundred still prints enough.
//
// Source: 9 CFR 316.16 and 317.16, letters at least 3/8 inch in height.
const capital domain.Millimetre = 10

// letters are drawn and not set in a font, because the height of a font's
// capitals is the font's own business and the law asks for millimetres. Each
// stands in a box of 6 by 10 mm; a stroke is 1.7 mm wide.
var letters = map[rune]string{
	'N': "M.85 10V0M5.15 10V0M.85 .5L5.15 9.5",
	'O': "M2 .85H4L5.15 2V8L4 9.15H2L.85 8V2Z",
	'T': "M0 .85H6M3 .85V10",
	'F': "M.85 10V.85H6M.85 5H5",
	'R': "M.85 10V.85H4L5.15 2V4L4 5.15H.85M2.8 5.15L5.15 10",
	'S': "M5.15 2.4L4 .85H2L.85 2V3.6L2 5H4L5.15 6.4V8L4 9.15H2L.85 7.6",
	'A': "M.85 10V2.6L2.2 .85H3.8L5.15 2.6V10M.85 6.3H5.15",
	'L': "M.85 0V9.15H6",
	'E': "M6 .85H.85V9.15H6M.85 5H5",
}

// Steps from one letter to the next and across a space, in mm.
const (
	letterStep = 7.0
	spaceStep  = 3.5
)

// drawn is words drawn in block letters of exact height.
type drawn struct {
	Text  string
	Glyph []glyph
	Wide  domain.Millimetre
}

type glyph struct{ Path, Shift string }

// block draws words of the letters above; a letter that is not there is a
// mistake of ours and is left out of the drawing, which a test would see.
func block(words string) drawn {
	d := drawn{Text: words}
	x := 0.0
	for _, r := range words {
		if r == ' ' {
			x += spaceStep
			continue
		}
		if path, ok := letters[r]; ok {
			d.Glyph = append(d.Glyph, glyph{path, fmt.Sprintf("translate(%g 0)", x)})
		}
		x += letterStep
	}
	d.Wide = domain.Millimetre(x - 1)
	return d
}

func (d drawn) width() string  { return fmt.Sprintf("%gmm", float64(d.Wide)) }
func (d drawn) height() string { return fmt.Sprintf("%gmm", float64(capital)) }
func (d drawn) box() string    { return fmt.Sprintf("0 0 %g %g", float64(d.Wide), float64(capital)) }

// notForSale is what stands on everything that is not.
var notForSale = block(strings.ToUpper("not for sale"))

// narrow is the width of the words on a pack of 3 inches.
const narrow = "66mm"
