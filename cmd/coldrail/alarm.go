package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"coldrail/db"

	"github.com/riverqueue/river"
	"github.com/wneessen/go-mail"
)

// sendTime is how long a mail server, a gateway or the listener of the heartbeat
// may take to answer.
const sendTime = 20 * time.Second

// alarmWorker tells one person of one alarm in one way.
type alarmWorker struct {
	river.WorkerDefaults[db.AlarmMessage]
	db           *db.DB
	mailPassword string
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
	send := w.post
	if job.Args.Way == "mail" {
		send = w.mail
	}
	sent, wrong := send(ctx, job.Args, e, shop), ""
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
	return clock().Add(min(10*time.Minute, 10*time.Second<<min(job.Attempt-1, 10)))
}

// Timeout leaves a slow mail server its time.
func (w *alarmWorker) Timeout(*river.Job[db.AlarmMessage]) time.Duration { return 3 * sendTime }

// words are the text of a message, in the shop's own time.
func words(e db.Errand, shop db.Shop) string {
	return fmt.Sprintf("%s: %s Since %s. Open the page Today and tap \"I have it\". Coldrail is not the alarm: trust the room's own.",
		shop.Name, e.Alarm.Says(), e.Alarm.Since.In(shop.Location()).Format("Mon Jan 2, 3:04 pm"))
}

// mail sends the message by the shop's mail server.
func (w *alarmWorker) mail(ctx context.Context, m db.AlarmMessage, e db.Errand, shop db.Shop) error {
	letter := mail.NewMsg()
	if err := letter.From(e.To.MailFrom); err != nil {
		return fmt.Errorf("the sender's address: %w", err)
	}
	if err := letter.To(e.Mail); err != nil {
		return fmt.Errorf("the address of %s: %w", e.Name, err)
	}
	letter.Subject(shop.Name + ": " + e.Alarm.Says().String())
	letter.SetMessageIDWithValue(m.Key() + "@coldrail.invalid") // the same each time, so that a mailbox can tell
	letter.SetGenHeader("Idempotency-Key", m.Key())
	letter.SetBodyString(mail.TypeTextPlain, words(e, shop)+"\n")
	options := []mail.Option{mail.WithPort(e.To.MailPort), mail.WithTimeout(sendTime), mail.WithTLSPolicy(mail.TLSOpportunistic)}
	if e.To.MailPort == 465 { // TLS from the first byte: RFC 8314
		options = append(options, mail.WithSSL())
	}
	if e.To.MailUser != "" {
		options = append(options, mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover), mail.WithUsername(e.To.MailUser), mail.WithPassword(w.mailPassword))
	}
	client, err := mail.NewClient(e.To.MailHost, options...)
	if err != nil {
		return fmt.Errorf("mail server: %w", err)
	}
	return client.DialAndSendWithContext(ctx, letter)
}

// textOrCall is the body of what a gateway is sent; README.md describes it.
type textOrCall struct {
	Key  string `json:"key"`
	To   string `json:"to"`
	Name string `json:"name"`
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// post sends the message to the gateway that texts or calls.
func (w *alarmWorker) post(ctx context.Context, m db.AlarmMessage, e db.Errand, shop db.Shop) error {
	return postTo(ctx, e.To.GatewayURL, m.Key(), textOrCall{Key: m.Key(), To: e.Phone, Name: e.Name, Kind: e.Alarm.Kind, Text: words(e, shop)})
}

// beat sends the heartbeat, where one is set. That nobody answers is written down
// for the office; it is no reason to do the minute's watch again.
func beat(ctx context.Context, d *db.DB, now time.Time) error {
	settings, err := d.AlarmSettings(ctx)
	if err != nil || settings.HeartbeatURL == "" {
		return err
	}
	minute, wrong := now.UTC().Truncate(time.Minute).Format(time.RFC3339), ""
	if err := postTo(ctx, settings.HeartbeatURL, "heartbeat-"+minute, map[string]string{"at": minute}); err != nil {
		wrong = err.Error()
	}
	return d.HeartbeatTried(ctx, wrong, now)
}

// postTo sends body as JSON; any answer but 2xx is a failure.
func postTo(ctx context.Context, address, key string, body any) error {
	ctx, cancel := context.WithTimeout(ctx, sendTime)
	defer cancel()
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(text))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", key)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode/100 != 2 {
		return fmt.Errorf("it answered %s", answer.Status)
	}
	return nil
}
