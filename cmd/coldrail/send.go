package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"time"

	"coldrail/db"

	"github.com/wneessen/go-mail"
)

// sendTime is how long a mail server, a gateway or the listener of the heartbeat
// may take to answer.
const sendTime = 20 * time.Second

// sender sends what leaves the shop: alarms to its own people, messages to owners.
type sender struct {
	mailPassword  string         // of the mail server
	gatewaySecret string         // shown to the gateway; empty: none is
	public        string         // address of the site as an owner reaches it
	roots         *x509.CertPool // whom to trust for a mail server's certificate; nil: whom the machine trusts
}

// outgoing is one message on its way. Its key is the same at each try.
type outgoing struct {
	Key     string
	To      string // a mail address, or a phone number
	Name    string
	Kind    string
	Subject string // of a mail
	Text    string
	Stop    string // of a mail: how to get no more of them
}

// mail sends m by the shop's mail server. Where a user is set, the password never
// goes over a line that is not encrypted.
func (s sender) mail(ctx context.Context, by db.AlarmSettings, m outgoing) error {
	letter := mail.NewMsg()
	if err := letter.From(by.MailFrom); err != nil {
		return fmt.Errorf("the sender's address: %w", err)
	}
	if err := letter.To(m.To); err != nil {
		return &refused{fmt.Errorf("the address of %s: %w", m.Name, err)}
	}
	letter.Subject(m.Subject)
	letter.SetMessageIDWithValue(m.Key + "@coldrail.invalid") // the same each time, so that a mailbox can tell
	letter.SetGenHeader("Idempotency-Key", m.Key)
	if m.Stop != "" {
		letter.SetGenHeader("List-Unsubscribe", "<mailto:"+by.MailFrom+"?subject=stop>") // RFC 2369 section 3.2
	}
	letter.SetBodyString(mail.TypeTextPlain, m.Text+"\n"+m.Stop)
	client, err := mail.NewClient(by.MailHost, s.mailOptions(by)...)
	if err != nil {
		return fmt.Errorf("mail server: %w", err)
	}
	err = client.DialAndSendWithContext(ctx, letter)
	var wrong *mail.SendError
	if errors.As(err, &wrong) && !wrong.IsTemp() && wrong.ErrorCode() >= 500 {
		return &refused{err}
	}
	return err
}

func (s sender) mailOptions(by db.AlarmSettings) []mail.Option {
	options := []mail.Option{mail.WithPort(by.MailPort), mail.WithTimeout(sendTime), mail.WithTLSPolicy(mail.TLSOpportunistic),
		mail.WithTLSConfig(&tls.Config{ServerName: by.MailHost, RootCAs: s.roots, MinVersion: tls.VersionTLS12})}
	if by.MailUser != "" {
		options = append(options, mail.WithTLSPolicy(mail.TLSMandatory),
			mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover), mail.WithUsername(by.MailUser), mail.WithPassword(s.mailPassword))
	}
	if by.MailPort == 465 { // TLS from the first byte: RFC 8314
		options = append(options, mail.WithSSL())
	}
	return options
}

// textOrCall is the body of what a gateway is sent; README.md describes it.
type textOrCall struct {
	Key  string `json:"key"`
	To   string `json:"to"`
	Name string `json:"name"`
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// post sends m to the gateway that texts or calls.
func (s sender) post(ctx context.Context, by db.AlarmSettings, m outgoing) error {
	return s.json(ctx, by.GatewayURL, m.Key, textOrCall{Key: m.Key, To: m.To, Name: m.Name, Kind: m.Kind, Text: m.Text})
}

// json posts body; any answer but 2xx is a failure.
func (s sender) json(ctx context.Context, address, key string, body any) error {
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
	if _, ours := body.(textOrCall); ours && s.gatewaySecret != "" {
		r.Header.Set("Authorization", "Bearer "+s.gatewaySecret)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	switch c := answer.StatusCode; {
	case c/100 == 2:
		return nil
	case c == http.StatusBadRequest || c == http.StatusUnprocessableEntity || c == http.StatusGone:
		return &refused{fmt.Errorf("it answered %s", answer.Status)}
	}
	return fmt.Errorf("it answered %s", answer.Status)
}

// refused is an answer that will be the same next time: no such mailbox, no such
// number.
type refused struct{ error }

// Unwrap is what was met.
func (r *refused) Unwrap() error { return r.error }

// doubling is how long to wait after try number attempt: first, then twice as long
// each time, at most longest.
func doubling(first, longest time.Duration, attempt int) time.Duration {
	return min(longest, first<<min(attempt-1, 20))
}
