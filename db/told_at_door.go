package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/yield"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ToldAtDoor is what was told beside the register as an animal came in.
type ToldAtDoor struct {
	FoundAt       *time.Time // where it was found later than killed
	Weather       string     // between
	EarlierSample string     // number of a disease sample drawn before
}

// ToldAtDoor reads it; empty where nothing was told.
func (db *DB) ToldAtDoor(ctx context.Context, animal uuid.UUID) (ToldAtDoor, error) {
	t, _, err := one[ToldAtDoor](ctx, db.pool, `SELECT found_at, weather, earlier_sample FROM told_at_door WHERE animal_id = $1`, animal)
	return t, err
}

func (d Drop) queueTold(rows *pgx.Batch, act Act) {
	if d.FoundAt.IsZero() && d.Weather == "" && d.EarlierSample == "" {
		return
	}
	var found *time.Time
	if !d.FoundAt.IsZero() {
		found = &d.FoundAt
	}
	rows.Queue(`INSERT INTO told_at_door (animal_id, found_at, weather, earlier_sample) VALUES ($1, $2, $3, $4)`, act.ID, found, d.Weather, d.EarlierSample)
}

// DoorMeans is what the door check does to an animal, before anything of it is saved.
type DoorMeans struct {
	animal.Drop                // with the temperature graded, where the thermometer says
	Hangs       Protocol       // how it would hang
	Faultless   Protocol       // and how, without a fault
	Expected    yield.Estimate // boneless meat, shot and dirt not taken off; zero where nothing can be said
	Quote       Quote          // by the list in force, before an order
}

// DoorMeans reckons it at now. Of a kind or form that is not chosen yet it says only
// the grades.
func (db *DB) DoorMeans(ctx context.Context, d animal.Drop, now time.Time) (m DoorMeans, err error) {
	if m.Drop = d.WithTemperatureGrade(); !d.Species.Known() || d.Form == "" {
		return m, nil
	}
	if d.Class == "" {
		d.Class = d.Species.Classes()[0]
	}
	if m.Hangs, err = db.hangsBy(ctx, d, m.Damaged(), now); err != nil {
		return m, err
	}
	if m.Faultless, err = db.hangsBy(ctx, d, false, now); err != nil {
		return m, err
	}
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return m, err
	}
	m.Expected = numbers.Expected(Animal{Species: d.Species, Class: d.Class, Form: d.Form, HangingKg: d.HangingWeight, FieldDressedKg: d.FieldWeight})
	m.Quote, err = db.quoteUnsaved(ctx, d, m.Expected, now)
	return m, err
}

// hangsBy is the rule in force for such an animal; where that of its form and that of
// its kind have different ceilings the lower wins (readiness.md section 10).
func (db *DB) hangsBy(ctx context.Context, d animal.Drop, damaged bool, now time.Time) (p Protocol, err error) {
	const inForce = `SELECT ` + protocolColumns + ` FROM protocols p WHERE p.key = $1 AND p.since <= $2 ORDER BY p.version DESC LIMIT 1`
	if p, _, err = one[Protocol](ctx, db.pool, inForce, ageing.Pick(d.Species, d.Class, d.Form, damaged), now); err != nil {
		return p, err
	}
	kind, found, err := one[Protocol](ctx, db.pool, inForce, ageing.KindOf(d.Species, d.Class), now)
	if found {
		p.CeilingDays = min(p.CeilingDays, kind.CeilingDays)
	}
	return p, err
}

// quoteUnsaved is what the bill of such an animal is likely to be by the list in force.
func (db *DB) quoteUnsaved(ctx context.Context, d animal.Drop, e yield.Estimate, now time.Time) (Quote, error) {
	list, found, err := db.PricesInForce(ctx, now)
	if err != nil || !found {
		return Quote{}, err
	}
	items, err := db.PriceItems(ctx, list.ID)
	if err != nil {
		return Quote{}, err
	}
	low, high, err := billing.Range(Items(items), billing.Animal{Species: d.Species, Form: d.Form}, d.HangingWeight, e.Clean)
	if wrong := domain.As(err); err != nil && wrong.Kind == domain.Internal {
		return Quote{}, err
	}
	if err != nil {
		return Quote{}, nil // such as a price by a weight nobody knows yet
	}
	rates, err := db.TaxesOn(ctx, now)
	return quoted(low, high, rates), err
}
