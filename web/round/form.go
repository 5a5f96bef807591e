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

	"github.com/google/uuid"
)

// form is what came in, by field. The fields of one carcass end in its number,
// those of a rail in the rail's id, those of something found on another carcass
// of that rail in the rail's id and which of them it is.
type form map[string][]string

func (f form) get(field string) string {
	if len(f[field]) == 0 {
		return ""
	}
	return strings.TrimSpace(f[field][0])
}

// mouldRows is how many moulds one carcass can be given in one look: as many as
// there are sites.
const mouldRows = 3

// foundRows is how many other carcasses of one rail something can be found on in
// one round. More than that is a look at each, on its own page.
const foundRows = 3

// oldest is how long a page may have stood open before the walk counts from
// later: a round takes half an hour.
const oldest = 3 * time.Hour

// read turns the form into the round that was walked.
func (v walkView) read(ctx context.Context, act db.Act) (db.Round, error) {
	f := v.Form
	r := db.Round{Cooler: v.Room.Name, WalkedFrom: f.from(act.At), WalkedTo: act.At, Smell: round.Smell(f.get(round.ItemSmell)), Comment: f.get("comment")}
	for _, t := range []struct {
		field string
		to    **domain.Celsius
	}{{round.ItemPanel, &r.AirPanel}, {round.ItemIndependent, &r.AirOwn}, {round.ItemMeatOld, &r.MeatOld}, {round.ItemMeatNew, &r.MeatNew}} {
		if f.get(t.field) == "" {
			continue // the domain says what must not be missing
		}
		c, err := ui.ReadTemp(ctx, t.field, f.get(t.field))
		if err != nil {
			return r, err
		}
		*t.to = &c
	}
	fans, err := readCount(round.ItemFans, f.get(round.ItemFans))
	if err != nil {
		return r, err
	}
	r.FansRunning = &fans
	for _, rail := range v.Rails {
		if err := v.readRail(ctx, rail, &r); err != nil {
			return r, err
		}
	}
	for _, s := range v.Singles {
		if err := v.readLook(ctx, s.Number, &r); err != nil {
			return r, err
		}
	}
	return r, nil
}

// from is when the walk began: when the page was opened, or where it stood open
// for long, at the first mark the tablet made on it.
func (f form) from(now time.Time) time.Time {
	began := now
	if t, err := time.Parse(time.RFC3339, f.get("from")); err == nil && t.Before(now) && now.Sub(t) < oldest {
		began = t
	}
	for field := range f {
		if t, ok := f.stamp(strings.TrimPrefix(field, "at-"), now); ok && strings.HasPrefix(field, "at-") && t.Before(began) {
			began = t
		}
	}
	return began
}

// stamp is when the tablet marked a carcass or a rail; without script, or with a
// clock that cannot be right, there is none.
func (f form) stamp(of string, now time.Time) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339, f.get("at-"+of))
	return t, err == nil && !t.After(now) && now.Sub(t) < oldest
}

func (f form) at(of string, now time.Time) time.Time {
	if t, ok := f.stamp(of, now); ok {
		return t
	}
	return now
}

func readCount(field, typed string) (int, error) {
	n, err := strconv.Atoi(typed)
	if err != nil || n < 0 || n > 999 {
		return 0, domain.Wrong(field, "Type how many, such as 3. Type 0 for none.")
	}
	return n, nil
}

