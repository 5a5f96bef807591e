package law

import (
	"context"
	"strings"

	"coldrail/db"
	"coldrail/domain/statute"
	"coldrail/web/ui"
)

func coversOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "game", Label: ui.T(ctx, "Game")}, {Value: "livestock", Label: ui.T(ctx, "Livestock")}, {Value: "both", Label: ui.T(ctx, "Both")}}
}

func shapeOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Every form")}, {Value: "whole", Label: ui.T(ctx, "Whole")}, {Value: "quarters", Label: ui.T(ctx, "Quarters")}, {Value: "boned", Label: ui.T(ctx, "Boned")}}
}

func pendingOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Says nothing of it")}, {Value: "no", Label: ui.T(ctx, "Not cut")},
		{Value: "bone-and-hold", Label: ui.T(ctx, "Boned and held apart")}, {Value: "yes", Label: ui.T(ctx, "Cut")}}
}

// triggers are what makes a report due, in words.
func triggerOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Nothing")}, {Value: string(statute.FromOutside), Label: ui.T(ctx, "A head or spine from another state comes in")},
		{Value: string(statute.FromZone), Label: ui.T(ctx, "A carcass of one of the places comes in")}, {Value: string(statute.Positive), Label: ui.T(ctx, "A test came back detected")},
		{Value: string(statute.MonthEnd), Label: ui.T(ctx, "The month is over")}, {Value: string(statute.SeasonEnd), Label: ui.T(ctx, "The season is over")},
		{Value: string(statute.Yearly), Label: ui.T(ctx, "Each year")}, {Value: string(statute.Abandoned), Label: ui.T(ctx, "Meat was abandoned")},
		{Value: "in", Label: ui.T(ctx, "An animal comes in")}, {Value: "out", Label: ui.T(ctx, "Meat goes out")}}
}

func keptOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Says nothing of it")}, {Value: string(statute.GoesBack), Label: ui.T(ctx, "Goes back with the meat")},
		{Value: string(statute.StaysPut), Label: ui.T(ctx, "Stays here while any part is here")}, {Value: string(statute.UntilCut), Label: ui.T(ctx, "Stays on until it is cut")}}
}

func originOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Anywhere")}, {Value: string(statute.Inside), Label: ui.T(ctx, "In this state")}, {Value: string(statute.Outside), Label: ui.T(ctx, "In another state")}}
}

func evidenceOptions(ctx context.Context) (list []ui.Option) {
	for _, e := range statute.Evidences {
		list = append(list, ui.Option{Value: string(e), Label: ui.Say(ctx, e.Words())})
	}
	return list
}

func startOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Nothing is counted")}, {Value: "receipt", Label: ui.T(ctx, "the day it came in")}, {Value: "release", Label: ui.T(ctx, "the day it went out")},
		{Value: "disposal", Label: ui.T(ctx, "the day it was disposed of")}, {Value: "preparation", Label: ui.T(ctx, "the day it was cut")}, {Value: "year-end", Label: ui.T(ctx, "the end of the year")},
		{Value: "kill", Label: ui.T(ctx, "the kill")}, {Value: "leaving", Label: ui.T(ctx, "leaving the county of kill")}, {Value: "acceptance", Label: ui.T(ctx, "taking it in")},
		{Value: "knowledge", Label: ui.T(ctx, "knowing of it")}, {Value: "month-end", Label: ui.T(ctx, "the end of the month")}, {Value: "season-end", Label: ui.T(ctx, "the end of the season")},
		{Value: "mailing", Label: ui.T(ctx, "the postmark of the letter")}}
}

func unitOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "", Label: ui.T(ctx, "Nothing is counted")}, {Value: "hours", Label: ui.T(ctx, "hours")}, {Value: "business-days", Label: ui.T(ctx, "business days, Monday to Friday")},
		{Value: "days", Label: ui.T(ctx, "days")}, {Value: "months", Label: ui.T(ctx, "months")}, {Value: "years", Label: ui.T(ctx, "years")},
		{Value: "day-of-month", Label: ui.T(ctx, "day of the next month")}, {Value: "date", Label: ui.T(ctx, "day of the year, such as 601 for June 1")},
		{Value: "shares", Label: ui.T(ctx, "shares at most")}}
}

// countedSaid is what a rule counts, such as "48 hours from taking it in".
func countedSaid(ctx context.Context, r statute.Rule) string {
	if r.Unit == "" {
		return ""
	}
	return ui.T(ctx, "%s %s, from %s", ui.T(ctx, "%d", r.Count), ui.LabelOf(unitOptions(ctx), string(r.Unit)), ui.LabelOf(startOptions(ctx), string(r.Starts)))
}

