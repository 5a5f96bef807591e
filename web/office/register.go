package office

import (
	"context"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/domain"
	"coldrail/domain/register"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// registerView is the register as the office speaks of it: whether it is whole,
// and the days the form begins with.
type registerView struct {
	Broken      domain.Words // what is not as it was written; no format: it is whole
	From, Until string
	Checked     bool // it was walked just now
	Night       db.RegisterCheck
}

// register says how the register stands; asked to, it walks the whole of it first
// and says whether every line is as it was written.
func (p *Pages) register(ctx context.Context, check bool) (v registerView, err error) {
	now := p.Now()
	v.From, v.Until = ui.TypedDay(ctx, now.AddDate(-1, 0, 0)), ui.TypedDay(ctx, now)
	if v.Night, _, err = p.DB.LastRegisterCheck(ctx); err != nil || !check {
		return v, err
	}
	v.Checked = true
	err = p.DB.VerifyRegister(ctx)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Refused {
		v.Broken, err = wrong.Msg, nil
	}
	return v, err
}

// asked reads which lines are wanted: from one day to another, both included, and of
// which animals. The look at them is written down under the page's name.
func (p *Pages) asked(r *http.Request, page string) (from, until time.Time, lines []db.RegisterLine, err error) {
	ctx := r.Context()
	if from, err = ui.ReadDay(ctx, "from", r.FormValue("from")); err != nil {
		return from, until, nil, err
	}
	if until, err = ui.ReadDay(ctx, "until", r.FormValue("until")); err != nil {
		return from, until, nil, err
	}
	look := db.Looked{Page: page, About: ui.TypedDay(ctx, from) + " – " + ui.TypedDay(ctx, until), Shown: []domain.Private{domain.Names, domain.Addresses, domain.Licences}}
	if err = signin.Look(ctx, p.DB, p.Now(), look); err != nil {
		return from, until, nil, err
	}
	if lines, err = p.registerLines(ctx, from, until.AddDate(0, 0, 1), about(r)); err != nil {
		return from, until, nil, err
	}
	return from, until, lines, signin.PageShown(r, p.DB, p.Now(), ui.T(ctx, "Opened: the register from %s to %s (lines: %d)", ui.Date(ctx, from), ui.Date(ctx, until), len(lines)))
}

func about(r *http.Request) db.About {
	return db.About{Species: r.FormValue("species"), County: r.FormValue("county"), Tag: r.FormValue("tag")}
}

// registerLines reads all of them before the first is sent, so that a file is
// never half a register.
func (p *Pages) registerLines(ctx context.Context, from, before time.Time, a db.About) (all []db.RegisterLine, err error) {
	last := int64(0)
	for {
		lines, err := p.DB.RegisterAbout(ctx, from, before, last, a)
		if err != nil || len(lines) == 0 {
			return all, err
		}
		all, last = append(all, lines...), lines[len(lines)-1].Seq
	}
}

// Register serves GET /office/register.csv: the lines as the inspector asks for them.
func (p *Pages) Register(w http.ResponseWriter, r *http.Request) error {
	from, until, lines, err := p.asked(r, "csv")
	if err != nil {
		return err
	}
	rows := [][]string{db.RegisterHeader()}
	for _, l := range lines {
		row := l.Row(ui.ShopOf(r.Context()).Zone)
		for i := range row {
			row[i] = archive.Harmless(row[i])
		}
		rows = append(rows, row)
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="register-%s-%s.csv"`, ui.TypedDay(r.Context(), from), ui.TypedDay(r.Context(), until)))
	return csv.NewWriter(w).WriteAll(rows)
}

// printView is the register on paper.
type printView struct {
	From, Until, Made time.Time
	About             db.About
	Lines             []db.RegisterLine
}

// PrintRegister serves GET /office/register/print: the same lines on paper.
func (p *Pages) PrintRegister(w http.ResponseWriter, r *http.Request) (err error) {
	v := printView{Made: p.Now(), About: about(r)}
	if v.From, v.Until, v.Lines, err = p.asked(r, "register-print"); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, registerSheet(v))
}

// lastSeal is the beginning of the seal on the last line, which ties the paper to it.
func (v printView) lastSeal() string {
	if len(v.Lines) == 0 {
		return ""
	}
	return hex.EncodeToString(v.Lines[len(v.Lines)-1].Hash[:8])
}

// entry is one thing that a line says.
type entry struct{ Label, Value string }

// rows are the fields at which a line of the sheet begins a new row: who, by which tag,
// what animal, where it was killed, how it left.
var rows = []string{"tag", "species", "kill_state", "handed_over"}

// lineSays is everything a line says, in rows that stand in the same order in each line.
// Somebody who brought, killed and owns the animal is named once.
func lineSays(ctx context.Context, l db.RegisterLine) (said [][]entry) {
	var row []entry
	told := map[string]bool{}
	for _, f := range register.Fields {
		if slices.Contains(rows, f.Name) && len(row) > 0 {
			said, row = append(said, row), nil
		}
		value := l.Value(f)
		if value == "" || told[f.Name] {
			continue
		}
		label, name := []string{ui.Say(ctx, f.Label)}, value
		if at := slices.Index(people, f.Name); at >= 0 {
			where := addressOf(l, f.Name)
			told[f.Name+"_address"] = true
			for _, other := range people[at+1:] {
				if field, _ := register.FieldNamed(other); l.Value(field) == name && addressOf(l, other) == where {
					label = append(label, strings.ToLower(ui.Say(ctx, field.Label)))
					told[other], told[other+"_address"] = true, true
				}
			}
			if where != "" {
				value += ", " + where
			}
		}
		row = append(row, entry{strings.Join(label, ", "), plainly(ctx, f.Name, value)})
	}
	if len(row) > 0 {
		said = append(said, row)
	}
	return said
}

// people are the fields that name somebody who has an address in the line.
var people = []string{"deliverer", "taker", "owner"}

func addressOf(l db.RegisterLine, name string) string {
	field, _ := register.FieldNamed(name + "_address")
	return l.Value(field)
}

// plainly writes moments, species and forms as people read them; the file has them as
// they were sealed.
func plainly(ctx context.Context, field, value string) string {
	at, err := time.Parse(db.RegisterTime, value)
	switch {
	case err == nil:
		return ui.Stamp(ctx, at)
	case field == "species" && slices.Contains(domain.AllSpecies, domain.Species(value)):
		return ui.Say(ctx, domain.Species(value).Words())
	case field == "form" && slices.Contains(domain.Forms, domain.Form(value)):
		return strings.ToLower(formWords(ctx, domain.Form(value)))
	}
	return value
}

// aboutSaid is what the sheet is about, where not everything was asked for.
func aboutSaid(ctx context.Context, a db.About) string {
	var said []string
	for _, part := range []struct{ label, value string }{
		{ui.T(ctx, "Species"), ui.Say(ctx, domain.Species(a.Species).Words())}, {ui.T(ctx, "County"), a.County}, {ui.T(ctx, "Official tag"), a.Tag}} {
		if strings.TrimSpace(part.value) != "" {
			said = append(said, ui.T(ctx, "%s: %s", part.label, part.value))
		}
	}
	return strings.Join(said, "; ")
}

// kinds are the species to choose from.
func kinds(ctx context.Context) []ui.Option {
	list := []ui.Option{{Value: "", Label: ui.T(ctx, "All")}}
	for _, s := range domain.AllSpecies {
		list = append(list, ui.Option{Value: string(s), Label: ui.Say(ctx, s.Words())})
	}
	return list
}
