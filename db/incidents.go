package db

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/exposure"
	"coldrail/domain/round"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Incident is a time in which a room was too warm.
type Incident struct {
	ID       uuid.UUID
	CoolerID int16
	Room     string // as in the address of its page
	Label    string
	BeganAt  time.Time
	CalledAt time.Time
	OpenedAt time.Time
	EndedAt  *time.Time
	ClosedAt *time.Time
	ClosedBy string // initials
	Found    string
	Stopped  int // animals it set to stop
	Waiting  int // those of them nobody has decided about since
}

// Until is when the room was cold again, or now where it is not.
func (i Incident) Until(now time.Time) time.Time {
	if i.EndedAt != nil {
		return *i.EndedAt
	}
	return now
}

const incidentColumns = `
	SELECT i.id, i.cooler_id, c.name AS room, c.label, i.began_at, i.called_at, i.opened_at, i.ended_at, i.closed_at,
	       coalesce(s.initials, '') AS closed_by, i.found,
	       (SELECT count(*) FROM incident_stops t WHERE t.incident_id = i.id)::int AS stopped,
	       (SELECT count(*) FROM incident_stops t JOIN animals a ON a.id = t.animal_id WHERE t.incident_id = i.id
	          AND a.physical IN ('received', 'chilling', 'hanging', 'on-table', 'split')
	          AND NOT EXISTS (SELECT FROM decisions d WHERE d.animal_id = t.animal_id AND d.at >= t.at))::int AS waiting
	FROM incidents i JOIN coolers c ON c.id = i.cooler_id LEFT JOIN staff s ON s.id = i.closed_by `

// Incident finds one by its id.
func (db *DB) Incident(ctx context.Context, id uuid.UUID) (Incident, error) {
	i, found, err := one[Incident](ctx, db.pool, incidentColumns+`WHERE i.id = $1`, id)
	if err == nil && !found {
		err = domain.Missing("There is no such incident.")
	}
	return i, err
}

// IncidentToDecide finds the last incident that stopped an animal, where nobody has decided
// about it since; nil: none.
func (db *DB) IncidentToDecide(ctx context.Context, number domain.ShopNumber) (*Incident, error) {
	i, found, err := one[Incident](ctx, db.pool, incidentColumns+`WHERE i.id = (
		SELECT t.incident_id FROM incident_stops t JOIN animals a ON a.id = t.animal_id
		WHERE a.number = $1 AND NOT EXISTS (SELECT FROM decisions d WHERE d.animal_id = t.animal_id AND d.at >= t.at)
		ORDER BY t.at DESC LIMIT 1)`, number)
	if err != nil || !found {
		return nil, err
	}
	return &i, nil
}

// OpenIncidents lists the incidents nobody has closed, the latest first: a room may have
// several.
func (db *DB) OpenIncidents(ctx context.Context) ([]Incident, error) {
	return all[Incident](ctx, db.pool, incidentColumns+`WHERE i.closed_at IS NULL ORDER BY i.began_at DESC LIMIT 50`)
}

// IncidentsOf lists the incidents of a room, the latest first.
func (db *DB) IncidentsOf(ctx context.Context, room int16) ([]Incident, error) {
	return all[Incident](ctx, db.pool, incidentColumns+`WHERE i.cooler_id = $1 ORDER BY i.began_at DESC LIMIT 50`, room)
}

// incidentLookBack is how far back a file that came late may still open an incident.
const incidentLookBack = 14 * 24 * time.Hour

// WatchIncidents looks at the readings of every cooler: an incident that the rule
// calls is opened, one whose room is cold again is marked so, and the animals it
// reaches are set to stop. Done twice it changes nothing the second time.
func (db *DB) WatchIncidents(ctx context.Context, now time.Time) error {
	rooms, err := db.Coolers(ctx)
	if err != nil {
		return fmt.Errorf("watch incidents: %w", err)
	}
	records, err := db.roomRecords(ctx, now)
	if err != nil {
		return fmt.Errorf("watch incidents: %w", err)
	}
	for _, room := range rooms {
		if record := records[room.ID]; record != nil && room.Kind == "cooler" {
			for _, s := range room.Book.Spans(record.History(), now.Add(-incidentLookBack), now) {
				if err := db.openIncident(ctx, room, s, now); err != nil {
					return err
				}
			}
		}
	}
	open, err := db.OpenIncidents(ctx)
	if err != nil {
		return fmt.Errorf("watch incidents: %w", err)
	}
	for _, i := range open {
		if err := db.reach(ctx, i, now); err != nil {
			return err
		}
	}
	return nil
}

