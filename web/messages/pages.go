package messages

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/message"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
	"github.com/google/uuid"
)

// Pages serves the office's words, the call list, and what an animal's owners were
// told.
type Pages struct {
	DB       *db.DB
	Now      func() time.Time
	Link     func(db.Animal) string // the private page of the animal's owner
	Password bool                   // the mail server's password was given where the program was started
}

// listView is what waits, whom to call, and what was done last.
type listView struct {
	Now               time.Time
	Sending           bool
	Call, Queue, Done []db.Message
}

// Show serves GET /messages.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v := listView{Now: p.Now()}
	set, err := p.DB.MessageSettings(r.Context())
	if err != nil {
		return err
	}
	v.Sending = set.Sending
	open, err := p.DB.OpenMessages(r.Context())
	if err != nil {
		return err
	}
	for _, m := range open {
		if m.State == db.MessageToCall {
			v.Call = append(v.Call, m)
		} else {
			v.Queue = append(v.Queue, m)
		}
	}
	if v.Done, err = p.DB.MessagesDone(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, listPage(v))
}

// SendNow serves POST /messages/{message}/now.
func (p *Pages) SendNow(w http.ResponseWriter, r *http.Request) error {
	return p.one(w, r, func(act db.Act, id uuid.UUID) error { return p.DB.SendMessageNow(r.Context(), act, id) })
}

// CallInstead serves POST /messages/{message}/call.
func (p *Pages) CallInstead(w http.ResponseWriter, r *http.Request) error {
	return p.one(w, r, func(act db.Act, id uuid.UUID) error { return p.DB.CallInstead(r.Context(), act, id) })
}

// Called serves POST /messages/{message}/called.
func (p *Pages) Called(w http.ResponseWriter, r *http.Request) error {
	return p.one(w, r, func(act db.Act, id uuid.UUID) error {
		return p.DB.CalledAbout(r.Context(), act, id, r.FormValue("outcome"), r.FormValue("note"))
	})
}

// one does something with one message and goes back to where the tap was made.
func (p *Pages) one(w http.ResponseWriter, r *http.Request, do func(db.Act, uuid.UUID) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	id, err := uuid.Parse(chi.URLParam(r, "message"))
	if err != nil {
		return domain.Missing("There is no such message.")
	}
	if err := do(act, id); err != nil {
		return err
	}
	back := "/messages"
	if n, err := domain.ParseShopNumber("back", r.FormValue("back")); err == nil {
		back = "/animals/" + string(n) + "/messages"
	}
	http.Redirect(w, r, back, http.StatusSeeOther)
	return nil
}

// aboutView is what the owners of one animal were told, and how they are told.
type aboutView struct {
	Number   domain.ShopNumber
	Now      time.Time
	Messages []db.Message
	Owners   []db.Reached
	Stops    []db.Stopped
	Wrong    *domain.Error
	Whose    uuid.UUID // whose form was refused
}

// wrong is the error if it belongs to the form of this person.
func (v aboutView) wrong(person uuid.UUID) *domain.Error {
	if v.Whose == person {
		return v.Wrong
	}
	return nil
}

// stopped says since when a person wants no more of one way.
func (v aboutView) stopped(ctx context.Context, person uuid.UUID) (said []string) {
	for _, s := range v.Stops {
		switch {
		case s.PersonID != person:
		case s.EndedAt != nil:
			said = append(said, ui.T(ctx, "No %s from %s to %s.", s.Way.Words(), ui.Day(ctx, s.Since), ui.Day(ctx, *s.EndedAt)))
		default:
			said = append(said, ui.T(ctx, "No %s since %s, written down by %s.", s.Way.Words(), ui.Day(ctx, s.Since), s.By))
		}
	}
	return said
}

// ShowAbout serves GET /animals/{number}/messages.
func (p *Pages) ShowAbout(w http.ResponseWriter, r *http.Request) error {
	v, err := p.about(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, aboutPage(v))
}

func (p *Pages) about(ctx context.Context, n domain.ShopNumber) (v aboutView, err error) {
	v.Number, v.Now = n, p.Now()
	if v.Owners, err = p.DB.OwnersReached(ctx, n); err != nil {
		return v, err
	}
	if v.Messages, err = p.DB.MessagesAbout(ctx, n); err != nil {
		return v, err
	}
	v.Stops, err = p.DB.StopsOf(ctx, n)
	return v, err
}

// SetReach serves POST /animals/{number}/messages/{person}.
func (p *Pages) SetReach(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	person, err := uuid.Parse(chi.URLParam(r, "person"))
	if err != nil {
		return domain.Missing("There is no such person.")
	}
	reach := message.Reach{TellBy: r.FormValue("tell_by"), Mail: strings.TrimSpace(r.FormValue("mail")), NoTexts: r.FormValue("no_texts") == "yes", NoMails: r.FormValue("no_mails") == "yes"}
	err = p.DB.SetReach(r.Context(), act, n, person, reach)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		v, err := p.about(r.Context(), n)
		if err != nil {
			return err
		}
		v.Wrong, v.Whose = wrong, person
		for i := range v.Owners {
			if v.Owners[i].PersonID == person {
				typed := &v.Owners[i].Reach
				typed.TellBy, typed.Mail, typed.NoTexts, typed.NoMails = reach.TellBy, reach.Mail, reach.NoTexts, reach.NoMails
			}
		}
		return ui.Render(w, r, http.StatusUnprocessableEntity, aboutPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/animals/"+string(n)+"/messages", http.StatusSeeOther)
	return nil
}
