package hunter

import (
	"context"

	"coldrail/db"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"
	"coldrail/web/ui"
)

// answer is one question with what the records of this animal say to it, and what
// the shop says to everyone.
type answer struct {
	Ask     string
	Facts   []string
	Says    string
	Caution string
}

// answers are the questions that are not answered at the head of the page.
func answers(ctx context.Context, v view) []answer {
	list := make([]answer, 0, len(animal.Questions))
	for _, q := range animal.Questions {
		if q == animal.AskState && !v.Species.Game() {
			continue
		}
		a := answer{Ask: ui.Say(ctx, q.Words()), Says: v.house.answers[q]}
		if a.Says == "" {
			a.Says = ui.Say(ctx, q.Usual())
		}
		if of := facts[q]; of != nil {
			a.Facts = of(ctx, v)
		}
		switch q {
		case animal.AskMould:
			a.Caution = ui.MouldCaution(ctx)
		case animal.AskTest:
			a.Caution = ui.TestCaution(ctx)
		}
		list = append(list, a)
	}
	return list
}

// facts are what the records say of this one animal.
var facts = map[animal.Question]func(context.Context, view) []string{
	animal.AskMine: func(ctx context.Context, v view) []string {
		return []string{ui.T(ctx, "Yours is %s. Say that number to us, and we read you who did what to it, and when.", string(v.Number))}
	},
	animal.AskLittle: weights, animal.AskEat: kept, animal.AskTest: tested, animal.AskSausage: mixed, animal.AskThings: belongs,
	animal.AskChange: changeable, animal.AskOther: collectable, animal.AskLonger: lasts, animal.AskFirst: rush, animal.AskLast: before,
	animal.AskBring: doors, animal.AskDoor: atTheDoor,
	animal.AskStorage: func(ctx context.Context, v view) []string {
		if s := storage(ctx, v); s != "" {
			return []string{s}
		}
		return nil
	},
}

// weights are what was weighed on the way.
func weights(ctx context.Context, v view) []string {
	var said []string
	if v.FieldDressedKg != nil {
		said = append(said, ui.T(ctx, "It came at %s.", ui.Weight(ctx, *v.FieldDressedKg)))
	}
	if v.HangingKg != nil {
		said = append(said, ui.T(ctx, "It weighed %s on the hook.", ui.Weight(ctx, *v.HangingKg)))
	}
	if v.Physical.Cut() && v.Packs > 0 {
		said = append(said, ui.T(ctx, "%s is in packs.", ui.Weight(ctx, v.PackedKg)))
	}
	return said
}

// kept says how cold it was kept, and how often somebody stood before it.
func kept(ctx context.Context, v view) []string {
	var said []string
	if v.Air != nil {
		said = append(said, ui.T(ctx, "Nine in ten readings of the air where it hung were between %s and %s.", ui.Temp(ctx, v.Air.Low), ui.Temp(ctx, v.Air.High)))
	}
	if v.Looks > 0 {
		said = append(said, ui.T(ctx, "Somebody looked at it by itself %d times.", v.Looks))
	}
	return said
}

// tested lists its samples in the laboratory's words.
func tested(ctx context.Context, v view) []string {
	if v.Disease == animal.NotNeeded && len(v.Samples) == 0 {
		return []string{ui.T(ctx, "No sample of yours was drawn here.")}
	}
	var said []string
	for _, s := range v.Samples {
		line := ui.T(ctx, "Sample %s, drawn %s", s.Number, ui.Day(ctx, ui.Calendar(ctx, s.DrawnOn)))
		switch {
		case s.Result == "":
			line = ui.T(ctx, "%s: no result yet.", line)
		case s.ResultOn != nil && s.Lab != "":
			line = ui.T(ctx, "%s: %s wrote “%s”, dated %s.", line, s.Lab, ui.Say(ctx, db.ResultWords(s.Result)), ui.Day(ctx, ui.Calendar(ctx, *s.ResultOn)))
		default:
			line = ui.T(ctx, "%s: the laboratory wrote “%s”.", line, ui.Say(ctx, db.ResultWords(s.Result)))
		}
		said = append(said, line)
	}
	return said
}

