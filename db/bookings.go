package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BookingDay is a day that takes bookings, and how it stands.
type BookingDay struct {
	ID     uuid.UUID
	Day    time.Time
	Kind   animal.BookingKind
	Heads  int
	Note   string
	Booked int // heads that are booked or came
}

// Free is how many heads the day still takes.
func (d BookingDay) Free() int { return d.Heads - d.Booked }

// Booking is one line of a day.
type Booking struct {
	ID      uuid.UUID
	DayID   uuid.UUID
	Day     time.Time
	Kind    animal.BookingKind
	Species domain.Species
	Heads   int
	Came    int // heads that were taken in
	Name    string
	Phone   string
	BringAt string // "07:30", or empty
	Note    string
	State   string // booked, came, no-show or called-off
	Why     string
}

const bookingDayColumns = `
	d.id, d.day, d.kind, d.heads, d.note,
	(SELECT coalesce(sum(heads), 0)::int FROM bookings b WHERE b.day_id = d.id AND b.state IN ('booked', 'came')) AS booked
	FROM booking_days d`

const bookingColumns = `
	b.id, b.day_id, d.day, d.kind, b.species, b.heads, (SELECT count(*)::int FROM animals a WHERE a.booking_id = b.id) AS came,
	b.name, b.phone, coalesce(to_char(b.bring_at, 'HH24:MI'), '') AS bring_at, b.note, b.state, b.why
	FROM bookings b JOIN booking_days d ON d.id = b.day_id`

// OpenDay opens a day for bookings, or changes how many heads it takes.
func (db *DB) OpenDay(ctx context.Context, act Act, kind animal.BookingKind, day time.Time, heads int, note string) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	if err := animal.CheckDay(kind, day, act.At.In(shop.Location()), heads); err != nil {
		return err
	}
	return db.act(ctx, act, "open day", func(tx pgx.Tx) (line, error) {
		d, found, err := one[BookingDay](ctx, tx, `SELECT `+bookingDayColumns+` WHERE d.day = $1 AND d.kind = $2 FOR UPDATE OF d`, day, kind)
		if err != nil {
			return line{}, err
		}
		if found && heads < d.Booked {
			return line{}, domain.Wrong("heads", "%d heads are booked on that day already. Call some of them first.", d.Booked)
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO booking_days (id, day, kind, heads, note, made_at, made_by) VALUES ($1, $2, $3, $4, $5, $6, $7)
			ON CONFLICT (day, kind) DO UPDATE SET heads = excluded.heads, note = excluded.note`, act.ID, day, kind, heads, tidy(note), act.At, act.Staff)
		return line{What: "open-day", Detail: map[string]any{"day": day.Format(time.DateOnly), "kind": string(kind), "heads": heads}}, err
	})
}

// Book writes a booking down while the day has room. Of two who want the last place
// one is told.
func (db *DB) Book(ctx context.Context, act Act, day uuid.UUID, b animal.Booking) error {
	b.Name, b.Phone, b.Note = tidy(b.Name), tidy(b.Phone), tidy(b.Note)
	return db.act(ctx, act, "book", func(tx pgx.Tx) (line, error) {
		if _, err := tx.Exec(ctx, `SELECT FROM booking_days WHERE id = $1 FOR UPDATE`, day); err != nil {
			return line{}, err
		}
		d, found, err := one[BookingDay](ctx, tx, `SELECT `+bookingDayColumns+` WHERE d.id = $1`, day)
		if err == nil && !found {
			err = domain.Wrong("day", "Choose a day that takes bookings.")
		}
		if err != nil {
			return line{}, err
		}
		b.Kind = d.Kind
		if err := b.Check(d.Free()); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO bookings (id, day_id, species, heads, name, phone, bring_at, note, made_at, made_by)
			VALUES ($1, $2, $3, $4, $5, $6, nullif($7, '')::time, $8, $9, $10)`,
			act.ID, day, b.Species, b.Heads, b.Name, b.Phone, b.BringAt, b.Note, act.At, act.Staff)
		return line{What: "book", Detail: map[string]any{"day": d.Day.Format(time.DateOnly), "species": string(b.Species), "heads": b.Heads}}, err
	})
}

// DropBooking notes that nobody came, or that it was called off, and why. What came
// already stays.
func (db *DB) DropBooking(ctx context.Context, act Act, id uuid.UUID, state, why string) error {
	why = tidy(why)
	switch {
	case state != "no-show" && state != "called-off":
		return domain.Wrong("state", "Say whether nobody came, or it was called off.")
	case why == "":
		return domain.Wrong("why", "Write in a few words what was said.")
	}
	return db.act(ctx, act, "drop booking", func(tx pgx.Tx) (line, error) {
		tag, err := tx.Exec(ctx, `
			UPDATE bookings SET state = $2, why = $3, changed_at = $4, changed_by = $5 WHERE id = $1 AND state = 'booked'`, id, state, why, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("That booking has changed meanwhile: it came, or somebody called it off. Look again.")
		}
		return line{What: "drop-booking", Detail: map[string]any{"state": state}}, err // what was said stands in the booking, and goes with its name
	})
}

// BookingDays lists the days from a day on, with how many heads are booked.
func (db *DB) BookingDays(ctx context.Context, from time.Time) ([]BookingDay, error) {
	return all[BookingDay](ctx, db.pool, `SELECT `+bookingDayColumns+` WHERE d.day >= $1 ORDER BY d.day, d.kind LIMIT 200`, from)
}

// Bookings lists who brings what from a day on, until another.
func (db *DB) Bookings(ctx context.Context, from, until time.Time) ([]Booking, error) {
	return all[Booking](ctx, db.pool, `
		SELECT `+bookingColumns+` WHERE d.day BETWEEN $1 AND $2 ORDER BY d.day, b.bring_at NULLS LAST, b.name LIMIT 1000`, from, until)
}

// bookedBy lists what is booked for a day, and what of the two weeks before it
// neither came nor was called off.
func (db *DB) bookedBy(ctx context.Context, day string) ([]Booking, error) {
	return all[Booking](ctx, db.pool, `
		SELECT `+bookingColumns+` WHERE b.state = 'booked' AND d.day BETWEEN $1::date - 14 AND $1::date ORDER BY d.day, b.bring_at NULLS LAST, b.name LIMIT 200`, day)
}

// BookingOf reads one.
func (db *DB) BookingOf(ctx context.Context, id uuid.UUID) (Booking, error) {
	b, found, err := one[Booking](ctx, db.pool, `SELECT `+bookingColumns+` WHERE b.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("There is no such booking.")
	}
	return b, err
}

// queueBooked ties an animal to its booking, which is done when all its heads came.
func (d Drop) queueBooked(rows *pgx.Batch, act Act) {
	if d.Booking == uuid.Nil {
		return
	}
	rows.Queue(`UPDATE animals SET booking_id = $2 WHERE id = $1`, act.ID, d.Booking)
	rows.Queue(`
		UPDATE bookings b SET state = 'came', why = '', changed_at = $2, changed_by = $3
		WHERE b.id = $1 AND b.heads <= (SELECT count(*) FROM animals a WHERE a.booking_id = b.id)`, d.Booking, act.At, act.Staff)
}
