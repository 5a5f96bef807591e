package label

import (
	"context"
	"net/http"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// printing is what stands beside a label on the screen: how often it was printed,
// and what to do for the next time. Again is set where it was printed before and
// nobody has said why it is printed once more: then no label is shown.
type printing struct {
	Number      domain.ShopNumber
	What, Which string
	Labels      int
	Back        string
	Before      []db.Print
	Again       bool
	Letter      bool            // on plain letter paper
	Printer     db.PrinterCheck // the newest of this label's printer
	Act         string
	Wrong       *domain.Error
}

// printing reads how often a label was printed. The address carries which print
// it is for, once one was kept: copy=.
func (p *Pages) printing(r *http.Request, what, which string, labels int, back string) (v printing, err error) {
	v = printing{Number: ui.ShopNumber(r), What: what, Which: which, Labels: labels, Back: back, Letter: r.FormValue("paper") == "letter", Act: signin.NewAct()}
	v.Before, err = p.DB.PrintsOf(r.Context(), v.Number, what, which)
	if err == nil {
		v.Printer, err = p.DB.Printer(r.Context(), db.PaperOf(what, v.Letter))
	}
	copied := r.FormValue("copy")
	v.Again = len(v.Before) > 0 && !slices.ContainsFunc(v.Before, func(k db.Print) bool { return k.ID.String() == copied })
	return v, err
}

// kept reports whether the label on the screen stands in the book already.
func (v printing) kept() bool { return len(v.Before) > 0 && !v.Again }

// at is the label's own address.
func (v printing) at() string { return labelAt(v.Number, v.What, v.Which) }

func labelAt(number domain.ShopNumber, what, which string) string {
	at := "/animals/" + string(number)
	switch what {
	case "pack":
		return at + "/packs/" + which + "/label"
	case "box":
		return at + "/boxes/" + which + "/label"
	case "piece":
		return at + "/pieces/" + which + "/label"
	}
	return at + "/tag"
}

// Printed serves POST /animals/{number}/printed: a label goes to the printer. The
// answer is the label, now with its place in the book.
func (p *Pages) Printed(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number, what, which := ui.ShopNumber(r), r.FormValue("what"), r.FormValue("which")
	labels, err := strconv.Atoi(r.FormValue("labels"))
	if err != nil || labels < 1 || labels > 500 || !slices.Contains([]string{"pack", "box", "tag", "piece"}, what) || len(which) > 40 {
		return domain.Wrong("what", "This form came in damaged. Open the label again.")
	}
	if err := p.DB.NotePrint(r.Context(), act, number, db.Print{What: what, Which: which, Labels: labels, Why: r.FormValue("why"), Paper: db.PaperOf(what, r.FormValue("paper") == "letter")}); err != nil {
		return err
	}
	at := labelAt(number, what, which) + "?copy=" + act.ID.String()
	if r.FormValue("paper") == "letter" {
		at += "&paper=letter"
	}
	http.Redirect(w, r, at, http.StatusSeeOther)
	return nil
}

func printSaid(ctx context.Context, k db.Print) string {
	said := ui.T(ctx, "Printed %s by %s, labels: %d", k.At, k.By, k.Labels)
	if k.Why != "" {
		said += ". " + ui.T(ctx, "Why again: %s", k.Why)
	}
	return said
}
