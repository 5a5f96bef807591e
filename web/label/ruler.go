package label

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// ruler is the test print of a printer: a line of known length, and what the
// length it came out at says.
type ruler struct {
	Paper, Typed    string
	Act             string
	Line            domain.Millimetre
	Last            db.PrinterCheck // the newest of this paper
	Advice          []domain.Words
	Bad             bool
	Labels, Animals int // that may carry letters too small
	Wrong           *domain.Error
}

// rulers are the lengths of the line by paper, in inches: as long as fits.
var rulers = map[string]float64{"pack": 2, "4x6": 3, "letter": 6}

// ShowRuler serves GET /labels/ruler: a page to print, and what the last measuring of
// that printer said.
func (p *Pages) ShowRuler(w http.ResponseWriter, r *http.Request) error {
	v, err := p.ruler(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, rulerSheet(v))
}

func (p *Pages) ruler(r *http.Request) (v ruler, err error) {
	v = ruler{Paper: r.FormValue("paper"), Act: signin.NewAct()}
	if rulers[v.Paper] == 0 {
		v.Paper = "4x6"
	}
	v.Line = domain.Inches(rulers[v.Paper])
	if v.Last, err = p.DB.Printer(r.Context(), v.Paper); err != nil || v.Last.At.IsZero() {
		return v, err
	}
	if v.Advice, v.Bad, err = advise(v.Last.Drawn, v.Last.Measured); err != nil || !v.Bad {
		return v, err
	}
	v.Labels, v.Animals, err = p.DB.AtFault(r.Context(), v.Paper)
	return v, err
}

// Measure serves POST /labels/ruler: keeps what a ruler said. A printer whose letters
// come out too small prints no label until it is measured again.
func (p *Pages) Measure(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.ruler(r)
	if err != nil {
		return err
	}
	v.Typed = strings.TrimSpace(r.FormValue("measured"))
	measured, err := ui.ReadLength(r.Context(), "measured", v.Typed)
	if err == nil {
		_, _, err = advise(v.Line, measured)
	}
	if err == nil {
		err = p.DB.NotePrinter(r.Context(), act, db.PrinterCheck{Paper: v.Paper, Drawn: v.Line, Measured: measured, Capital: capital * measured / v.Line})
	}
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		v.Wrong, v.Act = wrong, act.ID.String()
		return ui.Render(w, r, http.StatusUnprocessableEntity, rulerSheet(v))
	}
	if err == nil {
		http.Redirect(w, r, "/labels/ruler?paper="+v.Paper, http.StatusSeeOther)
	}
	return err
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
