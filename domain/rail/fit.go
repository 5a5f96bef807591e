package rail

import (
	"slices"

	"coldrail/domain"
)

// obstacle is what stands against hanging a carcass on one place.
type obstacle int

const (
	nothing      obstacle = iota
	noHook                // part of it would hang where there is no hook in service
	covered               // another carcass hangs there or reaches over
	besideHeld            // its neighbour, or itself, keeps an empty place on either side
	hideNextBare          // hide on and skinned would touch
	crowded               // the rail would carry more than it should
	wrongRail             // the rail is for something else
)

// against are the obstacles in words, for a person who may know better.
var against = map[obstacle]domain.Words{
	noHook:       domain.Say("it needs more hooks side by side"),
	covered:      domain.Say("the next carcass reaches over that hook"),
	besideHeld:   domain.Say("a held one keeps an empty place on either side"),
	hideNextBare: domain.Say("hide on and skinned would hang side by side"),
	crowded:      domain.Say("the rail would hang closer than it should"),
	wrongRail:    domain.Say("the rail is for something else"),
}

// Fits reports whether h may hang at p by the rules Next keeps to, whether or
// not Next would choose that place. Where it may not, why says what stands
// against it; a person may still decide otherwise.
func Fits(rails []Rail, h Hung, p Place) (why domain.Words, fits bool) {
	for _, r := range rails {
		if r.Name != p.Rail {
			continue
		}
		h.Position = p.Position
		found := nothing
		switch {
		case !slices.Contains(kindsFor(h), r.Kind):
			found = wrongRail
		case r.Taken()+h.Weight() > float64(len(r.Places))+slack:
			found = crowded
		default:
			found = r.against(h)
		}
		return against[found], found == nothing
	}
	return against[noHook], false
}

// kindsFor returns the kinds of rail a carcass may hang on, its own first: one
// with its hide on also on a bare rail, a held one also on its own kind's.
func kindsFor(h Hung) []Kind {
	switch kind := KindFor(h); kind {
	case HideOn:
		return []Kind{HideOn, Bare}
	case Hold:
		h.Held = false
		return append([]Kind{Hold}, kindsFor(h)...)
	default:
		return []Kind{kind}
	}
}
