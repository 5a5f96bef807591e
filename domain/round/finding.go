package round

import (
	"slices"

	"coldrail/domain"
)

// Verdict says how an answer stands to its limit.
type Verdict string

// The verdicts.
const (
	Fine  Verdict = "fine"
	Watch Verdict = "watch"
	Act   Verdict = "act" // open a corrective action on the spot
)

// Finding is one item out of its limit and what to do about it.
type Finding struct {
	Item    string
	Verdict Verdict
	Do      domain.Words
}

// Findings lists what is out of its limit, worst first. It judges one moment;
// how long a room has been warm is the cooler's own record.
func (a Answers) Findings() []Finding {
	var found []Finding
	add := func(key string, v Verdict, do domain.Words) {
		if v != Fine {
			found = append(found, Finding{key, v, do})
		}
	}
	for _, air := range []struct {
		key  string
		temp *domain.Celsius
	}{{ItemPanel, a.Panel}, {ItemIndependent, a.Independent}} {
		if air.temp != nil {
			judge := JudgeAir
			if a.Freezer {
				judge = JudgeFreezerAir
			}
			v, do := judge(*air.temp)
			add(air.key, v, do)
		}
	}
	if a.Panel != nil && a.Independent != nil && Apart(*a.Panel, *a.Independent) {
		add(ItemIndependent, Watch, find(ItemIndependent).Do)
	}
	if a.MeatOld != nil && a.MeatOld.F() > 40+tiny {
		add(ItemMeatOld, Act, find(ItemMeatOld).Do)
	}
	if a.MeatNew != nil && a.MeatNew.F() > 40+tiny && a.NewHours > 24 {
		add(ItemMeatNew, Act, find(ItemMeatNew).Do)
	}
	a.rest(add)
	slices.SortStableFunc(found, func(x, y Finding) int { return rank(y.Verdict) - rank(x.Verdict) })
	return found
}

// rest judges what is counted, smelled and seen.
func (a Answers) rest(add func(string, Verdict, domain.Words)) {
	if a.Smell.Bad() {
		add(ItemSmell, Act, find(ItemSmell).Do)
	} else if a.Smell == SmellMusty {
		add(ItemSmell, Watch, find(ItemSmell).Do)
	}
	if a.FansRunning != nil && a.Fans != nil && *a.FansRunning < *a.Fans {
		add(ItemFans, Act, find(ItemFans).Do)
	}
	if a.Counted != nil && a.Listed != nil && *a.Counted != *a.Listed {
		add(ItemCount, Act, find(ItemCount).Do)
	}
	if a.Humidity != nil && (*a.Humidity < 75 || *a.Humidity > 85) {
		add(ItemHumidity, Watch, find(ItemHumidity).Do)
	}
	for _, i := range checklist { // in the order walked, not the map's
		if right, seen := a.Right[i.Key]; seen && !right {
			add(i.Key, Act, i.Do)
		}
	}
}

// tiny keeps 40 °F typed in on the good side of 40 °F after its way through °C.
const tiny = 0.01

// JudgeAir judges one reading of a cooler's air by the bands of readiness.md
// section 7. A reading alone cannot know how long it has been warm, so above
// 40 °F it asks to read again rather than calling an incident.
func JudgeAir(c domain.Celsius) (Verdict, domain.Words) {
	switch f := c.F(); {
	case f < 29-tiny:
		return Act, domain.Say("Below %v meat freezes. Turn it up and tell the lead.", domain.Fahrenheit(29))
	case f < 32-tiny:
		return Watch, domain.Say("Close to freezing. Read again in an hour.")
	case f <= 38+tiny:
		return Fine, domain.Words{}
	case f <= 40+tiny:
		return Watch, domain.Say("A little warm. Door shut? Defrost or loading? Read again in an hour.")
	case f <= 45+tiny:
		return Act, domain.Say("Above %v. Find the cause now and read again in 30 minutes. Two hours of this is an incident.", domain.Fahrenheit(40))
	}
	return Act, domain.Say("Above %v. This is an incident: measure five carcasses now and call the lead.", domain.Fahrenheit(45))
}

// A freezer's limits: 0 °F to keep meat (trade.md 4.1, Indiana and MSU bulletins);
// above FreezerAct somebody has to act (common practice, no source).
var (
	freezerFine = domain.Fahrenheit(0)
	FreezerAct  = domain.Fahrenheit(10)
)

// JudgeFreezerAir judges one reading of a freezer's air.
func JudgeFreezerAir(c domain.Celsius) (Verdict, domain.Words) {
	switch {
	case c <= freezerFine+tiny:
		return Fine, domain.Words{}
	case c <= FreezerAct+tiny:
		return Watch, domain.Say("Warmer than %v. Door shut? Frost on the coil? Read again in an hour.", freezerFine)
	}
	return Act, domain.Say("Above %v. Find the cause now and tell the lead. Do not open the door more than you must.", FreezerAct)
}

// AirEdges are the temperatures above each of which a reading of the air calls for
// something else, by JudgeAir or JudgeFreezerAir, the lowest first.
func AirEdges(freezer bool) []domain.Celsius {
	if freezer {
		return []domain.Celsius{freezerFine, FreezerAct}
	}
	return []domain.Celsius{domain.Fahrenheit(38), domain.Fahrenheit(40), domain.Fahrenheit(45)}
}

func rank(v Verdict) int { return slices.Index([]Verdict{Fine, Watch, Act}, v) }
