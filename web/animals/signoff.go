package animals

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// hangView is what is signed about how long one animal hangs, and what is not.
type hangView struct {
	db.Hang
	Now time.Time
}

// Days is the last day as signed; 0: the ordinary one counts.
func (v hangView) Days() float64 { return v.Agreement.Days(v.Rule) }

// Offered reports whether a longer hang can be signed for at all.
func (v hangView) Offered() bool { return v.Rule.LongCeiling > v.Rule.Ceiling }

// Wished reports whether the owner asked for a long hang or anything is signed.
func (v hangView) Wished() bool {
	return v.Animal.Wish == "long-hang" || v.Agreement.Owner != nil || v.Agreement.Lead != nil
}

// Hangs reports whether how long it hangs still matters.
func (v hangView) Hangs() bool { return v.Animal.Physical.InHouse() && !v.Animal.Physical.Cut() }

// Due reports whether the lead's signature of the week is asked for.
func (v hangView) Due() bool {
	signed := time.Time{}
	if v.Agreement.Weekly != nil {
		signed = v.Agreement.Weekly.At
	}
	return v.Hangs() && ageing.SignatureDue(v.Animal.KilledAt, signed, v.Now)
}

// LongHung reports whether it is past day 14.
func (v hangView) LongHung() bool { return v.Hangs() && ageing.LongHung(v.Animal.KilledAt, v.Now) }

// Beef reports whether the signature takes what was measured in the room.
func (v hangView) Beef() bool { return v.Rule.Key == "beef-fat" }

// signoffView is the page of the signatures. Which says which of its forms was
// sent.
type signoffView struct {
	hangView
	Which string
	Form  url.Values
	Wrong *domain.Error
}

// folded reports whether the longer hang is no work of now: the week's signature comes
// before it or both have signed, and neither of its forms was sent.
func (v signoffView) folded() bool {
	signed := v.Agreement.Owner != nil && v.Agreement.Lead != nil
	return (v.Due() || signed) && v.Which != "owner" && v.Which != "extend"
}

// ShowSignoff serves GET /animals/{number}/signoff.
func (p *Pages) ShowSignoff(w http.ResponseWriter, r *http.Request) error {
	v, err := p.signoff(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, signoffPage(v))
}

// OwnerSigned serves POST /animals/{number}/signoff/owner: the owner signed for a
// longer hang, on paper.
func (p *Pages) OwnerSigned(w http.ResponseWriter, r *http.Request) error {
	return p.sign(w, r, "owner", func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		days, err := readDays(r)
		if err != nil {
			return err
		}
		return p.DB.OwnerSigned(ctx, act, n, days, r.FormValue("note"))
	})
}

// Extend serves POST /animals/{number}/signoff/extend: the lead, with a PIN.
func (p *Pages) Extend(w http.ResponseWriter, r *http.Request) error {
	return p.sign(w, r, "extend", func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		days, err := readDays(r)
		if err != nil {
			return err
		}
		air, err := readAir(r)
		if err != nil {
			return err
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.Extend(ctx, act, n, days, air, r.FormValue("note"))
	})
}

// SignWeek serves POST /animals/{number}/signoff/week: the lead's signature of the
// week, with a PIN.
func (p *Pages) SignWeek(w http.ResponseWriter, r *http.Request) error {
	return p.sign(w, r, "week", func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		air, err := readAir(r)
		if err != nil {
			return err
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.SignWeek(ctx, act, n, air, r.FormValue("note"))
	})
}

// EndLongHang serves POST /animals/{number}/signoff/end: the lead, with a PIN.
func (p *Pages) EndLongHang(w http.ResponseWriter, r *http.Request) error {
	return p.sign(w, r, "end", func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.EndLongHang(ctx, act, n, r.FormValue("note"))
	})
}

// sign carries out one of the page's forms and shows the page again where that
// did not go.
func (p *Pages) sign(w http.ResponseWriter, r *http.Request, which string, do func(context.Context, db.Act, domain.ShopNumber) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	if err = do(r.Context(), act, n); err == nil {
		http.Redirect(w, r, "/animals/"+string(n)+"/signoff", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, err := p.signoff(r)
	if err != nil {
		return err
	}
	v.Which, v.Form, v.Wrong = which, r.PostForm, wrong
	return ui.Render(w, r, http.StatusUnprocessableEntity, signoffPage(v))
}

func (p *Pages) signoff(r *http.Request) (v signoffView, err error) {
	v.Now = p.Now()
	v.Hang, err = p.DB.HangOf(r.Context(), ui.ShopNumber(r))
	return v, err
}

// typed is what a field of the form shows.
func (v signoffView) typed(which, name string) string {
	if v.Which == which {
		return v.Form.Get(name)
	}
	if name == "days" && which == "extend" && v.Agreement.Owner != nil {
		return daysSaid(min(v.Agreement.Owner.Days, v.Rule.LongCeiling))
	}
	if name == "days" {
		return daysSaid(v.Rule.LongCeiling)
	}
	return ""
}

// wrong is the error if it belongs to the form asked about.
func (v signoffView) wrong(which string) *domain.Error {
	if v.Which == which {
		return v.Wrong
	}
	return nil
}

// act is the id of one of the forms: the one sent keeps its own.
func (v signoffView) act(which string) string {
	if v.Which == which {
		return v.Form.Get("act")
	}
	return signin.NewAct()
}

// fields are those of a lead's form that show their own errors.
func (v signoffView) fields(more ...string) []string {
	if v.Beef() {
		more = append(more, "humidity", "air")
	}
	return append(more, "note", "pin")
}

func daysSaid(d float64) string { return strconv.FormatFloat(d, 'f', -1, 64) }

func readDays(r *http.Request) (float64, error) {
	days, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(r.FormValue("days")), ",", "."), 64)
	if err != nil {
		return 0, domain.Wrong("days", "Write the number of days from the kill.")
	}
	return days, nil
}

