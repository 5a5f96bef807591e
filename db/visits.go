package db

import (
	"context"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Visit is somebody of an agency who came to see.
type Visit struct {
	ID       uuid.UUID
	Who      string
	Agency   string
	Asked    string
	BeganAt  time.Time
	By       string
	Findings string
	DueOn    *time.Time // by when something is to be put right
	EndedAt  *time.Time
	EndedBy  string
	Shown    []string // each with its hour, as it was shown
}

// Visits lists the visits, open ones first, then the latest.
func (db *DB) Visits(ctx context.Context) ([]Visit, error) {
	return all[Visit](ctx, db.pool, `
		SELECT v.id, v.who, v.agency, v.asked, v.began_at, s.initials AS by, v.findings, v.due_on::timestamptz AS due_on, v.ended_at, coalesce(e.initials, '') AS ended_by,
		       (SELECT coalesce(array_agg(w.what ORDER BY w.at, w.id), '{}') FROM visit_shown w WHERE w.visit_id = v.id) AS shown
		FROM visits v JOIN staff s ON s.id = v.by_staff LEFT JOIN staff e ON e.id = v.ended_by
		ORDER BY v.ended_at IS NOT NULL, v.began_at DESC LIMIT 200`)
}

// BeginVisit writes down who came and what they ask. Until it is ended nothing that
// was kept long enough is blanked.
func (db *DB) BeginVisit(ctx context.Context, act Act, who, agency, asked string) error {
	return db.act(ctx, act, "begin visit", func(tx pgx.Tx) (line, error) {
		who, agency, asked = tidy(who), tidy(agency), tidy(asked)
		switch {
		case who == "":
			return line{}, domain.Wrong("who", "Write the name on the badge.")
		case agency == "":
			return line{}, domain.Wrong("agency", "Write which agency sent them.")
		case asked == "":
			return line{}, domain.Wrong("asked", "Write what they want to see.")
		}
		_, err := tx.Exec(ctx, `INSERT INTO visits (id, who, agency, asked, began_at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`,
			act.ID, who, agency, asked, act.At, act.Staff)
		return line{What: "visit", Detail: map[string]any{"agency": agency, "asked": asked}}, err
	})
}

// openVisit locks a visit that has not ended.
func openVisit(ctx context.Context, tx pgx.Tx, id uuid.UUID) error {
	v, found, err := one[struct {
		EndedAt *time.Time
		By      string
	}](ctx, tx, `SELECT v.ended_at, coalesce(s.initials, '') AS by FROM visits v LEFT JOIN staff s ON s.id = v.ended_by WHERE v.id = $1 FOR UPDATE OF v`, id)
	switch {
	case err != nil:
		return err
	case !found:
		return domain.Missing("There is no such visit.")
	case v.EndedAt != nil:
		return domain.Taken("This visit was ended by %s, %s.", v.By, *v.EndedAt)
	}
	return nil
}

// ShowVisitor writes down what a visitor was shown or given.
func (db *DB) ShowVisitor(ctx context.Context, act Act, visit uuid.UUID, what string) error {
	return db.act(ctx, act, "show visitor", func(tx pgx.Tx) (line, error) {
		if what = tidy(what); what == "" {
			return line{}, domain.Wrong("shown", "Write what they were shown or given.")
		}
		if err := openVisit(ctx, tx, visit); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `INSERT INTO visit_shown (id, visit_id, what, at, by_staff) VALUES ($1, $2, $3, $4, $5)`, act.ID, visit, what, act.At, act.Staff)
		return line{What: "visit-shown", Detail: map[string]any{"shown": what}}, err
	})
}

// EndVisit writes down what they found and by when something is to be put right;
// zero is nothing.
func (db *DB) EndVisit(ctx context.Context, act Act, visit uuid.UUID, findings string, due time.Time) error {
	return db.act(ctx, act, "end visit", func(tx pgx.Tx) (line, error) {
		if findings = tidy(findings); findings == "" {
			return line{}, domain.Wrong("findings", "Write what they found; nothing is an answer too.")
		}
		if err := openVisit(ctx, tx, visit); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `UPDATE visits SET findings = $2, due_on = $3, ended_at = $4, ended_by = $5 WHERE id = $1 AND ended_at IS NULL`,
			visit, findings, dayOrNull(due), act.At, act.Staff)
		return line{What: "visit-ended", Detail: map[string]any{"found": findings}}, err
	})
}
