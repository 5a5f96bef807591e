package office

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// protocolView is one kind: the rule in force, its history, and what hangs by an
// older version.
type protocolView struct {
	Now      db.ProtocolVersion // in force
	Versions []db.ProtocolVersion
	Table    ageing.Protocol // the program's own: the limit
	Older    []db.ByOlder
	Form     url.Values // what was typed
	Also     bool       // the form that came back is the one for those hanging
	Wrong    *domain.Error
}

// kindsView is how each kind hangs.
type kindsView struct {
	Kinds         []db.Protocol
	CutAsTheyCome bool
}

// ShowProtocols serves GET /office/protocols.
func (p *Pages) ShowProtocols(w http.ResponseWriter, r *http.Request) error {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	v := kindsView{CutAsTheyCome: shop.CutAsTheyCome}
	if v.Kinds, err = p.DB.Protocols(r.Context()); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, kindsPage(v))
}

// agesSaid says whether the shop lets anything hang longer than to get cold.
func agesSaid(ctx context.Context, cutAsTheyCome bool) string {
	if cutAsTheyCome {
		return ui.T(ctx, "This shop ages nothing: everything is cut as soon as it is cold.")
	}
	return ui.T(ctx, "Tap a kind to change it, and to see where its numbers come from.")
}

// ShowProtocol serves GET /office/protocols/{key}.
func (p *Pages) ShowProtocol(w http.ResponseWriter, r *http.Request) error {
	v, err := p.protocol(r.Context(), chi.URLParam(r, "key"))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, protocolPage(v))
}

// EditProtocol serves POST /office/protocols/{key}: a new version, with the
// owner's PIN and the reason.
func (p *Pages) EditProtocol(w http.ResponseWriter, r *http.Request) error {
	return p.changeProtocol(w, r, false, func(v protocolView, act db.Act) error {
		to, err := readProtocol(v)
		if err != nil {
			return err
		}
		base, err := strconv.Atoi(v.Form.Get("base"))
		if err != nil {
			return domain.Wrong("why", "This form came in damaged. Open it again and repeat.")
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.EditProtocol(r.Context(), act, base, to, v.Form.Get("why"))
	})
}

// JudgeByNewRule serves POST /office/protocols/{key}/hanging: the new version
// counts for those ticked, or for all of the kind, too.
func (p *Pages) JudgeByNewRule(w http.ResponseWriter, r *http.Request) error {
	return p.changeProtocol(w, r, true, func(v protocolView, act db.Act) error {
		var numbers []domain.ShopNumber
		for _, n := range v.Form["animal"] {
			numbers = append(numbers, domain.ShopNumber(n))
		}
		if len(numbers) == 0 && v.Form.Get("all") != "yes" {
			return domain.Wrong("animal", "Tick the animals it counts for, or say all of them.")
		}
		if v.Form.Get("all") == "yes" {
			numbers = nil
		}
		if err := signin.PIN(r, p.DB, act.At); err != nil {
			return err
		}
		return p.DB.JudgeByNewRule(r.Context(), act, v.Now.Key, numbers, v.Form.Get("also_why"))
	})
}

// changeProtocol carries out one of the page's two forms and shows the page again
// where that did not go.
func (p *Pages) changeProtocol(w http.ResponseWriter, r *http.Request, also bool, do func(protocolView, db.Act) error) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.protocol(r.Context(), chi.URLParam(r, "key"))
	if err != nil {
		return err
	}
	v.Form, v.Also = r.PostForm, also
	if err = do(v, act); err == nil {
		http.Redirect(w, r, "/office/protocols/"+v.Now.Key, http.StatusSeeOther)
		return nil
	}
	if v.Wrong = domain.As(err); v.Wrong.Kind == domain.Internal {
		return err
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, protocolPage(v))
}

func (p *Pages) protocol(ctx context.Context, key string) (v protocolView, err error) {
	if v.Versions, err = p.DB.ProtocolVersions(ctx, key); err != nil {
		return v, err
	}
	v.Now = v.Versions[0]
	v.Table, _ = ageing.ProtocolByKey(key)
	v.Older, err = p.DB.ByOlderRule(ctx, key)
	return v, err
}

// readProtocol is the rule as typed; what is left empty of the longer hang and
// the tenderness counts as none.
func readProtocol(v protocolView) (to ageing.Protocol, err error) {
	to.Key, to.Aged, to.Sign = v.Now.Key, v.Form.Get("aged") == "yes", ageing.Sign(v.Form.Get("sign"))
	for _, f := range []struct {
		name  string
		into  *float64
		empty bool
	}{{"tender", &to.Target, true}, {"usual_from", &to.Usual.From, false}, {"usual_to", &to.Usual.To, false}, {"ceiling", &to.Ceiling, false}, {"long_ceiling", &to.LongCeiling, true}} {
		typed := strings.TrimSpace(v.Form.Get(f.name))
		if typed == "" && f.empty {
			continue
		}
		if *f.into, err = strconv.ParseFloat(strings.ReplaceAll(typed, ",", "."), 64); err != nil {
			return to, domain.Wrong(f.name, "Write a number here.")
		}
	}
	to.Target /= 100
	for cite := range strings.Lines(v.Form.Get("cites")) {
		if cite = strings.TrimSpace(cite); cite != "" {
			to.Cites = append(to.Cites, cite)
		}
	}
	return to, nil
}

