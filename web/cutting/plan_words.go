package cutting

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/domain/plan"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// plannedLine is one animal on its day: who, what and why.
func plannedLine(ctx context.Context, v planView, d db.PlanDay, j db.Planned) ui.LineView {
	title := ui.T(ctx, "%s, %s", ui.Capital(ui.Say(ctx, j.Species.Words())), j.Place)
	if len(d.Cutters) > 1 {
		title = ui.T(ctx, "%s, %s; cutter %d", ui.Capital(ui.Say(ctx, j.Species.Words())), j.Place, j.Cutter+1)
	}
	return ui.LineView{Mark: ui.TagLink(j.Number), Title: title, Note: plannedWhy(ctx, v, j), Badge: ui.Condition(string(j.Condition)),
		Href: "/animals/" + string(j.Number), Act: ui.T(ctx, "Its record"), Urgent: j.Late() || j.Day.After(j.Job.CutBy)}
}

// plannedWhy says what the day was chosen by, and what it costs.
func plannedWhy(ctx context.Context, v planView, j db.Planned) string {
	var said []string
	day := func(t time.Time) string { return ui.Day(ctx, ui.Calendar(ctx, t)) }
	if v.Plan.Works != plan.Carcasses {
		said = append(said, ui.T(ctx, "%s.", work(ctx, j.Minutes)))
	}
	tooLate := j.ReadyFrom.After(j.Job.CutBy)
	switch {
	case j.Condition == domaincutting.CutFirst || j.Condition == domaincutting.Past:
		said = append(said, faults(ctx, j.Queued)...) // the plan's own last day is today for both
	case tooLate:
		said = append(said, ui.T(ctx, "It will not be ready by its last day, %s: cut it all the same, or ask for a longer hang.", day(j.Job.CutBy)))
	case j.Condition != domaincutting.Ready && !j.ReadyFrom.IsZero():
		said = append(said, readySaid(ctx, *j.Verdict.ReadyFrom, v.Now), ui.T(ctx, "Cut by %s.", day(j.Job.CutBy)))
	default: // that it is ready says the badge
		said = append(said, ui.T(ctx, "Cut by %s.", day(j.Job.CutBy)))
	}
	if !j.Promised().IsZero() {
		said = append(said, ui.T(ctx, "Promised for %s.", day(j.Promised())))
	}
	said = append(said, ui.T(ctx, "May go home %s.", day(j.Home)))
	if j.RushPaid {
		said = append(said, ui.T(ctx, "Paid to go first."))
	}
	if n := days(j.Job.CutBy, j.Day); n > 0 {
		said = append(said, ui.T(ctx, "%d days late.", n))
	}
	if n := days(j.Promised(), j.Home); n > 0 {
		said = append(said, ui.T(ctx, "Days past the promise: %d. Tell the owner.", n))
	}
	if n := days(j.Day, j.ReadyFrom); n > 0 && !tooLate {
		said = append(said, ui.T(ctx, "%d days too early.", n))
	}
	return strings.Join(said, " ")
}

// freeDays is how many days of the head of the list have nothing planned.
func freeDays(list []db.PlanDay) int {
	n := slices.IndexFunc(list, func(d db.PlanDay) bool { return len(d.Jobs) > 0 })
	if n < 0 {
		return len(list)
	}
	return n
}

// days counts from one day to a later one; 0 where either is not there.
func days(from, to time.Time) int {
	if from.IsZero() || to.IsZero() {
		return 0
	}
	return max(0, int(to.Sub(from).Hours()/24))
}

// planNote says how good the plan is.
func planNote(ctx context.Context, p db.CutPlan) string {
	off := max(p.PastCutBy-p.BoundPastCutBy, 0)
	switch {
	case len(p.Placed) == 0 || p.IsBehind: // that it falls behind is said in words that matter
		return ""
	case p.Best:
		return ui.T(ctx, "There is no better order to cut these in.")
	case off == 0:
		return ui.T(ctx, "Cut in this order, the fewest days run past a last day.")
	}
	return ui.T(ctx, "At most %d days past the cutting day from the best there is.", off)
}

// crewTitle names a line of the calendar.
func crewTitle(ctx context.Context, d db.CrewDay) string {
	if d.Day != nil {
		return ui.Day(ctx, ui.Calendar(ctx, *d.Day))
	}
	return ui.T(ctx, time.Weekday(*d.Weekday).String())
}

// crewNote is a line of the calendar in words.
func crewNote(ctx context.Context, works plan.Works, d db.CrewDay) string {
	if d.Cutters == 0 {
		return ui.T(ctx, "closed")
	}
	said := ui.T(ctx, "%d cutters, %s each", d.Cutters, work(ctx, d.Size))
	switch works {
	case plan.Line:
		said = ui.T(ctx, "a line of %d, %s", d.Cutters, work(ctx, d.Size))
	case plan.Carcasses:
		said = ui.T(ctx, "%d carcasses", d.Size)
	}
	switch d.Takes {
	case "game":
		said += ", " + ui.T(ctx, "game only")
	case "livestock":
		said += ", " + ui.T(ctx, "livestock only")
	}
	if d.AsTheyCome {
		said += ", " + ui.T(ctx, "as they come")
	}
	return said
}

func sizeLabel(ctx context.Context, works plan.Works) string {
	switch works {
	case plan.Line:
		return ui.T(ctx, "Minutes of the line")
	case plan.Carcasses:
		return ui.T(ctx, "Carcasses that day")
	}
	return ui.T(ctx, "Minutes of each")
}

func worksOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: string(plan.Each), Label: ui.T(ctx, "Each on their own"), Note: ui.T(ctx, "minutes of every cutter")},
		{Value: string(plan.Line), Label: ui.T(ctx, "All as one line"), Note: ui.T(ctx, "minutes of the line")},
		{Value: string(plan.Carcasses), Label: ui.T(ctx, "So many carcasses a day")},
	}
}

func takesOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: "both", Label: ui.T(ctx, "Both, livestock first")}, {Value: "game", Label: ui.T(ctx, "Game only")},
		{Value: "livestock", Label: ui.T(ctx, "Livestock only")},
	}
}

// sameDay reports whether two lines of the calendar are about the same day, so
// that a refusal shows beside the form it belongs to.
func sameDay(a, b db.CrewDay) bool {
	if a.Weekday != nil && b.Weekday != nil {
		return *a.Weekday == *b.Weekday
	}
	return a.Day != nil && b.Day != nil && a.Day.UTC().Equal(b.Day.UTC())
}

func weekdayValue(d db.CrewDay) string {
	if d.Weekday == nil {
		return ""
	}
	return strconv.Itoa(*d.Weekday)
}

// actFor gives every small form of the page an act of its own.
func (v planView) actFor(form string) string {
	return uuid.NewSHA1(uuid.MustParse(v.Act), []byte(form)).String()
}

func dayKey(d db.CrewDay) string {
	if d.Day == nil {
		return ""
	}
	return d.Day.UTC().Format(time.DateOnly)
}

// formKey tells the forms of the calendar apart.
func (v planView) formKey(d db.CrewDay) string { return "-" + weekdayValue(d) + dayKey(d) }

// wrongOf is the refusal, if it is about this form.
func (v planView) wrongOf(d db.CrewDay, wrong *domain.Error) *domain.Error {
	isNew := d.Weekday == nil && d.Day == nil
	if sameDay(d, v.Form) || isNew && v.Form.Weekday == nil && v.Form.Version == 0 {
		return wrong
	}
	return nil
}
