package db

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Errand is a message that is to be sent now: which alarm, and to whom.
type Errand struct {
	Alarm Alarm
	To    AlarmSettings
	Name  string
	Mail  string
	Phone string
}

// AlarmErrand says what a message needs, read at the moment it goes out, so that
// a corrected address helps at once. Wanted is false where it was sent already,
// or somebody has the alarm and the person need not be told.
func (db *DB) AlarmErrand(ctx context.Context, m AlarmMessage, now time.Time) (e Errand, wanted bool, err error) {
	err = db.tx(ctx, "alarm errand", func(tx pgx.Tx) error {
		var done bool
		err := tx.QueryRow(ctx, `
			SELECT sent_at IS NOT NULL OR spared_at IS NOT NULL FROM alarm_messages WHERE alarm_id = $1 AND person = $2 AND way = $3 FOR UPDATE`,
			m.Alarm, m.Person, m.Way).Scan(&done)
		if err != nil || done {
			return err
		}
		if e.Alarm, _, err = one[Alarm](ctx, tx, alarmColumns+`WHERE a.id = $1`, m.Alarm); err != nil {
			return err
		}
		if e.Alarm.TakenAt != nil {
			_, err := tx.Exec(ctx, `UPDATE alarm_messages SET spared_at = $4 WHERE alarm_id = $1 AND person = $2 AND way = $3`, m.Alarm, m.Person, m.Way, now)
			return err
		}
		wanted = true
		e.To, _, err = one[AlarmSettings](ctx, tx, alarmSettingsColumns)
		e.Name, e.Mail, e.Phone = e.To.FirstName, e.To.FirstMail, e.To.FirstPhone
		if m.Person == 2 {
			e.Name, e.Mail, e.Phone = e.To.SecondName, e.To.SecondMail, e.To.SecondPhone
		}
		return err
	})
	return e, wanted, err
}

// AlarmTried writes down what became of one try; wrong is empty where it was sent.
func (db *DB) AlarmTried(ctx context.Context, m AlarmMessage, wrong string, now time.Time) error {
	return db.tx(ctx, "alarm tried", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			UPDATE alarm_messages SET tries = tries + 1, tried_at = $4, wrong = $5, sent_at = CASE WHEN $5 = '' THEN $4::timestamptz END
			WHERE alarm_id = $1 AND person = $2 AND way = $3`, m.Alarm, m.Person, m.Way, now, wrong)
		return err
	})
}

// AlarmSent is one line of the log of messages.
type AlarmSent struct {
	AlarmID  uuid.UUID
	Kind     string
	Label    string
	RaisedAt time.Time
	Person   int
	Way      string
	DueAt    time.Time
	Tries    int
	Wrong    string
	SentAt   *time.Time
	SparedAt *time.Time
}

// AlarmLog lists the messages of the latest alarms, the latest first.
func (db *DB) AlarmLog(ctx context.Context) ([]AlarmSent, error) {
	return all[AlarmSent](ctx, db.pool, `
		SELECT m.alarm_id, a.kind, coalesce(c.label, '') AS label, a.raised_at, m.person, m.way, m.due_at, m.tries, m.wrong, m.sent_at, m.spared_at
		FROM alarm_messages m JOIN alarms a ON a.id = m.alarm_id LEFT JOIN coolers c ON c.id = a.cooler_id
		ORDER BY a.raised_at DESC, m.alarm_id, m.person, m.way LIMIT 40`)
}
