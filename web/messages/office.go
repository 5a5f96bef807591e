package messages

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/message"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// officeView is whether messages go, when, through what, and in which words.
type officeView struct {
	Act              string
	On               bool
	From, To, Freeze string // as typed
	Missing          []lack
	Wordings         []db.Wording
	Wrong            *domain.Error
}

// lack is something a message needs and that is not set, with where it is.
type lack struct{ Says, Href, Label string }

// ShowOffice serves GET /office/messages.
func (p *Pages) ShowOffice(w http.ResponseWriter, r *http.Request) error {
	set, err := p.DB.MessageSettings(r.Context())
	if err != nil {
		return err
	}
	v := officeView{Act: signin.NewAct(), On: set.Sending, From: wall(set.Quiet.From), To: wall(set.Quiet.To), Freeze: strconv.Itoa(set.FreezeHours)}
	return p.office(w, r, http.StatusOK, v)
}

// SetMessages serves POST /office/messages.
func (p *Pages) SetMessages(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := officeView{Act: r.FormValue("act"), On: r.FormValue("sending") == "yes", From: r.FormValue("quiet_from"), To: r.FormValue("quiet_to"), Freeze: strings.TrimSpace(r.FormValue("freeze_hours"))}
	set := db.MessageSettings{Sending: v.On, FreezeHours: -1}
	if n, err := strconv.Atoi(v.Freeze); err == nil {
		set.FreezeHours = n
	}
	set.Quiet.From, set.Quiet.To = readWall(v.From), readWall(v.To)
	err = p.DB.SetMessages(r.Context(), act, set)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Invalid {
		v.Wrong = wrong
		return p.office(w, r, http.StatusUnprocessableEntity, v)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/office/messages", http.StatusSeeOther)
	return nil
}

// office shows the page with what is missing and the words in force.
func (p *Pages) office(w http.ResponseWriter, r *http.Request, status int, v officeView) (err error) {
	if v.Missing, err = p.missing(r.Context()); err != nil {
		return err
	}
	if v.Wordings, err = p.DB.Wordings(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, status, officePage(v))
}

// missing says what is not set that a message needs.
func (p *Pages) missing(ctx context.Context) (said []lack, err error) {
	needs := func(says, href, label string) { said = append(said, lack{says, href, label}) }
	by, err := p.DB.AlarmSettings(ctx)
	if err != nil {
		return nil, err
	}
	switch {
	case by.MailHost == "":
		needs(ui.T(ctx, "No mail server is set: whoever wants an e-mail stands on the call list."), "/office/alarms", ui.T(ctx, "Set the mail server"))
	case by.MailUser != "" && !p.Password:
		needs(ui.T(ctx, "The mail server's password is not set: start the program with COLDRAIL_MAIL_PASSWORD."), "", "")
	}
	if by.GatewayURL == "" {
		needs(ui.T(ctx, "No gateway for texts is set: whoever wants a text stands on the call list."), "/office/alarms", ui.T(ctx, "Set the gateway"))
	}
	if ui.ShopOf(ctx).Phone == "" {
		needs(ui.T(ctx, "The shop has no phone number yet: nobody could call back."), "/office/shop", ui.T(ctx, "Write the phone down"))
	}
	return said, nil
}

// wall is a time of the day as a field has it, such as 21:00.
func wall(d time.Duration) string { return time.Time{}.Add(d).Format("15:04") }

// readWall reads one; what is none becomes one no clock shows, which is refused.
func readWall(typed string) time.Duration {
	at, err := time.Parse("15:04", strings.TrimSpace(typed))
	if err != nil {
		return -1
	}
	return time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute
}

// wordingView is the words of one kind, and how they read about a real animal.
type wordingView struct {
	Act     string
	Kind    message.Kind
	Words   string // as typed
	After   string // the version they follow
	Number  string // of the animal in the preview
	Preview string
	MadeUp  bool // the animal is not that far: something in the preview is made up
	NoPhone bool // the preview lacks the shop's phone
	Len     int
	Mail    bool
	Wrong   *domain.Error
}

// ShowWording serves GET /office/messages/{kind}.
func (p *Pages) ShowWording(w http.ResponseWriter, r *http.Request) error {
	v := wordingView{Act: signin.NewAct(), Kind: message.Kind(chi.URLParam(r, "kind"))}
	list, err := p.DB.Wordings(r.Context())
	if err != nil {
		return err
	}
	for _, said := range list {
		if said.Kind == v.Kind {
			v.Words, v.After = said.Words, strconv.Itoa(said.Version)
		}
	}
	if v.Words == "" {
		return domain.Missing("There is no such message.")
	}
	if err := p.preview(r.Context(), &v); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, wordingPage(v))
}

// Word serves POST /office/messages/{kind}: the words are shown about an animal, or
// kept.
func (p *Pages) Word(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v := wordingView{Act: r.FormValue("act"), Kind: message.Kind(chi.URLParam(r, "kind")), Words: r.FormValue("words"), After: r.FormValue("after"), Number: strings.TrimSpace(r.FormValue("number"))}
	err = v.Kind.CheckWording(v.Words)
	keep := r.FormValue("do") == "keep"
	if err == nil && keep {
		after, _ := strconv.Atoi(v.After)
		err = p.DB.WordMessage(r.Context(), act, v.Kind, v.Words, after)
	}
	if err == nil && !keep {
		err = p.preview(r.Context(), &v)
	}
	wrong := domain.As(err)
	switch {
	case err != nil && wrong.Kind == domain.Invalid:
		v.Wrong = wrong
		return ui.Render(w, r, http.StatusUnprocessableEntity, wordingPage(v))
	case err != nil:
		return err
	case keep:
		http.Redirect(w, r, "/office/messages", http.StatusSeeOther)
		return nil
	}
	return ui.Render(w, r, http.StatusOK, wordingPage(v))
}

// preview words the message about the animal named, or the one the shop took in
// last. A shop without an animal sees none.
func (p *Pages) preview(ctx context.Context, v *wordingView) error {
	if v.Number == "" {
		latest, found, err := p.DB.LatestAnimal(ctx)
		if err != nil || !found {
			return err
		}
		v.Number = string(latest)
	}
	number, err := domain.ParseShopNumber("number", v.Number)
	if err != nil {
		return err
	}
	now := p.Now()
	e, err := p.DB.MessagePreview(ctx, v.Kind, number, now)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.NotFound {
		return domain.Wrong("number", "There is no animal with the number %s.", string(number))
	}
	if err != nil {
		return err
	}
	e.Wording, v.Number = v.Words, string(number)
	shown, madeUp := example(e, now.In(ui.ShopOf(ctx).Zone))
	v.Preview, v.MadeUp = Say(ctx, shown, p.Link(e.Owned.Animal), false, now), madeUp
	v.NoPhone = ui.ShopOf(ctx).Phone == "" && strings.Contains(v.Words, "{phone}")
	v.Len = len([]rune(v.Preview))
	return nil
}
