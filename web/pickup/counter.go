package pickup

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/hold"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// counterForm is what the forms of the page carry; each fills its own part.
type counterForm struct {
	Which, Act                          string // the form that was sent, and its act
	Boxes, Things                       []string
	Strokes, Named, NamedHow            string
	Collector, Authority, Seen, Remains string
	Tag, Receipt                        bool
	LetOwe                              string
	Way, Outcome, Note                  string
	Right                               rightForm
}

// act is the id of one of the page's forms: the one that was sent keeps its own.
func (f counterForm) act(which string) string {
	if f.Which == which {
		return f.Act
	}
	return signin.NewAct()
}

// counterView is one animal at the counter.
type counterView struct {
	db.Pickup
	Held error // why nothing may leave, or nil
	db.Possession
	Receipt *statute.Rule // that wants a receipt with all that leaves; nil: none
	Owed    domain.Cents
	Form    counterForm
	Wrong   *domain.Error
	Now     time.Time
	Link    string
	Shares  []shareLine    // of a shared animal: each owner's balance and own link
	MayOwe  bool           // whoever holds the tablet may let it go unpaid
	Rest    []billing.Line // not on the bill yet
}

// wrong is the error if it belongs to the form named.
func (v counterView) wrong(which string) *domain.Error {
	if v.Form.Which == which {
		return v.Wrong
	}
	return nil
}

// open reports whether there is anything to hand over.
func (v counterView) open() bool { return fetchable(v.Animal.Physical) && v.Here() > 0 }

// toPayFirst reports whether something of the money comes before the boxes.
func (v counterView) toPayFirst() bool {
	return !v.Account.IsBilled() || v.Owed > 0 || len(v.Rest) > 0
}

// stray is an error whose form is not on the page any more: another counter was
// first.
func (v counterView) stray() *domain.Error {
	if v.open() || v.Form.Which == "call" || v.Form.Which == "named" || strings.HasPrefix(v.Form.Which, "right-") {
		return nil
	}
	return v.Wrong
}

// Here counts the boxes that are still in the shop.
func (v counterView) Here() (n int) {
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil {
			n++
		}
	}
	return n
}

// ticked counts the boxes here that are to leave.
func (v counterView) ticked() (n int) {
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil && slices.Contains(v.Form.Boxes, domain.BoxCode(v.Animal.Number, b.N)) {
			n++
		}
	}
	return n
}

// thingsHere are the ids of what goes back besides the boxes.
func (v counterView) thingsHere() (ids []string) {
	for _, t := range v.Things {
		if t.GoneAt == nil {
			ids = append(ids, t.ID.String())
		}
	}
	return ids
}

// TagHere reports whether the state's tag is to be given back.
func (v counterView) TagHere() bool { return tagHere(v.Animal) }

func tagHere(a db.Animal) bool {
	return a.Legal == animal.TagHeld || a.Legal == animal.Verified && a.Species.Game()
}

// Show serves GET /pickup/{number}. A scanned label arrives as "scan" beside the
// boxes already ticked; one of another animal is refused with its right place.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	// Without scripts what was ticked comes as "before"; with them the ticks themselves
	// come, so that one taken off again stays off.
	v.Form = counterForm{Boxes: append(r.URL.Query()["boxes"], r.URL.Query()["before"]...), Things: v.thingsHere(), Authority: string(animal.ByOwner), Tag: true}
	if len(v.Parties) > 0 && v.Parties[0].Role == "owner" && v.Parties[0].Name != db.NoName {
		v.Form.Collector = v.Parties[0].Name // the right that is ticked is the owner's
	}
	status := http.StatusOK
	if named := r.FormValue("named"); named != "" {
		v.Form.Collector, v.Form.Authority = named, string(animal.ByName)
	}
	if label := strings.TrimSpace(r.FormValue("scan")); label != "" {
		box, err := p.DB.ScanBox(r.Context(), v.Animal.Number, label)
		if wrong := domain.As(err); err != nil && wrong.Kind == domain.Internal {
			return err
		} else if err != nil {
			v.Form.Which, v.Wrong, status = "scan", wrong, http.StatusUnprocessableEntity
		} else {
			v.Form.Boxes = append(v.Form.Boxes, domain.BoxCode(v.Animal.Number, box.N))
		}
	}
	return ui.Render(w, r, status, counterPage(v))
}

