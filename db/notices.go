package db

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Notice is something that has to be told because a rule says so.
type Notice struct {
	ID       uuid.UUID
	Number   domain.ShopNumber // empty: about the shop
	Key      string            // of the rule
	Tell     string
	Must     string // what it has to say
	Says     string
	Cites    string
	Taker    string // the hunter's name and address, which most reports ask for
	Address  string
	RaisedAt time.Time
	DueAt    time.Time
	SentAt   *time.Time
	SentBy   string
	How      string
	Owner    string // of meat that was reached, where the task is theirs alone
	Phone    string
	TellBy   string
	Answer   string     // what that owner wants: one of OwnerAnswers
	WrongAt  *time.Time // it was ticked off by a slip; another stands in its place
	WrongBy  string
	WrongWhy string
}

// OwnerAnswers are what an owner may want done with meat that was reached (trade.md 2.5,
// steps 3 and 5).
var OwnerAnswers = []string{"keeps", "replacement", "money-back", "discard"}

const noticeQuery = `
	SELECT n.id, coalesce(a.number, '') AS number, r.key, coalesce(o.name, r.tell) AS tell, r.must, r.says, r.cites, coalesce(p.name, '') AS taker, coalesce(p.address, '') AS address,
	       n.raised_at, n.due_at, n.sent_at, coalesce(s.initials, '') AS sent_by, n.how,
	       coalesce(o.name, '') AS owner, coalesce(o.phone, '') AS phone, coalesce(o.tell_by, '') AS tell_by, n.answer,
	       n.wrong_at, coalesce(w.initials, '') AS wrong_by, n.wrong_why
	FROM notices n JOIN statutes r ON r.id = n.statute_id LEFT JOIN animals a ON a.id = n.animal_id LEFT JOIN staff s ON s.id = n.sent_by LEFT JOIN staff w ON w.id = n.wrong_by
	LEFT JOIN LATERAL (SELECT person_id FROM animal_people WHERE animal_id = a.id AND role IN ('taker', 'owner') ORDER BY role DESC, since LIMIT 1) ap ON true
	LEFT JOIN people p ON p.id = ap.person_id LEFT JOIN people o ON o.id = n.person_id`

// OpenNotices lists what is still to be told, the first due first.
func (db *DB) OpenNotices(ctx context.Context) ([]Notice, error) {
	return all[Notice](ctx, db.pool, noticeQuery+` WHERE n.sent_at IS NULL ORDER BY n.due_at, n.id LIMIT 500`)
}

// SentNotices lists what was told, the latest first.
func (db *DB) SentNotices(ctx context.Context) ([]Notice, error) {
	return all[Notice](ctx, db.pool, noticeQuery+` WHERE n.sent_at IS NOT NULL ORDER BY n.sent_at DESC, n.id LIMIT 100`)
}

// reportRules are the rules of a trigger that reach the animal.
func reportRules(list []Statute, trigger statute.Trigger, fits func(statute.Rule) bool) (due []Statute) {
	for _, s := range list {
		if s.Topic == statute.Report && s.Trigger == trigger && fits(s.Rule) {
			due = append(due, s)
		}
	}
	return due
}

// queueNotices raises a notice for each rule, counted from start in the shop's
// zone, and for a rule about each owner one for each of them; one that is open
// already stays as it is.
func queueNotices(rows *pgx.Batch, act Act, animal uuid.UUID, due []Statute, start time.Time, loc *time.Location, owners ...uuid.UUID) {
	for _, s := range due {
		by, counted := s.Due(start, loc)
		if !counted {
			continue // Check refuses a report without its deadline
		}
		to := []uuid.UUID{uuid.Nil}
		if s.EachOwner && len(owners) > 0 {
			to = owners
		}
		for _, person := range to {
			rows.Queue(`
				INSERT INTO notices (id, animal_id, statute_id, raised_at, raised_by, due_at, person_id) VALUES ($1, $2, $3, $4, $5, $6, $7)
				ON CONFLICT (animal_id, statute_id, coalesce(person_id, '00000000-0000-0000-0000-000000000000')) WHERE sent_at IS NULL DO NOTHING`,
				uuid.Must(uuid.NewV7()), orNull(animal), s.ID, act.At, act.Staff, by, orNull(person))
		}
	}
}

