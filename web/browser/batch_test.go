package browser

import (
	"strconv"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// The main act of the sausage kitchen on a tablet: two owners' trim, typed as a
// wedge scanner types it, to their shares.
func TestPoolOfTwoOwners(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	s := open(t, site.URL, tablet)
	numbers := []domain.ShopNumber{site.BoxDeer(t, 1, 1), site.BoxDeer(t, 2, 1)}
	for _, n := range numbers {
		site.Packed(t, n, "steaks", 8)
		if _, err := site.Pool().Exec(t.Context(), `
			UPDATE orders SET own_meat_only = false, added_meat = 'pork' WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n); err != nil {
			t.Fatal(err)
		}
	}
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/batches/new")
	s.fits(tablet)
	s.picture("batch-01-new")
	s.form("Begin", map[string]string{"product": "summer-sausage", "flavour": "jalapeno", "kind": "pooled", "pork": "yes", "beef": "no"})
	for i, n := range numbers {
		s.form("Weigh it in", map[string]string{"animal": n.Digits(), "weight": []string{"20", "30"}[i]})
	}
	s.form("Add it", map[string]string{"added": "pork", "supplier": "Miller Packing", "mark": "EST 1234", "lot_weight": "12.5"})
	s.form("Reckon only", map[string]string{"cure_g": "70.8"})
	s.sees("156 ppm of nitrite, within the limit of 156")
	s.form("Save the cure", map[string]string{"lot": "C-81", "second": site.Ann.ID.String(), "pin": "4711"})
	s.form("It goes through", map[string]string{"machine": "2"})
	s.fits(tablet)
	s.picture("batch-02-in")
	s.form("It is mixed", nil)
	house(t, site, 1)
	s.goTo("/batches/1")
	s.sees("Met the table. It reached 161 °F inside", "Met the table. It cooled")
	s.picture("batch-03-house")
	s.form("Share it out", map[string]string{"packs": "50", "packed": "50"})
	s.sees("20 packs", "30 packs")
	s.picture("batch-04-shares")
	spots, err := site.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	place := strconv.Itoa(spots[0].ID)
	s.form("Give 30 packs to 0002", map[string]string{"place": place})
	s.form("Give 20 packs to 0001", map[string]string{"place": place})
	s.sees("Given back")
	packs, err := site.Packs(t.Context(), numbers[1])
	if err != nil || packs[len(packs)-1].Count != 30 || packs[len(packs)-1].Cut != "Summer sausage, jalapeno" {
		t.Errorf("%+v, %v", packs, err)
	}
	for _, size := range []string{phone, desktop} {
		other := open(t, site.URL, size)
		other.signIn("AK", "correct horse battery", "Bob Tarrant")
		for _, path := range []string{"/batches", "/batches/1", "/batches/new", "/batches/tables", "/machines"} {
			other.goTo(path)
			other.fits(size)
			other.picture("batch-" + size + "-" + map[string]string{"/batches": "list", "/batches/1": "one", "/batches/new": "new", "/batches/tables": "tables", "/machines": "machines"}[path])
		}
	}
}

// house writes the smokehouse's log of the batch: cooked and cooled in time.
func house(t *testing.T, site *webtest.Site, number int) {
	t.Helper()
	start := site.Now()
	for _, p := range []struct{ hours, f float64 }{{3, 161}, {4, 130}, {6, 80}, {9, 39}} {
		at, c := start.Add(time.Duration(p.hours*float64(time.Hour))), domain.Fahrenheit(p.f)
		if err := site.Probe(t.Context(), site.Act(site.Bob, at), number, db.BatchProbe{At: at, LowC: c, HighC: c}); err != nil {
			t.Fatal(err)
		}
	}
	site.SetNow(dbtest.Noon.Add(12 * time.Hour))
}
