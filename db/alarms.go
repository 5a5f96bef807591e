package db

import (
	"context"
	"strconv"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
)

// Alarm is something wrong that a person has to see to now.
type Alarm struct {
	ID       uuid.UUID
	Kind     string // missed-round, warm-room, warm-freezer, silent-sensor or test
	Room     string // as in the address of its page; empty for a test
	Label    string
	Sensor   string
	Since    time.Time
	RaisedAt time.Time
	TakenAt  *time.Time
	TakenBy  string // initials
}

// Says is the alarm in a sentence, without its time.
func (a Alarm) Says() domain.Words {
	switch a.Kind {
	case "missed-round":
		return domain.Say("A round was missed: %s. Somebody has to walk it now.", a.Label)
	case "warm-room":
		return domain.Say("Too warm: %s. Go there, measure, and see why.", a.Label)
	case "warm-freezer":
		return domain.Say("Above 10 °F in a freezer: %s. Go there, shut its door, and move the boxes if it does not fall.", a.Label)
	case "silent-sensor":
		return domain.Say("No word from the sensor %s: %s. Read the thermometer there.", a.Sensor, a.Label)
	}
	return domain.Say("This is a test. Nothing is wrong.")
}

const (
	// secondAfter is how long the first person has to say "I have it" (design.md).
	secondAfter = 10 * time.Minute
	// alarmLookBack: what is older was over before the program could tell anybody.
	alarmLookBack = 24 * time.Hour
)

// AlarmMessage is the job of one message of an alarm to one person in one way.
type AlarmMessage struct {
	Alarm  uuid.UUID `json:"alarm"`
	Person int       `json:"person"` // 1 or 2
	Way    string    `json:"way"`    // mail or gateway
}

// Kind names the job in River's table.
func (AlarmMessage) Kind() string { return "alarm" }

// InsertOpts implements river.JobArgsWithInsertOpts: one job a message, tried for
// about two days.
func (AlarmMessage) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: 300, Priority: 1, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// Key is the same each time the message is sent, and of no other message.
func (m AlarmMessage) Key() string { return m.Alarm.String() + "-" + strconv.Itoa(m.Person) }

const alarmColumns = `
	SELECT a.id, a.kind, coalesce(c.name, '') AS room, coalesce(c.label, '') AS label, a.sensor, a.since, a.raised_at, a.taken_at,
	       coalesce(s.initials, '') AS taken_by
	FROM alarms a LEFT JOIN coolers c ON c.id = a.cooler_id LEFT JOIN staff s ON s.id = a.taken_by `

// OpenAlarms lists the alarms that nobody has taken on, the latest first.
func (db *DB) OpenAlarms(ctx context.Context) ([]Alarm, error) {
	return all[Alarm](ctx, db.pool, alarmColumns+`WHERE a.taken_at IS NULL AND a.kind <> 'test' ORDER BY a.raised_at DESC, a.id LIMIT 20`)
}

// newAlarm is what a look at the records finds.
type newAlarm struct {
	Kind     string
	About    string
	CoolerID int16
	Sensor   string
	Since    time.Time
}

// RaiseAlarms looks for missed rounds, warm rooms and freezers and silent sensors
// that nobody was told of, and raises an alarm for each. Of several rounds missed in one
// room, one after the other, the first is told until somebody has it.
func (db *DB) RaiseAlarms(ctx context.Context, now time.Time) error {
	return db.tx(ctx, "raise alarms", func(tx pgx.Tx) error {
		// Two servers may look at once; the second then sees what the first raised.
		settings, _, err := one[AlarmSettings](ctx, tx, alarmSettingsColumns+` FOR UPDATE`)
		if err != nil {
			return err
		}
		found, err := all[newAlarm](ctx, tx, `
			(SELECT DISTINCT ON (d.cooler_id) 'missed-round' AS kind, 'round ' || d.id AS about, d.cooler_id, '' AS sensor, d.due_at AS since
			 FROM due_rounds d
			 WHERE d.state = 'missed' AND d.missed_at BETWEEN $2 AND $1
			   AND NOT EXISTS (SELECT FROM alarms a WHERE a.kind = 'missed-round' AND a.cooler_id = d.cooler_id AND (a.taken_at IS NULL OR a.since >= d.due_at))
			 ORDER BY d.cooler_id, d.due_at)
			UNION ALL
			SELECT 'warm-room', 'incident ' || i.id, i.cooler_id, '', i.began_at FROM incidents i
			WHERE i.closed_at IS NULL AND (i.ended_at IS NULL OR i.called_at > $2)
			UNION ALL
			SELECT 'silent-sensor', 'sensor ' || s.id || ' ' || extract(epoch FROM r.at)::bigint, s.cooler_id, s.name, r.at
			FROM sensors s CROSS JOIN LATERAL (SELECT at FROM readings WHERE sensor_id = s.id AND flag = 'ok' AND at BETWEEN $5 AND $1 ORDER BY at DESC LIMIT 1) r
			WHERE s.kind = 'posting' AND r.at < $3
			UNION ALL
			SELECT 'warm-freezer', 'freezer ' || c.id || ' ' || extract(epoch FROM w.since)::bigint, c.id, '', w.since
			FROM coolers c
			CROSS JOIN LATERAL (SELECT at, c FROM readings WHERE cooler_id = c.id AND flag = 'ok' AND at BETWEEN $2 AND $1 ORDER BY at DESC LIMIT 1) last
			CROSS JOIN LATERAL (SELECT min(at) AS since FROM readings WHERE cooler_id = c.id AND flag = 'ok' AND at BETWEEN $2 AND $1
			  AND at > coalesce((SELECT max(at) FROM readings WHERE cooler_id = c.id AND flag = 'ok' AND at BETWEEN $2 AND $1 AND c <= $4), '-infinity')) w
			WHERE c.kind = 'freezer' AND last.c > $4`, now, now.Add(-alarmLookBack), now.Add(-settings.Silent()), float64(round.FreezerAct), now.AddDate(0, -3, 0))
		if err != nil {
			return err
		}
		for _, a := range found {
			if err := db.raise(ctx, tx, settings, a, now); err != nil {
				return err
			}
		}
		return nil
	})
}

