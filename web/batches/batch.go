package batches

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cure"
	"coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// view is one batch.
type view struct {
	Out domain.ShopNumber // turned away because its test is out
	db.Batch
	Inputs   []db.BatchInput
	Lots     []db.BatchLot
	Cures    []db.BatchCure
	Probes   []db.BatchProbe
	Tables   db.CookAndCool
	Shares   []db.BatchShare
	Machines []db.Machine
	Spots    []db.Spot
	Staff    []db.Staff
	Form     form
	Reckoned domain.Words // what the typed cure comes to, before it is saved
	Blend    domain.Words // the answer of the fat question
	When     string       // now, for the probe's field
}

// ShowBatch serves GET /batches/{batch}; with the three fats in the address it
// answers the fat question too.
func (p *Pages) ShowBatch(w http.ResponseWriter, r *http.Request) error {
	number, err := numbered(r)
	if err != nil {
		return err
	}
	v, err := p.batch(r.Context(), number)
	if err != nil {
		return err
	}
	if r.URL.Query().Has("target_fat") {
		v.Form = form{Which: "blend", Typed: r.URL.Query()}
		v.Blend, err = blend(r.Context(), v.OwnersKg, v.Form)
		if v.Form.Wrong = told(err); v.Form.Wrong == nil && err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, batchPage(v))
}

// blend answers how much goes to the meat that is there for the fat wanted.
func blend(ctx context.Context, lean domain.Kilogram, f form) (domain.Words, error) {
	var fat [3]float64
	for i, field := range []string{"target_fat", "lean_fat", "added_fat"} {
		n, err := percent(field, f.Typed.Get(field))
		if err != nil {
			return domain.Words{}, err
		}
		fat[i] = n
	}
	add, err := cure.ToAdd(lean, fat[0], fat[1], fat[2])
	if err != nil {
		return domain.Words{}, err
	}
	return domain.Say("Add %s to the %s that are in: %s in all.", add, lean, lean+add), nil
}

// percent reads "6.25" or "6.25 %" as 0.0625.
func percent(field, typed string) (float64, error) {
	n, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(typed), "%")), ",", ".", 1), 64)
	if err != nil || !(n >= 0 && n <= 100) {
		return 0, domain.Wrong(field, "Type the percent, from 0 to 100.")
	}
	return n / 100, nil
}

// batch gathers what the page shows.
func (p *Pages) batch(ctx context.Context, number int) (v view, err error) {
	for _, read := range []func() error{
		func() error { v.Batch, err = p.DB.Batch(ctx, number); return err },
		func() error { v.Inputs, err = p.DB.BatchInputs(ctx, number); return err },
		func() error { v.Lots, err = p.DB.BatchLots(ctx, number); return err },
		func() error { v.Cures, err = p.DB.BatchCures(ctx, number); return err },
		func() error { v.Probes, err = p.DB.BatchProbes(ctx, number); return err },
		func() error { v.Tables, err = p.DB.CookAndCool(ctx, v.Batch); return err },
		func() error { v.Shares, err = p.DB.BatchShares(ctx, number); return err },
		func() error { v.Machines, err = p.DB.Machines(ctx); return err },
		func() error { v.Spots, err = p.DB.FreezerSpots(ctx); return err },
		func() error { v.Staff, err = p.DB.AllStaff(ctx, p.Now()); return err },
	} {
		if err := read(); err != nil {
			return v, err
		}
	}
	v.When = ui.TypedWhen(ctx, p.Now())
	return v, nil
}

// do reads who acts, lets them, and shows the batch again: as it stands now, or
// with what was typed and what is wrong with it.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, which string, act func(context.Context, db.Act, int, form) error) error {
	number, err := numbered(r)
	if err != nil {
		return err
	}
	f, err := formOf(r, which)
	if err != nil {
		return err
	}
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	err = act(r.Context(), a, number, f)
	if f.Wrong = told(err); f.Wrong != nil {
		v, err := p.batch(r.Context(), number)
		if err != nil {
			return err
		}
		v.Form, v.Out = f, p.out(r.Context(), f)
		return ui.Render(w, r, http.StatusUnprocessableEntity, batchPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, where(number), http.StatusSeeOther)
	return nil
}

// out is the animal that was turned away, if its test is out: there is something else
// that may be done with it.
func (p *Pages) out(ctx context.Context, f form) domain.ShopNumber {
	of, err := tagOnTub(f)
	if f.Which != "add" || err != nil {
		return ""
	}
	a, err := p.DB.Animal(ctx, of)
	if err != nil || !a.Disease.Out() {
		return ""
	}
	return of
}