// openIncident writes an incident down, once: one that is still open takes the
// end of its span, one that lies in a closed one is that one.
func (db *DB) openIncident(ctx context.Context, room Cooler, s cooler.Span, now time.Time) error {
	var ended *time.Time
	if !s.Until.IsZero() {
		ended = &s.Until
	}
	type before struct {
		ID      uuid.UUID
		Open    bool
		EndedAt *time.Time
	}
	known, found, err := one[before](ctx, db.pool, `
		SELECT id, closed_at IS NULL AS open, ended_at FROM incidents
		WHERE cooler_id = $1 AND began_at <= coalesce($3::timestamptz, $4::timestamptz) AND coalesce(ended_at, $4::timestamptz) >= $2::timestamptz ORDER BY began_at DESC LIMIT 1`,
		room.ID, s.From, ended, now)
	if err != nil {
		return fmt.Errorf("open incident: %w", err)
	}
	if found {
		if known.Open && ended != nil && (known.EndedAt == nil || !known.EndedAt.Equal(ended.Round(time.Microsecond))) {
			return db.tx(ctx, "incident over", func(tx pgx.Tx) error {
				_, err := tx.Exec(ctx, `UPDATE incidents SET ended_at = $2 WHERE id = $1 AND closed_at IS NULL`, known.ID, ended)
				return err
			})
		}
		return nil
	}
	// Not "incident ": up to migration 82 an id of that kind was used up where the room had
	// an older incident open, and no incident written.
	id := uuid.NewSHA1(uuid.NameSpaceOID, []byte("warm time "+room.Name+" "+strconv.FormatInt(s.From.Unix(), 10)))
	return db.act(ctx, Act{ID: id, At: now}, "open incident", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `INSERT INTO incidents (id, cooler_id, began_at, called_at, opened_at, ended_at) VALUES ($1, $2, $3, $4, $5, $6)`,
			id, room.ID, s.From, s.Called, now, ended)
		return line{Cooler: room.ID, What: "incident", Detail: map[string]any{"warmest_c": float64(s.Peak.C)}}, err
	})
}

// reach sets the animals to stop that an incident reaches by now. Each is told
// once; a decision taken since stands.
func (db *DB) reach(ctx context.Context, i Incident, now time.Time) error {
	file, err := db.IncidentFile(ctx, i, now)
	if err != nil {
		return err
	}
	return db.tx(ctx, "incident stops", func(tx pgx.Tx) error {
		for _, a := range file.Animals {
			if !a.Stops() {
				continue
			}
			tag, err := tx.Exec(ctx, `INSERT INTO incident_stops (incident_id, animal_id, at, why) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`,
				i.ID, a.ID, now, a.Why.String())
			if err != nil {
				return err
			}
			if tag.RowsAffected() == 0 {
				continue
			}
			if err := touch(ctx, tx, a.ID); err != nil {
				return err
			}
			act := Act{ID: uuid.NewSHA1(i.ID, a.ID[:]), At: now}
			if err := addLine(ctx, tx, act, line{Animal: a.ID, What: "incident", Detail: map[string]any{"room": i.Label, "why": a.Why.Kept()}}); err != nil {
				return err
			}
		}
		return nil
	})
}

// Places are where an incident asks for the temperature of the meat.
var Places = []string{"old", "new", "door", "middle", "far"}

