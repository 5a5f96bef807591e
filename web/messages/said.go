package messages

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/web/ui"
)

// Said says what became of a message, in one line.
func Said(ctx context.Context, m db.Message, now time.Time) string {
	switch m.State {
	case db.MessageQueued:
		return queuedSaid(ctx, m, now)
	case db.MessageSent:
		if m.CallUs {
			return ui.T(ctx, "Sent %s to %s: only that they should call", ui.Moment(ctx, *m.EndedAt), m.Address)
		}
		return ui.T(ctx, "Sent %s to %s", ui.Moment(ctx, *m.EndedAt), m.Address)
	case db.MessageCalled:
		return ui.T(ctx, "Called %s by %s", ui.Moment(ctx, *m.EndedAt), m.EndedBy)
	case db.MessageDropped:
		return ui.T(ctx, "Not sent: %s", m.Why)
	}
	if m.Failed() {
		return ui.T(ctx, "To be called. Tried %s without luck, last %s: %s", ui.T(ctx, "%d times", m.Tries), ui.Moment(ctx, *m.TriedAt), m.Wrong)
	}
	return ui.T(ctx, "To be called: %s", m.Why)
}

func queuedSaid(ctx context.Context, m db.Message, now time.Time) string {
	switch {
	case m.Tries > 0 && m.Wrong != "":
		return ui.T(ctx, "Tried %s, tried again by itself. Last: %s", ui.T(ctx, "%d times", m.Tries), m.Wrong)
	case m.Tries > 0:
		return ui.T(ctx, "On its way since %s", ui.Moment(ctx, *m.TriedAt))
	case m.DueAt.After(now):
		return ui.T(ctx, "Goes out %s", ui.Moment(ctx, m.DueAt))
	}
	return ui.T(ctx, "Goes out as soon as it may")
}

// Title says whom a message is for and what it is about.
func Title(ctx context.Context, m db.Message) string {
	return ui.T(ctx, "%s, %s: %s", named(m.Name), ui.Say(ctx, m.Species.Words()), ui.Say(ctx, m.Kind.Words()))
}

// entries are messages as lines of a time line.
func entries(ctx context.Context, list []db.Message, now time.Time) []ui.Entry {
	out := make([]ui.Entry, len(list))
	for i, m := range list {
		out[i] = ui.Entry{At: m.QueuedAt, What: ui.T(ctx, "%s, %s to %s", about(ctx, m.Kind), m.Way.Words(), named(m.Name)), Who: m.QueuedBy, Note: Said(ctx, m, now)}
		if m.Words != "" {
			out[i].Note += " “" + m.Words + "”"
		}
	}
	return out
}
