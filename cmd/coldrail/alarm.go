package main

import (
	"context"
	"fmt"
	"time"

	"coldrail/db"

	"github.com/riverqueue/river"
)

// alarmWorker tells one person of one alarm in one way.
type alarmWorker struct {
	river.WorkerDefaults[db.AlarmMessage]
	db  *db.DB
	out sender
}

// Work sends the message unless it was sent, or somebody has the alarm already.
// Each try is written down; a try that failed is made again.
func (w *alarmWorker) Work(ctx context.Context, job *river.Job[db.AlarmMessage]) error {
	e, wanted, err := w.db.AlarmErrand(ctx, job.Args, clock())
	if err != nil || !wanted {
		return err
	}
	shop, err := w.db.Shop(ctx)
	if err != nil {
		return err
	}
	m := outgoing{Key: job.Args.Key(), To: e.Phone, Name: e.Name, Kind: e.Alarm.Kind, Text: words(e, shop)}
	send := w.out.post
	if job.Args.Way == "mail" {
		m.To, m.Subject, send = e.Mail, shop.Name+": "+e.Alarm.Says().String(), w.out.mail
	}
	sent, wrong := send(ctx, e.To, m), ""
	if sent != nil {
		wrong = sent.Error()
	}
	// What was sent is written down even while the program is being stopped.
	if err := w.db.AlarmTried(context.WithoutCancel(ctx), job.Args, wrong, clock()); err != nil {
		return err
	}
	return sent
}

// NextRetry waits 10 s, then twice as long each time, at most 10 minutes.
func (w *alarmWorker) NextRetry(job *river.Job[db.AlarmMessage]) time.Time {
	return clock().Add(doubling(10*time.Second, 10*time.Minute, job.Attempt))
}

// Timeout leaves a slow mail server its time.
func (w *alarmWorker) Timeout(*river.Job[db.AlarmMessage]) time.Duration { return 3 * sendTime }

// words are the text of a message, in the shop's own time.
func words(e db.Errand, shop db.Shop) string {
	return fmt.Sprintf("%s: %s Since %s. Open the page Today and tap \"I have it\". Coldrail is not the alarm: trust the room's own.",
		shop.Name, e.Alarm.Says(), e.Alarm.Since.In(shop.Location()).Format("Mon Jan 2, 3:04 pm"))
}

// beat sends the heartbeat, where one is set. That nobody answers is written down
// for the office; it is no reason to do the minute's watch again.
func (s sender) beat(ctx context.Context, d *db.DB, now time.Time) error {
	settings, err := d.AlarmSettings(ctx)
	if err != nil || settings.HeartbeatURL == "" {
		return err
	}
	minute, wrong := now.UTC().Truncate(time.Minute).Format(time.RFC3339), ""
	if err := s.json(ctx, settings.HeartbeatURL, "heartbeat-"+minute, map[string]string{"at": minute}); err != nil {
		wrong = err.Error()
	}
	return d.HeartbeatTried(ctx, wrong, now)
}
