package office

import (
	"context"

	"coldrail/web/ui"
)

// door is a page of the office, named on its first page.
type door struct{ Path, Title, Note string }

// doors are the pages of the office, group by group, in the order an owner
// thinks of them. A new page of the office gets its line here.
func doors(ctx context.Context) []doorGroup {
	return []doorGroup{
		{ui.T(ctx, "People and devices"), []door{
			{"/office/tablets", ui.T(ctx, "Tablets and phones"), ui.T(ctx, "what takes part, and what was given up on it")},
		}},
		{ui.T(ctx, "Rooms, rounds and readings"), []door{
			{"/office/rounds", ui.T(ctx, "When the rounds are due"), ""},
			{"/office/alarms", ui.T(ctx, "Who is told when something is wrong"), ""},
			{"/office/sensors", ui.T(ctx, "Sensors that send their readings"), ""},
			{"/round/thermometers", ui.T(ctx, "Thermometers"), ui.T(ctx, "ice-point checks")},
		}},
		{ui.T(ctx, "The table"), []door{
			{"/office/scales", ui.T(ctx, "Scales that send their weights"), ""},
			{"/labels/ruler", ui.T(ctx, "Label printer"), ui.T(ctx, "is it true to size")},
		}},
	}
}

// doorGroup is a heading and its pages.
type doorGroup struct {
	Title string
	Doors []door
}
