package rail

import (
	"math"
	"slices"

	"coldrail/domain"
)

// Place is one hook: the rail's name and the position on it.
type Place struct {
	Rail     string
	Position int
}

// KindFor returns the kind of rail a carcass belongs on (trade.md 5.4): held
// ones apart, tubs on a shelf, livestock and game on separate rails, hide-on
// game away from bare meat.
func KindFor(h Hung) Kind {
	switch {
	case h.Held:
		return Hold
	case h.Form == domain.Boned:
		return Shelf
	case !h.Species.Game():
		return Livestock
	case h.Form == domain.WholeHideOn:
		return HideOn
	}
	return Bare
}

// Next returns the first free place for h and the reason in words. Rails are
// tried in order from the door. Without a hide-on rail, a hide-on carcass may
// hang on a bare one where no bare meat is next to it; a held one may hang on
// its own kind's rail with an empty place on either side. A refusal says what
// there is no room for.
func Next(rails []Rail, h Hung) (Place, domain.Words, error) {
	kind := KindFor(h)
	if p, ok := firstFree(rails, kind, h); ok {
		return p, reason(kind, p), nil
	}
	switch kind {
	case HideOn:
		if p, ok := firstFree(rails, Bare, h); ok {
			return p, domain.Say("%s, place %d: no room on a hide-on rail; here no bare meat hangs beside it.", p.Rail, p.Position), nil
		}
	case Hold:
		apart := h
		apart.Held = false
		if p, ok := firstFree(rails, KindFor(apart), h); ok {
			return p, domain.Say("%s, place %d: no room on a hold rail; here it keeps an empty place on either side.", p.Rail, p.Position), nil
		}
	}
	return Place{}, domain.Words{}, domain.Refuse("rail", "No free place: %s. Use another cooler, or move something first.", full[kind])
}

var full = map[Kind]domain.Words{
	Bare:      domain.Say("the rails for skinned game are full"),
	HideOn:    domain.Say("no place for a hide-on carcass away from bare meat"),
	Livestock: domain.Say("the rails for livestock are full"),
	Hold:      domain.Say("no place for a held animal with an empty place beside it"),
	Shelf:     domain.Say("the shelves for tubs are full"),
}

func reason(kind Kind, p Place) domain.Words {
	switch kind {
	case HideOn:
		return domain.Say("%s, place %d: first free place for hide-on game.", p.Rail, p.Position)
	case Livestock:
		return domain.Say("%s, place %d: first free place for livestock.", p.Rail, p.Position)
	case Hold:
		return domain.Say("%s, place %d: first free place on the hold rail.", p.Rail, p.Position)
	case Shelf:
		return domain.Say("%s, place %d: first free place on the shelf.", p.Rail, p.Position)
	}
	return domain.Say("%s, place %d: first free place for skinned game.", p.Rail, p.Position)
}

func firstFree(rails []Rail, kind Kind, h Hung) (Place, bool) {
	for _, r := range rails {
		if r.Kind != kind || r.Taken()+h.Weight() > float64(len(r.Places))+slack {
			continue
		}
		for _, position := range slices.Sorted(slices.Values(r.Places)) {
			h.Position = position
			if r.takes(h) {
				return Place{r.Name, position}, true
			}
		}
	}
	return Place{}, false
}

// slack forgives what adding weights such as 1.4 leaves in the last binary digit.
const slack = 1e-9

// takes reports whether h may hang at its position: its hooks are in service
// and free, and its neighbours are such as may hang beside it.
func (r Rail) takes(h Hung) bool { return r.against(h) == nothing }

// against finds what stands against h at its position, nothing if it may hang.
func (r Rail) against(h Hung) obstacle {
	first, last := h.span()
	for p := first; p <= last; p++ {
		if !slices.Contains(r.Places, p) {
			return noHook
		}
	}
	for _, other := range r.Hung {
		a, b := other.span()
		switch {
		case a <= last && first <= b:
			return covered
		case a > last+1 || first-1 > b || beside(h, other):
		case h.Held || other.Held:
			return besideHeld
		default:
			return hideNextBare
		}
	}
	return nothing
}

// span returns the hooks a carcass covers, counted away from the door: a beef
// side two, a deer one.
func (h Hung) span() (first, last int) {
	hooks := int(math.Max(1, math.Floor(PlaceWeight(h.Species, h.Form))))
	return h.Position, h.Position + hooks - 1
}

// beside reports whether two carcasses may hang on neighbouring hooks: nothing
// beside a held one, hide-on never beside bare (trade.md 5.4).
func beside(a, b Hung) bool {
	if a.Held || b.Held {
		return false
	}
	return (a.Form == domain.WholeHideOn) == (b.Form == domain.WholeHideOn)
}
