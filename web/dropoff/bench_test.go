package dropoff_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/web/webtest"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// BenchmarkDropoff measures a drop-off from the request to the acknowledged
// commit against the same rows inserted by one bare pgx.Batch, both in this run
// and in turn. Target (design.md): at most 2 times. The test server keeps its
// files in memory with fsync off, so the commit itself costs next to nothing on
// either side: on a disk the ratio is smaller.
func BenchmarkDropoff(b *testing.B) {
	s := webtest.Open(b)
	room := 0
	if err := s.Pool().QueryRow(b.Context(), `WITH r AS (SELECT id FROM rails WHERE name = 'R1'), p AS (
		INSERT INTO places (rail_id, position) SELECT r.id, n FROM r, generate_series(13, 400) AS n RETURNING 1) SELECT count(*) FROM p`).Scan(&room); err != nil {
		b.Fatal(err)
	}
	browser := s.As(b, s.Bob)
	var page, bare []time.Duration
	n := 0
	for b.Loop() {
		n++
		began := time.Now()
		a := browser.Post("/dropoff", url.Values{"number": {string(domain.NewShopNumber(26, n))}, "phone": {fmt.Sprintf("607-555-%04d", n)}, "name": {"Wendell Ostrander"},
			"tag": {fmt.Sprintf("NY-%07d", n)}, "state": {"NY"}, "species": {"whitetail"}, "shape": {"whole"}, "sex": {"male"}, "killed": {"today"}, "deep": {"52"}, "other": {"-"}, "place": {"next"}})
		if a.Status != http.StatusSeeOther {
			b.Fatalf("%d %.400s", a.Status, a.Body)
		}
		page = append(page, time.Since(began))
		began = time.Now()
		insertBare(b, s, 5000+n)
		bare = append(bare, time.Since(began))
		if n == 180 { // the rail is full
			break
		}
	}
	slices.Sort(page)
	slices.Sort(bare)
	b.ReportMetric(float64(page[len(page)/2])/float64(bare[len(bare)/2]), "page/batch")
	b.ReportMetric(float64(page[len(page)/2].Microseconds()), "µs/page")
}

// insertBare writes the rows of a drop-off and nothing else: no rule is asked.
func insertBare(b *testing.B, s *webtest.Site, n int) {
	b.Helper()
	id, person, at := uuid.Must(uuid.NewV7()), uuid.Must(uuid.NewV7()), s.Now()
	batch := &pgx.Batch{}
	batch.Queue(`INSERT INTO people (id, name, phone, known_since) VALUES ($1, 'Bare Batch', $2, $3)`, person, fmt.Sprintf("607-555-%04d", n), at)
	batch.Queue(`INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, physical, legal, disease, order_state, money, protocol_id, price_list_id)
		VALUES ($1, $2, 'whitetail', 'mature', 'whole', $3, $3, $4, 'chilling', 'unchecked', 'not-needed', 'none', 'quoted', (SELECT min(id) FROM protocols), $5)`,
		id, domain.NewShopNumber(26, n), at, s.Bob.ID, s.Prices.ID)
	batch.Queue(`INSERT INTO animal_people (animal_id, person_id, role, since) VALUES ($1, $2, 'owner', $3), ($1, $2, 'taker', $3), ($1, $2, 'deliverer', $3)`, id, person, at)
	batch.Queue(`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) VALUES ($1, $1, 'carcass-tag', $2, 'NY', 'on-carcass', $3, $4)`,
		id, fmt.Sprintf("B-%d", n), at, s.Bob.ID)
	batch.Queue(`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff) VALUES ($1, (SELECT p.id FROM places p WHERE NOT EXISTS
		(SELECT FROM occupancies o WHERE o.place_id = p.id AND o.until IS NULL) ORDER BY p.id DESC LIMIT 1), $1, $2, $3)`, id, at, s.Bob.ID)
	batch.Queue(`INSERT INTO time_line (act, animal_id, what, at, by_staff) VALUES ($1, $1, 'receive', $2, $3)`, id, at, s.Bob.ID)
	if err := pgx.BeginFunc(b.Context(), s.Pool(), func(tx pgx.Tx) error { return tx.SendBatch(b.Context(), batch).Close() }); err != nil {
		b.Fatal(err)
	}
}