// readRail reads the count of a rail, what was found on single carcasses of it,
// and its touch. A touched carcass with a look of its own keeps that one.
func (v walkView) readRail(ctx context.Context, rail railView, r *db.Round) error {
	f, id := v.Form, strconv.Itoa(int(rail.ID))
	n, err := readCount("count-"+id, f.get("count-"+id))
	if err != nil {
		return err
	}
	at := f.at("rail-"+id, r.WalkedTo)
	r.Counts = append(r.Counts, db.RailCount{Rail: rail.ID, Counted: n, At: at})
	first := len(r.Looks)
	for i := range foundRows {
		if err := v.readFound(ctx, rail, foundOf(rail, i), r, first); err != nil {
			return err
		}
	}
	number := domain.ShopNumber(f.get("touch-" + id))
	smell, surface := f.get("touch-smell-"+id), f.get("touch-surface-"+id)
	if smell == "" && surface == "" {
		return nil // nothing was touched
	}
	if i := slices.IndexFunc(r.Looks[first:], func(l db.Look) bool { return l.Number == number }); i >= 0 {
		r.Looks[first+i].Touched = true
		return nil
	}
	l := round.Look{At: at, Smell: round.Smell(smell), Surface: round.Surface(surface)}
	if err := l.Check(); err != nil {
		return moved(err, "touch-", "-"+id)
	}
	r.Looks = append(r.Looks, db.Look{ID: lookID(f.get("act"), number), Number: number, Look: l, Touched: true})
	return nil
}

// readLook reads the look at one carcass; an empty one was not made.
func (v walkView) readLook(ctx context.Context, number domain.ShopNumber, r *db.Round) error {
	l, made, err := readLook(ctx, v.Form, string(number), v.Form.at(string(number), r.WalkedTo))
	if err != nil || !made {
		return err
	}
	l.Number, l.ID = number, lookID(v.Form.get("act"), number)
	r.Looks = append(r.Looks, l)
	return nil
}

// readFound reads what was found on another carcass of the rail; its looks begin
// at first.
func (v walkView) readFound(ctx context.Context, rail railView, of string, r *db.Round, first int) error {
	number := domain.ShopNumber(v.Form.get("other-" + of))
	l, made, err := readLook(ctx, v.Form, of, v.Form.at(of, r.WalkedTo))
	switch {
	case number == "" && !made && err == nil:
		return nil
	case number == "" || !slices.ContainsFunc(rail.Rest, func(h db.HungHere) bool { return h.Number == number }):
		return domain.Wrong("other-"+of, "Say on which carcass of this rail.")
	case slices.ContainsFunc(r.Looks[first:], func(l db.Look) bool { return l.Number == number }):
		return domain.Wrong("other-"+of, "That carcass stands above already. Put all of it in one place.")
	case err != nil:
		return err
	case !made:
		return domain.Wrong("surface-"+of, "Touch it and say how it feels.")
	}
	l.Number, l.ID = number, lookID(v.Form.get("act"), number)
	r.Looks = append(r.Looks, l)
	return nil
}

// lookID is the look's own id, made of the round's and the animal's number, so
// that the same form makes the same looks.
func lookID(act string, number domain.ShopNumber) uuid.UUID {
	return uuid.NewSHA1(uuid.NameSpaceOID, []byte(act+" "+string(number)))
}

// readLook reads the fields of one carcass.
func readLook(ctx context.Context, f form, of string, at time.Time) (l db.Look, made bool, err error) {
	end := "-" + of
	l = db.Look{Note: f.get("note" + end),
		Look: round.Look{At: at, Smell: round.Smell(f.get("smell" + end)), Surface: round.Surface(f.get("surface" + end))}}
	made = l.Smell != "" || l.Surface != "" || l.Note != ""
	for i := range mouldRows {
		row := "-" + strconv.Itoa(i) + end
		site, length, colour := f.get("site"+row), f.get("length"+row), f.get("colour"+row)
		if site == "" && length == "" && colour == "" {
			continue
		}
		made = true
		mm, err := ui.ReadLength(ctx, "length"+row, length)
		if err != nil {
			return l, true, err
		}
		l.Mould = append(l.Mould, round.Mould{Site: round.Site(site), Length: mm, Colour: round.Colour(colour)})
	}
	if !made {
		return l, false, nil
	}
	return l, true, moved(l.Check(), "", end)
}

// moved puts what is wrong with one carcass at that carcass's own field.
func moved(err error, before, after string) error {
	if err == nil {
		return nil
	}
	e := domain.As(err)
	return &domain.Error{Kind: e.Kind, At: before + e.At + after, Msg: e.Msg}
}
