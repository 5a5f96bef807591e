package db

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Hold is one stop on an animal as its row has it, open or closed.
type Hold struct {
	ID uuid.UUID
	hold.Hold
	ClosedBy string // initials; empty while open
	Evidence string // what was seen that ended it
}

// Holds lists every stop the animal ever had, the open ones first.
func (db *DB) Holds(ctx context.Context, number domain.ShopNumber) ([]Hold, error) {
	return all[Hold](ctx, db.pool, `
		SELECT h.id, h.kind, h.reason AS why, h.opened_at, s.initials AS opened_by,
		       coalesce(h.review_on::timestamptz, '0001-01-01Z') AS review_by, coalesce(h.closed_at, '0001-01-01Z') AS closed_at,
		       coalesce(h.boned_at, '0001-01-01Z') AS boned_at,
		       coalesce(c.initials, '') AS closed_by, coalesce(h.evidence, '') AS evidence
		FROM holds h JOIN animals a ON a.id = h.animal_id JOIN staff s ON s.id = h.opened_by LEFT JOIN staff c ON c.id = h.closed_by
		WHERE a.number = $1 ORDER BY h.closed_at IS NOT NULL, h.opened_at DESC LIMIT 100`, number)
}

// OpenHold stops the animal for the reason given. A warden's hold and a tag in
// question move the legal track too; a positive makes the hunter's page say
// only "please call". A hold for a test comes with its sample, never alone.
func (db *DB) OpenHold(ctx context.Context, act Act, number domain.ShopNumber, kind hold.Kind, reason string, review time.Time) error {
	return db.act(ctx, act, "open hold", func(tx pgx.Tx) (line, error) {
		if kind == hold.TestPending {
			return line{}, domain.Wrong("kind", "Enter the sample instead: the hold for its result opens by itself.")
		}
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := openHold(ctx, tx, act, a, kind, reason, review); err != nil {
			return line{}, err
		}
		to, err := stopped(a.Tracks(), kind)
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		if kind == hold.Positive {
			err = cmp.Or(callFirst(ctx, tx, a.ID, true), raisePositive(ctx, tx, act, a))
		}
		return line{Animal: a.ID, What: "hold", Detail: map[string]any{"for": string(kind)}}, err
	})
}

// stopped moves the tracks that a hold of this kind moves when it opens.
func stopped(t animal.Tracks, kind hold.Kind) (animal.Tracks, error) {
	var err error
	switch {
	case kind == hold.Warden && t.Legal != animal.WardenHold:
		t.Legal, err = t.Legal.Do(animal.WardenStop)
	case kind == hold.Tag && t.Legal != animal.Query:
		t.Legal, err = t.Legal.Do(animal.Ask)
	case kind == hold.Positive && t.Disease != animal.Detected:
		t.Disease, err = t.Disease.Do(animal.ReportDetected)
	}
	return t, err
}

