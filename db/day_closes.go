package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/closing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Takings is the money of a stretch of receipts by how it was paid, less what was
// given back the same way.
type Takings struct {
	CashCents  domain.Cents
	CheckCents domain.Cents
	CardCents  domain.Cents
	OtherCents domain.Cents
}

// Total adds the ways up.
func (t Takings) Total() domain.Cents { return t.CashCents + t.CheckCents + t.CardCents + t.OtherCents }

// DayClose is the end of one day, as it was counted and signed.
type DayClose struct {
	ID            uuid.UUID
	Day           time.Time // midnight UTC of the shop's date
	Since         time.Time // the close before, or the first day's midnight
	Until         time.Time
	ReceiptsAfter int64 // its money is the receipts after this one
	ReceiptsTo    int64 // up to this one
	Takings
	FloatCents   domain.Cents
	CountedCents domain.Cents
	OutCents     domain.Cents
	Pieces       closing.Pieces // empty where a total was typed
	Why          string
	Work         DayWork
	Standing     []closing.Open
	Done         []closing.Check
	Note         string
	By           string // initials

	Recounts []Recount `db:"-"`
}

// Recount is the drawer counted again after the close.
type Recount struct {
	CountedCents domain.Cents
	OutCents     domain.Cents
	Why          string
	At           time.Time
	By           string // initials
}

// Drawer is the cash as the last count has it.
func (c DayClose) Drawer() closing.Drawer {
	d := closing.Drawer{Float: c.FloatCents, Taken: c.CashCents, Counted: c.CountedCents, Out: c.OutCents, Why: c.Why}
	if n := len(c.Recounts); n > 0 {
		d.Counted, d.Out, d.Why = c.Recounts[n-1].CountedCents, c.Recounts[n-1].OutCents, c.Recounts[n-1].Why
	}
	return d
}

// NewClose is what the lead fills in.
type NewClose struct {
	Day    time.Time    // midnight UTC of the shop's date
	Seen   domain.Cents // the cash taken, as the form said
	Drawer closing.Drawer
	Pieces closing.Pieces
	Done   []closing.Check
	Note   string
}

// CloseDay ends the day: what was done since the last close and what stands open
// are written down as they are now, with the drawer as it was counted. A day is
// closed once; whoever comes second is told who did. Money taken while the drawer
// was being counted sends the form back, so that no count is off by it.
func (db *DB) CloseDay(ctx context.Context, act Act, n NewClose) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	if err := closing.CheckDone(n.Done, n.Note); err != nil {
		return err
	}
	standing, err := db.standing(ctx, act.At)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "close day", func(tx pgx.Tx) (line, error) {
		if err := answersForShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		d, err := dayToClose(ctx, tx, n.Day, act.At, shop.Location())
		if err != nil {
			return line{}, err
		}
		drawer, err := n.drawer(d)
		if err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`
			INSERT INTO day_closes (id, day, since, until, receipts_after, receipts_to, cash_cents, check_cents, card_cents, other_cents, float_cents,
			       counted_cents, out_cents, pieces, why, work, standing, done, note, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)`,
			act.ID, n.Day, d.Since, d.Until, d.ReceiptsAfter, d.ReceiptsTo, d.CashCents, d.CheckCents, d.CardCents, d.OtherCents, drawer.Float,
			drawer.Counted, drawer.Out, piecesOf(n.Pieces), strings.TrimSpace(drawer.Why), d.Work, standing, texts(n.Done), strings.TrimSpace(n.Note), act.Staff)
		return line{What: "close-day", Rows: rows, Detail: map[string]any{"day": n.Day.Format(time.DateOnly), "taken": d.Total().String(), "difference": drawer.Difference().String()}}, nil
	})
}

// drawer is the count held against what the receipts say now.
func (n NewClose) drawer(d Closing) (closing.Drawer, error) {
	drawer := n.Drawer
	if drawer.Taken = d.CashCents; d.Before != nil {
		drawer.Float = d.FloatCents
	}
	if n.Seen != d.CashCents {
		return drawer, domain.Taken("Money was taken while you counted: cash now makes %v. Count the drawer again.", d.CashCents)
	}
	return drawer, drawer.Check()
}