// raise writes an alarm down, once, and queues its messages with it: both stand
// or neither does.
func (db *DB) raise(ctx context.Context, tx pgx.Tx, to AlarmSettings, a newAlarm, now time.Time) error {
	id := uuid.NewSHA1(uuid.NameSpaceOID, []byte("alarm "+a.About))
	tag, err := tx.Exec(ctx, `
		INSERT INTO alarms (id, kind, about, cooler_id, sensor, since, raised_at) VALUES ($1, $2, $3, nullif($4, 0::smallint), $5, $6, $7)
		ON CONFLICT (about) DO NOTHING`, id, a.Kind, a.About, a.CoolerID, a.Sensor, a.Since, now)
	if err != nil || tag.RowsAffected() == 0 {
		return err
	}
	for _, m := range to.messages(id) {
		due := now
		if m.Person == 2 && a.Kind != "test" {
			due = now.Add(secondAfter)
		}
		_, err := tx.Exec(ctx, `INSERT INTO alarm_messages (alarm_id, person, way, queued_at, due_at) VALUES ($1, $2, $3, $4, $5)`, id, m.Person, m.Way, now, due)
		if err != nil {
			return err
		}
		if _, err := db.queue(ctx, tx, m, due); err != nil {
			return err
		}
	}
	return nil
}

// HaveAlarm is somebody saying "I have it": the second person is spared.
func (db *DB) HaveAlarm(ctx context.Context, act Act, id uuid.UUID) error {
	return db.act(ctx, act, "have alarm", func(tx pgx.Tx) (line, error) {
		a, found, err := one[Alarm](ctx, tx, alarmColumns+`WHERE a.id = $1 FOR UPDATE OF a`, id)
		switch {
		case err != nil:
			return line{}, err
		case !found || a.Kind == "test":
			return line{}, domain.Missing("There is no such alarm.")
		case a.TakenAt != nil:
			return line{}, domain.Taken("%s has it already, since %s.", a.TakenBy, *a.TakenAt)
		}
		var room int16
		err = tx.QueryRow(ctx, `UPDATE alarms SET taken_at = $2, taken_by = $3 WHERE id = $1 RETURNING cooler_id`, id, act.At, act.Staff).Scan(&room)
		return line{Cooler: room, What: "have-alarm", Detail: map[string]any{"alarm": a.Kind, "since": a.Since}}, err
	})
}

// TestAlarm queues a message to both persons in every way that is set.
func (db *DB) TestAlarm(ctx context.Context, act Act) error {
	return db.act(ctx, act, "test alarm", func(tx pgx.Tx) (line, error) {
		settings, _, err := one[AlarmSettings](ctx, tx, alarmSettingsColumns)
		if err != nil {
			return line{}, err
		}
		if len(settings.messages(uuid.Nil)) == 0 {
			return line{}, domain.Wrong("first_mail", "There is nobody to tell yet. Fill in a person with a mail server or a gateway, save, and try again.")
		}
		return line{What: "test-alarm"}, db.raise(ctx, tx, settings, newAlarm{Kind: "test", About: "test " + act.ID.String(), Since: act.At}, act.At)
	})
}