// tagOnTub reads the label of a tub with its letters, or the animal's number alone.
func tagOnTub(f form) (domain.ShopNumber, error) {
	typed := f.Typed.Get("animal")
	if of, _, err := cutting.ParsePieceCode("animal", typed); err == nil {
		return of, nil
	}
	return domain.ParseShopNumber("animal", typed)
}

// Add serves POST /batches/{batch}/add.
func (p *Pages) Add(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "add", func(ctx context.Context, act db.Act, number int, f form) error {
		of, err := tagOnTub(f)
		if err != nil {
			return err
		}
		kg, err := ui.ReadWeight(ctx, "weight", f.Typed.Get("weight"))
		if err != nil {
			return err
		}
		err = p.DB.AddToBatch(ctx, act, number, of, kg)
		if domain.As(err).Kind == domain.NotFound {
			return domain.Wrong("animal", "There is no animal with the number %s.", string(of))
		}
		return err
	})
}

// TakeOut serves POST /batches/{batch}/take-out.
func (p *Pages) TakeOut(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "take-out", func(ctx context.Context, act db.Act, number int, f form) error {
		line, err := uuid.Parse(f.Typed.Get("line"))
		if err != nil {
			return domain.Missing("There is no such line.")
		}
		return p.DB.TakeOut(ctx, act, number, line, f.Typed.Get("why"))
	})
}

// AddLot serves POST /batches/{batch}/lot.
func (p *Pages) AddLot(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "lot", func(ctx context.Context, act db.Act, number int, f form) error {
		kg, err := ui.ReadWeight(ctx, "lot_weight", f.Typed.Get("lot_weight"))
		if err != nil {
			return err
		}
		return p.DB.AddLot(ctx, act, number, db.BatchLot{Kind: f.Typed.Get("added"), Supplier: f.Typed.Get("supplier"), Mark: f.Typed.Get("mark"), Lot: f.Typed.Get("lot"), Kg: kg})
	})
}

// Cure serves POST /batches/{batch}/cure: reckoned only, or reckoned, looked at by a
// second person and saved.
func (p *Pages) Cure(w http.ResponseWriter, r *http.Request) error {
	if r.FormValue("step") == "reckon" {
		return p.reckon(w, r)
	}
	return p.do(w, r, "cure", func(ctx context.Context, act db.Act, number int, f form) error {
		c, err := weighedCure(ctx, f)
		if err != nil {
			return err
		}
		second, err := p.secondPerson(ctx, r, "pin")
		if err != nil {
			return err
		}
		c.Second = second.ID
		return p.DB.Cure(ctx, act, number, c)
	})
}

// reckon shows what the typed cure comes to and saves nothing.
func (p *Pages) reckon(w http.ResponseWriter, r *http.Request) error {
	number, err := numbered(r)
	if err != nil {
		return err
	}
	f, err := formOf(r, "cure")
	if err != nil {
		return err
	}
	v, err := p.batch(r.Context(), number)
	if err != nil {
		return err
	}
	c, err := weighedCure(r.Context(), f)
	if err == nil {
		var sum cure.Reckoned
		sum, err = cure.Reckon(cure.Cure{Method: c.Method, Meat: v.InKg(), Grams: c.Grams, Fraction: c.Fraction, Pickle: c.Pickle, PickUp: c.PickUp})
		v.Reckoned = sum.Words()
		if e := domain.As(err); err != nil && e.At == "meat_kg" {
			err = domain.Refuse("inputs", "Weigh the meat in first: the cure is reckoned on it.")
		}
	}
	status := http.StatusOK
	if f.Wrong = told(err); f.Wrong != nil {
		status, v.Reckoned = http.StatusUnprocessableEntity, domain.Words{}
	} else if err != nil {
		return err
	}
	v.Form = f
	return ui.Render(w, r, status, batchPage(v))
}

// weighedCure reads the cure as it was typed: grams, per cent, and of a pickle its
// weight and the pick-up.
func weighedCure(ctx context.Context, f form) (c db.WeighedCure, err error) {
	c = db.WeighedCure{Method: cure.Method(f.Typed.Get("cure_method")), Lot: f.Typed.Get("lot"), Why: f.Typed.Get("why")}
	if !c.Method.Known() {
		return c, domain.Wrong("cure_method", "Choose how the cure gets into the meat.")
	}
	if c.Grams, err = strconv.ParseFloat(strings.Replace(strings.TrimSpace(f.Typed.Get("cure_g")), ",", ".", 1), 64); err != nil || !(c.Grams > 0) {
		return c, domain.Wrong("cure_g", "Type the grams of cure on the scale.")
	}
	if c.Fraction, err = percent("cure_nitrite_fraction", f.Typed.Get("cure_nitrite_fraction")); err != nil || !c.Method.Pickle() {
		return c, err
	}
	if c.Pickle, err = ui.ReadWeight(ctx, "pickle_kg", f.Typed.Get("pickle_kg")); err != nil {
		return c, err
	}
	c.PickUp, err = percent("pump_fraction", f.Typed.Get("pump_fraction"))
	return c, err
}

