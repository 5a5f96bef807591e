// Package money is the account of one animal: the lines of its bill, what was
// paid, and what is still owed. No card is charged here: the shop notes how it
// was paid.
package money

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Pages serves an animal's account.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// form is what one of the page's forms carried.
type form struct {
	Which, Act       string // the form that was sent, and its act
	Amount, Way, Why string
	Label, Kind      string
	Ticked           []string
	Portion, Payer   string            // whose share it is for, and who pays it
	Line, To         string            // a line of the bill, and the share it goes to
	Much             map[string]string // what was typed of the prices by the piece or the pound, by code
	Later, Taxable   bool
	Back             string   // the page from which one came: "pickup" or "hung"
	Boxes            []string // ticked at pick-up, for the way back
	Named            string   // whom the owner named to collect them
}

// act is the id of one of the page's forms: the one that was sent keeps its own.
func (f form) act(which string) string {
	if f.Which == which {
		return f.Act
	}
	return signin.NewAct()
}

// about returns the form if it is the one named, an empty one otherwise.
func (f form) about(which string) form {
	if f.Which == which {
		return f
	}
	return form{}
}

// view is the page.
type view struct {
	db.Account
	Invoice billing.Invoice
	Shares  []db.ShareAccount // of a shared animal: each owner's own account
	Next    db.NextBill       // what the bill would say now; before it is made
	NoNext  *domain.Error     // why it cannot be said yet
	Extras  []db.PriceItem    // charged only when ticked or counted
	Rest    []billing.Line    // not on the bill yet; after it is made
	Lead    bool
	Owner   string // whose it is; empty: nobody is known
	Form    form
	Wrong   *domain.Error
}

// wrong is the error if it belongs to the form named.
func (v view) wrong(which string) *domain.Error {
	if v.Form.Which == which {
		return v.Wrong
	}
	return nil
}

// stray is an error whose form is not on the page as it stands now, such as a
// payment that another counter took first.
func (v view) stray() *domain.Error {
	on := map[string]bool{"deposit": !v.IsBilled(), "bill": !v.IsBilled(), "pay": v.IsBilled() && v.Invoice.Balance() > 0,
		"refund": mayRefund(v), "charge": true, "give": len(v.Shares) > 0, "rest": len(v.Rest) > 0, "keep": mayKeep(v)}
	if on[v.Form.Which] {
		return nil
	}
	return v.Wrong
}

// Show serves GET /animals/{number}/money.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Form.Back = r.FormValue("back")
	return ui.Render(w, r, http.StatusOK, page(v))
}

// Deposit serves POST /animals/{number}/money/deposit.
func (p *Pages) Deposit(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "deposit", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		cents, err := ui.ReadMoney(ctx, "amount", f.Amount)
		if err != nil {
			return err
		}
		_, err = p.DB.TakeDeposit(ctx, act, n, cents, f.Way, f.paying())
		return err
	})
}

// Pay serves POST /animals/{number}/money/pay.
func (p *Pages) Pay(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "pay", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		cents, err := ui.ReadMoney(ctx, "amount", f.Amount)
		if err != nil {
			return err
		}
		_, err = p.DB.Pay(ctx, act, n, cents, f.Way, f.paying())
		return err
	})
}

// Refund serves POST /animals/{number}/money/refund.
func (p *Pages) Refund(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "refund", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		cents, err := ui.ReadMoney(ctx, "amount", f.Amount)
		if err != nil {
			return err
		}
		_, err = p.DB.Refund(ctx, act, n, cents, f.Way, f.Why, f.paying())
		return err
	})
}

// do asks for the PIN, lets the act happen, and shows the account again: as it
// stands now, or with what was typed and what is wrong with it.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, which string, act func(context.Context, db.Act, domain.ShopNumber, form) error) error {
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	f := form{Which: which, Act: r.FormValue("act"), Amount: r.FormValue("amount"), Way: r.FormValue("way"), Why: r.FormValue("why"),
		Portion: r.FormValue("portion"), Payer: r.FormValue("payer"), Line: r.FormValue("line"), To: r.FormValue("to"),
		Label: r.FormValue("label"), Kind: r.FormValue("kind"), Ticked: r.Form["ticked"], Much: muchTyped(r.PostForm),
		Later: r.FormValue("later") == "yes", Taxable: r.FormValue("taxable") == "yes", Back: r.FormValue("back"),
		Boxes: r.PostForm["boxes"], Named: r.FormValue("named")}
	if err = signin.PIN(r, p.DB, p.Now()); err == nil {
		err = act(r.Context(), a, n, f)
	}
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v, err := p.view(r.Context(), n)
		if err != nil {
			return err
		}
		v.Form, v.Wrong = f, wrong
		return ui.Render(w, r, http.StatusUnprocessableEntity, page(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, f.next(n), http.StatusSeeOther)
	return nil
}

// next is where one goes after a form: back to the counter if it came from there.
func (f form) next(n domain.ShopNumber) string {
	switch f.Back {
	case "pickup":
		return f.counter(n)
	case "hung":
		return "/dropoff/" + string(n) + "/hung"
	}
	return "/animals/" + string(n) + "/money"
}

// counter is the pick-up as it was left: the boxes ticked, and whom the owner named.
func (f form) counter(n domain.ShopNumber) string {
	left := url.Values{}
	if len(f.Boxes) > 0 {
		left["boxes"] = f.Boxes
	}
	if f.Named != "" {
		left.Set("named", f.Named)
	}
	if len(left) == 0 {
		return "/pickup/" + string(n)
	}
	return "/pickup/" + string(n) + "?" + left.Encode()
}

func (p *Pages) view(ctx context.Context, n domain.ShopNumber) (v view, err error) {
	if v.Account, err = p.DB.Account(ctx, n); err != nil {
		return v, err
	}
	v.Invoice = v.Account.Invoice()
	if v.Owner, err = p.DB.OwnerOf(ctx, n); err != nil {
		return v, err
	}
	if v.Shares, err = p.DB.ShareAccounts(ctx, v.Animal); err != nil {
		return v, err
	}
	v.Lead = slices.ContainsFunc(signin.Holder(ctx).Staff.Roles, func(role string) bool { return role == "owner" || role == "lead" })
	if v.IsBilled() {
		v.Rest, err = p.DB.Unbilled(ctx, v.Animal, p.Now())
		return v, err
	}
	if v.Next, err = p.DB.Quote(ctx, v.Animal, p.Now()); err != nil {
		if v.NoNext = domain.As(err); v.NoNext.Kind == domain.Internal {
			return v, err
		}
	}
	v.Extras, err = p.extras(ctx, v.Animal)
	return v, err
}
