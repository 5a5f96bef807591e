package round_test

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// Five hundred carcasses fit into one page that a slow tablet loads: below
// design.md's 40 kB, compressed.
func TestFullCooler(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.SetNow(now)
	_, err := s.AddCooler(t.Context(), db.Cooler{Name: "barn", Label: "Barn", Kind: "cooler", LengthM: 30, WidthM: 20, HeightM: 4, Panel: "polyurethane", Fans: 8, FanW: 2000, OutsideC: 15},
		[]db.Rail{{Name: "B1", Kind: "bare", LengthM: 80, Places: 250}, {Name: "B2", Kind: "bare", LengthM: 80, Places: 250}})
	if err != nil {
		t.Fatal(err)
	}
	numbers := make([]string, 500)
	for i := range numbers {
		numbers[i] = string(dbtest.Tag(i + 1))
	}
	_, err = dbtest.Owner(t, s.DB).Exec(t.Context(), `
		WITH n AS (SELECT number, row_number() OVER () AS at FROM unnest($1::text[]) AS number),
		     p AS (SELECT p.id, row_number() OVER (ORDER BY p.id) AS at FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.name IN ('B1', 'B2')),
		a AS (
		  INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, physical, legal, disease, order_state, money, protocol_id, price_list_id)
		  SELECT gen_random_uuid(), number, 'whitetail', 'mature', 'whole', $2::timestamptz - interval '3 hours', $2, $3, 'hanging', 'verified', 'not-needed',
		         'none', 'quoted', (SELECT min(id) FROM protocols), $4 FROM n RETURNING id, number
		), l AS (
		  INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface) SELECT gen_random_uuid(), id, $2, $2, $3, 'clean', 'dry' FROM a
		)
		INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		SELECT gen_random_uuid(), p.id, a.id, $2, $3 FROM a JOIN n USING (number) JOIN p USING (at)`,
		numbers, now.Add(-5*24*time.Hour), s.Bob.ID, s.Prices.ID)
	if err != nil {
		t.Fatal(err)
	}
	fans, air := 8, domain.Fahrenheit(36)
	if err := s.SaveRound(t.Context(), s.Act(s.Bob, now.Add(-time.Hour)), db.Round{Cooler: "barn", WalkedFrom: now.Add(-2 * time.Hour), WalkedTo: now.Add(-time.Hour),
		RoomCheck: db.RoomCheck{AirPanel: &air, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean}}); err != nil {
		t.Fatal(err)
	}
	a := s.As(t, s.Bob).Get("/round/barn")
	a.Wants(t, http.StatusOK, "How many hang on B1", "0500")
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, 1) // as the site packs it
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write([]byte(a.Body)); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	t.Logf("%d kB, %d kB compressed", len(a.Body)/1000, packed.Len()/1000)
	if packed.Len() > 40_000 {
		t.Errorf("%d bytes compressed", packed.Len())
	}
}

// An empty cooler has a round too.
func TestEmptyCooler(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.SetNow(now)
	bob := s.As(t, s.Bob)
	walk := s.Act(s.Bob, now).ID.String()
	f := room(walk)
	f.Del("meat-old")
	f.Del("meat-new_exact")
	moved(t, bob.Post("/round/main/room", f), "/round/main")
	moved(t, bob.Post("/round/main/rails/1", url.Values{"walk": {walk}, "count": {"0"}}), "/round/main")
	moved(t, bob.Post("/round/main/end", url.Values{"walk": {walk}}), "/round/walked/"+walk)
}