func piecesOf(p closing.Pieces) closing.Pieces {
	if p == nil {
		return closing.Pieces{}
	}
	return p
}

// Closing is a day on its way to be closed: what the form shows.
type Closing struct {
	Day           time.Time
	Since         time.Time
	Until         time.Time
	ReceiptsAfter int64
	ReceiptsTo    int64
	Takings
	FloatCents domain.Cents // left in the drawer by the last close
	Before     *DayClose    // the last close; nil where this is the first
	Work       DayWork
	Standing   []closing.Open
}

// DayToClose reads what closing the day would write down now.
func (db *DB) DayToClose(ctx context.Context, day, now time.Time) (c Closing, err error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return c, err
	}
	if err := db.tx(ctx, "day to close", func(tx pgx.Tx) error {
		c, err = dayToClose(ctx, tx, day, now, shop.Location())
		return err
	}); err != nil {
		return c, err
	}
	c.Standing, err = db.standing(ctx, now)
	return c, err
}

// dayToClose holds the receipts still while it adds them up: a payment on its way
// has its number after this, and so belongs to the next close.
func dayToClose(ctx context.Context, tx pgx.Tx, day, now time.Time, zone *time.Location) (c Closing, err error) {
	if _, err = tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('receipt numbers'))`); err != nil {
		return c, err
	}
	c.Day, c.Until = day, now
	last, found, err := lastClose(ctx, tx)
	if err != nil {
		return c, err
	}
	if err := mayClose(ctx, tx, day, now, zone, last); err != nil {
		return c, err
	}
	if found {
		c.Before, c.Since, c.ReceiptsAfter, c.FloatCents = &last, last.Until, last.ReceiptsTo, last.Drawer().Left()
	} else {
		c.Since = time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
		if err = tx.QueryRow(ctx, `SELECT coalesce(max(receipt), 0) FROM payments WHERE at < $1`, c.Since).Scan(&c.ReceiptsAfter); err != nil {
			return c, err
		}
	}
	if c.Until.Before(c.Since) {
		c.Until = c.Since
	}
	err = tx.QueryRow(ctx, `
		SELECT coalesce(max(receipt), $1), coalesce(sum(cents) FILTER (WHERE way = 'cash'), 0)::bigint, coalesce(sum(cents) FILTER (WHERE way = 'check'), 0)::bigint,
		       coalesce(sum(cents) FILTER (WHERE way = 'card'), 0)::bigint, coalesce(sum(cents) FILTER (WHERE way = 'other'), 0)::bigint
		FROM payments WHERE receipt > $1`, c.ReceiptsAfter).Scan(&c.ReceiptsTo, &c.CashCents, &c.CheckCents, &c.CardCents, &c.OtherCents)
	if err != nil {
		return c, err
	}
	c.Work, err = dayWork(ctx, tx, c)
	return c, err
}

// mayClose asks the domain, and tells whoever comes second who was first.
func mayClose(ctx context.Context, q querier, day, now time.Time, zone *time.Location, last DayClose) error {
	y, m, d := now.In(zone).Date()
	err := closing.MayClose(day, time.Date(y, m, d, 0, 0, 0, 0, time.UTC), last.Day)
	if e := domain.As(err); err == nil || e.Kind != domain.Conflict {
		return err
	}
	c, found, readErr := one[DayClose](ctx, q, closeQuery+` WHERE c.day = $1`, day)
	if readErr != nil {
		return readErr
	}
	if !found {
		return err
	}
	return domain.Taken("%s has closed this day, %s. It stands as it was signed.", c.By, c.Until)
}

const closeQuery = `
	SELECT c.id, c.day, c.since, c.until, c.receipts_after, c.receipts_to, c.cash_cents, c.check_cents, c.card_cents, c.other_cents, c.float_cents,
	       c.counted_cents, c.out_cents, c.pieces, c.why, c.work, c.standing, c.done, c.note, s.initials AS by
	FROM day_closes c JOIN staff s ON s.id = c.by_staff`

func lastClose(ctx context.Context, q querier) (DayClose, bool, error) {
	c, found, err := one[DayClose](ctx, q, closeQuery+` ORDER BY c.day DESC LIMIT 1`)
	if err == nil && found {
		c.Recounts, err = recounts(ctx, q, c.ID)
	}
	return c, found, err
}

func recounts(ctx context.Context, q querier, id uuid.UUID) ([]Recount, error) {
	return all[Recount](ctx, q, `
		SELECT r.counted_cents, r.out_cents, r.why, r.at, s.initials AS by FROM drawer_recounts r JOIN staff s ON s.id = r.by_staff
		WHERE r.close_id = $1 ORDER BY r.at, r.id LIMIT 20`, id)
}

// DayClosed reads the close of one day.
func (db *DB) DayClosed(ctx context.Context, day time.Time) (DayClose, error) {
	c, found, err := one[DayClose](ctx, db.pool, closeQuery+` WHERE c.day = $1`, day)
	if err == nil && !found {
		err = domain.Missing("That day was not closed.")
	}
	if err != nil {
		return c, err
	}
	c.Recounts, err = recounts(ctx, db.pool, c.ID)
	return c, err
}

// DaysClosed lists the last closes, the newest first.
func (db *DB) DaysClosed(ctx context.Context, limit int) ([]DayClose, error) {
	list, err := all[DayClose](ctx, db.pool, closeQuery+` ORDER BY c.day DESC LIMIT $1`, limit)
	for i := 0; i < len(list) && err == nil; i++ {
		list[i].Recounts, err = recounts(ctx, db.pool, list[i].ID)
	}
	return list, err
}

// RecountDrawer keeps a second count of the drawer beside the first, with its
// reason; it is what the next day begins with. Once a later day is closed the count
// has been taken over and stands.
func (db *DB) RecountDrawer(ctx context.Context, act Act, day time.Time, counted, out domain.Cents, why string) error {
	if why = strings.TrimSpace(why); why == "" {
		return domain.Wrong("why", "Say why it was counted again.")
	}
	return db.act(ctx, act, "recount drawer", func(tx pgx.Tx) (line, error) {
		if err := answersForShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock(hashtext('receipt numbers'))`); err != nil {
			return line{}, err
		}
		last, found, err := lastClose(ctx, tx)
		if err != nil {
			return line{}, err
		}
		if !found || !last.Day.Equal(day) {
			return line{}, domain.Taken("A later day is closed: it began with the drawer as it was counted. Correct it in that count.")
		}
		d := closing.Drawer{Float: last.FloatCents, Taken: last.CashCents, Counted: counted, Out: out, Why: why}
		if err := d.Check(); err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`INSERT INTO drawer_recounts (id, close_id, counted_cents, out_cents, why, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, last.ID, counted, out, why, act.At, act.Staff)
		return line{What: "recount-drawer", Rows: rows, Detail: map[string]any{"day": day.Format(time.DateOnly), "before": last.Drawer().Counted.String(), "counted": counted.String(), "why": why}}, nil
	})
}

// DayNotClosed is yesterday where something was done on it and no close covers it;
// zero where all is well.
func (db *DB) DayNotClosed(ctx context.Context, now time.Time) (time.Time, error) {
	shop, err := db.Shop(ctx)
	if err != nil {
		return time.Time{}, err
	}
	y, m, d := now.In(shop.Location()).Date()
	from, until := time.Date(y, m, d-1, 0, 0, 0, 0, shop.Location()), time.Date(y, m, d, 0, 0, 0, 0, shop.Location())
	yesterday := time.Date(y, m, d-1, 0, 0, 0, 0, time.UTC)
	var open bool
	err = db.pool.QueryRow(ctx, `
		SELECT NOT EXISTS (SELECT FROM day_closes WHERE day >= $1) AND (
		  EXISTS (SELECT FROM animals WHERE received_at >= $2 AND received_at < $3)
		  OR EXISTS (SELECT FROM payments WHERE at >= $2 AND at < $3)
		  OR EXISTS (SELECT FROM sessions_at_table WHERE started_at >= $2 AND started_at < $3)
		  OR EXISTS (SELECT FROM handovers WHERE at >= $2 AND at < $3))`, yesterday, from, until).Scan(&open)
	if err != nil || !open {
		return time.Time{}, translate(err)
	}
	return yesterday, nil
}
