package hunter_test

import (
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/hold"
	"coldrail/web/hunter"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// path is where the owner's link of an animal leads today.
func path(t testing.TB, s *webtest.Site, number domain.ShopNumber) string {
	t.Helper()
	secret, err := s.Secret(t.Context(), "hunter links")
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Animal(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	link, found := strings.CutPrefix(hunter.Link("http://coldrail.example", secret, a.ID, a.LinkRevision), "http://coldrail.example")
	if !found {
		t.Fatal("the link does not begin with the public address")
	}
	return link
}

func set(t testing.TB, s *webtest.Site, sql string, args ...any) {
	t.Helper()
	if _, err := s.Pool().Exec(t.Context(), sql, args...); err != nil {
		t.Fatal(err)
	}
}

// stage moves a deer on, as an act would: its revision rises.
func stage(t testing.TB, s *webtest.Site, n domain.ShopNumber, physical animal.Physical) {
	t.Helper()
	set(t, s, `UPDATE animals SET physical = $2, order_state = 'done', revision = revision + 1 WHERE number = $1`, n, physical)
}

// The same page, from the hook to the truck.
func TestOwnersPage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 147, 7)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	home, at := s.Nobody(t), path(t, s, n)
	first := home.Get(at)
	// 40 kg on the hook: 0.469 to 0.573 of 88.2 lb (University of Wyoming B-589R
	// and the classic formula), by hand 41.4 to 50.5 lb.
	first.Wants(t, http.StatusOK, "Your deer", "It hangs in our cooler, day 4 since the kill.", "We do not have your whole cutting order yet",
		"We mean to cut it", "It can be sooner or later", "41.4 to 50.5 lb", "boneless, from 88.2 lb on the hook", "about $125.00",
		"does not say the meat is fit to eat", `content="noindex`)
	if len(first.Body) > 30_000 || strings.Contains(first.Body, "<script") {
		t.Errorf("%d bytes, or a script", len(first.Body))
	}
	set(t, s, `UPDATE animals SET disease = 'pending', order_state = 'complete', promised_on = '2026-12-04', revision = revision + 1 WHERE number = $1`, n)
	home.Get(at).Wants(t, http.StatusOK, "It waits for the laboratory", "ready to collect about Fri Dec 4", "not a promise about the meat")
	set(t, s, `UPDATE animals SET disease = 'not-needed', revision = revision + 1 WHERE number = $1`, n)
	stage(t, s, n, animal.OnTable)
	home.Get(at).Wants(t, http.StatusOK, "It is on our table, being cut.")
}

