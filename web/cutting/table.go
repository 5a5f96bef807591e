package cutting

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	domaincutting "coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/web/signin"
	"coldrail/web/ui"
	"github.com/google/uuid"
)

// tableForm is everything the table's forms may carry; each form fills its own.
type tableForm struct {
	Which, Act                 string // the form that was sent, and its act
	Cut, Count, Weight, Tare   string
	Portion                    string
	Kind, TrimWeight, TrimNote string
	TrimTare, TrimPart         string
	AllWeighed                 bool
	Place                      string
	Boxes                      map[uuid.UUID]string // pack line -> box number
	Places                     []string             // box n-1 -> freezer place
	Move                       movePacksForm
}

// act is the id for one of the page's forms: the one that was sent keeps its
// own, so that sending it again stays harmless; each other has a fresh one.
func (f tableForm) act(which string) string {
	if f.Which == which {
		return f.Act
	}
	return signin.NewAct()
}

// tableView is one animal at the table or in pieces.
type tableView struct {
	Animal  db.Animal
	Orders  []db.Order // one, or one a portion
	Packs   []db.PackLine
	Trims   []db.TrimLine
	Boxes   []db.BoxLine
	Total   domaincutting.Total
	Trimmed domain.Kilogram
	Closure domaincutting.Closure
	MixUp   []domaincutting.Neighbour // who may have the pounds that lack here
	Sitting []db.Sitting
	Pieces  []db.Piece
	Weights []db.ScaleWeight
	Now     time.Time
	Hangs   []db.Hangs // where it, or each half of it, hangs; nothing on the table
	Holds   []db.Hold
	Stop    []domain.Words   // what a look found that stops it, where the lead has not decided since
	First   []domain.Words   // for what it is cut before others
	CutAway []db.DecisionRow // what the lead decided to cut out of it
	Spots   []db.Spot
	Free    []db.Place
	Form    tableForm
}

// OnTable reports whether the knife is still on it.
func (v tableView) OnTable() bool { return v.Animal.Physical == animal.OnTable }

// InPieces reports whether it is cut and not yet boxed.
func (v tableView) InPieces() bool { return v.Animal.Physical == animal.InPieces }

// ShowTable serves GET /cutting/{number}.
func (p *Pages) ShowTable(w http.ResponseWriter, r *http.Request) error {
	v, err := p.table(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	v.Form = tableForm{Count: "1"}
	v.proposeBoxes()
	return ui.Render(w, r, http.StatusOK, tablePage(v, nil))
}

// Pack serves POST /cutting/{number}/pack.
func (p *Pages) Pack(w http.ResponseWriter, r *http.Request) error {
	f := tableForm{Which: "pack", Act: r.FormValue("act"), Cut: r.FormValue("cut"), Count: r.FormValue("count"), Weight: r.FormValue("weight"),
		Tare: r.FormValue("tare"), Portion: r.FormValue("portion")}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		count, err := strconv.Atoi(strings.TrimSpace(f.Count))
		if err != nil {
			return domain.Wrong("count", "Give the number of packs, 1 to 500.")
		}
		net, tare, reading, err := onScale(ctx, r, "weight", f.Weight, "tare", f.Tare)
		if err != nil {
			return err
		}
		return p.DB.Pack(ctx, act, n, db.Wrapped{Cut: f.Cut, Count: count, Net: net, Tare: tare, Reading: reading, Portion: domaincutting.Portion(f.Portion)})
	})
}

// Trim serves POST /cutting/{number}/trim.
func (p *Pages) Trim(w http.ResponseWriter, r *http.Request) error {
	f := tableForm{Which: "trim", Act: r.FormValue("act"), Kind: r.FormValue("kind"), TrimWeight: r.FormValue("trim_weight"), TrimNote: r.FormValue("note"),
		TrimTare: r.FormValue("trim_tare"), TrimPart: strings.TrimSpace(r.FormValue("part"))}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		net, tare, reading, err := onScale(ctx, r, "trim_weight", f.TrimWeight, "trim_tare", f.TrimTare)
		if err != nil {
			return err
		}
		return p.DB.Trim(ctx, act, n, db.Trimmed{Kind: f.Kind, Kg: net, Tare: tare, Reading: reading, Part: domaincutting.Part(f.TrimPart), Note: f.TrimNote})
	})
}

// onScale reads what lay on the scale: the weight that was typed, or the one a
// scale has sent and somebody tapped, and the tub that is taken off either.
func onScale(ctx context.Context, r *http.Request, field, typed, tareField, typedTare string) (net, tare domain.Kilogram, reading uuid.UUID, err error) {
	if strings.TrimSpace(typedTare) != "" {
		if tare, err = ui.ReadWeight(ctx, tareField, typedTare); err != nil {
			return 0, 0, reading, err
		}
	}
	if tapped := r.FormValue("reading"); tapped != "" {
		if reading, err = uuid.Parse(tapped); err != nil {
			return 0, 0, reading, domain.Wrong(field, "That weight cannot be read. Type it.")
		}
		return 0, tare, reading, nil
	}
	gross, err := ui.ReadWeight(ctx, field, typed)
	if err == nil && gross <= tare {
		err = domain.Wrong(tareField, "The tub cannot weigh as much as all of it. Weigh both again.")
	}
	return gross - tare, tare, reading, err
}

// Join serves POST /cutting/{number}/join: whoever holds the tablet cuts along.
func (p *Pages) Join(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, tableForm{Act: r.FormValue("act")}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.Join(ctx, act, n)
	})
}