// typed is what a field shows: what was typed into this form, else the rule in
// force.
func (v protocolView) typed(name string) string {
	if v.Form != nil && !v.Also {
		return v.Form.Get(name)
	}
	number := func(n float64) string { return strconv.FormatFloat(n, 'f', -1, 64) }
	rule := v.Now.Rule()
	switch name {
	case "sign":
		return string(rule.Sign)
	case "tender":
		if rule.Aged {
			return number(float64(int(rule.Target*1000+0.5)) / 10)
		}
	case "usual_from":
		return number(rule.Usual.From)
	case "usual_to":
		return number(rule.Usual.To)
	case "ceiling":
		return number(rule.Ceiling)
	case "long_ceiling":
		if rule.LongCeiling > 0 {
			return number(rule.LongCeiling)
		}
	case "cites":
		return strings.Join(rule.Cites, "\n")
	case "base":
		return strconv.Itoa(v.Now.Version)
	}
	return ""
}

// fields are those of the rule's form that show their own errors.
func (v protocolView) fields() []string {
	list := []string{"sign", "usual_from", "usual_to", "ceiling", "cites", "why", "pin"}
	if v.mayAge() {
		list = append(list, "aged", "tender")
	}
	if v.mayHangLong() {
		list = append(list, "long_ceiling")
	}
	return list
}

// mayAge and mayHangLong say what the table leaves open for the kind.
func (v protocolView) mayAge() bool      { return v.Table.Aged || v.Table.Sign != ageing.SignNever }
func (v protocolView) mayHangLong() bool { return v.Table.LongCeiling > v.Table.Ceiling }

// agedNow reports whether the box "it is aged" is ticked.
func (v protocolView) agedNow() bool {
	if v.Form != nil && !v.Also {
		return v.Form.Get("aged") == "yes"
	}
	return v.Now.Aged
}

// wrong is the error if it belongs to the form asked about.
func (v protocolView) wrong(also bool) *domain.Error {
	if v.Also == also {
		return v.Wrong
	}
	return nil
}

// act is the id of one of the two forms: the one sent keeps its own.
func (v protocolView) act(also bool) string {
	if v.Wrong != nil && v.Also == also {
		return v.Form.Get("act")
	}
	return signin.NewAct()
}

func (v protocolView) ticked() []string {
	if v.Also {
		return v.Form["animal"]
	}
	return nil
}

// mostTicks is how many animals are offered one by one; beyond that it is all of
// them or the record of each.
const mostTicks = 60

func olderOptions(ctx context.Context, older []db.ByOlder) []ui.Option {
	options := make([]ui.Option, 0, min(len(older), mostTicks))
	for _, a := range older[:min(len(older), mostTicks)] {
		options = append(options, ui.Option{Value: string(a.Number), Label: string(a.Number),
			Note: ui.T(ctx, "%s, came %s, version %s", a.Species.Words(), ui.Day(ctx, a.ReceivedAt), strconv.Itoa(a.Version))})
	}
	return options
}

func signOptions(ctx context.Context, table ageing.Protocol) []ui.Option {
	if table.Sign == ageing.SignNever {
		return []ui.Option{{Value: string(ageing.SignNever), Label: ui.T(ctx, "Never: on this kind growth is a fault")}}
	}
	return []ui.Option{
		{Value: string(ageing.SignNo), Label: ui.T(ctx, "Not waited for")},
		{Value: string(ageing.SignOptional), Label: ui.T(ctx, "Not waited for, may be set")},
		{Value: string(ageing.SignRequired), Label: ui.T(ctx, "Waited for: 1/16 in (1.5 mm)")},
	}
}

// ruleSaid is a rule in one sentence.
func ruleSaid(ctx context.Context, p ageing.Protocol) string {
	said := []string{ui.T(ctx, "not aged")}
	if p.Aged {
		said[0] = ui.T(ctx, "aged to %s %%", strconv.FormatFloat(float64(int(p.Target*1000+0.5))/10, 'f', -1, 64))
	}
	if p.Sign == ageing.SignRequired {
		said = append(said, ui.T(ctx, "waits for growth inside the ribs"))
	}
	usual := ui.T(ctx, "usually %g to %g days", p.Usual.From, p.Usual.To)
	if p.Usual.From == p.Usual.To {
		usual = ui.T(ctx, "usually %g days", p.Usual.From)
	}
	said = append(said, usual, ui.T(ctx, "at most %g", p.Ceiling))
	if p.LongCeiling > p.Ceiling {
		said = append(said, ui.T(ctx, "%g with the owner's line and the lead's sign-off", p.LongCeiling))
	}
	return strings.Join(said, ", ")
}

// sinceSaid is when a version was made; the first came with the program.
func sinceSaid(ctx context.Context, p db.ProtocolVersion) string {
	if p.By == "" {
		return ui.T(ctx, "the program's table")
	}
	return ui.Moment(ctx, p.Since)
}
