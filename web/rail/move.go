package rail

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// seekView asks which animal moves.
type seekView struct {
	Typed string
	Done  domain.ShopNumber // the one just moved, and where it hangs now
	Where string
	Hits  []db.Found // several fit what was typed
}

// moveForm is a move as typed.
type moveForm struct {
	Act, Part, Place, Reason string
	All                      bool // also places it does not fit by the rules
}

// moveView is one animal with the places it may go to.
type moveView struct {
	Animal db.Animal
	Form   moveForm
	Where  []db.Hangs
	Rails  []railChoice
	Hidden int // free places that do not fit and are not shown
	Stop   *domain.Error
}

// railChoice is one rail's free places.
type railChoice struct {
	Label   string
	Options []ui.Option
}

// ShowMove serves GET /rail/move: asks for the number, or shows where the animal
// hangs and where it may go.
func (p *Pages) ShowMove(w http.ResponseWriter, r *http.Request) error {
	typed := strings.TrimSpace(r.FormValue("number"))
	if typed == "" {
		return p.showSeek(w, r)
	}
	number, err := domain.ParseShopNumber("number", typed)
	if err != nil {
		return p.seek(w, r, typed, err)
	}
	f := moveForm{Act: signin.NewAct(), Part: r.FormValue("part"), All: r.FormValue("all") == "yes"}
	v, err := p.moveView(r.Context(), number, f)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.NotFound {
		return ui.Render(w, r, http.StatusNotFound, seekPage(seekView{Typed: typed}, at(wrong, "number")))
	}
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, movePage(v, nil))
}

// showSeek asks for a number, below what was moved just now.
func (p *Pages) showSeek(w http.ResponseWriter, r *http.Request) error {
	var v seekView
	if number, err := domain.ParseShopNumber("done", r.FormValue("done")); err == nil {
		a, err := p.DB.FoundAnimal(r.Context(), number)
		if err != nil {
			return err
		}
		v.Done, v.Where = number, a.Place
		if part := r.FormValue("part"); part != "" {
			where, err := p.DB.WhereHangs(r.Context(), a.ID)
			if err != nil {
				return err
			}
			for _, h := range where {
				if h.Mark == part {
					v.Where = ui.Say(r.Context(), h.Words())
				}
			}
		}
	}
	return ui.Render(w, r, http.StatusOK, seekPage(v, nil))
}

// seek looks for what hangs, or waits for a place, by the four digits people say; wrong is what reading
// it as a whole number said.
func (p *Pages) seek(w http.ResponseWriter, r *http.Request, typed string, wrong error) error {
	ways := db.WaysToFind(typed)
	if ways.Number != "" { // a label or a code with the number in it
		http.Redirect(w, r, "/rail/move?number="+string(ways.Number), http.StatusSeeOther)
		return nil
	}
	v := seekView{Typed: typed}
	if ways.Short != "" {
		found, err := p.DB.Find(r.Context(), db.Ways{Short: ways.Short})
		if err != nil {
			return err
		}
		for _, f := range found {
			if f.Number.Short() == ways.Short && (f.Place != "" || f.Physical == animal.Received) {
				v.Hits = append(v.Hits, f)
			}
		}
		wrong = domain.Wrong("number", "Nothing with the number %s hangs or waits for a place just now. Read the tag again.", typed)
	}
	switch len(v.Hits) {
	case 0:
		return ui.Render(w, r, http.StatusUnprocessableEntity, seekPage(v, domain.As(wrong)))
	case 1:
		http.Redirect(w, r, "/rail/move?number="+string(v.Hits[0].Number), http.StatusSeeOther)
		return nil
	}
	return ui.Render(w, r, http.StatusOK, seekPage(v, nil))
}

// Move serves POST /rail/move: hangs the animal on the place that was tapped.
func (p *Pages) Move(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f := moveForm{Act: act.ID.String(), Part: r.FormValue("part"), Place: r.FormValue("place"), Reason: r.FormValue("reason"), All: r.FormValue("all") == "yes"}
	typed, mark, _ := strings.Cut(r.FormValue("number"), " ") // a list without a network names a side with it
	if mark != "" {
		f.Part = mark
	}
	number, err := domain.ParseShopNumber("number", typed)
	if err != nil {
		return err
	}
	place, err := strconv.Atoi(f.Place)
	if err != nil || place < 1 {
		err = domain.Wrong("place", "Choose where it hangs.")
	} else {
		err = p.DB.Move(r.Context(), act, number, f.Part, place, f.Reason)
	}
	if err == nil {
		http.Redirect(w, r, "/rail/move?"+url.Values{"done": {string(number)}, "part": {f.Part}}.Encode(), http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, viewErr := p.moveView(r.Context(), number, f)
	if viewErr != nil {
		return viewErr
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, movePage(v, wrong))
}

// moveView finds where the animal hangs and where it may go. What stops it from
// being moved stands in the view.
func (p *Pages) moveView(ctx context.Context, number domain.ShopNumber, f moveForm) (v moveView, err error) {
	if v.Animal, err = p.DB.Animal(ctx, number); err != nil {
		return v, err
	}
	if v.Where, err = p.DB.WhereHangs(ctx, v.Animal.ID); err != nil {
		return v, err
	}
	if f.Part == "" && len(v.Where) > 0 {
		f.Part = v.Where[0].Mark // of a split one, the left side first
	}
	v.Form = f
	free, err := p.DB.PlacesFor(ctx, number, f.Part)
	if spoken, is := errors.AsType[*domain.Error](err); is && spoken.Kind == domain.Refused {
		v.Stop = spoken
		return v, nil
	}
	if err != nil {
		return v, err
	}
	v.Rails, v.Hidden = byRail(ctx, free, f.All)
	return v, nil
}

// moveTitle says which of the two the page is for.
func moveTitle(ctx context.Context, v moveView) string {
	if v.waits() {
		return ui.T(ctx, "Hang it, weigh later")
	}
	return ui.T(ctx, "Move one")
}

// byRail groups the places by rail; those that do not fit are counted, or shown
// with what stands against them.
func byRail(ctx context.Context, free []db.FreePlace, everything bool) (rails []railChoice, hidden int) {
	for _, p := range free {
		if !p.Fits && !everything {
			hidden++
			continue
		}
		label := ui.T(ctx, "%s, rail %s, from the door", p.Cooler, p.Rail)
		if len(rails) == 0 || rails[len(rails)-1].Label != label {
			rails = append(rails, railChoice{Label: label})
		}
		o := ui.Option{Value: strconv.Itoa(p.ID), Label: p.Rail + "-" + strconv.Itoa(p.Position)}
		if !p.Fits {
			o.Note = ui.Say(ctx, p.Why)
		}
		last := &rails[len(rails)-1]
		last.Options = append(last.Options, o)
	}
	return rails, hidden
}

// waits reports one that stands outside the cooler and is hung as it came.
func (v moveView) waits() bool { return v.Stop == nil && len(v.Where) == 0 }

// at puts a mistake beside a field of the form.
func at(wrong *domain.Error, field string) *domain.Error {
	moved := *wrong
	moved.At = field
	return &moved
}

// again is the address of this animal's move, with one thing changed.
func (v moveView) again(part string, all bool) string {
	q := url.Values{"number": {string(v.Animal.Number)}}
	if part != "" {
		q.Set("part", part)
	}
	if all {
		q.Set("all", "yes")
	}
	return "/rail/move?" + q.Encode()
}
