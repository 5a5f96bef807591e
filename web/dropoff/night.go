package dropoff

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// nightView is what was found in the bay since yesterday, and what is still open.
type nightView struct {
	Count     db.BayCount
	Now       time.Time
	Carcasses []db.NightFind
	Cards     map[uuid.UUID]db.NightFind
	Loose     []db.NightFind // cards without a carcass
	Whose     map[uuid.UUID][]db.TagHolder
	Form      nightForm
	Wrong     *domain.Error
}

// nightForm is one of the page's forms as typed; Which says which.
type nightForm struct {
	Which, Act                                              string
	Number, Reads, Phone, Tag, Species, Deep, Note, How, ID string
}

// wrong is the error of one form of the page.
func (v nightView) wrong(which string) *domain.Error {
	if v.Form.Which == which {
		return v.Wrong
	}
	return nil
}

// typed is what one form of the page holds.
func (v nightView) typed(which string) nightForm {
	if v.Form.Which == which {
		return v.Form
	}
	return nightForm{Act: signin.NewAct()}
}

// ShowNight serves GET /dropoff/night: carcasses and cards of the bay, paired.
func (p *Pages) ShowNight(w http.ResponseWriter, r *http.Request) error {
	v, err := p.nightView(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, nightPage(v))
}

// FoundInBay serves POST /dropoff/night: the count, a carcass, a card, a pair, or
// what came of a question.
func (p *Pages) FoundInBay(w http.ResponseWriter, r *http.Request) error {
	v := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	f := nightForm{Which: v("which"), Act: v("act"), Number: v("number"), Reads: v("reads"), Phone: v("phone"), Tag: v("tag"), Species: v("species"),
		Deep: v("deep"), Note: v("note"), How: v("how"), ID: v("find")}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = p.bayAct(r, act, f); err == nil {
		http.Redirect(w, r, "/dropoff/night", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	view, err := p.nightView(r.Context())
	if err != nil {
		return err
	}
	if f.Which == "settle" || f.Which == "pair" {
		f.Which += f.ID
	}
	view.Form, view.Wrong = f, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, nightPage(view))
}

// bayAct does what the form asks for.
func (p *Pages) bayAct(r *http.Request, act db.Act, f nightForm) error {
	ctx := r.Context()
	id, _ := uuid.Parse(f.ID) // of nothing found: db says so
	switch f.Which {
	case "count":
		carcasses, err := strconv.Atoi(r.FormValue("carcasses"))
		cards, err2 := strconv.Atoi(r.FormValue("cards"))
		if err != nil || err2 != nil {
			return domain.Wrong("carcasses", "Count the carcasses and the cards: two numbers.")
		}
		return p.DB.CountBay(ctx, act, carcasses, cards)
	case "pair":
		card, _ := uuid.Parse(r.FormValue("card"))
		return p.DB.PairFinds(ctx, act, id, card)
	case "settle":
		return p.DB.SettleFind(ctx, act, id, f.How)
	}
	find, err := f.find(ctx)
	if err != nil {
		return err
	}
	picture, err := photo.Read(r, "photo")
	if err != nil {
		return err
	}
	return p.DB.FoundInBay(ctx, act, find, picture)
}

// find reads a carcass or a card.
func (f nightForm) find(ctx context.Context) (animal.Find, error) {
	find := animal.Find{Card: f.Which == "card", Reads: f.Reads, Phone: f.Phone, Tag: f.Tag, Species: domain.Species(f.Species), Note: f.Note}
	if f.Number != "" {
		n, err := domain.ParseShopNumber("number", f.Number)
		if err != nil {
			return find, err
		}
		find.Number = n
	}
	if f.Deep != "" {
		c, err := ui.ReadTemp(ctx, "deep", f.Deep)
		if err != nil {
			return find, err
		}
		find.Deep = &c
	}
	return find, nil
}

// byLicence reports whether somebody was found by the number of a licence.
func byLicence(h db.TagHolder) bool { return h.From == "licence" }

func (p *Pages) nightView(ctx context.Context) (v nightView, err error) {
	v.Now, v.Cards, v.Whose = p.Now(), map[uuid.UUID]db.NightFind{}, map[uuid.UUID][]db.TagHolder{}
	if v.Count, err = p.DB.LastBayCount(ctx); err != nil {
		return v, err
	}
	finds, err := p.DB.NightFinds(ctx, v.Now.Add(-20*time.Hour))
	if err != nil {
		return v, err
	}
	paired := map[uuid.UUID]bool{}
	for _, f := range finds {
		if f.IsCard() {
			v.Cards[f.ID] = f
		} else {
			v.Carcasses = append(v.Carcasses, f)
		}
		if f.CardID != nil {
			paired[*f.CardID] = true
		}
	}
	for _, f := range finds {
		if f.IsCard() && !paired[f.ID] {
			v.Loose = append(v.Loose, f)
		}
		if !f.IsCard() && f.CardID == nil && f.Tag != "" {
			if v.Whose[f.ID], err = p.DB.WhoseTag(ctx, f.Tag); err != nil {
				return v, err
			}
		}
		if slices.ContainsFunc(v.Whose[f.ID], byLicence) {
			if err = signin.Look(ctx, p.DB, v.Now, db.Looked{Page: "bay", Shown: []domain.Private{domain.Licences}}); err != nil {
				return v, err
			}
		}
	}
	return v, nil
}

// fromBay fills the form with a carcass of the bay and its card.
func (p *Pages) fromBay(r *http.Request, f *dropForm) error {
	id, err := uuid.Parse(r.FormValue("found"))
	if err != nil {
		return nil // it came by hand
	}
	found, err := p.DB.NightFind(r.Context(), id)
	if err != nil {
		return err
	}
	f.Found, f.Number, f.Tag, f.Species, f.DoorNote = id.String(), string(found.Number), found.Tag, string(found.Species), found.Note
	if found.DeepC != nil {
		f.Deep = ui.TypedTemp(r.Context(), *found.DeepC)
	}
	if found.CardID == nil {
		return nil
	}
	card, err := p.DB.NightFind(r.Context(), *found.CardID)
	f.Name, f.Phone = card.Reads, card.Phone
	if f.Tag == "" {
		f.Tag = card.Tag
	}
	return err
}
