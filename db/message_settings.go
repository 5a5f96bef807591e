package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/message"

	"github.com/jackc/pgx/v5"
)

// MessageSettings say whether messages go to owners, and when none does.
type MessageSettings struct {
	Sending     bool
	Quiet       message.Quiet
	FreezeHours int // how long boxes freeze before their owner is told
}

// MessageSettings reads them.
func (db *DB) MessageSettings(ctx context.Context) (MessageSettings, error) {
	return messageSettings(ctx, db.pool)
}

func messageSettings(ctx context.Context, q querier) (s MessageSettings, err error) {
	var from, to int
	err = q.QueryRow(ctx, `
		SELECT sending, extract(epoch FROM quiet_from)::int, extract(epoch FROM quiet_to)::int, freeze_hours FROM message_settings`).
		Scan(&s.Sending, &from, &to, &s.FreezeHours)
	s.Quiet = message.Quiet{From: time.Duration(from) * time.Second, To: time.Duration(to) * time.Second}
	return s, translate(err)
}

// SetMessages turns the messages on or off and sets their hours: the owner's. What
// waits to be sent while they are off goes onto the call list when its time comes.
func (db *DB) SetMessages(ctx context.Context, act Act, s MessageSettings) error {
	if err := s.Quiet.Check(); err != nil {
		return err
	}
	if s.FreezeHours < 0 || s.FreezeHours > 96 {
		return domain.Wrong("freeze_hours", "Give from 0 to 96 hours. A box freezes hard in a day or two.")
	}
	return db.act(ctx, act, "set messages", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `
			UPDATE message_settings SET sending = $1, quiet_from = make_time($2, $3, 0), quiet_to = make_time($4, $5, 0), freeze_hours = $6`,
			s.Sending, int(s.Quiet.From.Hours()), int(s.Quiet.From.Minutes())%60, int(s.Quiet.To.Hours()), int(s.Quiet.To.Minutes())%60, s.FreezeHours)
		return line{What: "set-messages", Detail: map[string]any{"on": s.Sending, "quiet_from": s.Quiet.From.String(), "quiet_to": s.Quiet.To.String(), "freeze_hours": s.FreezeHours}}, err
	})
}

// Wording is what the shop says in one kind of message. Version 0 is the program's.
type Wording struct {
	Kind      message.Kind
	Version   int
	Words     string
	WrittenAt *time.Time
	WrittenBy string // initials
}

// Wordings reads what is said now, one of each kind.
func (db *DB) Wordings(ctx context.Context) ([]Wording, error) { return wordings(ctx, db.pool) }

func wordings(ctx context.Context, q querier) ([]Wording, error) {
	written, err := all[Wording](ctx, q, `
		SELECT DISTINCT ON (w.kind) w.kind, w.version, w.words, w.written_at, s.initials AS written_by
		FROM message_wordings w JOIN staff s ON s.id = w.written_by ORDER BY w.kind, w.version DESC`)
	if err != nil {
		return nil, err
	}
	of := map[message.Kind]Wording{}
	for _, w := range written {
		of[w.Kind] = w
	}
	var list []Wording
	for _, k := range message.Kinds() {
		w, ok := of[k]
		if !ok {
			w = Wording{Kind: k, Words: k.Default()}
		}
		list = append(list, w)
	}
	return list, nil
}

// wordingOf is what is said now in one kind.
func wordingOf(ctx context.Context, q querier, k message.Kind) (string, error) {
	list, err := wordings(ctx, q)
	for _, w := range list {
		if w.Kind == k {
			return w.Words, err
		}
	}
	return k.Default(), err
}

// WordMessage writes what the shop says in one kind: the owner's. Every version is
// kept. Of two at once the second is told to look again.
func (db *DB) WordMessage(ctx context.Context, act Act, k message.Kind, words string, after int) error {
	if !k.Known() {
		return domain.Missing("There is no such message.")
	}
	words = strings.Join(strings.Fields(words), " ")
	if err := k.CheckWording(words); err != nil {
		return err
	}
	return db.act(ctx, act, "word message", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `
			INSERT INTO message_wordings (kind, version, words, written_at, written_by) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (kind, version) DO NOTHING`, k, after+1, words, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("Somebody else has written these words meanwhile. Look at them and write yours again.")
		}
		return line{What: "word-message", Detail: map[string]any{"message": string(k), "version": after + 1}}, err
	})
}
