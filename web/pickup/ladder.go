package pickup

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// ladderView is everything that waits, with what comes next for each.
type ladderView struct {
	Fetching db.Fetching
	List     []db.Uncollected
	Now      time.Time
}

// ShowUnclaimed serves GET /pickup/unclaimed: what waits and what comes next.
func (p *Pages) ShowUnclaimed(w http.ResponseWriter, r *http.Request) (err error) {
	v := ladderView{Now: p.Now()}
	if v.Fetching, err = p.DB.Fetching(r.Context()); err != nil {
		return err
	}
	if v.List, err = p.DB.Uncollected(r.Context(), v.Now, 300); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, unclaimedPage(v))
}

// lettersView is one animal's letters, and what may be done now.
type lettersView struct {
	db.Pickup
	Fetching db.Fetching
	Told     animal.Told
	Letters  []db.Letter
	Now      time.Time
	Owner    db.Owner
	Draft    []string // the letter as it would be written now
	Kg       domain.Kilogram
	Owns     bool // whoever holds the tablet owns the shop
	Form     giveForm
	Which    string
	Wrong    *domain.Error
}

// giveForm is the donation as typed.
type giveForm struct{ Act, Recipient, Address, Pounds, Why, Signer, Strokes string }

// Rung is what comes next.
func (v lettersView) Rung() animal.Rung { return v.Fetching.Rung(v.Told, v.Now) }

// wrong is the error of one form of the page.
func (v lettersView) wrong(which string) *domain.Error {
	if v.Which == which {
		return v.Wrong
	}
	return nil
}

// ShowLetters serves GET /pickup/{number}/letters.
func (p *Pages) ShowLetters(w http.ResponseWriter, r *http.Request) error {
	v, err := p.letters(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, lettersPage(v))
}

// Letter serves POST /pickup/{number}/letters: writes one, notes that it was sent, or
// that it came back.
func (p *Pages) Letter(w http.ResponseWriter, r *http.Request) error {
	return p.ladder(w, r, r.FormValue("which"), func(ctx context.Context, act db.Act, v lettersView) error {
		n := v.Animal.Number
		switch r.FormValue("which") {
		case "send":
			return p.DB.SendLetter(ctx, act, n, r.FormValue("how"))
		case "back":
			return p.DB.LetterCameBack(ctx, act, n)
		}
		return p.DB.WriteLetter(ctx, act, n, v.Draft)
	})
}

// Approve serves POST /pickup/{number}/letters/approve: the owner lets it go out.
func (p *Pages) Approve(w http.ResponseWriter, r *http.Request) error {
	return p.ladder(w, r, "approve", func(ctx context.Context, act db.Act, v lettersView) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.ApproveLetter(ctx, act, v.Animal.Number)
	})
}

// GiveAway serves POST /pickup/{number}/give-away: the owner's decision.
func (p *Pages) GiveAway(w http.ResponseWriter, r *http.Request) error {
	return p.ladder(w, r, "give", func(ctx context.Context, act db.Act, v lettersView) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		kg, err := ui.ReadWeight(ctx, "pounds", v.Form.Pounds)
		if err != nil {
			return err
		}
		return p.DB.GiveAway(ctx, act, v.Animal.Number, db.Donation{Recipient: v.Form.Recipient, Address: v.Form.Address, Kg: kg, Why: v.Form.Why,
			Signature: db.Signature{Signer: v.Form.Signer, Strokes: v.Form.Strokes}})
	})
}