// Meat in a batch is still to come until it is back with the rest, also where the
// cutter has packed that cut before.
func TestOwnersPageSaysWhatABatchHas(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	home, at := s.Nobody(t), path(t, s, n)
	set(t, s, `
		WITH b AS (
		  INSERT INTO batches (id, number, product, kind, pork, beef, status, started_at, started_by, finished_at, packs, packed_kg, odd_kg)
		  VALUES (gen_random_uuid(), 1, 'sticks', 'own', false, false, 'finished', $2, $3, $2, 6, 12, 0) RETURNING id),
		i AS (INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT gen_random_uuid(), b.id, a.id, 15, $2, $3 FROM b, animals a WHERE a.number = $1)
		INSERT INTO batch_shares (batch_id, animal_id, input_kg, exact_kg, packs) SELECT b.id, a.id, 15, 12, 6 FROM b, animals a WHERE a.number = $1`, n, dbtest.Noon, s.Bob.ID)
	home.Get(at).Wants(t, http.StatusOK, "ready to collect", "Still to come", "<li>sticks</li>")
	set(t, s, `UPDATE batch_shares SET given_at = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n, dbtest.Noon)
	set(t, s, `UPDATE animals SET revision = revision + 1 WHERE number = $1`, n)
	home.Get(path(t, s, n)).Wants(t, http.StatusOK, "ready to collect")
	if a := home.Get(path(t, s, n)); strings.Contains(a.Body, "<li>sticks</li>") {
		t.Error("it is back, and still to come")
	}
}

// Boxed, billed, paid, part of it gone, all of it gone.
func TestOwnersPageFromTheFreezer(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ctx, n := t.Context(), s.BoxDeer(t, 1, 2)
	s.Packed(t, n, "Steaks", domain.Pounds(41))
	home, at := s.Nobody(t), path(t, s, n)
	home.Get(at).Wants(t, http.StatusOK, "ready to collect", "41.0 lb", "in 5 packs, weighed", "2 boxes in our freezer", "summer sausage", "about $150.00", "The bill follows")
	must(t, s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), n))
	home.Get(at).Wants(t, http.StatusOK, "$150.00", "$150.00 still to pay, $0.00 paid", "is to be paid when you collect")
	if _, err := s.Pay(ctx, s.Act(s.Bob, dbtest.Noon), n, 15000, "cash"); err != nil {
		t.Fatal(err)
	}
	home.Get(at).Wants(t, http.StatusOK, "paid, thank you")
	must(t, s.HandOver(ctx, s.Act(s.Bob, dbtest.Noon), n, leaves(n, 1)))
	home.Get(at).Wants(t, http.StatusOK, "Part of it was picked up", "1 box in our freezer")
	must(t, s.HandOver(ctx, s.Act(s.Bob, dbtest.Noon), n, leaves(n, 2)))
	gone := home.Get(at)
	gone.Wants(t, http.StatusOK, "It was picked up.", "Thu Nov 19")
	for _, name := range []string{"Orrin", "Tarrant", "Kessler", "BT", "license 0042"} {
		if strings.Contains(gone.Body, name) {
			t.Errorf("the page names %s", name)
		}
	}
}

// A phone that takes packed pages gets the same page packed, and never twice.
func TestPacked(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	at := s.URL + path(t, s, s.HangDeer(t, 1, 1))
	ask := func(takes string) (string, http.Header) {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, at, nil)
		must(t, err)
		req.Header.Set("Accept-Encoding", takes)
		res, err := (&http.Transport{DisableCompression: true}).RoundTrip(req)
		must(t, err)
		defer res.Body.Close()
		var body io.Reader = res.Body
		if res.Header.Get("Content-Encoding") == "gzip" {
			body, err = gzip.NewReader(body)
			must(t, err)
		}
		all, err := io.ReadAll(body)
		must(t, err)
		return string(all), res.Header
	}
	plain, how := ask("identity")
	packed, packedHow := ask("gzip, br")
	if plain != packed || !strings.Contains(plain, "Your deer") || how.Get("Content-Encoding") != "" || packedHow.Get("Content-Encoding") != "gzip" {
		t.Errorf("%d bytes plain, %d packed; %v, %v", len(plain), len(packed), how, packedHow)
	}
}

// Bad news comes from a person: until then there is one sentence and a phone.
func TestPleaseCall(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	set(t, s, `UPDATE shop SET phone = '607-555-0100'`)
	s.Cold(t)
	home := s.Nobody(t)
	for i, bad := range []struct{ name, sql string }{
		{"the lead has not called yet", `UPDATE animals SET call_first = true, revision = revision + 1 WHERE number = $1`},
		{"condemned", `UPDATE animals SET physical = 'condemned', revision = revision + 1 WHERE number = $1`},
		{"cannot be found", `UPDATE animals SET physical = 'missing', revision = revision + 1 WHERE number = $1`},
		{"a positive test", holdSQL(hold.Positive)},
		{"a warm room", holdSQL(hold.Temperature)},
		{"whose is it", holdSQL(hold.Identity)},
		{"a bad smell at the look: stop", `INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface)
			SELECT gen_random_uuid(), id, timestamptz '2026-11-19 16:00Z', now(), received_by, 'putrid', 'slimy' FROM animals WHERE number = $1`},
	} {
		n := s.HangDeer(t, i+1, i+1)
		set(t, s, bad.sql, n)
		a := home.Get(path(t, s, n))
		a.Wants(t, http.StatusOK, "Please call us about your deer.", "607-555-0100")
		for _, told := range []string{"cooler", "lb", "$", "detected", "condemned", "missing", "held", "test", "smell"} {
			if strings.Contains(a.Body, told) {
				t.Errorf("%s: the page tells %q", bad.name, told)
			}
		}
	}
	elk := s.HangDeer(t, 20, 12)
	set(t, s, `UPDATE animals SET species = 'elk', call_first = true, revision = revision + 1 WHERE number = $1`, elk)
	home.Get(path(t, s, elk)).Wants(t, http.StatusOK, "Please call us about your elk.")
}

func holdSQL(k hold.Kind) string {
	return fmt.Sprintf(`INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by)
		SELECT '%s', id, '%s', 'as found', timestamptz '2026-11-19 16:00Z', received_by FROM animals WHERE number = $1`, uuid.New(), k)
}

// A wrong, damaged, foreign or revoked link gets one and the same answer.
func TestWrongLinks(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.HangDeer(t, 1, 1)
	home, good := s.Nobody(t), path(t, s, n)
	a, err := s.Animal(t.Context(), n)
	must(t, err)
	home.Get(good).Wants(t, http.StatusOK)
	old := good
	if a := s.As(t, s.Bob).Post("/pickup/"+string(n)+"/link", url.Values{}); a.Status != http.StatusSeeOther {
		t.Fatalf("a new link: %d %.500s", a.Status, a.Body)
	}
	home.Get(path(t, s, n)).Wants(t, http.StatusOK, "Your deer")
	foreign := hunter.Token([]byte("another server's secret, 32 bytes"), a.ID, 2)
	secret, err := s.Secret(t.Context(), "hunter links")
	must(t, err)
	unknown := hunter.Token(secret, uuid.New(), 1)
	flipped := []byte(path(t, s, n))
	flipped[10] ^= 1
	answers := map[string]string{}
	for name, link := range map[string]string{"revoked": old, "foreign": "/s/" + foreign, "unknown": "/s/" + unknown, "one letter off": string(flipped),
		"cut short": good[:20], "no token at all": "/s/x", "padded": good + "=", "the number": "/s/" + string(n), "the id": "/s/" + a.ID.String()} {
		got := home.Get(link)
		if got.Status != http.StatusNotFound {
			t.Errorf("%s: %d", name, got.Status)
		}
		answers[got.Body] = name
	}
	if len(answers) != 1 {
		t.Errorf("%d different answers: %v", len(answers), answers)
	}
}

// Nobody can go through links by the thousand, or is told how many guesses are left.
func TestGuessingIsSlow(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	home := s.Nobody(t)
	for i := range 61 {
		got := home.Get("/s/guess")
		if late := i == 60; (got.Status == http.StatusTooManyRequests) != late || (got.Header.Get("Retry-After") != "") != late {
			t.Fatalf("guess %d: %d, come again after %q s", i+1, got.Status, got.Header.Get("Retry-After"))
		}
		for name := range got.Header {
			if strings.Contains(strings.ToLower(name), "ratelimit") {
				t.Fatalf("guess %d is told %s: %s", i+1, name, got.Header.Get(name))
			}
		}
	}
}

// leaves is one box going home with its owner.
func leaves(n domain.ShopNumber, box int) db.Collection {
	return db.Collection{Collector: "Dale Orrin", Authority: animal.ByOwner, Seen: "license 0042", Boxes: []string{domain.BoxCode(n, box)}, TagReturned: true}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// The cost is told with its tax, from the day on which the tax counts, though nothing
// was done to the animal since the page was made before.
func TestOwnersPageTellsTheTax(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.CutDeer(t, 1, animal.Hanging)
	stage(t, s, n, animal.InPieces)
	home, at := s.Nobody(t), path(t, s, n)
	tomorrow := dbtest.Noon.AddDate(0, 0, 1)
	must(t, s.SetTax(t.Context(), s.Act(s.Ann, dbtest.Noon), 0, billing.Rate{Name: "Sales tax", PerMillion: 60_000}, tomorrow, "letter"))
	if today := home.Get(at); !strings.Contains(today.Body, "about $150.00") || strings.Contains(today.Body, "Tax is in it") {
		t.Errorf("before the tax counts:\n%s", today.Body)
	}
	s.SetNow(tomorrow)
	home.Get(at).Wants(t, http.StatusOK, "about $157.50", "Tax is in it. The bill follows") // by hand: 6 % of 125.00 is 7.50
}