// MeasureMeat writes one meat reading of an incident down.
func (db *DB) MeasureMeat(ctx context.Context, act Act, id uuid.UUID, place string, number domain.ShopNumber, c domain.Celsius) error {
	switch {
	case !slices.Contains(Places, place):
		return domain.Wrong("place", "Say where you measured: an old one, a new one, by the door, in the middle or at the far end.")
	case !(c >= exposure.MinCelsius && c <= exposure.MaxCelsius):
		return domain.Wrong("c", "A temperature is from %v to %v. Read the thermometer again.", exposure.MinCelsius, exposure.MaxCelsius)
	}
	return db.act(ctx, act, "measure meat", func(tx pgx.Tx) (line, error) {
		i, err := lockIncident(ctx, tx, id)
		if err != nil {
			return line{}, err
		}
		l, animal := line{Cooler: i.CoolerID, What: "measure", Detail: map[string]any{"place": place, "meat_c": float64(c)}}, uuid.Nil
		if number != "" {
			a, err := lockAnimal(ctx, tx, number)
			if err != nil {
				return line{}, err
			}
			animal, l = a.ID, line{Animal: a.ID, What: "measure", Detail: l.Detail}
		}
		_, err = tx.Exec(ctx, `INSERT INTO incident_meat (id, incident_id, place, animal_id, c, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			act.ID, id, place, orNull(animal), c, act.At, act.Staff)
		return l, err
	})
}

// lockIncident takes an open incident's row.
func lockIncident(ctx context.Context, tx pgx.Tx, id uuid.UUID) (i Incident, err error) {
	err = tx.QueryRow(ctx, `SELECT id, cooler_id, ended_at, closed_at FROM incidents WHERE id = $1 FOR UPDATE`, id).Scan(&i.ID, &i.CoolerID, &i.EndedAt, &i.ClosedAt)
	switch {
	case err == pgx.ErrNoRows:
		return i, domain.Missing("There is no such incident.")
	case err == nil && i.ClosedAt != nil:
		return i, domain.Refuse("incident", "This incident is closed already. Nothing was changed.")
	}
	return i, err
}

// DecideIncident writes the lead's decision about animals of an incident that are
// alike: one decision each, by name and with the reason.
func (db *DB) DecideIncident(ctx context.Context, act Act, id uuid.UUID, numbers []domain.ShopNumber, verdict round.Decision, reason string) error {
	reason = strings.TrimSpace(reason)
	if len(numbers) == 0 {
		return domain.Wrong("numbers", "Tick the animals this decision is about.")
	}
	if err := verdict.Check(reason); err != nil {
		return err
	}
	return db.act(ctx, act, "decide incident", func(tx pgx.Tx) (line, error) {
		i, err := lockIncident(ctx, tx, id)
		if err != nil {
			return line{}, err
		}
		numbers = slices.Compact(slices.Sorted(slices.Values(numbers)))
		for _, n := range numbers {
			each := act
			each.ID = uuid.NewSHA1(act.ID, []byte(n))
			l, err := decide(ctx, tx, each, n, verdict, reason)
			if err != nil {
				return line{}, err
			}
			if err := addLine(ctx, tx, each, l); err != nil {
				return line{}, err
			}
		}
		return line{Cooler: i.CoolerID, What: "decide", Detail: map[string]any{"decision": string(verdict), "animals": len(numbers)}}, nil
	})
}

// CloseIncident ends an incident with what was found and done. The room has to be
// cold again, and every animal it stopped decided about.
func (db *DB) CloseIncident(ctx context.Context, act Act, id uuid.UUID, found string) error {
	found = strings.TrimSpace(found)
	if found == "" {
		return domain.Wrong("found", "Say in a few words what was wrong and what was done.")
	}
	return db.act(ctx, act, "close incident", func(tx pgx.Tx) (line, error) {
		if _, err := lockIncident(ctx, tx, id); err != nil {
			return line{}, err
		}
		i, _, err := one[Incident](ctx, tx, incidentColumns+`WHERE i.id = $1`, id)
		switch {
		case err != nil:
			return line{}, err
		case i.EndedAt == nil:
			return line{}, domain.Refuse("incident", "The room is still too warm. Close the incident when it is cold again.")
		case i.Waiting > 0:
			return line{}, domain.Refuse("incident", "%d animals wait for a decision. Decide about them first.", i.Waiting)
		}
		_, err = tx.Exec(ctx, `UPDATE incidents SET closed_at = $2, closed_by = $3, found = $4 WHERE id = $1 AND closed_at IS NULL`, id, act.At, act.Staff, found)
		return line{Cooler: i.CoolerID, What: "incident closed", Detail: map[string]any{"found": found}}, err
	})
}
