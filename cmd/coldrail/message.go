package main

import (
	"context"
	"errors"
	"time"

	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/domain/message"
	"coldrail/web/hunter"
	"coldrail/web/messages"
	"coldrail/web/ui"

	"github.com/riverqueue/river"
)

// messageWorker tells one owner one thing.
type messageWorker struct {
	river.WorkerDefaults[db.OwnerMessage]
	db     *db.DB
	out    sender
	secret []byte // behind the owners' links
}

// Work sends the message, unless it has to wait, is no longer true, or somebody has
// to call instead: all of that is asked at the moment it would go out.
func (w *messageWorker) Work(ctx context.Context, job *river.Job[db.OwnerMessage]) error {
	now := clock()
	e, wanted, err := w.db.MessageErrand(ctx, job.Args.ID, now)
	if err != nil || !wanted {
		return err
	}
	next := e.Next(now)
	switch {
	case next.Drop.Format != "":
		return w.db.DropMessage(ctx, e, next.Drop, now)
	case next.Call.Format != "":
		return w.db.MessageToCallList(ctx, e, next.Call)
	case !next.Hold.IsZero():
		return river.JobSnooze(next.Hold.Sub(now))
	}
	m, ok, err := w.try(ctx, e, next.CallUs, now)
	if err != nil {
		return err
	}
	if !ok { // something happened to the animal or the message at this moment: look again
		return river.JobSnooze(time.Second)
	}
	return w.send(ctx, e, m, job.Attempt >= job.MaxAttempts)
}

// try words the message and writes the try down before anything goes out.
func (w *messageWorker) try(ctx context.Context, e db.MessageErrand, callUs bool, now time.Time) (m outgoing, ok bool, err error) {
	ctx = ui.WithShop(ctx, messages.Shop(e.Shop))
	m = outgoing{Key: db.OwnerMessage{ID: e.ID}.Key(), To: e.Reach.Phone, Name: e.Name, Kind: string(e.Kind), Subject: messages.Subject(ctx, e)}
	if e.Way == message.Mail {
		m.To, m.Stop = e.Reach.Mail, "\n-- \n"+messages.Stop(ctx)+"\n"
	}
	if callUs {
		m.Kind = "call-us"
	}
	link := hunter.Link(w.out.public, w.secret, e.AnimalID, e.Owned.LinkRevision)
	if e.Portion != cutting.WholeAnimal {
		link = hunter.ShareLink(w.out.public, w.secret, e.AnimalID, e.Portion, e.Owned.LinkRevision)
	}
	m.Text, ok, err = w.db.TryMessage(ctx, e, messages.Say(ctx, e, link, callUs, now), m.To, callUs, now)
	return m, ok, err
}

// send sends m and writes down what became of it, also while the program is being
// stopped. What will be refused for ever is not tried again.
func (w *messageWorker) send(ctx context.Context, e db.MessageErrand, m outgoing, last bool) error {
	by := w.out.post
	if e.Way == message.Mail {
		by = w.out.mail
	}
	sent := by(ctx, e.By, m)
	ctx = context.WithoutCancel(ctx)
	if sent == nil {
		return w.db.MessageGone(ctx, e, clock())
	}
	last = last || errors.As(sent, new(*refused))
	if err := w.db.MessageFailed(ctx, e, sent.Error(), last, clock()); err != nil || last {
		return err
	}
	return sent
}

// NextRetry waits a minute, then twice as long each time, at most an hour.
func (w *messageWorker) NextRetry(job *river.Job[db.OwnerMessage]) time.Time {
	return clock().Add(doubling(time.Minute, time.Hour, job.Attempt))
}

// Timeout leaves a slow mail server its time.
func (w *messageWorker) Timeout(*river.Job[db.OwnerMessage]) time.Duration { return 3 * sendTime }
