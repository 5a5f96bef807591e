package pickup

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// storageView is the fee for meat nobody fetches: in force, as it was, and the form.
type storageView struct {
	Now   billing.StorageRule
	Rules []db.StorageRule // the newest first
	Form  url.Values
	Wrong *domain.Error
}

// ShowStorage serves GET /office/storage.
func (p *Pages) ShowStorage(w http.ResponseWriter, r *http.Request) error {
	v, err := p.storage(r.Context())
	if err != nil {
		return err
	}
	v.Form = url.Values{"act": {signin.NewAct()}, "seen": {strconv.Itoa(len(v.Rules))}}
	if len(v.Rules) > 0 {
		v.Form.Set("after", strconv.Itoa(v.Now.AfterDays))
		v.Form.Set("day", strings.TrimPrefix(v.Now.ADay.String(), "$"))
		v.Form.Set("taxable", yesIf(v.Now.Taxable))
		v.Form.Set("on", yesIf(v.Now.On))
	}
	return ui.Render(w, r, http.StatusOK, storagePage(v))
}

// SetStorage serves POST /office/storage: on, off or changed, with the reason and the
// owner's PIN.
func (p *Pages) SetStorage(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	if err = p.setStorage(r, act); err == nil {
		http.Redirect(w, r, "/office/storage", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal {
		return err
	}
	v, err := p.storage(r.Context())
	if err != nil {
		return err
	}
	if v.Form, v.Wrong = r.PostForm, wrong; wrong.Kind == domain.Conflict {
		v.Form.Set("seen", strconv.Itoa(len(v.Rules))) // the page shows what was set meanwhile
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, storagePage(v))
}

func (p *Pages) setStorage(r *http.Request, act db.Act) (err error) {
	rule := billing.StorageRule{On: r.FormValue("on") == "yes", AfterDays: daysTyped(r.FormValue("after")), Taxable: r.FormValue("taxable") == "yes"}
	if rule.ADay, err = ui.ReadMoney(r.Context(), "day", r.FormValue("day")); err != nil {
		return err
	}
	seen, err := strconv.Atoi(r.FormValue("seen"))
	if err != nil {
		return domain.Wrong("", "This form came in damaged. Open it again and repeat.")
	}
	if err = signin.PIN(r, p.DB, act.At); err != nil {
		return err
	}
	return p.DB.SetStorage(r.Context(), act, seen, rule, r.FormValue("why"))
}

func (p *Pages) storage(ctx context.Context) (v storageView, err error) {
	if v.Rules, err = p.DB.StorageRules(ctx); err == nil && len(v.Rules) > 0 {
		v.Now = v.Rules[0].Rule()
	}
	return v, err
}

// ApproveStorage serves POST /pickup/{number}/storage: the owner of the shop lets it
// run for this animal.
func (p *Pages) ApproveStorage(w http.ResponseWriter, r *http.Request) error {
	return p.ladder(w, r, "storage", func(ctx context.Context, act db.Act, v lettersView) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.ApproveStorage(ctx, act, v.Animal.Number, v.Form.Why)
	})
}

// StopStorage serves POST /pickup/{number}/storage/stop.
func (p *Pages) StopStorage(w http.ResponseWriter, r *http.Request) error {
	return p.ladder(w, r, "stop", func(ctx context.Context, act db.Act, v lettersView) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.StopStorage(ctx, act, v.Animal.Number, r.FormValue("stop_why"))
	})
}

// daysTyped is a count of days as typed; -1 for what is no number, of which the domain
// asks for days.
func daysTyped(typed string) int {
	n, err := strconv.Atoi(strings.TrimSpace(typed))
	if err != nil {
		return -1
	}
	return n
}

func yesIf(on bool) string {
	if on {
		return "yes"
	}
	return ""
}

// feeWords is a fee in one line.
func feeWords(ctx context.Context, r billing.StorageRule) string {
	if !r.On {
		return ui.T(ctx, "off")
	}
	said := ui.T(ctx, "%s a day after %s", r.ADay.String(), ui.T(ctx, "%d days", r.AfterDays))
	if r.Taxable {
		said += ", " + ui.T(ctx, "taxed")
	}
	return said
}

// storageSaid is how it stands with the fee for one animal.
func storageSaid(ctx context.Context, v lettersView) string {
	s := v.Storage
	switch {
	case !s.Now.Running:
		return ui.T(ctx, "Storage is off: it costs nothing to wait.")
	case s.Approval == nil:
		return ui.T(ctx, "Storage does not run for it: the owner of the shop has not approved it.")
	case s.Starts().IsZero():
		return ui.T(ctx, "A hold keeps it here: the free days go on once it is lifted.")
	case s.Starts().After(v.Now):
		return ui.T(ctx, "Storage costs %s a day from %s on.", s.Binds.DayCents.String(), ui.Day(ctx, s.Starts()))
	}
	return ui.T(ctx, "Storage costs %s a day since %s.", s.Binds.DayCents.String(), ui.Day(ctx, s.Starts()))
}

// signedForFee reports whether somebody signed the sentence of this fee for the animal,
// in the words of this tablet or in English.
func (p *Pages) signedForFee(ctx context.Context, a db.Animal, fee db.StorageRule) (bool, error) {
	signed, err := p.DB.SignedFor(ctx, a.ID)
	said := animal.StorageAgreed(fee.AfterDays, fee.DayCents)
	return slices.ContainsFunc(signed, func(g db.CounterSigned) bool {
		return slices.Contains(g.Words, ui.Say(ctx, said)) || slices.Contains(g.Words, said.String())
	}), err
}
