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
	Shown    []VisitorSaw `db:"-"` // in the order it was shown
}

// VisitorSaw is what a visitor was shown or given: written down by hand, or by a page that
// was opened while the visit lasted.
type VisitorSaw struct {
	VisitID uuid.UUID
	What    string
	At      time.Time
	By      string
}

// Visits lists the visits, open ones first, then the latest.
func (db *DB) Visits(ctx context.Context) ([]Visit, error) {
	list, err := all[Visit](ctx, db.pool, `
		SELECT v.id, v.who, v.agency, v.asked, v.began_at, s.initials AS by, v.findings, v.due_on::timestamptz AS due_on, v.ended_at, coalesce(e.initials, '') AS ended_by
		FROM visits v JOIN staff s ON s.id = v.by_staff LEFT JOIN staff e ON e.id = v.ended_by
		ORDER BY v.ended_at IS NOT NULL, v.began_at DESC LIMIT 200`)
	if err != nil {
		return nil, err
	}
	at, ids := map[uuid.UUID]int{}, make([]uuid.UUID, len(list))
	for i, v := range list {
		at[v.ID], ids[i] = i, v.ID
	}
	shown, err := all[VisitorSaw](ctx, db.pool, `
		SELECT w.visit_id, w.what, w.at, s.initials AS by FROM visit_shown w JOIN staff s ON s.id = w.by_staff WHERE w.visit_id = ANY ($1) ORDER BY w.at, w.id LIMIT 5000`, ids)
	for _, w := range shown {
		list[at[w.VisitID]].Shown = append(list[at[w.VisitID]].Shown, w)
	}
	return list, err
}

// PageShown adds a line to each open visit: a page that visitors come for was opened
// on a screen. The same page of the same person within five minutes is one line, since
// a sheet is looked at and then printed.
func (db *DB) PageShown(ctx context.Context, h Holder, at time.Time, what string) error {
	return db.tx(ctx, "write down what was shown", func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `
			INSERT INTO visit_shown (id, visit_id, what, at, by_staff)
			SELECT gen_random_uuid(), v.id, $1, $2, $3 FROM visits v WHERE v.ended_at IS NULL
			   AND NOT EXISTS (SELECT FROM visit_shown w WHERE w.visit_id = v.id AND w.what = $1 AND w.by_staff = $3 AND w.at > $2::timestamptz - interval '5 minutes')`,
			what, at, h.Staff.ID)
		return err
	})
}

// BeginVisit writes down who came and what they ask. Until it is ended nothing that
// was kept long enough is blanked. What is asked, shown and found may name an owner: it
// stands with the visit alone, where it is blanked in its time.
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
		return line{What: "visit", Detail: map[string]any{"agency": agency}}, err
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
		return line{What: "visit-shown"}, err
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
		return line{What: "visit-ended"}, err
	})
}