// Mix serves POST /batches/{batch}/mix.
func (p *Pages) Mix(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "mix", func(ctx context.Context, act db.Act, number int, _ form) error { return p.DB.Mix(ctx, act, number) })
}

// Machine serves POST /batches/{batch}/machine.
func (p *Pages) Machine(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "machine", func(ctx context.Context, act db.Act, number int, f form) error {
		return p.DB.RunMachine(ctx, act, db.Through{Machine: machine(f), Batch: number})
	})
}

// machine is the one chosen; 0, which there is not, where none was.
func machine(f form) int16 {
	n, err := strconv.ParseInt(f.Typed.Get("machine"), 10, 16)
	if err != nil {
		return 0
	}
	return int16(n)
}

// Probe serves POST /batches/{batch}/probe.
func (p *Pages) Probe(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "probe", func(ctx context.Context, act db.Act, number int, f form) (err error) {
		var reading db.BatchProbe
		if reading.At, err = ui.ReadWhen(ctx, "when", f.Typed.Get("when")); err != nil {
			return err
		}
		if reading.LowC, err = ui.ReadTemp(ctx, "probe", f.Typed.Get("probe")); err != nil {
			return err
		}
		reading.HighC = reading.LowC
		for field, to := range map[string]func(domain.Celsius){
			"probe_two": func(c domain.Celsius) { reading.HighC = c }, "house": func(c domain.Celsius) { reading.HouseC = &c }, "wet": func(c domain.Celsius) { reading.WetC = &c },
		} {
			if strings.TrimSpace(f.Typed.Get(field)) == "" {
				continue
			}
			c, err := ui.ReadTemp(ctx, field, f.Typed.Get(field))
			if err != nil {
				return err
			}
			to(c)
		}
		return p.DB.Probe(ctx, act, number, reading)
	})
}

// Accept serves POST /batches/{batch}/accept: the lead's word, with a PIN.
func (p *Pages) Accept(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "accept", func(ctx context.Context, act db.Act, number int, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		return p.DB.AcceptBatch(ctx, act, number, f.Typed.Get("why"))
	})
}

// Finish serves POST /batches/{batch}/finish.
func (p *Pages) Finish(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "finish", func(ctx context.Context, act db.Act, number int, f form) (err error) {
		done := db.Finished{OddTo: f.Typed.Get("odd_to")}
		if done.Packs, err = strconv.Atoi(strings.TrimSpace(f.Typed.Get("packs"))); err != nil {
			return domain.Wrong("packs", "Count the whole packs: 1 to 5,000.")
		}
		if done.PackedKg, err = ui.ReadWeight(ctx, "packed", f.Typed.Get("packed")); err != nil {
			return err
		}
		if f.Typed.Get("odd") != "" {
			if done.OddKg, err = ui.ReadWeight(ctx, "odd", f.Typed.Get("odd")); err != nil {
				return err
			}
		}
		return p.DB.FinishBatch(ctx, act, number, done)
	})
}

// Give serves POST /batches/{batch}/give.
func (p *Pages) Give(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "give-"+r.FormValue("animal"), func(ctx context.Context, act db.Act, number int, f form) error {
		of, err := domain.ParseShopNumber("animal", f.Typed.Get("animal"))
		if err != nil {
			return err
		}
		place, err := strconv.Atoi(f.Typed.Get("place"))
		if err != nil {
			place = 0 // db says where one is needed
		}
		return p.DB.GiveShare(ctx, act, number, of, place)
	})
}

// Reopen serves POST /batches/{batch}/reopen: one step back, with its reason.
func (p *Pages) Reopen(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "reopen", func(ctx context.Context, act db.Act, number int, f form) error {
		return p.DB.ReopenBatch(ctx, act, number, db.BatchStatus(f.Typed.Get("from")), f.Typed.Get("why"))
	})
}

// Destroy serves POST /batches/{batch}/destroy: the lead and a second person, each
// with a PIN.
func (p *Pages) Destroy(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "destroy", func(ctx context.Context, act db.Act, number int, f form) error {
		if err := signin.PIN(r, p.DB, p.Now()); err != nil {
			return err
		}
		second, err := p.secondPerson(ctx, r, "second_pin")
		if err != nil {
			return err
		}
		return p.DB.DestroyBatch(ctx, act, number, f.Typed.Get("why"), second.ID)
	})
}

// small is what the owner of a small batch has to be told.
func (v view) small() domain.Words { return batch.Small(v.Kind, v.InKg()) }