// textSaid is where a rule stands and how old that text is.
func textSaid(ctx context.Context, r statute.Rule) string {
	if r.TextDate == "" {
		return r.Cites
	}
	return ui.T(ctx, "%s (%s)", r.Cites, r.TextDate)
}

// writtenSaid says who wrote a version and when.
func writtenSaid(ctx context.Context, s db.Statute) string {
	by := s.By
	if by == "" {
		by = ui.T(ctx, "came with the program")
	}
	if s.Until != nil {
		return ui.T(ctx, "%s, %s to %s", by, ui.Date(ctx, s.Since), ui.Date(ctx, *s.Until))
	}
	return ui.T(ctx, "%s, since %s", by, ui.Date(ctx, s.Since))
}

// custodySaid says where a tag is.
func custodySaid(ctx context.Context, custody string) string {
	return ui.LabelOf(custodyOptions(ctx), custody)
}

func custodyOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "on-carcass", Label: ui.T(ctx, "On the carcass")}, {Value: "on-card", Label: ui.T(ctx, "On the card or in its envelope")},
		{Value: "with-boxes", Label: ui.T(ctx, "With the boxes")}, {Value: "returned", Label: ui.T(ctx, "Handed back")}, {Value: "lost", Label: ui.T(ctx, "Lost")}}
}

func rulesNote(ctx context.Context, v rulesView) string {
	said := ui.T(ctx, "%d rules in force", len(v.Rules)) + "."
	if v.State == "" {
		said = ui.T(ctx, "What reaches this shop: %s, federal, and the shop's own.", v.Home)
	}
	unchecked := 0
	for _, r := range v.Rules {
		if r.CheckedOn == nil {
			unchecked++
		}
	}
	if unchecked > 0 {
		said += " " + ui.T(ctx, "Not checked here yet: %d of %d.", unchecked, len(v.Rules))
	}
	return said
}

func stateOptions(ctx context.Context, v rulesView) []ui.Option {
	list := []ui.Option{{Value: "", Label: ui.T(ctx, "This shop")}}
	for _, s := range v.States {
		switch s {
		case statute.AnyState:
			list = append(list, ui.Option{Value: s, Label: ui.T(ctx, "Any state: the shop's own")})
		case statute.Federal:
			list = append(list, ui.Option{Value: s, Label: ui.T(ctx, "Federal")})
		default:
			list = append(list, ui.Option{Value: s, Label: s})
		}
	}
	return list
}

func ruleTitle(ctx context.Context, r db.Statute) string {
	if r.State == statute.AnyState {
		return ui.T(ctx, "Any state: %s", r.Says)
	}
	return ui.T(ctx, "%s: %s", r.State, r.Says)
}

// undated is what the rules that came with the program say of a text whose date nobody
// found; it stands on the rule's own page, not on each line of the list.
const undated = "date of the text not known"

// ruleNote is what is counted, where it stands and whether it was checked. What is to
// be done about one that was not stands once, at the head of the list.
func ruleNote(ctx context.Context, v rulesView, r db.Statute) string {
	note := r.Cites
	if r.TextDate != undated {
		note = textSaid(ctx, r.Rule)
	}
	note = ui.Capital(note)
	if counted := countedSaid(ctx, r.Rule); counted != "" {
		note = ui.T(ctx, "%s. %s", counted, note)
	}
	if r.Mark != "" {
		note = ui.T(ctx, "%s. %s", r.Mark, note)
	}
	if len(r.Accepts) > 0 {
		var kinds []string
		for _, e := range r.Accepts {
			kinds = append(kinds, ui.Say(ctx, e.Words()))
		}
		note = ui.T(ctx, "One of: %s. %s", strings.Join(kinds, ", "), note)
	}
	checked := ui.T(ctx, "Not checked here.")
	if r.CheckedOn != nil {
		checked = checkedSaid(ctx, r.Rule, v.Now)
	}
	return ui.T(ctx, "%s. %s", note, checked)
}

func ruleHeading(ctx context.Context, v ruleView) string {
	if len(v.Versions) == 0 {
		return ui.T(ctx, "A new rule")
	}
	if v.State == statute.AnyState {
		return ui.T(ctx, "Any state: %s", ui.Say(ctx, v.Topic.Words()))
	}
	return ui.T(ctx, "%s: %s", v.State, ui.Say(ctx, v.Topic.Words()))
}

func versionNote(ctx context.Context, s db.Statute) string {
	return ui.T(ctx, "%s. %s %s", writtenSaid(ctx, s), s.Says, textSaid(ctx, s.Rule))
}

// blankedSaid is how much one approval blanked.
func blankedSaid(ctx context.Context, b db.Blanking) string {
	said := ui.T(ctx, "%d animals", b.Animals)
	if b.Papers > 0 {
		said += ", " + ui.T(ctx, "papers that belong to no animal: %d", b.Papers)
	}
	return said
}
