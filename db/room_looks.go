package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// HungHere is one carcass, or a piece of one, on its place in a room, with what
// the looks before left about it.
type HungHere struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Piece      string // "": the whole of it
	Species    domain.Species
	Class      domain.Class
	Form       domain.Form
	HangingKg  *domain.Kilogram
	KilledAt   time.Time
	ReceivedAt time.Time
	HungAt     time.Time
	RailID     int16
	Rail       string // its name
	Position   int
	CameAt     time.Time
	Held       bool
	LookID     *uuid.UUID
	LookAt     *time.Time
	Smell      round.Smell
	Surface    round.Surface
	DecidedAt  *time.Time
	Decision   round.Decision
	Mould      []round.Mould `db:"-"` // of the last look
}

// Hanging is the carcass as the domain judges it.
func (h HungHere) Hanging() round.Hanging {
	d := round.Hanging{Species: h.Species, Form: h.Form, KilledAt: h.KilledAt, HungAt: h.HungAt, CameAt: h.CameAt}
	if h.LookAt != nil {
		d.Last = &round.Look{At: *h.LookAt, Smell: h.Smell, Surface: h.Surface, Mould: h.Mould}
	}
	if h.DecidedAt != nil {
		d.DecidedAt = *h.DecidedAt
	}
	return d
}

const hungHere = `
	SELECT a.id, a.number, coalesce(pc.mark, '') AS piece, a.species, a.class, a.form, a.hanging_kg, a.killed_at, a.received_at, ` + hungAt + ` AS hung_at,
	       p.rail_id, r.name AS rail, p.position, o.since AS came_at,
	       EXISTS (SELECT FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL) AS held,
	       l.id AS look_id, l.at AS look_at, coalesce(l.smell, '') AS smell, coalesce(l.surface, '') AS surface,
	       d.at AS decided_at, coalesce(d.verdict, '') AS decision
	FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN animals a ON a.id = o.animal_id
	LEFT JOIN pieces pc ON pc.id = o.piece_id
	LEFT JOIN LATERAL (SELECT id, at, smell, surface FROM looks WHERE animal_id = a.id ORDER BY at DESC, id DESC LIMIT 1) l ON true
	LEFT JOIN LATERAL (SELECT at, verdict FROM decisions WHERE animal_id = a.id ORDER BY at DESC, id DESC LIMIT 1) d ON true `

// HangingIn lists what hangs in a room, rail by rail from the door.
func (db *DB) HangingIn(ctx context.Context, room int16) ([]HungHere, error) {
	hung, err := all[HungHere](ctx, db.pool, hungHere+`
		WHERE r.cooler_id = $1 AND o.until IS NULL ORDER BY r.ord, p.position, a.number LIMIT 2000`, room)
	if err != nil {
		return nil, err
	}
	return hung, db.addMoulds(ctx, hung)
}

// addMoulds fills in the moulds of the last looks.
func (db *DB) addMoulds(ctx context.Context, hung []HungHere) error {
	var ids []uuid.UUID
	for _, h := range hung {
		if h.LookID != nil {
			ids = append(ids, *h.LookID)
		}
	}
	moulds, err := db.moulds(ctx, ids)
	if err != nil {
		return err
	}
	for i, h := range hung {
		if h.LookID != nil {
			hung[i].Mould = moulds[*h.LookID]
		}
	}
	return nil
}

