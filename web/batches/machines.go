package batches

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// machinesView is what went through the machines, the newest first.
type machinesView struct {
	Machines []db.Machine
	Runs     []db.MachineRun
	Form     form
}

// ShowMachines serves GET /machines.
func (p *Pages) ShowMachines(w http.ResponseWriter, r *http.Request) error {
	v, err := p.machines(r.Context())
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, machinesPage(v))
}

func (p *Pages) machines(ctx context.Context) (v machinesView, err error) {
	if v.Machines, err = p.DB.Machines(ctx); err != nil {
		return v, err
	}
	v.Runs, err = p.DB.MachineRuns(ctx, shown)
	return v, err
}

// Run serves POST /machines/run: a batch or one animal's meat.
func (p *Pages) Run(w http.ResponseWriter, r *http.Request) error {
	return p.atMachine(w, r, "run", func(act db.Act, f form) error {
		typed := strings.TrimSpace(f.Typed.Get("thing"))
		through := db.Through{Machine: machine(f)}
		if n, err := strconv.Atoi(strings.TrimLeft(typed, "Bb- ")); err == nil && n > 0 && len(typed) < 6 {
			through.Batch = n
		} else if through.Number, err = domain.ParseShopNumber("thing", typed); err != nil {
			return domain.Wrong("thing", "Scan the tag of the animal, or type the number of the batch, such as B3.")
		}
		err := p.DB.RunMachine(r.Context(), act, through)
		if e := domain.As(err); err != nil && e.Kind == domain.NotFound {
			return &domain.Error{Kind: domain.Invalid, At: "thing", Msg: e.Msg}
		}
		return err
	})
}

// Clean serves POST /machines/clean.
func (p *Pages) Clean(w http.ResponseWriter, r *http.Request) error {
	return p.atMachine(w, r, "clean", func(act db.Act, f form) error {
		return p.DB.CleanOut(r.Context(), act, machine(f), batch.Level(f.Typed.Get("level")), f.Typed.Get("why"))
	})
}

func (p *Pages) atMachine(w http.ResponseWriter, r *http.Request, which string, do func(db.Act, form) error) error {
	f, err := formOf(r, which)
	if err != nil {
		return err
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	err = do(act, f)
	if f.Wrong = told(err); f.Wrong != nil {
		v, err := p.machines(r.Context())
		if err != nil {
			return err
		}
		v.Form = f
		return ui.Render(w, r, http.StatusUnprocessableEntity, machinesPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/machines", http.StatusSeeOther)
	return nil
}
