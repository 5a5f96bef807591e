package round

import (
	"fmt"
	"slices"

	"coldrail/domain"
)

// Item is one line of the room's checklist.
type Item struct {
	Key   string
	Label domain.Words
	Limit domain.Words // what is right
	Do    domain.Words // what to do when it is not
	Daily bool         // on the full list only, once a day
}

// The keys of the items.
const (
	ItemPanel       = "panel"
	ItemIndependent = "independent"
	ItemMeatOld     = "meat-old"
	ItemMeatNew     = "meat-new"
	ItemFans        = "fans"
	ItemSmell       = "smell"
	ItemCount       = "count"
	ItemHumidity    = "humidity"
	ItemFrost       = "frost"
	ItemDrip        = "drip"
	ItemFloor       = "floor"
	ItemDoor        = "door"
	ItemLight       = "light"
)

// checklist is every item in the order it is walked. Limits: readiness.md
// section 7 for temperatures, trade.md 4.1, 5.3 and 5.5 for the rest (common
// practice around the published 40 °F).
var checklist = []Item{
	{Key: ItemSmell, Label: domain.Say("Smell on entering"), Limit: domain.Say("clean, or faintly of cold meat"), Do: domain.Say("Find the carcass it comes from and look at it first.")},
	{Key: ItemPanel, Label: domain.Say("Air, at the panel"), Limit: domain.Say("%v to %v", domain.Fahrenheit(32), domain.Fahrenheit(38)), Do: domain.Say("Door shut? Fans turning? Defrost or loading? Read again in 30 minutes.")},
	{Key: ItemIndependent, Label: domain.Say("Air, own thermometer at the warm spot"), Limit: domain.Say("%v to %v, and close to the panel", domain.Fahrenheit(32), domain.Fahrenheit(38)), Do: domain.Say("Check both thermometers in ice water; believe the one that reads %v.", domain.Fahrenheit(32))},
	{Key: ItemMeatOld, Label: domain.Say("Meat, one that has hung long"), Limit: domain.Say("at or below %v", domain.Fahrenheit(40)), Do: domain.Say("Measure three more. Tell the lead.")},
	{Key: ItemMeatNew, Label: domain.Say("Meat, the newest"), Limit: domain.Say("falling; at or below %v after 24 h", domain.Fahrenheit(40)), Do: domain.Say("Prop the chest, give it room by the evaporator. Not cold after 24 h: open the hip and smell.")},
	{Key: ItemFans, Label: domain.Say("Fans running"), Limit: domain.Say("all of them"), Do: domain.Say("Look at the breaker. Call for repair and tell the lead.")},
	{Key: ItemCount, Label: domain.Say("Carcasses counted"), Limit: domain.Say("as many as the list says"), Do: domain.Say("Read the tags of that rail, one by one.")},
	{Key: ItemHumidity, Label: domain.Say("Humidity"), Limit: domain.Say("75 to 85 percent"), Do: domain.Say("Too wet: look for drip and a wet coil. Too dry: look for crust."), Daily: true},
	{Key: ItemFrost, Label: domain.Say("Frost on the coil"), Limit: domain.Say("none, or a thin film"), Do: domain.Say("Start a defrost with the meat below covered."), Daily: true},
	{Key: ItemDrip, Label: domain.Say("Drip"), Limit: domain.Say("none over meat"), Do: domain.Say("Move what hangs below. Clear the drain pan."), Daily: true},
	{Key: ItemFloor, Label: domain.Say("Floor"), Limit: domain.Say("clean, drain open"), Do: domain.Say("Clean it with the meat covered or out of the way."), Daily: true},
	{Key: ItemDoor, Label: domain.Say("Door and latch"), Limit: domain.Say("seals and latches; opens from inside"), Do: domain.Say("Fix it today. A door that does not open from inside comes first."), Daily: true},
	{Key: ItemLight, Label: domain.Say("Light"), Limit: domain.Say("works, cover whole"), Do: domain.Say("Change it. Broken glass: tell the lead, look at what hangs below."), Daily: true},
}

// Short returns the items of both daily rounds.
func Short() []Item {
	return slices.DeleteFunc(slices.Clone(checklist), func(i Item) bool { return i.Daily })
}

// Full returns all items, walked once a day.
func Full() []Item { return slices.Clone(checklist) }

