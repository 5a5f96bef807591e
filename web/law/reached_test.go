package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// trade.md 2.5: a positive lists everything it touched, on one page: the carcass and its
// place, head and cape, packs and their boxes, the batch it entered, the batch that
// followed on the grinder, the owners of both, the programme one deer was given to, who
// lay on the table after it, and each task with its deadline. What ran before it, and what
// ran after the full clean-out, is not there.
func TestPositiveListsEverythingItTouched(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "MI", "America/Detroit")
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	owners := []string{"Dell Hargrove", "Marla Finch", "Orrin Beck", "Lena Prather", "Wade Tolliver"}
	numbers := make([]domain.ShopNumber, len(owners))
	for i, name := range owners {
		numbers[i] = s.BoxDeer(t, i+1, 1)
		s.Own(t, numbers[i], name, "555-014"+string(rune('1'+i)))
		s.Packed(t, numbers[i], "steaks of "+strings.Fields(name)[1], 8)
	}
	sick, before, mate, next, after := numbers[0], numbers[1], numbers[2], numbers[3], numbers[4]
	at := func(minutes int) { s.SetNow(dbtest.Noon.Add(time.Duration(minutes) * time.Minute)) }
	for _, sql := range []string{
		`UPDATE orders SET own_meat_only = false, added_meat = 'none'`,
		`UPDATE packs p SET box_id = b.id FROM boxes b WHERE b.animal_id = p.animal_id`,
		`INSERT INTO pieces (id, animal_id, mark, kind, kg, made_at) SELECT gen_random_uuid(), id, 'H', 'head', 3, received_at FROM animals WHERE number = '` + string(sick) + `'`,
		`INSERT INTO pieces (id, animal_id, mark, kind, kg, made_at) SELECT gen_random_uuid(), id, 'Q', 'quarter', 9, received_at FROM animals WHERE number = '` + string(sick) + `'`,
		`INSERT INTO occupancies (id, place_id, animal_id, piece_id, since, by_staff)
		 SELECT gen_random_uuid(), (SELECT p.id FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.name = 'R1' AND p.position = 7), k.animal_id, k.id, k.made_at, a.received_by
		 FROM pieces k JOIN animals a ON a.id = k.animal_id WHERE k.mark = 'Q'`,
		`UPDATE sessions_at_table t SET started_at = started_at + interval '1 hour', stopped_at = stopped_at + interval '1 hour' FROM animals a WHERE a.id = t.animal_id AND a.number = '` + string(after) + `'`,
	} {
		if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	for i, into := range [][]domain.ShopNumber{{before}, {sick, mate}, {next}, {after}} {
		post(t, bob, "/batches/new", url.Values{"product": {"summer-sausage"}, "flavour": {"garlic"}, "kind": {"pooled"}, "pork": {"no"}, "beef": {"no"}})
		for _, n := range into {
			post(t, bob, "/batches/"+string(rune('1'+i))+"/add", url.Values{"animal": {n.Digits()}, "weight": {"10"}})
		}
		at(10 * (i + 1))
		if i == 3 {
			post(t, bob, "/machines/clean", url.Values{"machine": {"2"}, "level": {"full"}, "why": {"end of the run"}})
		}
		at(10*(i+1) + 1)
		post(t, bob, "/machines/run", url.Values{"machine": {"2"}, "thing": {"B" + string(rune('1'+i))}})
	}
	given := s.CutDeer(t, 9, animal.Stored)
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT gen_random_uuid(), b.id, a.id, 5, $1, a.received_by FROM batches b, animals a WHERE b.number = 2 AND a.number = $2`,
		dbtest.Noon, given); err != nil {
		t.Fatal(err)
	}
	post(t, ann, "/programmes/add", url.Values{"programme_name": {"Full Plate"}, "words": {"Donated game meat"}})
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO programme_deer (animal_id, programme_id, signer, at, by_staff) SELECT a.id, p.id, 'x', $1, a.received_by FROM animals a, programmes p WHERE a.number = $2`, dbtest.Noon, given); err != nil {
		t.Fatal(err)
	}
	at(60)
	post(t, ann, "/animals/"+string(sick)+"/holds", url.Values{"kind": {"positive"}, "why": {"letter of the laboratory"}, "pin": {"4711"}})
	page := ann.Get("/animals/" + string(sick) + "/reached")
	page.Wants(t, http.StatusOK, string(sick)+"-H, head", "nobody has said where it lies", "R1-7", "Batch B-2", "Batch B-3", "through the grinder after Batch B-2", "still in the making, stop it",
		"steaks of Hargrove", "box 1 at F1-1", "Dell Hargrove", "Orrin Beck", "Lena Prather", "Full Plate",
		"Tell the wildlife agency", "Due Mon Nov 23, 11:59 pm", "Tell Orrin Beck", "Tell Lena Prather", "Due Fri Nov 20, 1:00 pm", "On the table after it", string(after))
	for _, not := range []string{"Batch B-1", "Batch B-4", "Marla Finch", "Wade Tolliver"} {
		if strings.Contains(page.Body, not) {
			t.Errorf("%s is on the page, and nothing reached it", not)
		}
	}
}

