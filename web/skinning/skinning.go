// Package skinning is the skinner's screen: what came in and waits, what the
// owner wants kept before the knife, and the scale.
package skinning

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// Pages serves the skinner's screens.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// Show serves GET /skinning: what waits, by what it waits for.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	list, err := p.DB.WaitingForSkinner(r.Context())
	if err != nil {
		return err
	}
	done, err := p.hung(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, listPage(sorted(list), done, p.Now()))
}

// hungView is the one that was weighed just now: the hook may be the program's choice,
// and whoever holds the carcass has to read it somewhere.
type hungView struct {
	Number domain.ShopNumber
	Kg     domain.Kilogram
	Where  []db.Hangs
	Keeps  string
}

// hung reads the animal of ?hung=, or none.
func (p *Pages) hung(r *http.Request) (v hungView, err error) {
	number, err := domain.ParseShopNumber("hung", r.FormValue("hung"))
	if err != nil {
		return v, nil
	}
	a, err := p.DB.Animal(r.Context(), number)
	if err != nil || a.HangingKg == nil {
		return v, err
	}
	v = hungView{Number: number, Kg: *a.HangingKg, Keeps: a.Keeps}
	v.Where, err = p.DB.WhereHangs(r.Context(), a.ID)
	return v, err
}

// waiting is what waits, the most urgent part first: each list keeps the order of db.
type waiting struct{ Outside, Skin, Weigh []db.ToSkin }

func (w waiting) count() int { return len(w.Outside) + len(w.Skin) + len(w.Weigh) }

// sorted parts what is not in the cooler yet, what is to be skinned, and what only
// goes on the scale.
func sorted(list []db.ToSkin) (w waiting) {
	for _, a := range list {
		switch {
		case a.PlaceID == nil:
			w.Outside = append(w.Outside, a)
		case a.Form == domain.WholeHideOn:
			w.Skin = append(w.Skin, a)
		default:
			w.Weigh = append(w.Weigh, a)
		}
	}
	return w
}

// weighForm is the scale's form as typed; the second half is for two sides.
type weighForm struct {
	Act, Weight, Tare, Place     string
	Reading                      string // of a scale, tapped in place of a typed weight
	Left, LeftTare, LeftPlace    string
	Right, RightTare, RightPlace string
	Sides, OddIsRight            bool // hangs in two sides; the odd weight is right
}

// weighView is the page of one animal at the scale.
type weighView struct {
	Animal  db.ToSkin
	Form    weighForm
	Free    []db.FreePlace
	Weights []db.ScaleWeight // sent by a scale within two minutes
}

// ShowWeigh serves GET /skinning/{number}.
func (p *Pages) ShowWeigh(w http.ResponseWriter, r *http.Request) error {
	v, err := p.view(r)
	if err != nil {
		return err
	}
	v.Form = weighForm{Act: signin.NewAct(), Sides: r.FormValue("sides") == "yes" && v.Animal.InSides()}
	return ui.Render(w, r, http.StatusOK, weighPage(v, nil))
}

