package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Load is one load of what is no meat for anybody, as it left.
type Load struct {
	ID        uuid.UUID
	Kind      string // one of LoadKinds
	Kg        domain.Kilogram
	Barrels   int
	Denatured string
	Hauler    string
	Receipt   string // number of the hauler's ticket
	Site      string
	LeftAt    time.Time
	By        string
	Animals   []string // of a load of spines: whose
}

// LoadKinds are the kinds of load in the order of the form.
var LoadKinds = []string{"bone", "hide", "srm", "disease", "spoiled", "other"}

var loadWords = map[string]domain.Words{
	"bone": domain.Say("bone and fat"), "hide": domain.Say("hides"), "srm": domain.Say("spine and head of cattle 30 months and older"),
	"disease": domain.Say("from animals with a positive or open test"), "spoiled": domain.Say("spoiled meat"), "other": domain.Say("other"),
}

// LoadWords names a kind of load.
func LoadWords(kind string) domain.Words { return loadWords[kind] }

// Loads lists the loads that left, the latest first.
func (db *DB) Loads(ctx context.Context) ([]Load, error) {
	return all[Load](ctx, db.pool, `
		SELECT d.id, d.kind, d.kg, d.barrels, d.denatured, d.hauler, d.receipt, d.site, d.left_at, s.initials AS by,
		       (SELECT coalesce(array_agg(a.number ORDER BY a.number), '{}') FROM srm_removals r JOIN animals a ON a.id = r.animal_id WHERE r.load_id = d.id) AS animals
		FROM disposal_loads d JOIN staff s ON s.id = d.by_staff ORDER BY d.left_at DESC, d.id DESC LIMIT 300`)
}

// SpineHere is what was taken out of one animal and has not been hauled off.
type SpineHere struct {
	Number domain.ShopNumber
	Kg     domain.Kilogram
	Barrel string
	At     time.Time
}

// SpinesHere lists what stands in marked barrels.
func (db *DB) SpinesHere(ctx context.Context) ([]SpineHere, error) {
	return all[SpineHere](ctx, db.pool, `
		SELECT a.number, r.kg, r.barrel, r.at FROM srm_removals r JOIN animals a ON a.id = r.animal_id WHERE r.load_id IS NULL AND r.wrong_at IS NULL ORDER BY r.at LIMIT 200`)
}

func (l *Load) check(now time.Time) error {
	l.Hauler, l.Receipt, l.Site, l.Denatured = tidy(l.Hauler), tidy(l.Receipt), tidy(l.Site), tidy(l.Denatured)
	switch {
	case !oneOf(LoadKinds, l.Kind):
		return domain.Wrong("kind", "Say what is on the load.")
	case !(l.Kg > 0 && l.Kg <= 30000):
		return domain.Wrong("load_weight", "Give the weight on the hauler's ticket.")
	case l.Barrels < 0 || l.Barrels > 500:
		return domain.Wrong("barrels", "Count the barrels.")
	case l.Hauler == "":
		return domain.Wrong("hauler", "Write who hauls it.")
	case l.Receipt == "":
		return domain.Wrong("receipt", "Write the number of the ticket. Without it nobody can show where it went.")
	case l.Kind == "srm" && l.Denatured == "":
		return domain.Wrong("denatured", "Say what it was denatured with.")
	case l.LeftAt.IsZero() || l.LeftAt.After(now.Add(time.Minute)):
		return domain.Wrong("left", "Say when it left; not in the future.")
	}
	return nil
}

// HaulOff writes down a load that left. A load of spines takes along what stands in
// barrels, of the animals given.
func (db *DB) HaulOff(ctx context.Context, act Act, l Load) error {
	return db.act(ctx, act, "haul off", func(tx pgx.Tx) (line, error) {
		if err := l.check(act.At); err != nil {
			return line{}, err
		}
		if l.Kind == "srm" && len(l.Animals) == 0 {
			return line{}, domain.Wrong("animals", "Tick whose spines are on the load.")
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO disposal_loads (id, kind, kg, barrels, denatured, hauler, receipt, site, left_at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			act.ID, l.Kind, l.Kg, l.Barrels, l.Denatured, l.Hauler, l.Receipt, l.Site, l.LeftAt, act.Staff); err != nil {
			return line{}, err
		}
		if l.Kind == "srm" {
			tag, err := tx.Exec(ctx, `UPDATE srm_removals SET load_id = $1 WHERE load_id IS NULL AND wrong_at IS NULL AND animal_id IN (SELECT id FROM animals WHERE number = ANY ($2))`, act.ID, l.Animals)
			if err != nil {
				return line{}, err
			}
			if int(tag.RowsAffected()) != len(l.Animals) {
				return line{}, domain.Taken("One of them was hauled off already. Open the page again and look: %s.", strings.Join(l.Animals, ", "))
			}
		}
		return line{What: "haul-off", Detail: map[string]any{"what": loadWords[l.Kind].String(), "kg": round3(l.Kg), "receipt": l.Receipt}}, nil
	})
}
