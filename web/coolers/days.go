package coolers

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/logger"
	"coldrail/domain/round"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// openedDay is one day's readings, thinned to a few an hour, and between them
// what nobody saw.
type openedDay struct {
	cooler.Day
	Lines []readingLine
}

// readingLine is one reading, or where Until is set, a gap.
type readingLine struct {
	At, Until time.Time
	C         domain.Celsius
}

// every is how close together the readings of one day are listed.
const every = 20 * time.Minute

// open lists the readings of the latest days.
func open(h *exposure.History, days []cooler.Day, most int) []openedDay {
	readings := h.Readings()
	at := make([]time.Time, len(readings))
	for i, r := range readings {
		at[i] = r.At
	}
	ends := map[time.Time]logger.Gap{} // by the reading that ends it
	for _, g := range logger.Gaps(at) {
		ends[g.To] = g
	}
	var list []openedDay
	for _, day := range days[:min(most, len(days))] {
		o := openedDay{Day: day}
		var last time.Time
		for _, r := range readings {
			if r.At.Before(day.From) || !r.At.Before(day.To) {
				continue
			}
			gap, unseen := ends[r.At]
			if unseen {
				o.Lines = append(o.Lines, readingLine{At: gap.From, Until: gap.To})
			}
			if unseen || r.At.Sub(last) >= every {
				o.Lines = append(o.Lines, readingLine{At: r.At, C: r.C})
				last = r.At
			}
		}
		list = append(list, o)
	}
	return list
}

// roundLine is one due round with the walk that answered it, or an extra walk.
type roundLine struct {
	Due    *db.DueRound
	Walked *db.WalkedRound
}

// at is the moment by which the lines are ordered.
func (l roundLine) at() time.Time {
	if l.Due != nil {
		return l.Due.DueAt
	}
	return l.Walked.WalkedTo
}

// rounds lists a room's rounds since a moment, the latest first.
func (p *Pages) rounds(ctx context.Context, room int16, since time.Time) ([]roundLine, error) {
	due, err := p.DB.DueRounds(ctx, room, since)
	if err != nil {
		return nil, err
	}
	walked, err := p.DB.WalkedRounds(ctx, room, since)
	if err != nil {
		return nil, err
	}
	answered := map[uuid.UUID]*db.WalkedRound{}
	var extra []roundLine
	for i, w := range walked {
		if w.DueID == nil || answered[*w.DueID] != nil {
			extra = append(extra, roundLine{Walked: &walked[i]})
			continue
		}
		answered[*w.DueID] = &walked[i]
	}
	var list []roundLine
	for i, d := range due {
		for len(extra) > 0 && extra[0].at().After(d.DueAt) {
			list, extra = append(list, extra[0]), extra[1:]
		}
		list = append(list, roundLine{Due: &due[i], Walked: answered[d.ID]})
	}
	return append(list, extra...), nil
}

// what says how a round stands.
func (l roundLine) what(ctx context.Context) string {
	switch {
	case l.Due == nil:
		return ui.T(ctx, "extra look")
	case l.Due.State == round.Done && l.Due.MissedAt != nil:
		return ui.T(ctx, "done in time, sent late")
	}
	return ui.Say(ctx, l.Due.State.Words())
}

// name says which round it was.
func (l roundLine) name(ctx context.Context) string {
	switch {
	case l.Due == nil:
		return ui.Moment(ctx, l.Walked.WalkedTo)
	case l.Due.Kind == round.Morning:
		return ui.T(ctx, "%s, morning", ui.Day(ctx, l.Due.DueAt))
	}
	return ui.T(ctx, "%s, evening", ui.Day(ctx, l.Due.DueAt))
}

// needs reports a round that nobody walked in time.
func (l roundLine) needs() bool { return l.Due != nil && l.Due.State.Missed() }

// bandWords names the band of a room.
func bandWords(ctx context.Context, b cooler.Band) string {
	switch b {
	case cooler.Fine:
		return ui.T(ctx, "as it should be")
	case cooler.Watch:
		return ui.T(ctx, "watch it")
	case cooler.Freezing:
		return ui.T(ctx, "too cold: meat freezes")
	case cooler.Incident:
		return ui.T(ctx, "too warm: act now")
	}
	return ui.T(ctx, "no reading")
}
