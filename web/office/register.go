package office

import (
	"context"
	"encoding/csv"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// registerView is the register as the office speaks of it: whether it is whole,
// and the days the form begins with.
type registerView struct {
	Broken      domain.Words // what is not as it was written; no format: it is whole
	From, Until string
	Checked     bool // it was walked just now
}

// register says how the register stands; asked to, it walks the whole of it first
// and says whether every line is as it was written.
func (p *Pages) register(ctx context.Context, check bool) (v registerView, err error) {
	now := p.Now()
	v.From, v.Until = ui.TypedDay(ctx, now.AddDate(-1, 0, 0)), ui.TypedDay(ctx, now)
	if !check {
		return v, nil
	}
	v.Checked = true
	err = p.DB.VerifyRegister(ctx)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Refused {
		v.Broken, err = wrong.Msg, nil
	}
	return v, err
}

// Register serves GET /office/register.csv: the lines entered from one day to
// another, both included, as the inspector asks for them.
func (p *Pages) Register(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	from, err := ui.ReadDay(ctx, "from", r.FormValue("from"))
	if err != nil {
		return err
	}
	until, err := ui.ReadDay(ctx, "until", r.FormValue("until"))
	if err != nil {
		return err
	}
	look := db.Looked{Page: "csv", About: ui.TypedDay(ctx, from) + " – " + ui.TypedDay(ctx, until), Shown: []domain.Private{domain.Names, domain.Addresses, domain.Licences}}
	if err := signin.Look(ctx, p.DB, p.Now(), look); err != nil {
		return err
	}
	rows, err := p.registerRows(ctx, from, until.AddDate(0, 0, 1))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="register-%s-%s.csv"`, ui.TypedDay(ctx, from), ui.TypedDay(ctx, until)))
	return csv.NewWriter(w).WriteAll(append([][]string{db.RegisterHeader()}, only(r, rows)...))
}

// registerRows reads all of them before the first is sent, so that a file is
// never half a register.
func (p *Pages) registerRows(ctx context.Context, from, before time.Time) ([][]string, error) {
	var rows [][]string
	last := int64(0)
	for {
		lines, err := p.DB.RegisterLines(ctx, from, before, last)
		if err != nil || len(lines) == 0 {
			return rows, err
		}
		for _, l := range lines {
			row := l.Row(ui.ShopOf(ctx).Zone)
			for i := range row {
				row[i] = archive.Harmless(row[i])
			}
			rows, last = append(rows, row), l.Seq
		}
	}
}

// only keeps the animals whose newest species, county and tag are those asked for,
// with all their lines; what is left empty is not asked.
func only(r *http.Request, rows [][]string) [][]string {
	const number = 1 // its column
	wants, now := map[int]string{}, map[string]map[int]string{}
	for i, column := range db.RegisterHeader() {
		if typed := strings.TrimSpace(r.FormValue(column)); typed != "" && (column == "species" || column == "county" || column == "tag") {
			wants[i] = typed
		}
	}
	for _, row := range rows {
		if now[row[number]] == nil {
			now[row[number]] = map[int]string{}
		}
		for i := range wants {
			if row[i] != "" {
				now[row[number]][i] = row[i]
			}
		}
	}
	return slices.DeleteFunc(rows, func(row []string) bool {
		for i, want := range wants {
			if !strings.EqualFold(now[row[number]][i], want) {
				return true
			}
		}
		return false
	})
}
