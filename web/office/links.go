package office

import (
	"context"
	"slices"

	"coldrail/web/ui"
)

// door is a page of the office, named on its first page.
type door struct{ Path, Title, Note string }

// leadToo are the pages of the office that the lead may open as well.
var leadToo = map[string]bool{"/office/staff": true, "/round/thermometers": true, "/labels/ruler": true, "/close": true, "/visits": true, "/disposal": true, "/programmes": true, "/help": true}

// doors are the pages that whoever holds the device may open.
func doors(ctx context.Context) []doorGroup {
	groups := allDoors(ctx)
	if ui.HolderOf(ctx).Has("owner") {
		return groups
	}
	for i := range groups {
		groups[i].Doors = slices.DeleteFunc(groups[i].Doors, func(d door) bool { return !leadToo[d.Path] })
	}
	return slices.DeleteFunc(groups, func(g doorGroup) bool { return len(g.Doors) == 0 })
}

// allDoors are the pages of the office, group by group, in the order an owner
// thinks of them. A new page of the office gets its line here.
func allDoors(ctx context.Context) []doorGroup {
	return []doorGroup{
		{ui.T(ctx, "The shop"), []door{
			{"/office/rules", ui.T(ctx, "Rules by state"), ui.T(ctx, "what is asked, where it stands, who checked it")},
			{"/visits", ui.T(ctx, "Visits"), ui.T(ctx, "wardens and inspectors: what they asked, were shown and found")},
			{"/disposal", ui.T(ctx, "Loads hauled off"), ui.T(ctx, "bone, hides, spines: hauler and ticket")},
			{"/programmes", ui.T(ctx, "Given to food programs"), ui.T(ctx, "deer signed over, pounds delivered")},
			{"/office/forget", ui.T(ctx, "Kept long enough"), ui.T(ctx, "names and addresses the rules keep no longer")},
			{"/help", ui.T(ctx, "How we work"), ui.T(ctx, "each person's day for the wall, the owner's guide, the words")},
			{"/office/learned", ui.T(ctx, "What the shop's own numbers say"), ui.T(ctx, "yield, loss, mold and minutes")},
			{"/office/shop", ui.T(ctx, "Name, place and units"), ui.T(ctx, "what stands on every paper")},
			{"/office/backups", ui.T(ctx, "Backups"), ui.T(ctx, "where they go, when the last good one was made")},
		}},
		{ui.T(ctx, "The counter"), []door{
			{"/office/season", ui.T(ctx, "The season"), ui.T(ctx, "in, out, pounds, money, yields, lateness")},
			{"/close", ui.T(ctx, "Close the day"), ui.T(ctx, "animals, money, the drawer, what is left open")},
			{"/office/prices", ui.T(ctx, "Prices"), ui.T(ctx, "the list in force, the lists before, a new one")},
			{"/office/messages", ui.T(ctx, "Messages to owners"), ui.T(ctx, "ready, a day that moved, a result: when and in which words")},
			{"/office/tax", ui.T(ctx, "Tax"), ui.T(ctx, "rates with their days; none comes with the program")},
			{"/office/storage", ui.T(ctx, "Storage"), ui.T(ctx, "what meat nobody fetches costs a day")},
			{"/office/fetching", ui.T(ctx, "Handing out and letters"), ui.T(ctx, "who may collect, and meat nobody fetches")},
			{"/office/answers", ui.T(ctx, "Answers to owners"), ui.T(ctx, "what their page says to the questions people ask")},
		}},
		{ui.T(ctx, "People and devices"), []door{
			{"/office/staff", ui.T(ctx, "Who works here"), ui.T(ctx, "their work, PINs and last days")},
			{"/office/tablets", ui.T(ctx, "Tablets and phones"), ui.T(ctx, "which devices are let in, and what was given up on them")},
			{"/office/scales", ui.T(ctx, "Scales that send their weights"), ui.T(ctx, "which are let in, and where their weights show")},
			{"/labels/ruler", ui.T(ctx, "Label printer"), ui.T(ctx, "is it true to size")},
			{"/office/looks", ui.T(ctx, "Who looked at what"), ui.T(ctx, "each look at license numbers and addresses")},
		}},
		{ui.T(ctx, "Cooler and freezer"), []door{
			{"/office/rooms", ui.T(ctx, "Rooms and rails"), ui.T(ctx, "coolers, freezers and what hangs where")},
			{"/office/pieces", ui.T(ctx, "Heads, capes and hides"), ui.T(ctx, "by when they must be frozen")},
			{"/office/protocols", ui.T(ctx, "How each kind hangs"), ui.T(ctx, "aged or not, the usual days and the last one")},
			{"/office/rounds", ui.T(ctx, "When the rounds are due"), ui.T(ctx, "morning and evening, and how late is missed")},
			{"/office/alarms", ui.T(ctx, "Who is told when something is wrong"), ui.T(ctx, "by mail, text or call, and who comes second")},
			{"/office/sensors", ui.T(ctx, "Sensors that send their readings"), ui.T(ctx, "which are let in, and when each was last heard")},
			{"/round/thermometers", ui.T(ctx, "Thermometers"), ui.T(ctx, "ice-point checks")},
		}},
	}
}

// doorGroup is a heading and its pages.
type doorGroup struct {
	Title string
	Doors []door
}