// readAir is what was measured in the room; nil where neither field was filled in.
func readAir(r *http.Request) (*ageing.RoomAir, error) {
	damp, moves := strings.TrimSpace(r.FormValue("humidity")), strings.TrimSpace(r.FormValue("air"))
	if damp == "" && moves == "" {
		return nil, nil
	}
	var air ageing.RoomAir
	for _, f := range []struct {
		name, typed string
		into        *float64
	}{{"humidity", damp, &air.Humidity}, {"air", moves, &air.Air}} {
		var err error
		if *f.into, err = strconv.ParseFloat(strings.ReplaceAll(f.typed, ",", "."), 64); err != nil {
			return nil, domain.Wrong(f.name, "Write both: the humidity and the air speed.")
		}
	}
	return &air, nil
}

// hangSaid is how long it may hang, in one sentence.
func hangSaid(ctx context.Context, v hangView) string {
	over := func(day float64) bool { return v.Hangs() && v.Now.Sub(v.Animal.KilledAt).Hours() > 24*day }
	switch days := v.Days(); {
	case days > 0 && over(days):
		return ui.T(ctx, "Its last day, day %s, is over; the owner and the lead signed for no more.", daysSaid(days))
	case days > 0:
		return ui.T(ctx, "It may hang to day %s: the owner signed and the lead signed it off.", daysSaid(days))
	case v.Offered() && over(v.Rule.Ceiling):
		return ui.T(ctx, "Its last day, day %s, is over. To day %s it may hang with the owner's signed line and the lead's sign-off.", daysSaid(v.Rule.Ceiling), daysSaid(v.Rule.LongCeiling))
	case over(v.Rule.Ceiling):
		return ui.T(ctx, "Its last day, day %s, is over. This kind may not hang longer, whatever is signed.", daysSaid(v.Rule.Ceiling))
	case v.Offered():
		return ui.T(ctx, "Its last day is day %s. To day %s it may hang with the owner's signed line and the lead's sign-off.", daysSaid(v.Rule.Ceiling), daysSaid(v.Rule.LongCeiling))
	}
	return ui.T(ctx, "Its last day is day %s. This kind may not hang longer, whatever is signed.", daysSaid(v.Rule.Ceiling))
}

// missingSaid is what a longer hang that is wished for still lacks; empty where
// nothing is.
func missingSaid(ctx context.Context, v hangView) string {
	missing := v.Agreement.Missing(v.Rule)
	if !v.Wished() || !v.Hangs() {
		return ""
	}
	if !v.Offered() {
		return ui.T(ctx, "The owner wishes a long hang. Tell the owner that this kind hangs %s days at most.", daysSaid(v.Rule.Ceiling))
	}
	said := make([]string, len(missing))
	for i, w := range missing {
		said[i] = ui.Say(ctx, w)
	}
	if len(said) == 0 {
		return ""
	}
	return ui.T(ctx, "A longer hang is asked for. Still missing: %s. Until then the usual last day counts, day %s.", strings.Join(said, ", "), daysSaid(v.Rule.Ceiling))
}

// signatureEntries is what was signed, the latest first.
func signatureEntries(ctx context.Context, signed []db.Signed) []ui.Entry {
	list := make([]ui.Entry, 0, len(signed))
	for i := len(signed) - 1; i >= 0; i-- {
		s := signed[i]
		e := ui.Entry{At: s.At, What: whatSaid(ctx, "sign-"+string(s.Kind)), Who: s.By, Note: s.Note}
		if s.Days != nil {
			e.Note = ui.T(ctx, "to day %s", daysSaid(*s.Days)) + ". " + s.Note
		}
		if s.Humidity != nil && s.AirMS != nil {
			e.Note += ". " + ui.T(ctx, "Measured: humidity %.0f %%, air %.1f m/s", *s.Humidity, *s.AirMS)
		}
		list = append(list, e)
	}
	return list
}
