package office

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// alarmsView is the page of whom the alarms are told to. Typed stands in place
// of what is stored where something typed was refused.
type alarmsView struct {
	Act, TestAct string
	Set          db.AlarmSettings
	Port, Silent string
	Log          []db.AlarmSent
	Wrong        *domain.Error
}

// wrongWay reports whether what was refused stands among the ways a message goes.
func (v alarmsView) wrongWay() bool {
	return v.Wrong != nil && slices.Contains([]string{"mail_host", "mail_port", "mail_user", "mail_from", "gateway_url", "heartbeat_url"}, v.Wrong.At)
}

// ShowAlarms serves GET /office/alarms.
func (p *Pages) ShowAlarms(w http.ResponseWriter, r *http.Request) error {
	v, err := p.alarms(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, alarmsPage(v))
}

// SetAlarms serves POST /office/alarms.
func (p *Pages) SetAlarms(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	return p.afterAlarms(w, r, p.DB.SetAlarms(r.Context(), act, readAlarms(r)), true)
}

// TestAlarm serves POST /office/alarms/test: messages really go out.
func (p *Pages) TestAlarm(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	return p.afterAlarms(w, r, p.DB.TestAlarm(r.Context(), act), false)
}

// afterAlarms shows the page again: with what was typed where that was refused.
func (p *Pages) afterAlarms(w http.ResponseWriter, r *http.Request, done error, typed bool) error {
	if done == nil {
		http.Redirect(w, r, "/office/alarms", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(done)
	if wrong.Kind != domain.Invalid {
		return done
	}
	v, err := p.alarms(r.Context())
	if err != nil {
		return err
	}
	if v.Wrong = wrong; typed {
		v.Set, v.Port, v.Silent = readAlarms(r), r.FormValue("mail_port"), r.FormValue("silent_min")
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, alarmsPage(v))
}

func (p *Pages) alarms(ctx context.Context) (v alarmsView, err error) {
	v.Act, v.TestAct = signin.NewAct(), signin.NewAct()
	if v.Set, err = p.DB.AlarmSettings(ctx); err != nil {
		return v, err
	}
	v.Port, v.Silent = strconv.Itoa(v.Set.MailPort), strconv.Itoa(v.Set.SilentMin)
	v.Log, err = p.DB.AlarmLog(ctx)
	return v, err
}

// readAlarms reads the form; a number that is none becomes 0, which is refused.
func readAlarms(r *http.Request) db.AlarmSettings {
	get := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	number := func(name string) int { n, _ := strconv.Atoi(get(name)); return n }
	return db.AlarmSettings{
		FirstName: get("first_name"), FirstMail: get("first_mail"), FirstPhone: get("first_phone"),
		SecondName: get("second_name"), SecondMail: get("second_mail"), SecondPhone: get("second_phone"),
		MailHost: get("mail_host"), MailPort: number("mail_port"), MailUser: get("mail_user"), MailFrom: get("mail_from"),
		GatewayURL: get("gateway_url"), HeartbeatURL: get("heartbeat_url"), SilentMin: number("silent_min"),
	}
}

// alarmSaid says what became of a message.
func alarmSaid(ctx context.Context, m db.AlarmSent) string {
	switch {
	case m.SentAt != nil:
		return ui.T(ctx, "Sent %s", *m.SentAt)
	case m.SparedAt != nil:
		return ui.T(ctx, "Not sent: somebody had it before.")
	case m.Tries > 0:
		return ui.T(ctx, "Failed %d times, tried again by itself. Last: %s", m.Tries, m.Wrong)
	}
	return ui.T(ctx, "Goes out %s unless somebody has it", m.DueAt)
}

// alarmWhat says what a message was about, and whom it went to.
func alarmWhat(ctx context.Context, m db.AlarmSent) string {
	what := map[string]string{"missed-round": ui.T(ctx, "Round missed"), "warm-room": ui.T(ctx, "Too warm"), "warm-freezer": ui.T(ctx, "Freezer too warm"),
		"silent-sensor": ui.T(ctx, "Sensor silent"), "test": ui.T(ctx, "Test")}[m.Kind]
	whom := ui.T(ctx, "first person")
	if m.Person == 2 {
		whom = ui.T(ctx, "second person")
	}
	way := ui.T(ctx, "mail")
	if m.Way == "gateway" {
		way = ui.T(ctx, "text or call")
	}
	return what + " " + m.Label + ", " + whom + ", " + way
}
