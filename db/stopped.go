package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// StoppedAtTable is an animal on the table, or in pieces and not boxed, that a look or an
// incident stopped: what the knife opens is often worse than what hung there. Nobody has decided
// about it since.
type StoppedAtTable struct {
	ID        uuid.UUID
	Number    domain.ShopNumber
	Species   domain.Species
	OnTable   bool
	DecidedAt *time.Time
	Verdict   *ageing.Ruling
	StoppedAt *time.Time     // by the last incident
	Why       []domain.Words `db:"-"` // it is stopped
}

// StoppedAtTable lists those the lead has to decide about, by number.
func (db *DB) StoppedAtTable(ctx context.Context, now time.Time) ([]StoppedAtTable, error) {
	return stoppedAtTable(ctx, db.pool, now, "")
}

// AtKnife is what whoever takes the knife to an animal has to know, wherever it is: what a
// look or an incident stops it for, where nobody has decided since, and for what it is cut before
// others.
func (db *DB) AtKnife(ctx context.Context, number domain.ShopNumber, now time.Time) (stop, first []domain.Words, err error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, nil, err
	}
	found, err := db.readFacts(ctx, []uuid.UUID{a.ID})
	if err != nil {
		return nil, nil, err
	}
	f := found[a.ID].facts
	return ageing.Undecided(f.Looks, f.Decision, f.StoppedAt, now), ageing.FirstFor(f, now), nil
}

// CutAway lists what the lead decided to cut out of an animal or to condemn of it, the
// latest first. It holds after later looks too: what was condemned stays condemned.
func (db *DB) CutAway(ctx context.Context, number domain.ShopNumber) ([]DecisionRow, error) {
	list, err := db.DecisionsOn(ctx, number)
	return slices.DeleteFunc(list, func(d DecisionRow) bool { return d.Verdict != round.CondemnPart && d.Verdict != round.TrimCutFirst }), err
}

// stoppedAtTable reads them; with a number that one alone, wherever it is.
func stoppedAtTable(ctx context.Context, q querier, now time.Time, number domain.ShopNumber) (stopped []StoppedAtTable, err error) {
	rows, err := all[StoppedAtTable](ctx, q, `
		SELECT a.id, a.number, a.species, a.physical = 'on-table' AS on_table, d.at AS decided_at, d.verdict,
		       (SELECT max(at) FROM incident_stops WHERE animal_id = a.id) AS stopped_at
		FROM animals a LEFT JOIN LATERAL (SELECT at, verdict FROM decisions WHERE animal_id = a.id ORDER BY at DESC LIMIT 1) d ON true
		WHERE a.number = $1 OR $1 = '' AND a.physical IN ('on-table', 'split') ORDER BY a.number LIMIT $2`, number, mostWaiting)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	ids := make([]uuid.UUID, len(rows))
	for i, r := range rows {
		ids[i] = r.ID
	}
	looks := map[uuid.UUID][]ageing.Look{}
	if err := readLooks(ctx, q, ids, func(id uuid.UUID, l ageing.Look) { looks[id] = append(looks[id], l) }); err != nil {
		return nil, err
	}
	for _, r := range rows {
		var d *ageing.Decision
		if r.DecidedAt != nil {
			d = &ageing.Decision{At: *r.DecidedAt, Ruling: *r.Verdict}
		}
		var stop time.Time
		if r.StoppedAt != nil {
			stop = *r.StoppedAt
		}
		if r.Why = ageing.Undecided(looks[r.ID], d, stop, now); len(r.Why) > 0 {
			stopped = append(stopped, r)
		}
	}
	return stopped, nil
}

// Found is for what it is stopped, in one piece.
func (s StoppedAtTable) Found() domain.Words {
	found := s.Why[0]
	for _, why := range s.Why[1:] {
		found = domain.Say("%s %s", found, why)
	}
	return found
}

// leadDecides refuses what ends the work on an animal that is stopped, until the lead has
// decided.
func leadDecides(ctx context.Context, q querier, act Act, number domain.ShopNumber) error {
	stopped, err := stoppedAtTable(ctx, q, act.At, number)
	if err != nil || len(stopped) == 0 {
		return err
	}
	return domain.Refuse("look", "It is stopped: %s Nothing of it is mixed, finished or boxed before the lead has decided.", stopped[0].Found())
}
