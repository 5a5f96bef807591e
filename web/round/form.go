package round

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// form is what came in, by field.
type form map[string][]string

func (f form) get(field string) string {
	if len(f[field]) == 0 {
		return ""
	}
	return strings.TrimSpace(f[field][0])
}

// mouldRows is how many moulds one carcass can be given in one look.
const mouldRows = 3

// readTemps reads the temperatures of a form: each a tile, or typed exactly.
func readTemps(ctx context.Context, f form, into map[string]**domain.Celsius) error {
	for field, to := range into {
		typed := firstOf(f.get(field+"_exact"), f.get(field))
		if typed == "" {
			continue // the domain says what must not be missing
		}
		c, err := ui.ReadTemp(ctx, field, typed)
		if err != nil {
			return err
		}
		*to = &c
	}
	return nil
}

// readRoom reads the room's list.
func (v walkView) readRoom(ctx context.Context, f form) (db.RoomCheck, error) {
	r := db.RoomCheck{Smell: round.Smell(f.get(round.ItemSmell)), Full: v.Full, Right: map[string]bool{}, Comment: f.get("comment")}
	err := readTemps(ctx, f, map[string]**domain.Celsius{round.ItemPanel: &r.AirPanel, round.ItemIndependent: &r.AirOwn,
		round.ItemMeatOld: &r.MeatOld, round.ItemMeatNew: &r.MeatNew})
	if err != nil {
		return r, err
	}
	if typed := f.get(round.ItemFans); typed != "" {
		fans, err := readCount(round.ItemFans, typed)
		if err != nil {
			return r, err
		}
		r.FansRunning = &fans
	}
	if typed := strings.TrimSuffix(f.get(round.ItemHumidity), "%"); typed != "" {
		h, err := strconv.ParseFloat(strings.TrimSpace(typed), 64)
		if err != nil {
			return r, domain.Wrong(round.ItemHumidity, "Humidity is from 0 to 100 percent.")
		}
		r.Humidity = &h
	}
	for _, i := range round.YesNo() {
		if said := f.get("right-" + i.Key); said != "" {
			r.Right[i.Key] = said == "yes"
		}
	}
	if typed := f.get("thermometer"); typed != "" {
		id, err := strconv.ParseInt(typed, 10, 16)
		if err != nil {
			return r, domain.Wrong("thermometer", "Say which thermometer it was.")
		}
		r.Thermometer = int16(id)
	}
	return r, nil
}

func readCount(field, typed string) (int, error) {
	n, err := strconv.Atoi(typed)
	if err != nil || n < 0 || n > 999 {
		return 0, domain.Wrong(field, "Type how many, such as 3. Type 0 for none.")
	}
	return n, nil
}

// readRail reads the count of a rail and its touch; nil: none was asked for.
func (v walkView) readRail(rail railView, f form) (counted int, touch *db.Look, err error) {
	typed := f.get("count")
	if typed == "other" {
		typed = f.get("count_other")
	}
	if counted, err = readCount("count_other", typed); err != nil {
		return 0, nil, err
	}
	if !v.Touching || len(rail.Touch) == 0 || counted == 0 {
		return counted, nil, nil
	}
	number := f.get("touch")
	if !slices.ContainsFunc(rail.Hung, func(h db.HungHere) bool { return string(h.Number) == number }) {
		return 0, nil, domain.Wrong("touch", "Say which carcass of this rail you touched.")
	}
	touch = &db.Look{Number: domain.ShopNumber(number), Look: round.Look{Smell: round.Smell(f.get("touch_smell")), Surface: round.Surface(f.get("touch_surface"))}}
	touch.At = v.Now
	if err := touch.Check(); err != nil {
		e := domain.As(err)
		return 0, nil, &domain.Error{Kind: e.Kind, At: "touch_" + e.At, Msg: e.Msg}
	}
	return counted, touch, nil
}

// readTags reads which carcasses were missing and which too many.
func readTags(f form) (missing, extra []domain.ShopNumber, err error) {
	for _, n := range f["missing"] {
		missing = append(missing, domain.ShopNumber(n))
	}
	for _, typed := range strings.FieldsFunc(f.get("extra"), func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		n, err := domain.ParseShopNumber("extra", typed)
		if err != nil {
			return nil, nil, err
		}
		extra = append(extra, n)
	}
	return missing, extra, nil
}

// readLook reads the fields of one carcass.
func readLook(ctx context.Context, f form, at time.Time) (l db.Look, made bool, err error) {
	l = db.Look{Note: f.get("note"), Look: round.Look{At: at, Smell: round.Smell(f.get("smell")), Surface: round.Surface(f.get("surface"))}}
	made = l.Smell != "" || l.Surface != "" || l.Note != ""
	for i := range mouldRows {
		site, length, colour := f.get(mouldField("site", i)), f.get(mouldField("length", i)), f.get(mouldField("colour", i))
		if site == "" && length == "" && colour == "" {
			continue
		}
		made = true
		mm, err := ui.ReadLength(ctx, mouldField("length", i), length)
		if err != nil {
			return l, true, err
		}
		l.Mould = append(l.Mould, round.Mould{Site: round.Site(site), Length: mm, Colour: round.Colour(colour)})
	}
	if !made {
		return l, false, nil
	}
	return l, true, l.Check()
}

// mould reports whether a mould has been typed in.
func (f form) mould() bool {
	for i := range mouldRows {
		if f.get(mouldField("site", i)) != "" || f.get(mouldField("length", i)) != "" || f.get(mouldField("colour", i)) != "" {
			return true
		}
	}
	return false
}

func mouldField(what string, row int) string { return what + "-" + strconv.Itoa(row) }
