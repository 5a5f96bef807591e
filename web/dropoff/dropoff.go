// Package dropoff is the counter's screen while trucks stand outside: the fast
// path that takes an animal in, what it still owes the register, and the page
// that says where it hangs.
package dropoff

import (
	"net/http"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
	"coldrail/domain/yield"
	"coldrail/web/photo"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// Pages serves the counter's drop-off screens.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// dropView is the drop-off form as it is shown.
type dropView struct {
	Form   dropForm
	Next   domain.ShopNumber // the next tag on the roll
	Free   []db.Place
	Known  []db.Person // found by "find"
	Sought bool
	Booked *db.Booking   // what was booked; nil: it comes unbooked
	Means  *db.DoorMeans // what the door check does; nil: nobody asked
	Owing  int           // animals that still owe the register something
	Bay    int           // open questions of the bay

	Rules []statute.Rule // of the state, about what may come in

	Capacity db.Capacity
	Doors    map[animal.Intake]db.IntakeDoor
}

// closed lists the forms that are not taken just now.
func (v dropView) closed() (list []db.IntakeDoor) {
	for _, form := range animal.Intakes {
		if d := v.Doors[form]; d.Closed {
			list = append(list, d)
		}
	}
	return list
}

// Show serves GET /dropoff: the empty form.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	shop, err := p.DB.Shop(r.Context())
	if err != nil {
		return err
	}
	f := dropForm{Act: signin.NewAct(), State: shop.HomeState, Place: placeChosen}
	if err := p.fromBay(r, &f); err != nil {
		return err
	}
	if err := p.fromBooking(r, &f); err != nil {
		return err
	}
	f.fromRoad(r)
	v, err := p.view(r, f)
	if err != nil {
		return err
	}
	if v.Form.Number == "" {
		v.Form.Number = string(v.Next)
	}
	return ui.Render(w, r, http.StatusOK, dropPage(v, nil))
}

// fromBooking fills the form with what was booked.
func (p *Pages) fromBooking(r *http.Request, f *dropForm) error {
	id, err := uuid.Parse(r.FormValue("booking"))
	if err != nil {
		return nil // nobody booked it
	}
	b, err := p.DB.BookingOf(r.Context(), id)
	f.Booking, f.Name, f.Phone, f.Species, f.Day = id.String(), b.Name, b.Phone, string(b.Species), "today"
	if !b.Species.Game() {
		f.Form, f.State = string(domain.Whole), ""
	}
	return err
}

// Receive serves POST /dropoff: takes the animal in, or, when a "find" button
// was pressed, fills in whom the shop knows and changes nothing.
func (p *Pages) Receive(w http.ResponseWriter, r *http.Request) error {
	f := readForm(r)
	if r.FormValue("find") != "" || r.FormValue("known") != "" {
		return p.find(w, r, f)
	}
	if r.FormValue("means") != "" {
		return p.means(w, r, f)
	}
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	d, err := f.drop(r.Context(), act.At)
	if err == nil {
		d.Photo, err = photo.Read(r, "photo")
	}
	if err == nil {
		d.DamagePhoto, err = photo.Read(r, "photo_damage")
	}
	if err == nil {
		err = p.DB.Receive(r.Context(), act, d)
	}
	if err == nil {
		http.Redirect(w, r, "/dropoff/"+string(d.Number)+"/hung", http.StatusSeeOther)
		return nil
	}
	wrong := domain.As(err)
	if wrong.Kind == domain.Internal {
		return err
	}
	v, viewErr := p.view(r, f)
	if viewErr != nil {
		return viewErr
	}
	return ui.Render(w, r, http.StatusUnprocessableEntity, dropPage(v, wrong))
}

// find shows the form again with the people the shop knows by that phone or
// name, or with the one that was tapped.
func (p *Pages) find(w http.ResponseWriter, r *http.Request, f dropForm) error {
	typed := f.Phone
	if typed == "" {
		typed = f.Name
	}
	people, err := p.DB.FindPeople(r.Context(), typed)
	if err != nil {
		return err
	}
	f.leave()
	tapped := r.FormValue("known")
	for _, k := range people {
		if k.ID.String() == tapped || tapped == "" && len(people) == 1 {
			f.take(k, ui.HolderOf(r.Context()).Roles)
			if err := signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Person: k.ID, Page: "known", Shown: privateOf(k)}); err != nil {
				return err
			}
			people = nil
			break
		}
	}
	v, err := p.view(r, f)
	if err != nil {
		return err
	}
	v.Known, v.Sought = people, true
	return ui.Render(w, r, http.StatusOK, dropPage(v, nil))
}