// TakeBack serves POST /cutting/{number}/take-back.
func (p *Pages) TakeBack(w http.ResponseWriter, r *http.Request) error {
	id, err := uuid.Parse(r.FormValue("line"))
	if err != nil {
		return domain.Missing("There is no such line.")
	}
	return p.do(w, r, tableForm{Act: r.FormValue("act")}, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.TakeBack(ctx, act, n, id, strings.TrimSpace(r.FormValue("why")))
	})
}

// Finish serves POST /cutting/{number}/finish.
func (p *Pages) Finish(w http.ResponseWriter, r *http.Request) error {
	f := tableForm{Which: "finish", Act: r.FormValue("act"), AllWeighed: r.FormValue("all_weighed") == "yes"}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		return p.DB.Finish(ctx, act, n, db.Finishing{Labelled: r.FormValue("labelled") == "yes", AllWeighed: f.AllWeighed})
	})
}

// Stop serves POST /cutting/{number}/stop.
func (p *Pages) Stop(w http.ResponseWriter, r *http.Request) error {
	f := tableForm{Which: "stop", Act: r.FormValue("act"), Place: r.FormValue("place")}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		place, err := strconv.Atoi(f.Place)
		if err != nil {
			return domain.Wrong("place", "Say on which hook it hangs now.")
		}
		return p.DB.StopCutting(ctx, act, n, place)
	})
}

// do reads who acts, lets them, and shows the table again: as it stands now, or
// with what was typed and what is wrong with it.
func (p *Pages) do(w http.ResponseWriter, r *http.Request, f tableForm, act func(context.Context, db.Act, domain.ShopNumber) error) error {
	a, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	err = act(r.Context(), a, n)
	if wrong := domain.As(err); err != nil && (wrong.Kind == domain.Invalid || wrong.Kind == domain.Conflict || wrong.Kind == domain.Refused) {
		v, err := p.table(r.Context(), n)
		if err != nil {
			return err
		}
		v.Form = f
		v.proposeBoxes()
		return ui.Render(w, r, http.StatusUnprocessableEntity, tablePage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/cutting/"+string(n), http.StatusSeeOther)
	return nil
}

// table gathers what the page shows of one animal.
func (p *Pages) table(ctx context.Context, n domain.ShopNumber) (v tableView, err error) {
	for _, read := range []func() error{
		func() error { v.Animal, err = p.DB.Animal(ctx, n); return err },
		func() error { v.Hangs, err = p.DB.WhereHangs(ctx, v.Animal.ID); return err },
		func() error { v.Orders, err = p.DB.StandingOrders(ctx, n); return err },
		func() error { v.Sitting, err = p.DB.Sittings(ctx, n); return err },
		func() error { v.Pieces, err = p.DB.Pieces(ctx, n); return err },
		func() error { v.Weights, err = p.DB.WeightsAt(ctx, signin.Holder(ctx).Device, p.Now()); return err },
		func() error { v.Packs, err = p.DB.Packs(ctx, n); return err },
		func() error { v.Trims, err = p.DB.Trims(ctx, n); return err },
		func() error { v.Boxes, err = p.DB.Boxes(ctx, n); return err },
		func() error { v.Closure, err = p.DB.Closure(ctx, n); return err },
		func() error { v.Holds, err = p.DB.Holds(ctx, n); return err },
		func() error { v.Stop, v.First, err = p.DB.AtKnife(ctx, n, p.Now()); return err },
		func() error { v.CutAway, err = p.DB.CutAway(ctx, n); return err },
		func() error { v.Spots, err = p.DB.FreezerSpots(ctx); return err },
		func() error { v.Free, err = p.DB.FreePlaces(ctx); return err },
	} {
		if err := read(); err != nil {
			return v, err
		}
	}
	if v.Now = p.Now(); v.Closure.Shown && !v.Closure.AddsUp {
		around, err := p.DB.Neighbours(ctx, n)
		if err != nil {
			return v, err
		}
		v.MixUp = domaincutting.MixUp(v.Closure, around)
	}
	lines := make([]domaincutting.Packs, len(v.Packs))
	for i, k := range v.Packs {
		lines[i] = domaincutting.Packs{Cut: k.Cut, Count: k.Count, Net: k.NetKg, Box: k.Box}
	}
	_, v.Total = domaincutting.Totals(lines)
	for _, t := range v.Trims {
		v.Trimmed += t.Kg
	}
	return v, nil
}

// shared reports whether the packs of this animal have several owners.
func (v tableView) shared() bool {
	return len(v.Orders) > 0 && v.Orders[0].Portion != domaincutting.WholeAnimal
}

// joined reports whether whoever holds the tablet is written down as cutting.
func (v tableView) joined(name string) bool {
	return len(v.Sitting) > 0 && slices.Contains(v.Sitting[len(v.Sitting)-1].Cutters, name)
}

// weighed reports whether anything is known that packs can be held against.
func (v tableView) weighed() bool {
	return v.Animal.HangingKg != nil || v.Animal.FieldDressedKg != nil
}

// boned reports whether it is boned and held while its test is out.
func (v tableView) boned() bool {
	return slices.ContainsFunc(v.Holds, func(h db.Hold) bool { return h.Open() && !h.BonedAt.IsZero() })
}

// stopping lists the open holds that forbid cutting.
func (v tableView) stopping() []db.Hold {
	var found []db.Hold
	for _, h := range v.Holds {
		if h.Stops(hold.Cut) {
			found = append(found, h)
		}
	}
	return found
}
