package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Animal is one carcass and its five tracks, as its row has it. A nil pointer
// means: not taken, not told.
type Animal struct {
	ID             uuid.UUID
	Number         domain.ShopNumber
	Species        domain.Species
	Class          domain.Class
	Sex            animal.Sex
	Points         *int
	Form           domain.Form
	KilledAt       time.Time
	KilledDayOnly  bool
	ReceivedAt     time.Time
	DeepC          *domain.Celsius
	KeptC          *domain.Celsius
	Kept           animal.Kept
	Door           string // clean or damaged
	DoorNote       string
	FieldDressedKg *domain.Kilogram
	HangingKg      *domain.Kilogram
	Wish           string // "", cut-when-cold or long-hang
	Keeps          string // head, cape, antlers, hide the owner wants kept
	SampleWanted   bool
	Physical       animal.Physical
	Legal          animal.Legal
	Disease        animal.Disease
	OrderState     animal.OrderTrack
	Money          animal.Money
	ProtocolID     int
	PriceListID    int
	PromisedOn     *time.Time
	LinkRevision   int
	CallFirst      bool // the hunter's page says only: please call
	Revision       int
}

// animalColumns lists what an Animal is read from; the table is called a.
const animalColumns = `
	a.id, a.number, a.species, a.class, a.sex, a.points, a.form, a.killed_at, a.killed_day_only, a.received_at, a.deep_c, a.kept_c,
	coalesce(a.kept, '') AS kept, a.door, a.door_note, a.field_dressed_kg, a.hanging_kg, a.wish, a.keeps, a.sample_wanted,
	a.physical, a.legal, a.disease, a.order_state, a.money, a.protocol_id, a.price_list_id, a.promised_on, a.link_revision,
	a.call_first, a.revision`

// Tracks returns the five tracks together.
func (a Animal) Tracks() animal.Tracks {
	return animal.Tracks{Physical: a.Physical, Legal: a.Legal, Disease: a.Disease, Order: a.OrderState, Money: a.Money}
}

// Animal finds one by its shop number.
func (db *DB) Animal(ctx context.Context, number domain.ShopNumber) (Animal, error) {
	a, found, err := one[Animal](ctx, db.pool, `SELECT `+animalColumns+` FROM animals a WHERE a.number = $1`, number)
	if err == nil && !found {
		err = domain.Missing("There is no animal with the number %s.", string(number))
	}
	return a, err
}

// lockAnimal reads the animal and keeps others from changing it until tx ends.
func lockAnimal(ctx context.Context, tx pgx.Tx, number domain.ShopNumber) (Animal, error) {
	a, found, err := one[Animal](ctx, tx, `SELECT `+animalColumns+` FROM animals a WHERE a.number = $1 FOR UPDATE`, number)
	if err == nil && !found {
		err = domain.Missing("There is no animal with the number %s.", string(number))
	}
	return a, err
}

// setTracks writes the tracks the domain decided on and raises the revision. It
// repeats the states the decision was made from; if they have changed, somebody
// else was first and nothing is written.
func setTracks(ctx context.Context, tx pgx.Tx, from Animal, to animal.Tracks) error {
	tag, err := tx.Exec(ctx, `
		UPDATE animals SET physical = $2, legal = $3, disease = $4, order_state = $5, money = $6, revision = revision + 1
		WHERE id = $1 AND physical = $7 AND legal = $8 AND disease = $9 AND order_state = $10 AND money = $11`,
		from.ID, to.Physical, to.Legal, to.Disease, to.Order, to.Money,
		from.Physical, from.Legal, from.Disease, from.OrderState, from.Money)
	if err == nil && tag.RowsAffected() == 0 {
		err = domain.Taken("Somebody else changed %s at the same moment. Look again.", string(from.Number))
	}
	return err
}

// touch raises the animal's revision after an act that moves no track.
func touch(ctx context.Context, tx pgx.Tx, id uuid.UUID) error {
	_, err := tx.Exec(ctx, `UPDATE animals SET revision = revision + 1 WHERE id = $1`, id)
	return err
}

// openHolds lists what stops the animal.
func openHolds(ctx context.Context, q querier, id uuid.UUID) ([]hold.Hold, error) {
	return all[hold.Hold](ctx, q, `
		SELECT h.kind, h.reason AS why, h.opened_at, s.initials AS opened_by,
		       coalesce(h.review_on::timestamptz, '0001-01-01Z') AS review_by, '0001-01-01Z'::timestamptz AS closed_at,
		       coalesce(h.boned_at, '0001-01-01Z') AS boned_at
		FROM holds h JOIN staff s ON s.id = h.opened_by
		WHERE h.animal_id = $1 AND h.closed_at IS NULL ORDER BY h.opened_at`, id)
}
