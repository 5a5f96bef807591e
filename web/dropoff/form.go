package dropoff

import (
	"cmp"
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/statute"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// dropForm is the drop-off form as typed.
type dropForm struct {
	Act, Number, Phone, Name      string
	Tag, TagKind, State, TagState string
	TagDiffers, RepeatWhy         string
	Species, Other, Class, Form   string
	Sex, Points                   string
	Day, Date, Time               string // today, yesterday or other; other has its date
	Deep, Kept, KeptTemp, Weight  string
	WeightRight, Sample           bool
	Keeps, Wish, DoorNote         string
	Recovered, Weather            string // when it was found, the weather since the kill
	EarlierSample                 string
	Licence, Address, TellBy      string
	County, Unit, Property        string
	Taker, TakerAddress           string
	Deliverer, DelivererAddress   string
	EarTag, Age                   string
	SecondPhone, CallWhen, Mail   string
	Payer, PayerPhone, Collectors string
	Filled                        string // the name of whom the shop's memory filled in; empty: it was typed
	Found                         string // the carcass of the bay this is
	Booking, Left                 string // the booking it came by; what was left with it
	LeftCounty, RoadTold          string // of a carcass whose hours on the road count
	Place                         string
	Shown                         []string // kinds of proof
	Door                          map[animal.DoorLine]animal.Grade
}

// The two answers of the place field that name no place.
const (
	placeChosen = "next" // the program chooses
	placeNone   = "none" // it waits outside, to be skinned first
)

func readForm(r *http.Request) dropForm {
	v := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	other := v("other")
	if other == "-" {
		other = ""
	}
	f := dropForm{
		Act: v("act"), Number: v("number"), Phone: v("phone"), Name: v("name"),
		Tag: v("tag"), TagKind: v("tag_kind"), State: v("state"), TagState: v("tag_state"), TagDiffers: v("tag_differs"), RepeatWhy: v("repeat_why"),
		Species: v("species"), Other: other, Class: v("class"), Form: v("shape"), Sex: v("sex"), Points: v("points"),
		Day: v("killed"), Date: v("date"), Time: v("time"),
		Deep: v("deep"), Kept: v("kept"), KeptTemp: v("kept_temp"), Weight: v("weight"), WeightRight: v("weight_right") == "yes", Sample: v("sample") == "yes",
		Keeps: v("keeps"), Wish: v("wish"), DoorNote: v("door_note"),
		Recovered: v("recovered"), Weather: v("weather"), EarlierSample: v("sample_before"),
		Licence: v("licence"), Address: v("address"), TellBy: v("tell_by"), County: v("county"), Unit: v("unit"), Property: v("property"),
		Taker: v("taker"), TakerAddress: v("taker_address"), Deliverer: v("deliverer"), DelivererAddress: v("deliverer_address"),
		SecondPhone: v("second_phone"), CallWhen: v("call_when"), Mail: v("mail"), Payer: v("payer"), PayerPhone: v("payer_phone"), Collectors: v("collectors"),
		LeftCounty: v("left_county"), RoadTold: v("road_told"),
		Filled: v("filled"), Found: v("found"), Booking: v("booking"), Left: v("left"), EarTag: v("ear_tag"), Age: v("age"), Place: v("place"), Door: map[animal.DoorLine]animal.Grade{},
	}
	f.Shown = r.Form["proof"] // FormValue above has read the form
	for _, line := range animal.DoorLines {
		if g := v("door_" + string(line)); g != "" {
			f.Door[line] = animal.Grade(g)
		}
	}
	return f
}

// take fills in a person the shop knows, as far as the work of whoever asks needs
// it. What is left empty here is owed to the register and filled in at the counter.
func (f *dropForm) take(k db.Person, roles []string) {
	if !domain.Addresses.SeenBy(roles) {
		k.Address = ""
	}
	if !domain.Licences.SeenBy(roles) {
		k.Licence = ""
	}
	if !domain.Phones.SeenBy(roles) {
		k.SecondPhone, k.Mail = "", ""
		if f.Phone != "" {
			k.Phone = f.Phone // as it was typed
		}
	}
	if k.Named() {
		f.Name = k.Name
	}
	f.Phone, f.Address, f.Licence, f.TellBy = k.Phone, k.Address, k.Licence, k.TellBy
	f.SecondPhone, f.CallWhen, f.Mail = k.SecondPhone, k.CallWhen, k.Mail
	f.Filled = cmp.Or(k.Name, db.NoName)
}

// leave takes out what the shop's memory filled in of somebody else, so that nobody's
// license and address go with another's animal.
func (f *dropForm) leave() {
	if f.Filled == "" {
		return
	}
	if f.Name == f.Filled {
		f.Name = ""
	}
	f.Filled, f.Address, f.Licence, f.TellBy, f.SecondPhone, f.CallWhen, f.Mail = "", "", "", "", "", "", ""
}

// privateOf are the groups of private things that are known of a person.
func privateOf(k db.Person) (groups []domain.Private) {
	if k.Address != "" {
		groups = append(groups, domain.Addresses)
	}
	if k.Licence != "" {
		groups = append(groups, domain.Licences)
	}
	return groups
}

// drop reads what was typed. What is empty stays empty, and owed.
func (f dropForm) drop(ctx context.Context, now time.Time) (d db.Drop, err error) {
	d = db.Drop{
		Owner:      db.Person{Name: f.Name, Phone: f.Phone, Address: f.Address, Licence: f.Licence, TellBy: f.TellBy, SecondPhone: f.SecondPhone, CallWhen: f.CallWhen, Mail: f.Mail},
		Tag:        db.OfficialTag{Kind: f.TagKind, Number: f.Tag, State: cmp.Or(f.TagState, f.State), RepeatWhy: f.RepeatWhy},
		TagDiffers: f.TagDiffers, KillState: f.State, County: f.County, Unit: f.Unit, Property: f.Property, EarTag: f.EarTag, Age: f.Age,
		DoorNote: f.DoorNote, Keeps: f.Keeps, Wish: f.Wish, SampleWanted: f.Sample, NotHung: f.Place == placeNone, Weather: f.Weather, EarlierSample: f.EarlierSample,
	}
	d.Species, d.Class, d.Form = domain.Species(cmp.Or(f.Other, f.Species)), domain.Class(f.Class), domain.Form(f.Form)
	d.Sex, d.Kept, d.Door, d.WeightConfirmed = animal.Sex(f.Sex), animal.Kept(f.Kept), f.Door, f.WeightRight
	if f.Taker != "" {
		d.Taker = &db.Person{Name: f.Taker, Address: f.TakerAddress, Licence: f.Licence}
		d.Owner.Licence = "" // the licence is the taker's
	}
	if f.Deliverer != "" {
		d.Deliverer = &db.Person{Name: f.Deliverer, Address: f.DelivererAddress}
	}
	f.others(&d)
	if d.Number, err = domain.ParseShopNumber("number", f.Number); err != nil {
		return d, err
	}
	if d.KilledAt, d.KilledDayOnly, err = f.killed(ctx, now); err != nil {
		return d, err
	}
	if d.FoundAt, err = f.foundAt(ctx); err != nil {
		return d, err
	}
	d.RoadTold = f.RoadTold
	if f.LeftCounty != "" {
		left, err := ui.ReadWhen(ctx, "left_county", f.LeftCounty)
		if err != nil {
			return d, err
		}
		d.LeftCounty = &left
	}
	return d, f.numbers(ctx, &d)
}

// foundAt reads when it was found; zero where that was not told apart.
func (f dropForm) foundAt(ctx context.Context) (time.Time, error) {
	if f.Recovered == "" {
		return time.Time{}, nil
	}
	return ui.ReadWhen(ctx, "recovered", f.Recovered)
}

// fromRoad fills the form with what was said when the hours were asked for
// (web/law, ShowHours).
func (f *dropForm) fromRoad(r *http.Request) {
	v := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	if v("road") != "yes" {
		return
	}
	f.Species, f.Form, f.State, f.County, f.Unit = v("species"), v("shape"), v("state"), v("county"), v("unit")
	f.Day, f.Date, f.Time, f.LeftCounty = "other", v("date"), v("time"), v("left_county")
	if !contains(often, domain.Species(f.Species)) {
		f.Species, f.Other = "", f.Species
	}
}

// others reads who else has a part in it: who pays, and who may come for it.
func (f dropForm) others(d *db.Drop) {
	d.Found, _ = uuid.Parse(f.Found)     // anything else was not found in the bay
	d.Booking, _ = uuid.Parse(f.Booking) // or not booked
	d.Left = f.Left
	for _, e := range f.Shown {
		d.Shown = append(d.Shown, statute.Evidence(e))
	}
	if f.Payer != "" {
		d.Payer = &db.Person{Name: f.Payer, Phone: f.PayerPhone}
	}
	for _, name := range strings.Split(f.Collectors, ",") {
		if name = strings.TrimSpace(name); name != "" {
			d.Collectors = append(d.Collectors, db.Person{Name: name})
		}
	}
}

// killed reads the day, and the hour if it was told. A day alone stands as its
// midnight in the shop's zone.
func (f dropForm) killed(ctx context.Context, now time.Time) (at time.Time, dayOnly bool, err error) {
	day := f.Date
	switch f.Day {
	case "today":
		day = ui.TypedDay(ctx, now)
	case "yesterday":
		day = ui.TypedDay(ctx, now.In(ui.ShopOf(ctx).Zone).AddDate(0, 0, -1))
	case "other":
	default:
		return at, false, domain.Wrong("killed", "Say which day it was killed.")
	}
	if f.Time != "" {
		at, err = ui.ReadWhen(ctx, "killed", day+"T"+f.Time)
		return at, false, err
	}
	at, err = ui.ReadDay(ctx, "killed", day)
	return at, true, err
}

// numbers reads what was measured and counted.
func (f dropForm) numbers(ctx context.Context, d *db.Drop) error {
	for _, t := range []struct {
		field, typed string
		into         **domain.Celsius
	}{{"deep", f.Deep, &d.DeepTemp}, {"kept_temp", f.KeptTemp, &d.KeptTemp}} {
		if t.typed == "" {
			continue
		}
		c, err := ui.ReadTemp(ctx, t.field, t.typed)
		if err != nil {
			return err
		}
		*t.into = &c
	}
	if f.Points != "" {
		n, err := strconv.Atoi(f.Points)
		if err != nil {
			return domain.Wrong("points", "%s is not a number of points.", f.Points)
		}
		d.Points = n
	}
	if f.Weight != "" {
		kg, err := ui.ReadWeight(ctx, "weight", f.Weight)
		if err != nil {
			return err
		}
		if d.Form == domain.WholeHideOn {
			d.FieldWeight = &kg // with the hide on it says little about the meat
		} else {
			d.HangingWeight = &kg
		}
	}
	if f.Place != placeNone && f.Place != placeChosen {
		n, err := strconv.Atoi(f.Place)
		if err != nil || n < 1 {
			return domain.Wrong("place", "Choose where it hangs.")
		}
		d.Place = n
	}
	return nil
}