// HandOver serves POST /pickup/{number}: the boxes go home.
func (p *Pages) HandOver(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return domain.Wrong("", "The form came in damaged. Open the page again.")
	}
	f := counterForm{Which: "handover", Things: r.PostForm["things"], Strokes: r.FormValue("strokes"), Act: r.FormValue("act"), Boxes: r.PostForm["boxes"], Collector: r.FormValue("collector"),
		Authority: r.FormValue("authority"), Seen: r.FormValue("seen"), Remains: r.FormValue("remains"), Tag: r.FormValue("tag") == "yes", Receipt: r.FormValue("receipt") == "yes", LetOwe: r.FormValue("let_owe")}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.HandOver(ctx, act, n, db.Collection{Collector: f.Collector, Authority: animal.Authority(f.Authority), Seen: f.Seen,
			Boxes: f.Boxes, Things: f.Things, Strokes: f.Strokes, Remains: f.Remains, TagReturned: f.Tag, Receipt: f.Receipt, LetOwe: f.LetOwe})
	})
}

// Call serves POST /pickup/{number}/call: somebody was called, and what came of it.
func (p *Pages) Call(w http.ResponseWriter, r *http.Request) error {
	f := counterForm{Which: "call", Act: r.FormValue("act"), Way: r.FormValue("way"), Outcome: r.FormValue("outcome"), Note: r.FormValue("note")}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.LogCall(ctx, act, n, f.Way, f.Outcome, f.Note)
	})
}

// MayCollect serves POST /pickup/{number}/named: the owner named somebody.
func (p *Pages) MayCollect(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return domain.Wrong("", "The form came in damaged. Open the page again.")
	}
	f := counterForm{Which: "named", Act: r.FormValue("act"), Named: r.FormValue("named"), NamedHow: r.FormValue("named_how"), Boxes: r.PostForm["boxes"]}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.MayCollect(ctx, act, n, f.Named, f.NamedHow)
	})
}

// NewLink serves POST /pickup/{number}/link: the old link works no longer.
func (p *Pages) NewLink(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, counterForm{Which: "link"}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.NewLink(ctx, act, n)
	})
}

// do reads who acts, lets them, and shows the counter again: as it stands now,
// or with what was typed and what is wrong with it.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, f counterForm, act func(context.Context, db.Act, domain.ShopNumber) error) error {
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	err = act(r.Context(), a, n)
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v, err := p.view(r.Context(), n)
		if err != nil {
			return err
		}
		v.Form, v.Wrong = f, wrong
		return ui.Render(w, r, http.StatusUnprocessableEntity, counterPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, f.next(n), http.StatusSeeOther)
	return nil
}

// next is where one goes after a form: whom the owner named stands in the hand-over
// below, and the boxes that were ticked stay so.
func (f counterForm) next(n domain.ShopNumber) string {
	at := "/pickup/" + string(n)
	if f.Which != "named" {
		return at
	}
	return at + "?" + url.Values{"named": {f.Named}, "boxes": f.Boxes}.Encode()
}

func (p *Pages) view(ctx context.Context, n domain.ShopNumber) (v counterView, err error) {
	if v.Pickup, err = p.DB.Pickup(ctx, n); err != nil {
		return v, err
	}
	v.Now, v.Link = p.Now(), p.Link(v.Animal)
	if v.Shares, err = p.shareLines(ctx, v.Animal); err != nil {
		return v, err
	}
	if v.Possession, err = p.DB.PossessionOf(ctx, v.Animal); err != nil {
		return v, err
	}
	receipts, err := p.DB.RulesFor(ctx, statute.Receipt)
	if err != nil {
		return v, err
	}
	v.Receipt = statute.ReceiptDue(receipts, statute.GoesOut, v.Animal.Species, v.Animal.Form)
	if v.Rest, err = p.DB.Unbilled(ctx, v.Animal, v.Now); err != nil {
		return v, err
	}
	v.Held = hold.May(v.Holds, hold.Release)
	v.Owed = max(v.Account.Invoice().Balance(), 0)
	v.MayOwe = slices.ContainsFunc(signin.Holder(ctx).Staff.Roles, func(role string) bool { return role == "owner" || role == "lead" })
	return v, nil
}
