package dropoff

import (
	"context"
	"net/http"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/ui"
)

// means shows the form again, nothing kept, with what the door check does to ageing,
// pounds and price.
func (p *Pages) means(w http.ResponseWriter, r *http.Request, f dropForm) error {
	v, err := p.view(r, f)
	if err != nil {
		return err
	}
	d, _ := f.drop(r.Context(), p.Now()) // what is missing yet is asked when it is saved
	d.ReceivedAt = p.Now()
	d.KilledAt, d.KilledDayOnly, _ = f.killed(r.Context(), p.Now())
	d.FoundAt, _ = f.foundAt(r.Context())
	if err := f.numbers(r.Context(), &d); err != nil {
		return ui.Render(w, r, http.StatusUnprocessableEntity, dropPage(v, domain.As(err)))
	}
	m, err := p.DB.DoorMeans(r.Context(), d.Drop, p.Now())
	if err != nil {
		return err
	}
	v.Means = &m
	return ui.Render(w, r, http.StatusOK, dropPage(v, nil))
}

// meansWords say it, the grave first.
func meansWords(ctx context.Context, m db.DoorMeans) (said []string) {
	if m.DeepTemp != nil {
		said = append(said, gradeWords(ctx, m))
	}
	if m.Worst() == animal.RefuseGrade {
		said = append(said, ui.T(ctx, "Refuse: leave it outside and call the lead. Only the lead or the owner takes it in, and it hangs held."))
	}
	if m.FoundLate() {
		said = append(said, ui.T(ctx, "It was found late: smell at hip and neck before it hangs."))
	}
	said = append(said, hangsWords(ctx, m))
	if least, most := animal.ShotLoss(m.Door[animal.DoorShot]); most > 0 {
		said = append(said, ui.T(ctx, "Shot damage takes about %s to %s off the pounds, and is cut out today.", least, most))
		m.Expected.Clean, m.Expected.Typical = max(0, m.Expected.Clean-least), max(0, m.Expected.Typical-most)
	}
	if m.Expected.Clean > 0 {
		said = append(said, ui.T(ctx, "Expect %s to %s of boneless meat; what is dirty comes off that.", m.Expected.Typical, m.Expected.Clean))
	}
	if m.Quote.Known {
		said = append(said, quoteWords(ctx, m.Quote))
	}
	return said
}

// gradeWords is the grade of the thermometer, by the hours since the kill.
func gradeWords(ctx context.Context, m db.DoorMeans) string {
	g, graded := m.Door[animal.DoorTemperature]
	switch {
	case !graded && m.KilledAt.IsZero():
		return ui.T(ctx, "Deep in the ham %s: say when it was killed, and it is graded.", *m.DeepTemp)
	case !graded:
		return ui.T(ctx, "Deep in the ham %s: the hour of the kill decides. Ask for it, or grade the line yourself.", *m.DeepTemp)
	}
	return ui.T(ctx, "Deep in the ham %s: %s.", *m.DeepTemp, gradeName(ctx, g))
}

// hangsWords is how it hangs, and how it would without the fault.
func hangsWords(ctx context.Context, m db.DoorMeans) string {
	switch {
	case m.Faultless.Key == "":
		return ui.T(ctx, "Choose the kind and how it comes, and the days of hanging are said.")
	case m.Damaged() && m.Faultless.Aged:
		return ui.T(ctx, "A bad fault: it is not aged and is cut first, within %d days of the kill. Without it: %s days on the hook.", int(m.Hangs.CeilingDays), m.Faultless.UsualDays)
	case m.Damaged():
		return ui.T(ctx, "A bad fault: it is cut first, within %d days of the kill.", int(m.Hangs.CeilingDays))
	case m.Hangs.Aged:
		return ui.T(ctx, "It ages as usual: %s days on the hook.", m.Hangs.UsualDays)
	}
	return ui.T(ctx, "This kind is not aged: cut within %d days of the kill.", int(m.Hangs.CeilingDays))
}

func gradeName(ctx context.Context, g animal.Grade) string {
	for i, known := range animal.Grades {
		if g == known {
			return gradeNames(ctx)[i]
		}
	}
	return ""
}

func gradeNames(ctx context.Context) [4]string {
	return [4]string{ui.T(ctx, "Clean"), ui.T(ctx, "Small fault"), ui.T(ctx, "Bad fault"), ui.T(ctx, "Refuse")}
}