func (p *Pages) view(r *http.Request, f dropForm) (v dropView, err error) {
	v.Form = f
	if v.Next, err = p.DB.NextTag(r.Context()); err != nil {
		return v, err
	}
	if id, err := uuid.Parse(f.Booking); err == nil {
		b, err := p.DB.BookingOf(r.Context(), id)
		if err != nil {
			return v, err
		}
		v.Booked = &b
	}
	owed, err := p.DB.Owed(r.Context())
	if err != nil {
		return v, err
	}
	v.Owing = len(owed)
	open, err := p.DB.OpenFinds(r.Context())
	if err != nil {
		return v, err
	}
	v.Bay = len(open)
	if v.Doors, err = p.DB.IntakeDoors(r.Context()); err != nil {
		return v, err
	}
	if v.Capacity, err = p.DB.Capacity(r.Context(), p.Now()); err != nil {
		return v, err
	}
	if v.Rules, err = p.DB.RulesFor(r.Context(), statute.Proof, statute.SamePlant); err != nil {
		return v, err
	}
	v.Free, err = p.DB.FreePlaces(r.Context())
	return v, err
}

// hungView is the page after saving.
type hungView struct {
	Expected yield.Estimate // boneless meat; zero where nothing can be said
	Animal   db.Animal
	Where    []db.Hangs
	Owed     db.Owing
	Holds    []db.Hold
	Home     db.HomeRange // what the owner may be told
	Now      time.Time
	Photos   []uuid.UUID
	Talk     talk
}

// ShowHung serves GET /dropoff/{number}/hung: where it hangs, and the rest of the
// conversation with whoever brought it.
func (p *Pages) ShowHung(w http.ResponseWriter, r *http.Request) error {
	v, err := p.hung(r)
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, hungPage(v))
}

func (p *Pages) hung(r *http.Request) (v hungView, err error) {
	v.Now = p.Now()
	if v.Animal, err = p.DB.Animal(r.Context(), ui.ShopNumber(r)); err != nil {
		return v, err
	}
	if v.Where, err = p.DB.WhereHangs(r.Context(), v.Animal.ID); err != nil {
		return v, err
	}
	if v.Holds, err = p.DB.Holds(r.Context(), v.Animal.Number); err != nil {
		return v, err
	}
	if v.Owed, err = p.DB.OwedBy(r.Context(), v.Animal.Number); err != nil {
		return v, err
	}
	if v.Photos, err = p.DB.DoorPhotos(r.Context(), v.Animal.ID); err != nil {
		return v, err
	}
	numbers, err := p.DB.Numbers(r.Context())
	if err != nil {
		return v, err
	}
	v.Expected = numbers.Expected(v.Animal)
	if v.Home, err = p.DB.WhenHome(r.Context(), v.Animal.Number, v.Now); err != nil {
		return v, err
	}
	return v, p.talk(r.Context(), &v)
}

// peopleFolded reports whether what is told of the people at leisure may stay folded:
// nothing in it is wrong or was told today. What is known of somebody is said in a line
// instead (onFile): fourteen fields would stand before the tag, which is asked next.
func (v dropView) peopleFolded(wrong *domain.Error) bool {
	f := v.Form
	return !wrongAt(wrong, "taker", "deliverer", "payer", "collectors", "tell_by", "mail") && f.Payer+f.Collectors+f.Taker+f.Deliverer == ""
}

// tagFolded reports the same of the tag and the livestock.
func (v dropView) tagFolded(wrong *domain.Error) bool {
	f := v.Form
	return !wrongAt(wrong, "class", "tag_state") && f.Property+f.TagDiffers+f.EarTag+f.Age+f.TagState+f.Class == ""
}

// foundFolded reports the same of the find and the earlier sample.
func (v dropView) foundFolded(wrong *domain.Error) bool {
	return !wrongAt(wrong, "recovered") && v.Form.Recovered+v.Form.Weather+v.Form.EarlierSample == ""
}

func wrongAt(wrong *domain.Error, fields ...string) bool {
	return wrong != nil && slices.Contains(fields, wrong.At)
}

// doorHidden reports whether the door check may stay folded.
func (v dropView) doorHidden(wrong *domain.Error) bool {
	if wrong != nil && wrong.At == "door" || v.Means != nil {
		return false
	}
	for _, line := range animal.DoorLines {
		if v.Form.Door[line] != "" {
			return false
		}
	}
	return v.Form.DoorNote == ""
}
