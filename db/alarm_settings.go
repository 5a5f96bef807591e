package db

import (
	"context"
	"net/url"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// AlarmSettings are whom the shop's own alarms are told to, and how.
type AlarmSettings struct {
	FirstName, FirstMail, FirstPhone    string
	SecondName, SecondMail, SecondPhone string
	MailHost                            string // empty: no mail
	MailPort                            int
	MailUser, MailFrom                  string
	GatewayURL                          string // empty: no text or call
	HeartbeatURL                        string // empty: no heartbeat
	SilentMin                           int    // how long a sensor that posts may say nothing
	HeartbeatAt                         *time.Time
	HeartbeatWrong                      string
}

const alarmSettingsColumns = `
	SELECT first_name, first_mail, first_phone, second_name, second_mail, second_phone, mail_host, mail_port, mail_user, mail_from,
	       gateway_url, heartbeat_url, silent_min, heartbeat_at, heartbeat_wrong FROM alarm_settings`

// Silent is how long a sensor that posts may say nothing.
func (s AlarmSettings) Silent() time.Duration { return time.Duration(s.SilentMin) * time.Minute }

// messages lists whom an alarm is told to, in every way that is set.
func (s AlarmSettings) messages(alarm uuid.UUID) (list []AlarmMessage) {
	for i, p := range []struct{ mail, phone string }{{s.FirstMail, s.FirstPhone}, {s.SecondMail, s.SecondPhone}} {
		if p.mail != "" && s.MailHost != "" {
			list = append(list, AlarmMessage{Alarm: alarm, Person: i + 1, Way: "mail"})
		}
		if p.phone != "" && s.GatewayURL != "" {
			list = append(list, AlarmMessage{Alarm: alarm, Person: i + 1, Way: "gateway"})
		}
	}
	return list
}

// Callable is somebody with a phone.
type Callable struct{ Name, Phone string }

// whomToCall lists whom an alarm is told to, where one is open: a text may not
// arrive, and whoever sees the alarm stands by a phone.
func (db *DB) whomToCall(ctx context.Context, open []Alarm) (list []Callable, err error) {
	if len(open) == 0 {
		return nil, nil
	}
	s, err := db.AlarmSettings(ctx)
	for _, p := range []Callable{{s.FirstName, s.FirstPhone}, {s.SecondName, s.SecondPhone}} {
		if p.Phone != "" {
			list = append(list, p)
		}
	}
	return list, err
}

// Told reports whether an alarm reaches a person at all.
func (s AlarmSettings) Told() bool { return len(s.messages(uuid.Nil)) > 0 }

// check refuses what no message could be sent with.
func (s AlarmSettings) check() error {
	for _, m := range []struct{ field, address string }{{"first_mail", s.FirstMail}, {"second_mail", s.SecondMail}, {"mail_from", s.MailFrom}} {
		if err := checkMail(m.field, m.address); err != nil {
			return err
		}
	}
	for _, u := range []struct{ field, address string }{{"gateway_url", s.GatewayURL}, {"heartbeat_url", s.HeartbeatURL}} {
		at, err := url.Parse(u.address)
		if u.address != "" && (err != nil || at.Scheme != "http" && at.Scheme != "https" || at.Host == "") {
			return domain.Wrong(u.field, "Give the whole address, beginning with https:// or http://.")
		}
	}
	switch {
	case s.MailHost != "" && s.MailFrom == "":
		return domain.Wrong("mail_from", "Say which address the mail comes from.")
	case s.MailPort < 1 || s.MailPort > 65535:
		return domain.Wrong("mail_port", "The port is a number such as 587.")
	case s.SilentMin < 5 || s.SilentMin > 1440:
		return domain.Wrong("silent_min", "Give from 5 minutes to a day, which is 1440.")
	case strings.ContainsAny(s.MailHost, "/: \t"):
		return domain.Wrong("mail_host", "Give the mail server's name alone, such as mail.example.com.")
	}
	return nil
}

// AlarmSettings reads them.
func (db *DB) AlarmSettings(ctx context.Context) (AlarmSettings, error) {
	s, _, err := one[AlarmSettings](ctx, db.pool, alarmSettingsColumns)
	return s, err
}

// SetAlarms sets whom the alarms are told to, and how.
func (db *DB) SetAlarms(ctx context.Context, act Act, s AlarmSettings) error {
	if err := s.check(); err != nil {
		return err
	}
	return db.act(ctx, act, "set alarms", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `
			UPDATE alarm_settings SET first_name = $1, first_mail = $2, first_phone = $3, second_name = $4, second_mail = $5, second_phone = $6,
			       mail_host = $7, mail_port = $8, mail_user = $9, mail_from = $10, gateway_url = $11, heartbeat_url = $12, silent_min = $13,
			       heartbeat_wrong = CASE WHEN heartbeat_url = $12 THEN heartbeat_wrong ELSE '' END`,
			s.FirstName, s.FirstMail, s.FirstPhone, s.SecondName, s.SecondMail, s.SecondPhone,
			s.MailHost, s.MailPort, s.MailUser, s.MailFrom, s.GatewayURL, s.HeartbeatURL, s.SilentMin)
		return line{What: "set-alarms", Detail: map[string]any{"mail": s.MailHost != "", "gateway": s.GatewayURL != "", "heartbeat": s.HeartbeatURL != "", "silent_min": s.SilentMin}}, err
	})
}

// HeartbeatTried writes down what became of a heartbeat; wrong is empty where it
// was answered.
func (db *DB) HeartbeatTried(ctx context.Context, wrong string, now time.Time) error {
	return db.tx(ctx, "heartbeat tried", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			UPDATE alarm_settings SET heartbeat_wrong = $1, heartbeat_at = CASE WHEN $1 = '' THEN $2 ELSE heartbeat_at END`, wrong, now)
		return err
	})
}