// mixed says which batches its meat went into, and whether others' was in them.
func mixed(ctx context.Context, v view) []string {
	var said []string
	for _, b := range v.Batches {
		into := ui.Say(ctx, b.Product.Words())
		what := ui.T(ctx, "%s of yours went into %s", ui.Weight(ctx, b.Kg), into)
		if b.Several {
			what = ui.T(ctx, "%s of the animal you share went into %s", ui.Weight(ctx, b.Kg), into)
		}
		switch {
		case b.Kind == batch.Pooled:
			said = append(said, ui.T(ctx, "%s, a batch shared by weight with other owners.", what))
		case b.Several:
			said = append(said, ui.T(ctx, "%s, made of that animal alone.", what))
		default:
			said = append(said, ui.T(ctx, "%s, made of yours alone.", what))
		}
	}
	return said
}

// belongs says where each thing is that comes back to the owner.
func belongs(ctx context.Context, v view) []string {
	var said []string
	for _, p := range v.Pieces {
		said = append(said, ui.Capital(ui.T(ctx, "%s: %s.", ui.Say(ctx, p.Kind.Words()), whereabouts(ctx, p))))
	}
	for _, t := range v.Left {
		if t.GoneAt != nil {
			said = append(said, ui.Capital(ui.T(ctx, "%s: you have it back since %s.", t.What, ui.Day(ctx, *t.GoneAt))))
		} else {
			said = append(said, ui.Capital(ui.T(ctx, "%s: with us, bring it home with the meat.", t.What)))
		}
	}
	return said
}

func whereabouts(ctx context.Context, p db.Piece) string {
	switch {
	case p.GoneAt == nil:
		return ui.T(ctx, "with us")
	case p.WentBack():
		return ui.T(ctx, "you have it since %s", ui.Day(ctx, *p.GoneAt))
	}
	return ui.T(ctx, "%s on %s", ui.Say(ctx, cutting.WayWords(p.GoneTo)), ui.Day(ctx, *p.GoneAt))
}

// changeable says how far it is.
func changeable(ctx context.Context, v view) []string {
	switch {
	case v.Physical.OnRail():
		return []string{ui.T(ctx, "Yours is not cut yet.")}
	case v.Physical == animal.OnTable:
		return []string{ui.T(ctx, "Yours is on the table now. Call us at once.")}
	case v.Physical.Cut():
		return []string{ui.T(ctx, "Yours is cut already.")}
	}
	return nil
}

func collectable(ctx context.Context, v view) []string {
	if v.house.stubCollects {
		return []string{ui.T(ctx, "Whoever brings the stub of your receipt gets it too. Keep it well.")}
	}
	return nil
}

// lasts says the last day on the hook.
func lasts(ctx context.Context, v view) []string {
	if v.Verdict == nil || !v.Verdict.CutBy.After(v.Now) {
		return nil
	}
	return []string{ui.T(ctx, "Yours has to be cut by %s as things stand. That day moves with the cooler.", ui.Day(ctx, v.Verdict.CutBy))}
}

func rush(ctx context.Context, v view) []string {
	if v.Rush == nil || !v.Physical.OnRail() {
		return nil
	}
	return []string{ui.T(ctx, "A rush costs %s by the prices of the day you brought it.", v.Rush.String())}
}

func before(ctx context.Context, v view) []string {
	if !v.Earlier {
		return nil
	}
	return []string{ui.T(ctx, "We have an earlier order of yours.")}
}

// doors says what is closed now.
func doors(ctx context.Context, v view) []string {
	var said []string
	for _, form := range v.house.closed {
		said = append(said, ui.T(ctx, "Just now we take no %s.", ui.Say(ctx, form.Words())))
	}
	return said
}

func atTheDoor(ctx context.Context, v view) []string {
	var said []string
	if v.DeepC != nil {
		said = append(said, ui.T(ctx, "%s: %s deep in the meat.", ui.Moment(ctx, v.ReceivedAt), ui.Temp(ctx, *v.DeepC)))
	}
	if v.Door == "damaged" {
		return append(said, ui.T(ctx, "There were faults. They are written down with the hour; call us and we go through them."))
	}
	return append(said, ui.T(ctx, "We wrote down no bad fault."))
}
