package holds

import (
	"context"
	"strings"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/web/ui"
)

// stops says what the hold forbids.
func stops(ctx context.Context, h hold.Hold) string {
	words := map[hold.Act]string{hold.Cut: ui.T(ctx, "not cut"), hold.Pool: ui.T(ctx, "not mixed with other meat"),
		hold.Release: ui.T(ctx, "not handed over"), hold.Move: ui.T(ctx, "not moved")}
	var said []string
	for _, a := range hold.Acts {
		if h.Stops(a) {
			said = append(said, words[a])
		}
	}
	return ui.T(ctx, "While it stands: %s.", strings.Join(said, ", "))
}

// meanwhileNow is the choice that stands, or the one that was just typed.
func meanwhileNow(v view, h db.Hold) string {
	switch {
	case v.Form.Which == "meanwhile":
		return v.Form.Meanwhile
	case h.BonedAt.IsZero():
		return "whole"
	}
	return "bone"
}

func meanwhileOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: "whole", Label: ui.T(ctx, "Hold it whole"), Note: ui.T(ctx, "not cut before the result is in")},
		{Value: "bone", Label: ui.T(ctx, "Bone and hold"), Note: ui.T(ctx, "boned out, bagged, marked, kept apart; no batch, not handed over")},
	}
}

func animalNote(ctx context.Context, v view) string {
	return ui.T(ctx, "%s, %s. Test: %s.", ui.Say(ctx, v.Animal.Species.Words()), ui.Say(ctx, v.Animal.Physical.Words()), ui.Say(ctx, v.Animal.Disease.Words()))
}

func openedWords(ctx context.Context, h db.Hold) string {
	said := ui.T(ctx, "Opened by %s, %s.", h.OpenedBy, h.OpenedAt)
	if !h.ReviewBy.IsZero() {
		said += " " + ui.T(ctx, "Look again on %s.", ui.Date(ctx, ui.Calendar(ctx, h.ReviewBy)))
	}
	return said
}

func closedLine(ctx context.Context, h db.Hold) ui.LineView {
	return ui.LineView{Title: ui.Say(ctx, h.Kind.Words()), Note: ui.T(ctx, "%s. Closed by %s, %s.", h.Evidence, h.ClosedBy, h.ClosedAt)}
}

// onPage reports whether the form named is drawn on the page as it stands.
func (v view) onPage(which string) bool {
	switch which {
	case "open":
		return v.Animal.Physical.InHouse()
	case "draw":
		d := v.Animal.Disease
		return v.Animal.Physical.InHouse() && d != animal.Drawn && d != animal.Pending && d != animal.Detected
	case "send":
		return v.Animal.Disease == animal.Drawn
	case "result":
		return v.Animal.Disease == animal.Pending
	case "meanwhile":
		return v.MayBone && v.Animal.Disease.Out()
	}
	for _, h := range v.Open {
		if h.ID.String() == which && h.Kind != hold.TestPending {
			return true
		}
	}
	return false
}

// kindOptions are the reasons a person may hold an animal for. A test's hold
// comes with its sample.
func kindOptions(ctx context.Context) []ui.Option {
	var options []ui.Option
	for _, k := range hold.Kinds {
		if k != hold.TestPending {
			options = append(options, ui.Option{Value: string(k), Label: ui.Say(ctx, k.Words()), Note: stopsShort(ctx, k)})
		}
	}
	return options
}

func stopsShort(ctx context.Context, k hold.Kind) string {
	switch {
	case k.Blocks(hold.Move):
		return ui.T(ctx, "nobody moves it")
	case k.Blocks(hold.Cut) && k.Blocks(hold.Release):
		return ui.T(ctx, "not cut, not handed over")
	case k.Blocks(hold.Cut):
		return ui.T(ctx, "not cut")
	}
	return ui.T(ctx, "not handed over")
}

func resultOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: db.LabNotDetected, Label: ui.Say(ctx, db.ResultWords(db.LabNotDetected))},
		{Value: db.LabDetected, Label: ui.Say(ctx, db.ResultWords(db.LabDetected)), Note: ui.T(ctx, "the lead calls the owner")},
		{Value: db.LabUnsuitable, Label: ui.Say(ctx, db.ResultWords(db.LabUnsuitable)), Note: ui.T(ctx, "draw another")},
	}
}

func sourceOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: string(hold.AgencySite), Label: ui.T(ctx, "the agency's site")},
		{Value: string(hold.AgencyLetter), Label: ui.T(ctx, "a letter of the agency")},
		{Value: string(hold.LabReport), Label: ui.T(ctx, "the laboratory's report")},
		{Value: string(hold.AgencyCall), Label: ui.T(ctx, "I called the agency"), Note: ui.T(ctx, "name in the note")},
		{Value: string(hold.OwnerSays), Label: ui.T(ctx, "the owner says so"), Note: ui.T(ctx, "does not end a hold")},
	}
}

func ownerOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "gives up", Label: ui.T(ctx, "gives the meat up")}, {Value: "keeps", Label: ui.T(ctx, "wants to keep it")}}
}

func wantsSample(a db.Animal) bool {
	return a.Disease == animal.Wanted || a.Disease == animal.Resample || a.SampleWanted && a.Disease == animal.NotNeeded
}

func drawWords(ctx context.Context, a db.Animal) string {
	switch {
	case a.Disease == animal.Resample:
		return ui.T(ctx, "The laboratory could not use the sample. Draw another")
	case wantsSample(a):
		return ui.T(ctx, "A sample is wanted")
	}
	return ui.T(ctx, "A disease sample was drawn")
}

func resultWords(ctx context.Context, s db.Sample) string {
	if s.Result == "" {
		if s.ExpectedOn != nil {
			return ui.T(ctx, "not in; expected %s", ui.Date(ctx, ui.Calendar(ctx, *s.ExpectedOn)))
		}
		return ui.T(ctx, "not in")
	}
	return ui.T(ctx, "%s, dated %s", ui.Say(ctx, db.ResultWords(s.Result)), ui.Date(ctx, ui.Calendar(ctx, *s.ResultOn)))
}

func readWords(ctx context.Context, s db.Sample) string {
	if s.SeenAt == nil {
		return ""
	}
	return ui.T(ctx, "%s, by %s, %s", ui.LabelOf(sourceOptions(ctx), s.Source), s.SeenBy, *s.SeenAt)
}