// ladder reads who acts, lets them, and shows the page again.
func (p *Pages) ladder(w http.ResponseWriter, r *http.Request, which string, do func(context.Context, db.Act, lettersView) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.letters(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	t := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	v.Which, v.Form = which, giveForm{Act: act.ID.String(), Recipient: t("recipient"), Address: t("address"), Pounds: t("pounds"), Why: t("why"), Signer: t("signer"), Strokes: t("strokes")}
	if err = do(r.Context(), act, v); err == nil {
		http.Redirect(w, r, "/pickup/"+string(v.Animal.Number)+"/letters", http.StatusSeeOther)
		return nil
	}
	if v.Wrong = domain.As(err); v.Wrong.Kind == domain.Internal || v.Wrong.Kind == domain.NotFound {
		return err
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, lettersPage(v))
}

// leastAnswer is the days every letter gives for an answer.
const leastAnswer = 7

func (p *Pages) letters(ctx context.Context, n domain.ShopNumber) (v lettersView, err error) {
	v.Now, v.Owns, v.Form.Act = p.Now(), ui.HolderOf(ctx).Has("owner"), signin.NewAct()
	if v.Pickup, err = p.DB.Pickup(ctx, n); err != nil {
		return v, err
	}
	if v.Fetching, err = p.DB.Fetching(ctx); err != nil {
		return v, err
	}
	if v.Told, err = p.DB.ToldAbout(ctx, n, v.Now); err != nil {
		return v, err
	}
	if v.Owner, err = p.DB.OwnerToWrite(ctx, n); err != nil {
		return v, err
	}
	if v.Owner.Address != "" {
		if err := signin.Look(ctx, p.DB, v.Now, db.Looked{Number: n, Page: "letters", Shown: []domain.Private{domain.Addresses}}); err != nil {
			return v, err
		}
	}
	if v.Letters, err = p.DB.Letters(ctx, n); err != nil {
		return v, err
	}
	letter := animal.LetterTo{Species: v.Animal.Species, Number: n, Told: v.Told, Owed: max(v.Account.Invoice().Balance(), 0), Phone: ui.ShopOf(ctx).Phone, Within: max(v.Fetching.AfterLetterDays, leastAnswer)}
	for _, b := range v.Boxes {
		if b.ReleasedAt == nil {
			letter.Boxes, v.Kg = letter.Boxes+1, v.Kg+b.NetKg
			if b.PlacedAt != nil {
				letter.Since = *b.PlacedAt
			}
		}
	}
	letter.Kg = v.Kg
	for _, w := range letter.Sentences() {
		v.Draft = append(v.Draft, ui.Say(ctx, w))
	}
	return v, nil
}

// LetterSheet serves GET /pickup/{number}/letters/{id}: the letter on paper. One that
// nobody has approved is not printed.
func (p *Pages) LetterSheet(w http.ResponseWriter, r *http.Request) error {
	v, err := p.letters(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	for _, l := range v.Letters {
		if l.ID.String() == chi.URLParam(r, "id") {
			if l.ApprovedAt == nil {
				return domain.Refuse("ladder", "The owner of the shop has not approved this letter yet.")
			}
			return ui.Render(w, r, http.StatusOK, letterSheet(v, l))
		}
	}
	return domain.Missing("There is no such letter.")
}

// DonationSheet serves GET /pickup/{number}/donation: the form that goes with meat
// that is given away, with its pounds.
func (p *Pages) DonationSheet(w http.ResponseWriter, r *http.Request) error {
	v, err := p.letters(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	given, found, err := p.DB.DonationOf(r.Context(), v.Animal.ID)
	if err != nil {
		return err
	}
	if !found {
		given = db.Given{Donation: db.Donation{Kg: v.Kg}}
	}
	return ui.Render(w, r, http.StatusOK, donationSheet(v, given))
}

// fetchView is the settings of handing out.
type fetchView struct {
	Act, Second, Letter, Decide, AfterLetter string
	Stub, On                                 bool
}

// ShowFetching serves GET /office/fetching.
func (p *Pages) ShowFetching(w http.ResponseWriter, r *http.Request) error {
	f, err := p.DB.Fetching(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, fetchingPage(fetchView{Act: signin.NewAct(), Second: strconv.Itoa(f.SecondDays), Letter: strconv.Itoa(f.LetterDays),
		Decide: strconv.Itoa(f.DecideDays), AfterLetter: strconv.Itoa(f.AfterLetterDays), Stub: f.StubCollects, On: f.On}, nil))
}

// SetFetching serves POST /office/fetching.
func (p *Pages) SetFetching(w http.ResponseWriter, r *http.Request) error {
	v := fetchView{Act: r.FormValue("act"), Second: r.FormValue("second"), Letter: r.FormValue("letter"), Decide: r.FormValue("decide"), AfterLetter: r.FormValue("after_letter"),
		Stub: r.FormValue("stub") == "yes", On: r.FormValue("on") == "yes"}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number := func(typed string) int {
		n, err := strconv.Atoi(strings.TrimSpace(typed))
		if err != nil {
			return -1 // the domain asks for days
		}
		return n
	}
	err = p.DB.SetFetching(r.Context(), act, db.Fetching{StubCollects: v.Stub, Ladder: animal.Ladder{On: v.On, SecondDays: number(v.Second), LetterDays: number(v.Letter),
		DecideDays: number(v.Decide), AfterLetterDays: number(v.AfterLetter)}})
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		return ui.Render(w, r, http.StatusUnprocessableEntity, fetchingPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/fetching", http.StatusSeeOther)
	return nil
}