// moulds reads the moulds of many looks.
func (db *DB) moulds(ctx context.Context, looks []uuid.UUID) (map[uuid.UUID][]round.Mould, error) {
	type row struct {
		LookID uuid.UUID
		Site   round.Site
		Length domain.Millimetre
		Colour round.Colour
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT look_id, site, length_mm AS length, colour FROM look_moulds WHERE look_id = ANY ($1) ORDER BY look_id, site, colour`, looks)
	byLook := map[uuid.UUID][]round.Mould{}
	for _, r := range rows {
		byLook[r.LookID] = append(byLook[r.LookID], round.Mould{Site: r.Site, Length: r.Length, Colour: r.Colour})
	}
	return byLook, err
}

// LookRow is one look as it stands in the records.
type LookRow struct {
	ID      uuid.UUID
	Number  domain.ShopNumber
	Species domain.Species
	Form    domain.Form
	At      time.Time
	By      string // initials
	Smell   round.Smell
	Surface round.Surface
	Touched bool
	Note    string
	Photos  []uuid.UUID
	Mould   []round.Mould `db:"-"`
}

// Look is the look as the domain judges it.
func (l LookRow) Look() round.Look {
	return round.Look{At: l.At, Smell: l.Smell, Surface: l.Surface, Mould: l.Mould}
}

const lookRows = `
	SELECT l.id, a.number, a.species, a.form, l.at, s.initials AS by, l.smell, l.surface, l.touched, l.note,
	       ARRAY(SELECT p.id FROM photos p WHERE p.look_id = l.id) AS photos
	FROM looks l JOIN animals a ON a.id = l.animal_id JOIN staff s ON s.id = l.by_staff `

// LooksOfRound lists what was looked at by itself on a round.
func (db *DB) LooksOfRound(ctx context.Context, id uuid.UUID) ([]LookRow, error) {
	return db.looks(ctx, lookRows+`WHERE l.round_id = $1 ORDER BY a.number LIMIT 2000`, id)
}

// LooksAt lists the looks at one animal, the latest first.
func (db *DB) LooksAt(ctx context.Context, number domain.ShopNumber) ([]LookRow, error) {
	return db.looks(ctx, lookRows+`WHERE a.number = $1 ORDER BY l.at DESC, l.id DESC LIMIT 200`, number)
}

func (db *DB) looks(ctx context.Context, sql string, args ...any) ([]LookRow, error) {
	list, err := all[LookRow](ctx, db.pool, sql, args...)
	if err != nil {
		return nil, err
	}
	ids := make([]uuid.UUID, len(list))
	for i, l := range list {
		ids[i] = l.ID
	}
	moulds, err := db.moulds(ctx, ids)
	for i, l := range list {
		list[i].Mould = moulds[l.ID]
	}
	return list, err
}

// DecisionRow is one decision of the lead.
type DecisionRow struct {
	Verdict round.Decision
	Reason  string
	At      time.Time
	By      string // initials
}

// DecisionsOn lists the decisions about one animal, the latest first.
func (db *DB) DecisionsOn(ctx context.Context, number domain.ShopNumber) ([]DecisionRow, error) {
	return all[DecisionRow](ctx, db.pool, `
		SELECT d.verdict, d.reason, d.at, s.initials AS by FROM decisions d JOIN animals a ON a.id = d.animal_id JOIN staff s ON s.id = d.by_staff
		WHERE a.number = $1 ORDER BY d.at DESC LIMIT 100`, number)
}

// TakenSurface is a surface an animal took from a touched neighbour.
type TakenSurface struct {
	At      time.Time
	Surface round.Surface
	Rail    string // where the neighbour hung
	Number  domain.ShopNumber
	By      string // initials
}

// SurfacesTaken lists the surfaces an animal took from touched neighbours, the
// latest first.
func (db *DB) SurfacesTaken(ctx context.Context, number domain.ShopNumber) ([]TakenSurface, error) {
	return all[TakenSurface](ctx, db.pool, `
		SELECT t.at, t.surface, coalesce(w.name, '') AS rail, n.number, s.initials AS by
		FROM rail_surfaces t JOIN animals a ON a.id = t.animal_id JOIN looks l ON l.id = t.look_id JOIN animals n ON n.id = l.animal_id
		JOIN staff s ON s.id = l.by_staff
		LEFT JOIN LATERAL (SELECT r.name FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id
		                   WHERE o.animal_id = n.id AND o.since <= t.at AND (o.until IS NULL OR o.until > t.at) LIMIT 1) w ON true
		WHERE a.number = $1 ORDER BY t.at DESC LIMIT 100`, number)
}