// BenchmarkReached opens that page for the first deer of last season, whose meat went
// into the first batch of a season in which no machine was ever cleaned out in full: with
// 300 batches, 1,500 animals and their packs behind it in each earlier season (make
// seasons: ten). Target (issue of the law's records): under a minute.
func BenchmarkReached(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	first := season(b, s)
	ann := s.As(b, s.Ann)
	var page webtest.Answer
	for b.Loop() {
		began := time.Now()
		page = ann.Get("/animals/" + string(first) + "/reached")
		if took := time.Since(began); page.Status != http.StatusOK || !strings.Contains(page.Body, `href="/batches/`) || took > time.Minute {
			b.Fatalf("%d after %s", page.Status, took)
		}
	}
	b.ReportMetric(float64(len(page.Body))/1000, "kB/page")
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/page")
}

// season puts 300 batches into each season that is there, or where there is none five
// boxed deer and one batch of them, and returns the first deer of the last one.
func season(b *testing.B, s *webtest.Site) (first domain.ShopNumber) {
	b.Helper()
	ctx := b.Context()
	owner, err := dbtest.Owner(b, s.DB).Acquire(ctx) // one connection: a table of its own
	if err != nil {
		b.Fatal(err)
	}
	defer owner.Release()
	var animals int
	if err := owner.QueryRow(ctx, `SELECT count(*) FROM animals`).Scan(&animals); err != nil {
		b.Fatal(err)
	}
	if animals == 0 {
		for i := range 5 {
			s.Packed(b, s.BoxDeer(b, i+1, 1), "steaks", 8)
		}
	}
	for _, sql := range []string{
		`CREATE TEMPORARY TABLE mixed AS SELECT id AS animal_id, received_by, received_at + interval '10 days' AS at, number, ((row_number() OVER (ORDER BY number) - 1) / 5 + 1)::int AS batch FROM animals`,
		`INSERT INTO batches (id, number, product, kind, pork, beef, status, started_at, started_by)
		 SELECT gen_random_uuid(), batch, 'summer-sausage', 'pooled', false, false, 'given', min(at), (array_agg(received_by))[1] FROM mixed GROUP BY batch`,
		`INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT gen_random_uuid(), b.id, m.animal_id, 8, m.at, m.received_by FROM mixed m JOIN batches b ON b.number = m.batch`,
		`INSERT INTO machine_runs (id, machine_id, batch_id, at, by_staff) SELECT gen_random_uuid(), k, b.id, b.started_at + make_interval(hours => k), b.started_by FROM batches b, generate_series(2, 6) k`,
		`INSERT INTO machine_runs (id, machine_id, clean, at, by_staff) SELECT gen_random_uuid(), k, 'rinse', b.started_at + make_interval(hours => k, mins => 30), b.started_by FROM batches b, generate_series(2, 6) k`,
		`ANALYZE`,
	} {
		if _, err := owner.Exec(ctx, sql); err != nil {
			b.Fatal(err)
		}
	}
	if err := owner.QueryRow(ctx, `SELECT min(number) FROM animals WHERE left(number, 2) = (SELECT max(left(number, 2)) FROM animals)`).Scan(&first); err != nil {
		b.Fatal(err)
	}
	return first
}
