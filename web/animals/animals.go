// Package animals shows the whole record of one animal, finds one by whatever
// was typed or scanned, and keeps the calls about it.
package animals

import (
	"context"
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Pages serves the animal's record, the find box and the calls.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// recordView is the record as it is shown.
type recordView struct {
	db.Record
	Now       time.Time
	MayHold   db.Possession // until when a rule lets the shop hold it
	Aloud     string        // to read to the caller
	CallAct   string
	Logged    bool      // a call was just written down
	DayAct    string    // of the promise
	WeightAct string    // of a weight put right
	Holds     []db.Hold // the open ones
	Looks     []db.LookRow
	Decisions []db.DecisionRow
	Boxes     []db.BoxLine
	Orders    []ordered // one, or one for each owner of a shared animal
	Contacts  []db.Contact
	Messages  []db.Message // to its owners, the latest first
	Lived     livedView
	Course    []ageing.Stood // how it stood since the drop-off; empty: nothing can be said
	Hang      hangView
	Windows   []ageing.Window // if the room ran at another temperature; empty: it hangs no longer
	Line      []ui.Entry
	Plain     int // looks without a finding, which the line leaves out
}

// JudgedAt is the moment the verdict is about.
func (v recordView) JudgedAt() time.Time {
	if !v.Hanging() && v.LeftRail != nil {
		return *v.LeftRail
	}
	return v.Now
}

// Show serves GET /animals/{number}.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.record(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Logged = r.FormValue("logged") == string(v.Animal.Number)
	return ui.Render(w, r, http.StatusOK, recordPage(v))
}

func (p *Pages) record(ctx context.Context, n domain.ShopNumber) (v recordView, err error) {
	v.Now, v.CallAct, v.DayAct, v.WeightAct = p.Now(), signin.NewAct(), signin.NewAct(), signin.NewAct()
	if v.Record, err = p.DB.Record(ctx, n, v.Now); err != nil {
		return v, err
	}
	if slices.ContainsFunc(v.Parties, func(p db.Party) bool { return slices.Contains(private, p.Role) }) {
		if err = signin.Look(ctx, p.DB, v.Now, db.Looked{Number: n, Page: "record", Shown: []domain.Private{domain.Names}}); err != nil {
			return v, err
		}
	}
	if v.MayHold, err = p.DB.PossessionOf(ctx, v.Animal); err != nil {
		return v, err
	}
	found, err := p.DB.FoundAnimal(ctx, n)
	if err != nil {
		return v, err
	}
	v.Hang.Now = v.Now
	if v.Hang.Hang, err = p.DB.HangOf(ctx, n); err != nil {
		return v, err
	}
	v.Aloud = aloud(ctx, found, v.Verdict, v.Now)
	if err = p.readLists(ctx, n, &v); err != nil {
		return v, err
	}
	lived, err := p.DB.Lived(ctx, v.Animal.ID, v.Animal.Revision, v.JudgedAt())
	if err != nil {
		return v, err
	}
	v.Lived = livedOf(lived, v.Looks, v.Animal.ReceivedAt, v.JudgedAt())
	v.Course, err = p.DB.Course(ctx, v.Animal.ID, v.Animal.Revision, v.JudgedAt(), instants(v.Animal.ReceivedAt, v.JudgedAt())...)
	if err != nil {
		return v, err
	}
	if v.Hanging() {
		if v.Windows, err = p.DB.WindowsAt(ctx, v.Animal.ID, v.Animal.Revision, v.Now, asked...); err != nil {
			return v, err
		}
	}
	line, err := p.DB.TimeLine(ctx, v.Animal.ID)
	v.Line, v.Plain = entries(ctx, line)
	return v, err
}

// readLists adds everything that is shown as a list.
func (p *Pages) readLists(ctx context.Context, n domain.ShopNumber, v *recordView) (err error) {
	if v.Holds, err = p.DB.Holds(ctx, n); err != nil {
		return err
	}
	v.Holds = open(v.Holds)
	if v.Looks, err = p.DB.LooksAt(ctx, n); err != nil {
		return err
	}
	if v.Decisions, err = p.DB.DecisionsOn(ctx, n); err != nil {
		return err
	}
	if v.Boxes, err = p.DB.Boxes(ctx, n); err != nil {
		return err
	}
	if v.Contacts, err = p.DB.Contacts(ctx, n); err != nil {
		return err
	}
	if v.Messages, err = p.DB.MessagesAbout(ctx, n); err != nil {
		return err
	}
	v.Orders, err = p.ordered(ctx, v.Animal)
	return err
}

// ordered is an order that counts, and what is still to ask about it.
type ordered struct {
	db.Order
	Gaps []domain.Words
}

func (p *Pages) ordered(ctx context.Context, a db.Animal) ([]ordered, error) {
	about, err := p.DB.About(ctx, a)
	if err != nil {
		return nil, err
	}
	orders, err := p.DB.StandingOrders(ctx, a.Number)
	list := make([]ordered, len(orders))
	for i, o := range orders {
		list[i] = ordered{o, o.Gaps(about)}
	}
	return list, err
}

// open keeps the holds that still stand.
func open(holds []db.Hold) (standing []db.Hold) {
	for _, h := range holds {
		if h.Open() {
			standing = append(standing, h)
		}
	}
	return standing
}
