package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/message"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
)

// OwnerMessage is the job of one message to one owner.
type OwnerMessage struct {
	ID uuid.UUID `json:"id"`
}

// MessageTries is how often a message is tried, over about four hours; then
// somebody calls.
const MessageTries = 9

// MessageQueue is the queue of messages: apart, so that no alarm waits for them.
const MessageQueue = "owners"

// Kind names the job in River's table.
func (OwnerMessage) Kind() string { return "message" }

// InsertOpts implements river.JobArgsWithInsertOpts: one job a message.
func (OwnerMessage) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: MessageTries, Queue: MessageQueue, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// Key is the same each time the message is sent, and of no other message.
func (m OwnerMessage) Key() string { return "message-" + m.ID.String() }

// The states of a message.
const (
	MessageQueued  = "queued"
	MessageSent    = "sent"
	MessageToCall  = "to-call" // somebody has to call instead, or failed and is to be called
	MessageCalled  = "called"
	MessageDropped = "dropped"
)

// Message is one message to one owner about one animal, and what became of it.
type Message struct {
	ID        uuid.UUID
	AnimalID  uuid.UUID
	Number    domain.ShopNumber
	Species   domain.Species
	PersonID  uuid.UUID
	Portion   cutting.Portion // the share it is about; the whole animal otherwise
	Name      string
	Phone     string
	CallWhen  string
	CallFirst bool // the lead has not yet spoken to the owner
	Kind      message.Kind
	About     string // the day before, the laboratory's word
	Way       message.Way
	State     string
	Why       string // it is to be called, or was dropped
	QueuedAt  time.Time
	QueuedBy  string // initials
	DueAt     time.Time
	Urged     bool
	Words     string // empty before the first try
	CallUs    bool   // it says only that they should call
	Address   string
	Tries     int
	TriedAt   *time.Time
	Wrong     string
	EndedAt   *time.Time
	EndedBy   string // initials; empty: the program
}

// Failed reports whether it was tried and given up.
func (m Message) Failed() bool { return m.State == MessageToCall && m.Tries > 0 && m.Wrong != "" }

const messageColumns = `
	SELECT m.id, m.animal_id, a.number, a.species, m.person_id, m.portion, p.name, p.phone, p.call_when, a.call_first, m.kind, m.about, m.way, m.state, m.why, m.queued_at,
	       q.initials AS queued_by, m.due_at, m.urged, m.words, m.call_us, m.address, m.tries, m.tried_at, m.wrong, m.ended_at, coalesce(e.initials, '') AS ended_by
	FROM messages m JOIN animals a ON a.id = m.animal_id JOIN people p ON p.id = m.person_id JOIN staff q ON q.id = m.queued_by
	LEFT JOIN staff e ON e.id = m.ended_by `

// MessagesAbout lists the messages about an animal, the latest first.
func (db *DB) MessagesAbout(ctx context.Context, number domain.ShopNumber) ([]Message, error) {
	return all[Message](ctx, db.pool, messageColumns+`WHERE a.number = $1 ORDER BY m.queued_at DESC, m.id DESC LIMIT 60`, number)
}

// OpenMessages lists what waits to be sent and whom somebody has to call, the
// oldest first.
func (db *DB) OpenMessages(ctx context.Context) ([]Message, error) {
	return all[Message](ctx, db.pool, messageColumns+`WHERE m.state IN ('queued', 'to-call') ORDER BY m.queued_at, m.id LIMIT 200`)
}

// MessagesDone lists what was sent, called or dropped last.
func (db *DB) MessagesDone(ctx context.Context) ([]Message, error) {
	return all[Message](ctx, db.pool, messageColumns+`WHERE m.ended_at IS NOT NULL ORDER BY m.ended_at DESC, m.id LIMIT 40`)
}

// OwnersToCall lists whom somebody has to call, the oldest first.
func (db *DB) OwnersToCall(ctx context.Context) ([]Message, error) {
	return all[Message](ctx, db.pool, messageColumns+`WHERE m.state = 'to-call' ORDER BY m.queued_at, m.id LIMIT 100`)
}

// LatestAnimal is the one taken in last; found is false in an empty shop.
func (db *DB) LatestAnimal(ctx context.Context) (n domain.ShopNumber, found bool, err error) {
	type row struct{ Number domain.ShopNumber }
	r, found, err := one[row](ctx, db.pool, `SELECT number FROM animals ORDER BY received_at DESC, number DESC LIMIT 1`)
	return r.Number, found, err
}

// cause is what an owner is told of, in the transaction that made it so.
type cause struct {
	Kind  message.Kind
	About string
	From  time.Time // not before
}

// tellOwners queues a message to each owner of the animal, or puts them on the call
// list, while messages are on. An earlier one of the same kind that still waits is
// overtaken by this one; of meat nobody fetches a letter and the fee are told apart.
func (db *DB) tellOwners(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, c cause) error {
	set, err := messageSettings(ctx, tx)
	if err != nil || !set.Sending {
		return err
	}
	if _, err := tx.Exec(ctx, `
		UPDATE messages SET state = 'dropped', why = 'A later one took its place.', ended_at = $3
		WHERE animal_id = $1 AND (kind = $2 OR kind = 'part-ready' AND $2 = 'ready') AND (kind <> 'storage' OR (about = '') = ($4 = '')) AND state IN ('queued', 'to-call')`,
		animal, c.Kind, act.Arrival(), c.About); err != nil {
		return err
	}
	owners, err := toTell(ctx, tx, animal)
	if err != nil {
		return err
	}
	zone, err := zoneOf(ctx, tx)
	if err != nil {
		return err
	}
	due := act.Arrival()
	if c.From.After(due) {
		due = c.From
	}
	due = set.Quiet.Goes(due.In(zone))
	for _, o := range owners {
		if err := db.tellOwner(ctx, tx, act, animal, o, c, due); err != nil {
			return err
		}
	}
	return nil
}

// tellOwner queues one message, or puts one person on the call list.
func (db *DB) tellOwner(ctx context.Context, tx pgx.Tx, act Act, animal uuid.UUID, o Reached, c cause, due time.Time) (err error) {
	m := OwnerMessage{ID: uuid.Must(uuid.NewV7())}
	way, why := o.Way()
	state, job := MessageToCall, (*int64)(nil)
	if way != message.Call {
		id, err := db.queue(ctx, tx, m, due)
		if err != nil {
			return err
		}
		state, job = MessageQueued, &id
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO messages (id, animal_id, person_id, portion, kind, about, way, state, why, queued_at, queued_by, due_at, job)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
		m.ID, animal, o.PersonID, o.Portion, c.Kind, c.About, way, state, why.String(), act.Arrival(), act.Staff, due, job)
	return err
}

func zoneOf(ctx context.Context, q querier) (*time.Location, error) {
	var zone string
	err := q.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone)
	return Shop{Zone: zone}.Location(), err
}
