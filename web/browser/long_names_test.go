package browser

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// longWord is one name of 54 letters with no place to break it.
const longWord = "Featherstonehaughcholmondeleymarjoribanksruthvenharper"

// longWords are names of many words, as people, rooms and programs have them.
const longWords = "Maximiliana Theodora Vandersloot-Hollingsworth and Sons of the Upper Wick County Sportsmen's and Farmers' Cooperative"

// named are the columns that hold a name or words somebody typed, with the most
// letters their form takes.
var named = map[string]int{
	"staff.name": 60, "devices.name": 60, "coolers.label": 40, "sensors.name": 40, "machines.name": 40, "thermometers.name": 40,
	"people.name": 80, "people.address": 120, "people.licence": 40, "bookings.name": 80, "bookings.note": 120,
	"price_lists.name": 60, "price_items.label": 80, "tax_rates.name": 60, "charges.label": 80, "batches.flavour": 40, "packs.cut": 40,
	"visits.who": 80, "visits.agency": 80, "visits.asked": 200, "visit_shown.what": 120, "refusals.reason": 200, "holds.reason": 200, "samples.lab": 80,
	"animals.keeps": 120, "animals.door_note": 200, "orders.note": 200, "orders.fall_back": 80, "looks.note": 200, "contacts.note": 200, "trim.note": 120,
	"pieces.instruction": 120, "piece_moves.place": 80, "programmes.name": 80, "programmes.words": 80, "programmes.registration": 40, "handovers.collector": 80,
}

// lengthen makes every name and every typed word of a shop as long as its form takes:
// half of them one word, half many. What was there stands at the end, so that names that
// must differ still do. Rails keep a short name, as the shop makes them.
func lengthen(t *testing.T, d *db.DB, now time.Time) {
	t.Helper()
	if len(longWord) != 54 {
		t.Fatalf("the long word has %d letters", len(longWord))
	}
	owner := dbtest.Owner(t, d)
	var staff uuid.UUID
	must(t, owner.QueryRow(t.Context(), `SELECT id FROM staff ORDER BY id LIMIT 1`).Scan(&staff))
	must(t, d.AddProgramme(t.Context(), db.Act{ID: uuid.New(), At: now, Staff: staff}, db.Programme{Name: "Venison for Wick", Words: "Donated game meat", Takes: cutting.Takes{WholeCuts: true}}))
	shop, err := d.Shop(t.Context())
	must(t, err)
	shop.Name = longWords[:80]
	must(t, d.SaveShop(t.Context(), shop))
	for column, most := range named {
		table, name, _ := strings.Cut(column, ".")
		_, err := owner.Exec(t.Context(), fmt.Sprintf(`UPDATE %[1]s SET %[2]s = trim(left(CASE WHEN ascii(right(%[2]s, 2)) %% 2 = 0 THEN $1 ELSE $2 END, greatest(0, $3 - 1 - length(%[2]s))) || ' ' || %[2]s)
			WHERE %[2]s <> ''`, table, name), longWords, longWord, most)
		if err != nil {
			t.Errorf("%s: %v", column, err)
		}
	}
	_, err = owner.Exec(t.Context(), `UPDATE rails SET name = 'North wall ' || name`)
	must(t, err)
}

// onlyWith are the pages where it holds, else none.
func onlyWith(holds bool, pages ...string) []string {
	if holds {
		return pages
	}
	return nil
}