// Weigh serves POST /skinning/{number}: the weight is taken and it hangs.
func (p *Pages) Weigh(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	f, number := readForm(r), ui.ShopNumber(r)
	weighing, err := f.weighing(r.Context())
	if err == nil {
		err = p.DB.WeighAndHang(r.Context(), act, number, weighing)
	}
	if err == nil {
		http.Redirect(w, r, "/skinning?hung="+string(number), http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal || wrong.Kind == domain.NotFound {
		return err
	}
	v, viewErr := p.view(r)
	if viewErr != nil {
		return err // it does not wait any more: say what the act said
	}
	v.Form = f
	return ui.Render(w, r, http.StatusUnprocessableEntity, weighPage(v, wrong))
}

func (p *Pages) view(r *http.Request) (v weighView, err error) {
	if v.Animal, err = p.DB.WaitingAnimal(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	if v.Free, err = p.DB.PlacesToHang(r.Context(), v.Animal.Number); err != nil {
		return v, err
	}
	v.Weights, err = p.DB.WeightsAt(r.Context(), signin.Holder(r.Context()).Device, p.Now())
	return v, err
}

func readForm(r *http.Request) weighForm {
	v := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	return weighForm{Act: v("act"), Weight: v("weight"), Tare: v("tare"), Place: v("place"), Reading: v("reading"),
		Left: v("left"), LeftTare: v("left_tare"), LeftPlace: v("left_place"),
		Right: v("right"), RightTare: v("right_tare"), RightPlace: v("right_place"),
		Sides: v("sides") == "yes", OddIsRight: v("weight_right") == "yes"}
}

// weighing reads what the scale said.
func (f weighForm) weighing(ctx context.Context) (db.Weighing, error) {
	w := db.Weighing{Confirmed: f.OddIsRight}
	if f.Reading != "" && !f.Sides {
		return f.read(ctx, w)
	}
	if !f.Sides {
		s, err := side(ctx, "weight", f.Weight, "tare", f.Tare, f.Place)
		w.Gross, w.Tare, w.Place = s.Gross, s.Tare, s.Place
		return w, err
	}
	left, err := side(ctx, "left", f.Left, "left_tare", f.LeftTare, f.LeftPlace)
	if err != nil {
		return w, err
	}
	right, err := side(ctx, "right", f.Right, "right_tare", f.RightTare, f.RightPlace)
	w.Left, w.Right = &left, &right
	return w, err
}

// read takes what a scale has sent; hook, tub and place are asked as ever.
func (f weighForm) read(ctx context.Context, w db.Weighing) (db.Weighing, error) {
	var err error
	if w.Reading, err = uuid.Parse(f.Reading); err != nil {
		return w, domain.Wrong("weight", "That weight cannot be read. Type it.")
	}
	s, err := beside(ctx, db.Side{}, "tare", f.Tare, f.Place)
	w.Tare, w.Place = s.Tare, s.Place
	return w, err
}

func side(ctx context.Context, weight, gross, tareField, tare, place string) (s db.Side, err error) {
	if s.Gross, err = ui.ReadWeight(ctx, weight, gross); err != nil {
		return s, err
	}
	return beside(ctx, s, tareField, tare, place)
}

// beside reads what is asked beside the weight: hook and tub, and the place.
func beside(ctx context.Context, s db.Side, tareField, tare, place string) (_ db.Side, err error) {
	if tare != "" && strings.Trim(tare, "0.,") != "" {
		if s.Tare, err = ui.ReadWeight(ctx, tareField, tare); err != nil {
			return s, err
		}
	}
	if place != "" && place != placeChosen {
		if s.Place, err = strconv.Atoi(place); err != nil || s.Place < 1 {
			return s, domain.Wrong(strings.Replace(tareField, "tare", "place", 1), "Choose where it hangs.")
		}
	}
	return s, nil
}

// placeChosen leaves the place to the program.
const placeChosen = "next"

// placeOptions are the places as the carcass hangs from now on: staying where it is, or
// the program's own choice, comes first, then what fits, and last what does not, with why.
func placeOptions(ctx context.Context, v weighView) []ui.Option {
	first := ui.T(ctx, "Next free place for its kind")
	if v.stays() {
		first = ui.T(ctx, "It stays on %s", v.Animal.Place)
	}
	out, not := []ui.Option{{Value: placeChosen, Label: first}}, []ui.Option(nil)
	for _, p := range v.Free {
		o := ui.Option{Value: strconv.Itoa(p.ID), Label: ui.Say(ctx, p.Words())}
		if !p.Fits {
			o.Label += ": " + ui.Say(ctx, p.Why)
		}
		switch {
		case v.own(p) && v.stays():
			if !p.Fits {
				out[0].Label += ": " + ui.Say(ctx, p.Why)
			}
		case v.own(p):
		case p.Fits:
			out = append(out, o)
		default:
			not = append(not, o)
		}
	}
	return append(out, not...)
}

// stays reports a carcass that has its place, and keeps it unless somebody says otherwise.
func (v weighView) stays() bool { return v.Animal.PlaceID != nil && !v.Form.Sides }

// own reports the place it hangs on already.
func (v weighView) own(p db.FreePlace) bool {
	return v.Animal.PlaceID != nil && *v.Animal.PlaceID == p.ID
}

// placeOr is what the list shows before anybody chose: the first place that fits where
// its own does not any more, as for one that was skinned among hides.
func placeOr(typed string, v weighView) string {
	misfit := func(p db.FreePlace) bool { return v.own(p) && !p.Fits }
	switch {
	case typed != "":
		return typed
	case v.stays() && slices.ContainsFunc(v.Free, misfit):
		if k := slices.IndexFunc(v.Free, func(p db.FreePlace) bool { return p.Fits }); k >= 0 {
			return strconv.Itoa(v.Free[k].ID)
		}
	}
	return placeChosen
}

// line is one animal that waits; what is to be kept stands beside its kind.
func line(ctx context.Context, a db.ToSkin, now time.Time) ui.LineView {
	do := ui.T(ctx, "Weigh and hang")
	switch {
	case a.PlaceID == nil: // it has no hook yet
	case a.Form == domain.WholeHideOn:
		do = ui.T(ctx, "Skin and weigh")
	default:
		do = ui.T(ctx, "Weigh")
	}
	return ui.LineView{Mark: ui.TagLink(a.Number), Title: ui.Capital(ui.Say(ctx, a.Species.Words())), Badge: besideKind(a), Note: waitNote(ctx, a, now), Urgent: a.PlaceID == nil,
		Href: "/skinning/" + string(a.Number), Act: do}
}

// waitNote is how it came, how long it waits, how warm it was then, and what that or
// a fault asks for.
func waitNote(ctx context.Context, a db.ToSkin, now time.Time) string {
	note := []string{ui.T(ctx, "%s, came %s.", ui.Capital(ui.Say(ctx, formWords(a.Form))), ui.Ago(ctx, a.ReceivedAt, now))}
	if a.DeepC != nil {
		note = append(note, ui.T(ctx, "%s deep at the door, %s.", *a.DeepC, ui.Moment(ctx, a.ReceivedAt)))
	}
	if a.Place != "" {
		note = append(note, ui.T(ctx, "It hangs on %s.", a.Place))
	}
	return strings.Join(append(note, faults(ctx, a)...), " ")
}

// faults is what a bad fault or its warmth at the door asks for.
func faults(ctx context.Context, a db.ToSkin) (said []string) {
	switch {
	case a.Door == "damaged":
		said = append(said, ui.T(ctx, "Bad fault at the door: trim it today, it is cut first. %s", a.DoorNote))
	case a.DoorNote != "":
		said = append(said, a.DoorNote)
	}
	switch {
	case !warm(a):
	case a.Form == domain.WholeHideOn:
		said = append(said, ui.T(ctx, "Warm when it came: skin it now and open the hip."))
	default:
		said = append(said, ui.T(ctx, "Warm when it came: give it air on all sides."))
	}
	return said
}

// wishes is what has to be kept, known before the knife.
func wishes(ctx context.Context, a db.ToSkin) (said []string) {
	if a.Keeps != "" {
		said = append(said, ui.T(ctx, "Keep: %s", a.Keeps))
	}
	if a.SampleWanted {
		said = append(said, ui.T(ctx, "Sample wanted: keep the head until it is drawn"))
	}
	return said
}

// hideOff says of one that came with its hide on what its weight makes of it.
func hideOff(ctx context.Context, a db.ToSkin) string {
	if a.Form != domain.WholeHideOn {
		return ""
	}
	return ui.T(ctx, "With the hide off: it hangs as skinned from here on.")
}

func formWords(f domain.Form) domain.Words {
	switch f {
	case domain.WholeHideOn:
		return domain.Say("whole, hide on")
	case domain.Quarters:
		return domain.Say("quarters")
	case domain.Boned:
		return domain.Say("boned meat")
	}
	return domain.Say("whole, skinned")
}

// warm reports a carcass above 50 °F at the door (trade.md 1.6).
func warm(a db.ToSkin) bool { return a.DeepC != nil && *a.DeepC > domain.Fahrenheit(50) }
