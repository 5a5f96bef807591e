package round

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// The items of a corrective action beside those of the checklist: a carcass that
// the list has on a rail and nobody found, and one found that the list has not.
const (
	ItemMissing = "missing"
	ItemExtra   = "extra"
)

// Action is something found out of its limit that must be put right.
type Action struct {
	Item     string
	Freezer  bool
	Rail     string   // its name, of a count or a carcass
	Number   string   // of a carcass missing or too many
	Value    *float64 // °C, percent or how many, by item
	Expected *int     // of a count
}

// Found says what was found, with its number where it has one.
func (a Action) Found() domain.Words {
	switch a.Item {
	case ItemMissing:
		return domain.Say("%s is not on %s, though the list says so", a.Number, a.Rail)
	case ItemExtra:
		return domain.Say("%s hangs on %s, and the list does not have it there", a.Number, a.Rail)
	case ItemCount:
		if a.Value != nil && a.Expected != nil {
			return domain.Say("%s: %d counted, %d on the list", a.Rail, int(*a.Value), *a.Expected)
		}
	case ItemFans:
		if a.Value != nil && a.Expected != nil {
			return domain.Say("%d of %d fans turn", int(*a.Value), *a.Expected)
		}
	case ItemPanel, ItemIndependent, ItemMeatOld, ItemMeatNew:
		if a.Value != nil {
			return domain.Say("%s: %v", find(a.Item).Label, domain.Celsius(*a.Value))
		}
	}
	if i := slices.IndexFunc(checklist, func(i Item) bool { return i.Key == a.Item }); i >= 0 {
		return domain.Say("%s: not right", checklist[i].Label)
	}
	return domain.Say("%s", a.Item)
}

// OfTemperature reports whether a temperature was found, of the air or of the meat.
func (a Action) OfTemperature() bool {
	return slices.Contains([]string{ItemPanel, ItemIndependent, ItemMeatOld, ItemMeatNew}, a.Item)
}

// Do says what to do about it.
func (a Action) Do() domain.Words {
	switch a.Item {
	case ItemMissing:
		return domain.Say("Look for it on the other rails and tables before anything is cut. Found: hang it where the list has it, or move it on the list. Not found: tell the lead now.")
	case ItemExtra:
		return domain.Say("Read its tag again and look where the list has it. Move it on the list, or take it in if it was never taken in.")
	case ItemPanel, ItemIndependent:
		if a.Value != nil {
			return a.doAir(domain.Celsius(*a.Value))
		}
	}
	if i := slices.IndexFunc(checklist, func(i Item) bool { return i.Key == a.Item }); i >= 0 {
		return checklist[i].Do
	}
	return domain.Say("Put it right and say what was done.")
}

func (a Action) doAir(c domain.Celsius) domain.Words {
	judge := JudgeAir
	if a.Freezer {
		judge = JudgeFreezerAir
	}
	if verdict, do := judge(c); verdict != Fine {
		return do
	}
	return find(a.Item).Do
}

// CheckDone says whether a corrective action can be called done with these words.
func CheckDone(done string) error {
	if len(strings.Fields(done)) < 2 {
		return domain.Wrong("done", "Say in a few words what was done, such as: reset the breaker, all fans turn.")
	}
	return nil
}

// Closes reports whether by closes what finder found and doer put right: two
// people at least have had a part in it, unless nobody else works here
// (trade.md 4.1; common practice, no source).
func Closes(by, finder, doer string, people int) bool {
	return people < 2 || finder != doer || by != doer
}

// Read is the number behind an item, and what it should have been where that is
// a number too.
func (a Answers) Read(item string) (value *float64, expected *int) {
	number := func(n *int) *float64 {
		if n == nil {
			return nil
		}
		x := float64(*n)
		return &x
	}
	switch item {
	case ItemPanel:
		return (*float64)(a.Panel), nil
	case ItemIndependent:
		return (*float64)(a.Independent), nil
	case ItemMeatOld:
		return (*float64)(a.MeatOld), nil
	case ItemMeatNew:
		return (*float64)(a.MeatNew), nil
	case ItemFans:
		return number(a.FansRunning), a.Fans
	case ItemCount:
		return number(a.Counted), a.Listed
	case ItemHumidity:
		return a.Humidity, nil
	}
	return nil, nil
}
