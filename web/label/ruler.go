package label

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"coldrail/domain"
	"coldrail/web/ui"
)

// ruler is the test print of a printer: a line of known length, and what the
// length it came out at says.
type ruler struct {
	Paper, Typed string
	Line         domain.Millimetre
	Advice       []domain.Words
	Bad          bool
	Wrong        *domain.Error
}

// rulers are the lengths of the line by paper, in inches: as long as fits.
var rulers = map[string]float64{"pack": 2, "4x6": 3, "letter": 6}

// Ruler serves GET /labels/ruler: a page to print, and with ?measured= what to set.
func (p *Pages) Ruler(w http.ResponseWriter, r *http.Request) error {
	v := ruler{Paper: r.FormValue("paper"), Typed: strings.TrimSpace(r.FormValue("measured"))}
	if rulers[v.Paper] == 0 {
		v.Paper = "4x6"
	}
	v.Line = domain.Inches(rulers[v.Paper])
	status := http.StatusOK
	if v.Typed != "" {
		measured, err := ui.ReadLength(r.Context(), "measured", v.Typed)
		if err == nil {
			v.Advice, v.Bad, err = advise(v.Line, measured)
		}
		if err != nil {
			v.Wrong, status = domain.As(err), http.StatusUnprocessableEntity
		}
	}
	return ui.Render(w, r, status, rulerSheet(v))
}

// advise says what a printer does to lengths, given a line as it was drawn and as
// it was measured on paper, and whether NOT FOR SALE keeps the height the law
// asks for.
//
//	scale = measured / drawn                                       (1)
//	set   = 100 / scale                                            (2)
//
// One part in a hundred is what a ruler on paper can tell.
func advise(drawn, measured domain.Millimetre) (said []domain.Words, bad bool, err error) {
	scale := float64(measured / drawn)
	if !(scale > 0.3 && scale < 3) {
		return nil, false, domain.Wrong("measured", "That cannot be the line on the page. Measure from one end mark to the other.")
	}
	if math.Abs(scale-1) <= 0.0101 {
		said = append(said, domain.Say("This printer prints true. Leave its settings as they are."))
	} else {
		said = append(said, domain.Say("This printer prints at %d %%. In its print window choose actual size, or 100 %%, and not fit to page. If it is set so already, set the scale to %d %% and print this page again.",
			int(math.Round(100*scale)), int(math.Round(100/scale))))
	}
	if high := capital * domain.Millimetre(scale); high < domain.Inches(3.0/8) {
		bad = true
		said = append(said, domain.Say("NOT FOR SALE comes out %s mm high. The law asks for 3/8 in, 9.5 mm: do not use labels of this printer until it prints true.", fmt.Sprintf("%.1f", float64(high))))
	}
	return said, bad, nil
}

// ticks draws the ruler: an end mark at each end and one every quarter inch.
func (v ruler) ticks() string {
	var path strings.Builder
	quarter := float64(domain.Inches(0.25))
	for i := 0; float64(i)*quarter <= float64(v.Line)+0.01; i++ {
		high := 3.0
		if i%4 == 0 {
			high = 7
		}
		fmt.Fprintf(&path, "M%g 8V%g", float64(i)*quarter+0.5, 8-high)
	}
	fmt.Fprintf(&path, "M.5 8H%g", float64(v.Line)+0.5)
	return path.String()
}

func (v ruler) width() string { return fmt.Sprintf("%gmm", float64(v.Line)+1) }
func (v ruler) box() string   { return fmt.Sprintf("0 0 %g 9", float64(v.Line)+1) }
