package office

import (
	"context"
	"encoding/csv"
	"fmt"
	"net/http"
	"time"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/domain"
	"coldrail/web/ui"
)

// registerView is the register as the office speaks of it: whether it is whole,
// and the days the form begins with.
type registerView struct {
	Broken      domain.Words // what is not as it was written; no format: it is whole
	From, Until string
}

// register walks the whole register and says whether every line is as it was
// written.
func (p *Pages) register(ctx context.Context) (v registerView, err error) {
	now := p.Now()
	v.From, v.Until = ui.TypedDay(ctx, now.AddDate(-1, 0, 0)), ui.TypedDay(ctx, now)
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
	rows, err := p.registerRows(ctx, from, until.AddDate(0, 0, 1))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="register-%s-%s.csv"`, ui.TypedDay(ctx, from), ui.TypedDay(ctx, until)))
	return csv.NewWriter(w).WriteAll(rows)
}

// registerRows reads all of them before the first is sent, so that a file is
// never half a register.
func (p *Pages) registerRows(ctx context.Context, from, before time.Time) ([][]string, error) {
	rows, last := [][]string{db.RegisterHeader()}, int64(0)
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
