package ageing_test

import (
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
)

// A deer that came in on the evening of its kill, in a 35 °F room, twelve days
// later: what the card on the board says, and why.
func ExampleJudge() {
	kill := time.Date(2026, 11, 7, 16, 30, 0, 0, time.UTC)
	door, now := kill.Add(3*time.Hour), kill.Add(12*24*time.Hour)
	history, err := exposure.NewHistory([]exposure.Reading{{At: door, C: domain.Fahrenheit(35)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	deer := ageing.Facts{
		Species: domain.Whitetail, Form: domain.Whole, Door: ageing.DoorClean,
		Killed: kill, Received: door, Kept: ageing.Hung,
		Looks: []ageing.Look{
			{At: door.Add(24 * time.Hour), Smell: ageing.CleanSmell, Surface: ageing.Dry},
			{At: now.Add(-12 * time.Hour), Smell: ageing.CleanSmell, Surface: ageing.Dry},
		},
	}
	// A board passes an *exposure.Room here, shared by every animal in it.
	v, err := ageing.Judge(deer, []exposure.Stay{{From: door, In: history}}, now)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Condition.Words())
	for _, why := range v.Reasons {
		fmt.Println("-", why)
	}
	for _, assumed := range v.Assumed {
		fmt.Println("*", assumed)
	}
	// Output:
	// ready to cut
	// - Tender 91 % of what hanging can give; 80 % is asked.
	// - Day 12 of 14.
	// - Cut it between day 12 and day 14.
	// * Not weighed yet: taken as 88.2 lb hanging.
	// * No deep temperature at the door: taken as 95 °F.
	// * How warm it was kept before the door is not known: taken as 50 °F for 3 hours.
}