// openHold writes the hold if the domain allows it beside those that stand.
func openHold(ctx context.Context, tx pgx.Tx, act Act, a Animal, kind hold.Kind, reason string, review time.Time) error {
	standing, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	by, err := initialsOf(ctx, tx, act.Staff)
	if err != nil {
		return err
	}
	h := hold.Hold{Kind: kind, Why: strings.TrimSpace(reason), OpenedAt: act.At, OpenedBy: by, ReviewBy: review}
	if err := hold.CheckOpen(h, standing, act.At); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `
		INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by, review_on) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		uuid.Must(uuid.NewV7()), a.ID, h.Kind, h.Why, h.OpenedAt, act.Staff, dayOrNull(review))
	return err
}

// CloseHold frees the animal of one hold on the evidence given; domain/hold says
// what each kind asks for. The end of a test's hold is its result, so it goes
// onto the sample as well.
func (db *DB) CloseHold(ctx context.Context, act Act, holdID uuid.UUID, e hold.Evidence) error {
	return db.act(ctx, act, "close hold", func(tx pgx.Tx) (line, error) {
		a, h, err := lockHold(ctx, tx, holdID)
		if err != nil {
			return line{}, err
		}
		if e.By, err = initialsOf(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if err := hold.CheckClose(h.Hold, e, act.At); err != nil {
			return line{}, err
		}
		if lead, err := isLead(ctx, tx, act.Staff); err != nil || h.Kind == hold.Positive && !lead {
			return line{}, cmp.Or(err, error(domain.Refuse("lead", "A positive test is the lead's to close. Nothing was changed.")))
		}
		if err := endHold(ctx, tx, act, h.ID, evidenceText(e)); err != nil {
			return line{}, err
		}
		to, err := freed(a.Tracks(), h.Kind)
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		switch h.Kind {
		case hold.TestPending:
			err = writeResult(ctx, tx, act, a.ID, Result{Word: LabNotDetected, Day: e.ResultDay, Source: e.Source, Note: e.Note})
		case hold.Positive: // the owner has been told and has chosen: that is its evidence
			err = callFirst(ctx, tx, a.ID, false)
		}
		switch {
		case err != nil:
		case h.Kind == hold.TestPending:
			err = db.tellResult(ctx, tx, act, a, LabNotDetected)
		default:
			err = db.tellReady(ctx, tx, act, a.Number)
		}
		return line{Animal: a.ID, What: "free", Detail: map[string]any{"of": string(h.Kind)}}, err
	})
}

// freed moves the tracks that a hold of this kind moves when it ends.
func freed(t animal.Tracks, kind hold.Kind) (animal.Tracks, error) {
	var err error
	switch {
	case kind == hold.Warden && t.Legal == animal.WardenHold:
		t.Legal, err = t.Legal.Do(animal.WardenFree)
	case kind == hold.Tag && t.Legal == animal.Query:
		t.Legal, err = t.Legal.Do(animal.Verify)
	case kind == hold.TestPending && t.Disease != animal.NotDetected:
		t.Disease, err = t.Disease.Do(animal.ReportNotDetected)
	}
	return t, err
}

// lockHold reads a hold and locks its animal, so that two people cannot both
// close it.
func lockHold(ctx context.Context, tx pgx.Tx, id uuid.UUID) (a Animal, h Hold, err error) {
	var number domain.ShopNumber
	err = tx.QueryRow(ctx, `SELECT a.number FROM holds h JOIN animals a ON a.id = h.animal_id WHERE h.id = $1`, id).Scan(&number)
	if err == pgx.ErrNoRows {
		return a, h, domain.Missing("There is no such hold.")
	}
	if err != nil {
		return a, h, err
	}
	if a, err = lockAnimal(ctx, tx, number); err != nil {
		return a, h, err
	}
	h, _, err = one[Hold](ctx, tx, `
		SELECT h.id, h.kind, h.reason AS why, h.opened_at, s.initials AS opened_by,
		       coalesce(h.review_on::timestamptz, '0001-01-01Z') AS review_by, coalesce(h.closed_at, '0001-01-01Z') AS closed_at,
		       coalesce(h.boned_at, '0001-01-01Z') AS boned_at,
		       coalesce(c.initials, '') AS closed_by, coalesce(h.evidence, '') AS evidence
		FROM holds h JOIN staff s ON s.id = h.opened_by LEFT JOIN staff c ON c.id = h.closed_by WHERE h.id = $1`, id)
	return a, h, err
}

// endHold closes one open hold.
func endHold(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID, evidence string) error {
	tag, err := tx.Exec(ctx, `
		UPDATE holds SET closed_at = $2, closed_by = $3, evidence = $4 WHERE id = $1 AND closed_at IS NULL`,
		id, act.At, act.Staff, evidence)
	if err == nil && tag.RowsAffected() == 0 {
		err = domain.Taken("This hold is already closed.")
	}
	return err
}

// evidenceText writes down what was seen as one line of the record.
func evidenceText(e hold.Evidence) string {
	var said []string
	if e.Result != "" {
		said = append(said, strings.ReplaceAll(string(e.Result), "-", " "), strings.ReplaceAll(string(e.Source), "-", " "),
			"dated "+e.ResultDay.Format(time.DateOnly), "read by "+e.SeenBy)
	}
	if e.Surrenders {
		said = append(said, "the owner gives the meat up")
	}
	if e.Keeps {
		said = append(said, "the owner was told and keeps it")
	}
	if e.Second != "" {
		said = append(said, "second person "+e.Second)
	}
	if note := strings.TrimSpace(e.Note); note != "" {
		said = append(said, note)
	}
	return strings.Join(said, "; ")
}

// callFirst says whether the hunter's page shows only "please call".
func callFirst(ctx context.Context, tx pgx.Tx, id uuid.UUID, on bool) error {
	_, err := tx.Exec(ctx, `UPDATE animals SET call_first = $2 WHERE id = $1`, id, on)
	return err
}

// initialsOf is how a person signs.
func initialsOf(ctx context.Context, q querier, staff uuid.UUID) (initials string, err error) {
	err = q.QueryRow(ctx, `SELECT initials FROM staff WHERE id = $1`, staff).Scan(&initials)
	if err != nil {
		return "", fmt.Errorf("initials: %w", err)
	}
	return initials, nil
}

// isLead reports whether the person leads or owns the shop.
func isLead(ctx context.Context, q querier, staff uuid.UUID) (lead bool, err error) {
	err = q.QueryRow(ctx, `SELECT roles && ARRAY['lead', 'owner'] FROM staff WHERE id = $1`, staff).Scan(&lead)
	return lead, err
}

// dayOrNull stores the zero day as NULL.
func dayOrNull(day time.Time) *time.Time {
	if day.IsZero() {
		return nil
	}
	return &day
}
