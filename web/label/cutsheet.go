package label

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"
)

// cutSheet is the order on paper, beside the carcass.
type cutSheet struct {
	Animal db.Animal
	Owner  string
	Orders []db.Order     // one, or one a portion
	Holds  []db.Hold      // open ones
	Stop   []domain.Words // what a look found that stops it, where the lead has not decided since
	First  []domain.Words // for what it is cut before others

	CutAway []db.DecisionRow // what the lead decided to cut out of it
	Print   time.Time
	Code    Symbol
	Hang    db.Hang
	Square  Symbol // number and version, so that an old paper is told at the table
}

// Version is the order version the sheet is printed from; 0: there is no order.
func (s cutSheet) Version() (version int) {
	for _, o := range s.Orders {
		version = max(version, o.Version)
	}
	return version
}

// CutSheet serves GET /animals/{number}/cutsheet.
func (p *Pages) CutSheet(w http.ResponseWriter, r *http.Request) error {
	ctx, number := r.Context(), ui.ShopNumber(r)
	s := cutSheet{Print: p.Now()}
	var err error
	if s.Animal, err = p.DB.Animal(ctx, number); err != nil {
		return err
	}
	if s.Owner, err = p.DB.OwnerOf(ctx, number); err != nil {
		return err
	}
	if s.Orders, err = p.DB.StandingOrders(ctx, number); err != nil {
		return err
	}
	if s.Stop, s.First, err = p.DB.AtKnife(ctx, number, s.Print); err != nil {
		return err
	}
	if s.CutAway, err = p.DB.CutAway(ctx, number); err != nil {
		return err
	}
	if s.Hang, err = p.DB.HangOf(ctx, number); err != nil {
		return err
	}
	holds, err := p.DB.Holds(ctx, number)
	if err != nil {
		return err
	}
	s.Holds = slices.DeleteFunc(holds, func(h db.Hold) bool { return !h.Open() })
	if s.Code, err = Code128(number.Digits(), Plain, 14); err != nil {
		return err
	}
	if s.Square, err = QR(domaincutting.SheetCode(number, s.Version()), 0.75); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, cutSheetPaper(s))
}

// blankRows is how many rows stand on the sheet to write on by hand: six, and fewer or
// none where much was ordered, so that the caution and the version do not go on to a second page.
func (s cutSheet) blankRows() int {
	taken := len(s.Holds) + len(s.Stop) + len(s.First) + 2*len(s.CutAway) + lines(s.Animal.Keeps)
	if longName(s.Owner) {
		taken++
	}
	if s.longHang() > 0 {
		taken++
	}
	if s.asksLine() {
		taken += 3
	}
	for _, o := range s.Orders {
		taken += len(o.Lines) + lines(o.FallBack) + lines(o.Note)
		for _, said := range []bool{!o.Complete, len(o.Lost) > 0, o.Age.Format != "", o.Days.Wanted > 0} {
			if said {
				taken++
			}
		}
	}
	if taken > 14 {
		return 0
	}
	return min(6, max(1, 14-taken))
}

// lines is how many lines words take on a letter page.
func lines(words string) int { return (utf8.RuneCountInString(words) + 79) / 80 }

// longHang is the last day as signed; 0: the ordinary one counts.
func (s cutSheet) longHang() float64 { return s.Hang.Agreement.Days(s.Hang.Rule) }

// asksLine reports whether the owner has still to sign for the long hang wished.
func (s cutSheet) asksLine() bool {
	return s.Animal.Wish == "long-hang" && s.Hang.Agreement.Owner == nil && s.Hang.Rule.LongCeiling > s.Hang.Rule.Ceiling
}

func ownerWords(ctx context.Context, name string) string {
	if name == "" {
		return ui.T(ctx, "owner not known yet")
	}
	return ui.Named(ctx, name)
}

func ownMeatWords(ctx context.Context, own bool) string {
	if own {
		return ui.T(ctx, "OWN MEAT ONLY")
	}
	return ui.T(ctx, "Batch with others allowed")
}

func weightWords(ctx context.Context, kg *domain.Kilogram) string {
	if kg == nil {
		return ui.T(ctx, "not weighed")
	}
	return ui.Weight(ctx, *kg)
}

// partOnce names the part on its first line only, so that the eye finds the
// next part.
func partOnce(ctx context.Context, lines []domaincutting.Line, i int) string {
	if i > 0 && lines[i-1].Part == lines[i].Part {
		return ""
	}
	return ui.Say(ctx, lines[i].Part.Words())
}

func partsWords(ctx context.Context, parts []domaincutting.Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = ui.Say(ctx, p.Words())
	}
	return strings.Join(said, ", ")
}
