// Package holds shows what stops an animal and takes the evidence that frees it:
// holds, disease samples and their results.
package holds

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/hold"
	"coldrail/domain/statute"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// Pages serves an animal's holds.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// form is what one of the page's forms carried; Which says which it was, so that
// what was typed and what is wrong with it come back in the right place.
type form struct {
	Which, Act                   string
	Kind, Reason, Review         string
	Note, Second, Owner          string
	Result, Day, Source          string
	Sample, Lab, Drawn, Expected string
	Meanwhile                    string
	Elsewhere                    bool
}

// act is the id for one of the page's forms: the one that was sent keeps its own.
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
	Animal  db.Animal
	Stopped bool // a look or a warm room stops it: no hold, and the lead decides
	Open    []db.Hold
	Closed  []db.Hold
	Samples []db.Sample
	Warden  string // the game warden's phone
	MayBone bool   // the rules let it be boned and held while its test is out
	Rule    *statute.Rule
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

// Show serves GET /animals/{number}/holds.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, page(v))
}

// Open serves POST /animals/{number}/holds.
func (p *Pages) Open(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "open", func(ctx context.Context, act db.Act, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		review, err := dayIfGiven(ctx, "review", f.Review)
		if err != nil {
			return err
		}
		return p.DB.OpenHold(ctx, act, ui.ShopNumber(r), hold.Kind(f.Kind), f.Reason, review)
	})
}

// Close serves POST /animals/{number}/holds/{hold}.
func (p *Pages) Close(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(chi.URLParam(r, "hold"))
	if err != nil {
		return domain.Missing("There is no such hold.")
	}
	return p.do(w, r, id.String(), func(ctx context.Context, act db.Act, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		e := hold.Evidence{Note: f.Note, Second: f.Second, Surrenders: f.Owner == "gives up", Keeps: f.Owner == "keeps"}
		if f.Source != "" || f.Day != "" {
			if e.ResultDay, err = ui.ReadDay(ctx, "result_day", f.Day); err != nil {
				return err
			}
			e.Result, e.Source, e.SeenBy = hold.Result(f.Result), hold.Source(f.Source), signin.Holder(ctx).Staff.Initials
		}
		return p.DB.CloseHold(ctx, act, id, e)
	})
}

// Draw serves POST /animals/{number}/sample.
func (p *Pages) Draw(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "draw", func(ctx context.Context, act db.Act, f form) error {
		drawn, err := ui.ReadDay(ctx, "drawn", f.Drawn)
		if err != nil {
			return err
		}
		expected, err := dayIfGiven(ctx, "expected", f.Expected)
		if err != nil {
			return err
		}
		return p.DB.DrawSample(ctx, act, ui.ShopNumber(r), db.NewSample{Number: f.Sample, Lab: f.Lab, DrawnOn: drawn, ExpectedOn: expected, Elsewhere: f.Elsewhere})
	})
}

// Send serves POST /animals/{number}/sample/send.
func (p *Pages) Send(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "send", func(ctx context.Context, act db.Act, f form) error {
		expected, err := dayIfGiven(ctx, "expected", f.Expected)
		if err != nil {
			return err
		}
		return p.DB.SendSample(ctx, act, ui.ShopNumber(r), expected)
	})
}

// SeeResult serves POST /animals/{number}/sample/result.
func (p *Pages) SeeResult(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "result", func(ctx context.Context, act db.Act, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		day, err := ui.ReadDay(ctx, "result_day", f.Day)
		if err != nil {
			return err
		}
		return p.DB.SeeResult(ctx, act, ui.ShopNumber(r), db.Result{Word: f.Result, Day: day, Source: hold.Source(f.Source), Note: f.Note})
	})
}

// Meanwhile serves POST /animals/{number}/sample/meanwhile: boned, or kept whole.
func (p *Pages) Meanwhile(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "meanwhile", func(ctx context.Context, act db.Act, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		if f.Meanwhile != "bone" && f.Meanwhile != "whole" {
			return domain.Wrong("meanwhile", "Choose: bone it and hold it, or hold it whole.")
		}
		return p.DB.BoneAndHold(ctx, act, ui.ShopNumber(r), f.Meanwhile == "bone")
	})
}

// do reads the form and who acts, lets them, and shows the page again: as it
// stands now, or with what was typed and what is wrong with it.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, which string, act func(context.Context, db.Act, form) error) error {
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f := readForm(r, which)
	err = act(r.Context(), a, f)
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v, err := p.view(r.Context(), ui.ShopNumber(r))
		if err != nil {
			return err
		}
		v.Form, v.Wrong = f, wrong
		return ui.Render(w, r, http.StatusUnprocessableEntity, page(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+string(ui.ShopNumber(r))+"/holds", http.StatusSeeOther)
	return nil
}

func (p *Pages) view(ctx context.Context, n domain.ShopNumber) (v view, err error) {
	if v.Animal, err = p.DB.Animal(ctx, n); err != nil {
		return v, err
	}
	if v.Samples, err = p.DB.Samples(ctx, n); err != nil {
		return v, err
	}
	if v.MayBone, v.Rule, err = p.DB.Meanwhile(ctx, v.Animal); err != nil {
		return v, err
	}
	if v.Animal.Physical.OnRail() {
		said, _, err := p.DB.VerdictOf(ctx, v.Animal.ID, v.Animal.Revision, p.Now())
		if err != nil {
			return v, err
		}
		v.Stopped = said != nil && said.Condition == ageing.Stop
	}
	shop, err := p.DB.Shop(ctx)
	if err != nil {
		return v, err
	}
	v.Warden = shop.WardenPhone
	holds, err := p.DB.Holds(ctx, n)
	for _, h := range holds {
		if h.Hold.Open() {
			v.Open = append(v.Open, h)
		} else {
			v.Closed = append(v.Closed, h)
		}
	}
	return v, err
}

func readForm(r *http.Request, which string) form {
	typed := func(field string) string { return strings.TrimSpace(r.FormValue(field)) }
	return form{Which: which, Act: r.FormValue("act"), Kind: typed("kind"), Reason: typed("why"), Review: typed("review"), Note: typed("note"),
		Second: typed("second"), Owner: typed("owner"), Result: typed("result"), Day: typed("result_day"), Source: typed("source"),
		Sample: typed("sample"), Lab: typed("lab"), Drawn: typed("drawn"), Expected: typed("expected"), Meanwhile: typed("meanwhile"), Elsewhere: typed("elsewhere") == "yes"}
}

// dayIfGiven reads a day that may stay empty.
func dayIfGiven(ctx context.Context, field, typed string) (time.Time, error) {
	if typed == "" {
		return time.Time{}, nil
	}
	return ui.ReadDay(ctx, field, typed)
}
