package pickup

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/plan"
	"coldrail/domain/statute"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// ladderView is everything that waits, with what comes next for each.
type ladderView struct {
	Fetching db.Fetching
	List     []db.Uncollected
	Fresh    []db.Uncollected           // still freezes and nobody was told: nothing is due
	Storing  map[domain.ShopNumber]bool // storage runs
	Now      time.Time
}

// ShowUnclaimed serves GET /pickup/unclaimed: what waits and what comes next.
func (p *Pages) ShowUnclaimed(w http.ResponseWriter, r *http.Request) (err error) {
	v := ladderView{Now: p.Now()}
	if v.Fetching, err = p.DB.Fetching(r.Context()); err != nil {
		return err
	}
	all, err := p.DB.Uncollected(r.Context(), v.Now, 300)
	if err != nil {
		return err
	}
	for _, u := range all {
		if u.Since != nil && plan.StillFreezes(*u.Since, v.Now) && u.Rung(v.Now) == animal.NotTold {
			v.Fresh = append(v.Fresh, u)
		} else {
			v.List = append(v.List, u)
		}
	}
	if v.Storing, err = p.DB.Storing(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, unclaimedPage(v))
}

// lettersView is one animal's letters, and what may be done now.
type lettersView struct {
	db.Pickup
	db.Unfetched
	Letters  []db.Letter
	Donating []statute.Rule // what the state says of giving it away
	Receipt  *statute.Rule  // that wants one given as meat leaves
	Now      time.Time
	Owner    db.Owner
	Draft    []string // the letter as it would be written now
	Kg       domain.Kilogram
	Owns     bool // whoever holds the tablet owns the shop
	Form     giveForm
	Which    string
	Wrong    *domain.Error
	Storage  db.Storage
	Signed   bool // its owner signed at drop-off for the fee that binds
	Leads    bool // or leads it
}

// giveForm is the donation as typed.
type giveForm struct {
	Act, Recipient, Address, Pounds, Why, Signer, Strokes string
	Tag, Receipt                                          bool
	Labelled                                              []string // keys of rules
}

// act is the id of one of the page's forms: the one that was sent keeps its own.
func (v lettersView) act(which string) string {
	if v.Which == which {
		return v.Form.Act
	}
	return signin.NewAct()
}

// typed is the reason as typed in the form named.
func (v lettersView) typed(which string) string {
	if v.Which == which {
		return v.Form.Why
	}
	return ""
}

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
			picture, err := photo.Read(r, "photo")
			if err != nil {
				return err
			}
			return p.DB.LetterCameBack(ctx, act, n, picture)
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
			Tag: v.Form.Tag, Receipt: v.Form.Receipt, Labelled: v.Form.Labelled, Signature: db.Signature{Signer: v.Form.Signer, Strokes: v.Form.Strokes}})
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
	v.Which, v.Form = which, giveForm{Act: act.ID.String(), Recipient: t("recipient"), Address: t("address"), Pounds: t("pounds"), Why: t("why"), Signer: t("signer"), Strokes: t("strokes"),
		Tag: t("tag") == "yes", Receipt: t("receipt") == "yes"}
	for _, rule := range v.Donating {
		if t("labelled-"+rule.Key) == "yes" {
			v.Form.Labelled = append(v.Form.Labelled, rule.Key)
		}
	}
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
	v.Now, v.Owns, v.Leads, v.Form.Act = p.Now(), ui.HolderOf(ctx).Has("owner"), ui.HolderOf(ctx).Has("owner", "lead"), signin.NewAct()
	if v.Pickup, err = p.DB.Pickup(ctx, n); err != nil {
		return v, err
	}
	if v.Unfetched, err = p.DB.UnfetchedOf(ctx, n, v.Now); err != nil {
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
	donation, err := p.DB.RulesFor(ctx, statute.Donation)
	if err != nil {
		return v, err
	}
	v.Donating = statute.Donating(donation, v.Animal.Species, v.Animal.Form)
	receipts, err := p.DB.RulesFor(ctx, statute.Receipt)
	if err != nil {
		return v, err
	}
	v.Receipt = statute.ReceiptDue(receipts, statute.GoesOut, v.Animal.Species, v.Animal.Form)
	if v.Letters, err = p.DB.Letters(ctx, n); err != nil {
		return v, err
	}
	if v.Storage, err = p.DB.StorageOf(ctx, v.Animal); err != nil {
		return v, err
	}
	if v.Signed, err = p.signedForFee(ctx, v.Animal, v.Storage.Binds); err != nil {
		return v, err
	}
	rest, err := p.DB.Unbilled(ctx, v.Animal, v.Now)
	v.draft(ctx, v.Account.Invoice().Balance()+billing.Invoice{Lines: rest}.Total())
	return v, err
}

// draft counts what is here and words the letter as it would be written now, with what
// the counter would ask for.
func (v *lettersView) draft(ctx context.Context, owed domain.Cents) {
	letter := animal.LetterTo{Species: v.Animal.Species, Number: v.Animal.Number, Told: v.Told, Owed: max(owed, 0), Phone: ui.ShopOf(ctx).Phone,
		Within: v.Ladder.AnswerWithin(leastAnswer), Law: lawOf(v.Rules)}
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
}

// lawOf is what the state's rules say of meat nobody fetches, each with where it
// stands. What is told to an agency is no business of the letter.
func lawOf(rules []statute.Rule) (law []domain.Words) {
	for _, r := range rules {
		if r.Topic == statute.Abandonment {
			law = append(law, domain.Say("The rule of %s: %s (%s)", r.StateName, r.Says, r.Cites))
		}
	}
	return law
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

// ReportSheet serves GET /pickup/{number}/report: what the state wants told, on paper,
// once a letter is in the post.
func (p *Pages) ReportSheet(w http.ResponseWriter, r *http.Request) error {
	v, err := p.letters(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	rule, sent := v.Report(), v.lastSent()
	switch {
	case rule == nil:
		return domain.Missing("No rule here asks for a report of meat nobody fetched.")
	case sent == nil:
		return domain.Refuse("ladder", "A letter comes first, then the report.")
	}
	return ui.Render(w, r, http.StatusOK, reportSheet(v, *rule, *sent))
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
	if given.Address != "" {
		if err := signin.Look(r.Context(), p.DB, v.Now, db.Looked{Number: v.Animal.Number, Page: "gift", Shown: []domain.Private{domain.Addresses}}); err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, donationSheet(v, given))
}
