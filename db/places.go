package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Place is one hook, or one spot on a shelf.
type Place struct {
	ID       int
	Cooler   string // the room as people call it
	Rail     string
	Kind     string // of the rail: bare, hide-on, livestock, hold or shelf
	Position int    // from the door
}

// Words names the place as it is called across the room.
func (p Place) Words() domain.Words {
	return domain.Say("%s, %s, place %d", p.Cooler, p.Rail, p.Position)
}

// detail is the place on a line of the time line.
func (p Place) detail() string { return fmt.Sprintf("%s %s-%d", p.Cooler, p.Rail, p.Position) }

const placeColumns = `p.id, c.label AS cooler, r.name AS rail, r.kind, p.position`

// FreePlaces lists the places in the coolers that nothing hangs on, in order
// from the door.
func (db *DB) FreePlaces(ctx context.Context) ([]Place, error) {
	return all[Place](ctx, db.pool, `
		SELECT `+placeColumns+`
		FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		WHERE c.kind = 'cooler' AND p.in_service
		  AND NOT EXISTS (SELECT FROM occupancies o WHERE o.place_id = p.id AND o.until IS NULL)
		ORDER BY c.id, r.ord, p.position LIMIT 1000`)
}

// takePlace keeps others from the place until tx ends and refuses one that is
// taken, with who hangs there and since when. field is the form's name for it.
func takePlace(ctx context.Context, tx pgx.Tx, id int, field string) (Place, error) {
	var p Place
	var h struct {
		Number domain.ShopNumber
		Since  time.Time
	}
	var found, taken bool
	b := &pgx.Batch{}
	queueOne(b, &p, &found, `
		SELECT `+placeColumns+`
		FROM places p JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		WHERE p.id = $1 AND p.in_service AND c.kind = 'cooler' FOR UPDATE OF p`, id)
	queueOne(b, &h, &taken, `
		SELECT a.number, o.since FROM occupancies o JOIN animals a ON a.id = o.animal_id
		WHERE o.place_id = $1 AND o.until IS NULL ORDER BY o.since LIMIT 1`, id)
	err := tx.SendBatch(ctx, b).Close()
	if err == nil && !found {
		return p, domain.Wrong(field, "There is no such place in a cooler. Choose one from the list.")
	}
	if err == nil && taken {
		return p, &domain.Error{Kind: domain.Conflict, At: field,
			Msg: domain.Say("%s is taken: %s has hung there since %s. Choose another.", p.Words(), string(h.Number), h.Since)}
	}
	return p, err
}

// occupy hangs the animal, or one piece of it, on the place from act on.
func occupy(ctx context.Context, tx pgx.Tx, act Act, place int, animal, piece uuid.UUID, reason string) error {
	rows := &pgx.Batch{}
	queueOccupy(rows, act, place, animal, piece, reason)
	return tx.SendBatch(ctx, rows).Close()
}

func queueOccupy(rows *pgx.Batch, act Act, place int, animal, piece uuid.UUID, reason string) {
	rows.Queue(`
		INSERT INTO occupancies (id, place_id, animal_id, piece_id, since, by_staff, reason) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		uuid.Must(uuid.NewV7()), place, animal, orNull(piece), act.At, act.Staff, reason)
}

// vacate ends where the animal, or one piece of it, hangs. It returns the place
// that is free now, the zero Place if it hung nowhere.
func vacate(ctx context.Context, tx pgx.Tx, act Act, animal, piece uuid.UUID) (Place, error) {
	p, _, err := one[Place](ctx, tx, `
		WITH gone AS (
		  UPDATE occupancies SET until = greatest(since, $3) WHERE animal_id = $1 AND piece_id IS NOT DISTINCT FROM $2 AND until IS NULL
		  RETURNING place_id
		)
		SELECT `+placeColumns+`
		FROM gone JOIN places p ON p.id = gone.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id`,
		animal, orNull(piece), act.At)
	return p, err
}

// Hangs is where an animal, or one piece of it, hangs now.
type Hangs struct {
	Place
	Mark     string // L or R for a side, "" for the animal itself
	Since    time.Time
	Conflict bool // another animal is written on the same hook
}

// WhereHangs lists the places of an animal, one for each side where it is split;
// none if it hangs nowhere.
func (db *DB) WhereHangs(ctx context.Context, id uuid.UUID) ([]Hangs, error) {
	return all[Hangs](ctx, db.pool, `
		SELECT `+placeColumns+`, coalesce(k.mark, '') AS mark, o.since, o.conflict
		FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
		LEFT JOIN pieces k ON k.id = o.piece_id
		WHERE o.animal_id = $1 AND o.until IS NULL ORDER BY mark LIMIT 40`, id)
}