// Frozen returns the items of a freezer's round: no carcass hangs in it.
func Frozen() []Item { return frozen(Short()) }

// FrozenFull returns all items of a freezer, walked once a day: frost and door
// count there (trade.md 4.1), humidity does not.
func FrozenFull() []Item { return frozen(Full()) }

func frozen(items []Item) []Item {
	items = slices.DeleteFunc(items, func(i Item) bool {
		return i.Key == ItemMeatOld || i.Key == ItemMeatNew || i.Key == ItemCount || i.Key == ItemHumidity
	})
	for i := range items {
		if key := items[i].Key; key == ItemPanel || key == ItemIndependent {
			items[i].Limit = domain.Say("%v or colder", freezerFine)
			items[i].Do = domain.Say("Door shut? Frost on the coil? Read again in 30 minutes.")
		}
	}
	return items
}

// Answers is what was read and seen in one room. A nil pointer means not looked
// at; Right holds the yes-or-no items of the full list.
type Answers struct {
	Freezer            bool // no meat to measure, nothing to count
	Panel, Independent *domain.Celsius
	MeatOld, MeatNew   *domain.Celsius
	NewHours           float64 // how long the newest has been in the cooler
	Smell              Smell
	FansRunning, Fans  *int
	Counted, Listed    *int
	Humidity           *float64        // percent
	Right              map[string]bool // by item key
	Comment            string
}

// Check says whether the numbers can be true and the short list is filled. An
// empty cooler has no meat to measure.
func (a Answers) Check() error {
	for _, t := range []struct {
		key  string
		temp *domain.Celsius
	}{{ItemPanel, a.Panel}, {ItemIndependent, a.Independent}, {ItemMeatOld, a.MeatOld}, {ItemMeatNew, a.MeatNew}} {
		meat := t.key == ItemMeatOld || t.key == ItemMeatNew
		empty := a.Freezer || a.Listed != nil && *a.Listed == 0
		if t.temp == nil && !(meat && empty) {
			return domain.Wrong(t.key, "Measure it before you go on.")
		}
		if t.temp != nil && !(*t.temp >= -40 && *t.temp <= 60) { // a NaN fails too
			return domain.Wrong(t.key, "That temperature cannot be right. Measure again.")
		}
	}
	if !a.Freezer && (a.Counted == nil || a.Listed == nil || *a.Counted < 0) {
		return domain.Wrong(ItemCount, "Count what hangs here.")
	}
	return a.checkRest()
}

// CheckRoom is Check without the count, which a walk by steps takes rail by rail.
func (a Answers) CheckRoom() error {
	none := 0
	a.Counted = &none
	return a.Check()
}

func (a Answers) checkRest() error {
	switch {
	case !slices.Contains(Smells, a.Smell):
		return domain.Wrong(ItemSmell, "Say what the room smells of.")
	case a.FansRunning == nil || a.Fans == nil || *a.FansRunning < 0 || *a.FansRunning > *a.Fans:
		return domain.Wrong(ItemFans, "Count the fans that turn, out of all there are.")
	case a.Humidity != nil && !(*a.Humidity >= 0 && *a.Humidity <= 100):
		return domain.Wrong(ItemHumidity, "Humidity is from 0 to 100 percent.")
	}
	for key := range a.Right {
		if !slices.ContainsFunc(checklist, func(i Item) bool { return i.Daily && i.Key == key }) {
			return domain.Wrong("checklist", "The checklist has a line we do not know. Load the page again.")
		}
	}
	return nil
}

// CheckFull says whether the long list has all its yes-or-no lines.
func (a Answers) CheckFull() error {
	for _, i := range YesNo() {
		if _, seen := a.Right[i.Key]; !seen {
			return domain.Wrong(i.Key, "Look at it and say whether it is right.")
		}
	}
	return nil
}

// YesNo returns the lines of the long list that are right or not.
func YesNo() []Item {
	return slices.DeleteFunc(Full(), func(i Item) bool { return !i.Daily || i.Key == ItemHumidity })
}

// find returns the item with this key; the keys are our own, so a missing one
// is a bug.
func find(key string) Item {
	i := slices.IndexFunc(checklist, func(i Item) bool { return i.Key == key })
	if i < 0 {
		panic(fmt.Sprintf("round: no item %q", key))
	}
	return checklist[i]
}