// queueReports raises what a rule wants told of an animal as it comes in: a head or
// spine from another state, and a carcass of a listed place.
func (d Drop) queueReports(rows *pgx.Batch, act Act, k atDoor) {
	outside := d.KillState != "" && !strings.EqualFold(d.KillState, k.Home) && (d.Form == domain.Whole || d.Form == domain.WholeHideOn)
	due := reportRules(k.statutes, statute.FromOutside, func(r statute.Rule) bool { return outside && r.For(d.Species, d.Form) })
	due = append(due, reportRules(k.statutes, statute.FromZone, func(r statute.Rule) bool {
		return len(r.Places) > 0 && r.For(d.Species, d.Form) && r.At(d.KillState, d.County, d.Unit)
	})...)
	queueNotices(rows, act, act.ID, due, d.ReceivedAt, Shop{Zone: k.Zone}.Location())
}

// raisePositive raises what has to be told once a result came back detected.
func raisePositive(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	list, err := all[Statute](ctx, tx, statutesHere)
	if err != nil {
		return err
	}
	var zone string
	if err := tx.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone); err != nil {
		return err
	}
	touched, err := touchedBy(ctx, tx, a)
	if err != nil {
		return err
	}
	var owners []uuid.UUID
	for _, o := range touched.People {
		if o.Person != uuid.Nil && !slices.Contains(owners, o.Person) {
			owners = append(owners, o.Person)
		}
	}
	rows := &pgx.Batch{}
	due := reportRules(list, statute.Positive, func(r statute.Rule) bool { return r.For(a.Species, a.Form) })
	queueNotices(rows, act, a.ID, due, act.At, Shop{Zone: zone}.Location(), owners...)
	return tx.SendBatch(ctx, rows).Close()
}

// RaiseNotice puts a report on the list by hand: a month's, a season's, a year's.
// Start is the day it is counted from.
func (db *DB) RaiseNotice(ctx context.Context, act Act, key string, start time.Time) error {
	return db.act(ctx, act, "raise notice", func(tx pgx.Tx) (line, error) {
		list, err := all[Statute](ctx, tx, statutesHere)
		if err != nil {
			return line{}, err
		}
		var zone string
		if err := tx.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone); err != nil {
			return line{}, err
		}
		for _, s := range list {
			if s.Key != key || s.Topic != statute.Report {
				continue
			}
			rows := &pgx.Batch{}
			queueNotices(rows, act, uuid.Nil, []Statute{s}, start, Shop{Zone: zone}.Location())
			return line{What: "raise-notice", Detail: map[string]any{"rule": key}, Rows: rows}, nil
		}
		return line{}, domain.Wrong("report", "Choose which report it is.")
	})
}

// ToldSo is how and when a notice was told, and what an owner answered.
type ToldSo struct {
	How    string
	When   time.Time
	Answer string // one of OwnerAnswers; only of a notice to an owner
}

// SendNotice closes a notice: it was told, so and then. Without how and when it
// stays open, and one to an owner without their answer too.
func (db *DB) SendNotice(ctx context.Context, act Act, id uuid.UUID, told ToldSo) error {
	return db.act(ctx, act, "send notice", func(tx pgx.Tx) (line, error) {
		how, when := tidy(told.How), told.When
		switch {
		case how == "":
			return line{}, domain.Wrong("how", "Say how it was told: by phone to whom, by mail, through which page, with its reference.")
		case when.IsZero():
			return line{}, domain.Wrong("sent", "Say when it was told.")
		case when.After(act.At.Add(time.Minute)):
			return line{}, domain.Wrong("sent", "It cannot have been told in the future. Check the time.")
		}
		n, found, err := one[struct{ Animal, Person *uuid.UUID }](ctx, tx, `SELECT animal_id AS animal, person_id AS person FROM notices WHERE id = $1`, id)
		switch {
		case err == nil && !found:
			err = domain.Missing("There is no such notice.")
		case err == nil && n.Person != nil && !slices.Contains(OwnerAnswers, told.Answer):
			err = domain.Wrong("answer", "Say what the owner wants: keep it, a replacement, money back, or discard it.")
		case n.Person == nil:
			told.Answer = ""
		}
		if err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `UPDATE notices SET sent_at = $2, sent_by = $3, how = $4, answer = $5 WHERE id = $1 AND sent_at IS NULL`, id, when, act.Staff, how, told.Answer)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("Somebody has told it already. Open the list again.")
		}
		l := line{What: "send-notice", Detail: map[string]any{}}
		if n.Animal != nil {
			l.Animal = *n.Animal
		}
		return l, err
	})
}
