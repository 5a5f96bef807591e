package today_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// ordered gives an animal a whole order, so that the page asks for none.
func ordered(t testing.TB, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	must(t, s.TakeOrder(t.Context(), s.Act(s.Bob, dbtest.Noon), n, db.Written{Source: "counter", Order: cutting.Order{Added: cutting.NoneAdded, OwnMeatOnly: true,
		Lines: []cutting.Line{
			{Part: cutting.Backstrap, Treatment: cutting.WholePiece, Amount: "all"}, {Part: cutting.Hind, Treatment: cutting.Grind, Amount: "all"},
			{Part: cutting.Shoulder, Treatment: cutting.Grind, Amount: "all"}, {Part: cutting.Neck, Treatment: cutting.Grind, Amount: "all"},
			{Part: cutting.Trim, Treatment: cutting.Burger, PerPack: "1", Amount: "all"},
		}}}))
}

// look keeps one look at an animal.
func look(t testing.TB, s *webtest.Site, n domain.ShopNumber, l round.Look) {
	t.Helper()
	must(t, s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), n, db.Look{Look: l, Touched: true}))
}

// A freezer that warms needs a person too, by its own limits.
func TestTodayWarmFreezer(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	freezer := func(at time.Time, c float64) {
		t.Helper()
		_, err := s.Pool().Exec(t.Context(), `
			WITH s AS (INSERT INTO sensors (cooler_id, name, kind) SELECT id, 'freezer air', 'logger' FROM coolers WHERE name = 'freezer'
			           ON CONFLICT (name) DO UPDATE SET kind = 'logger' RETURNING id, cooler_id)
			INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
			SELECT id, cooler_id, $1, $2, '', 'C', '', 'ok', 'file' FROM s`, at, c)
		must(t, err)
	}
	freezer(dbtest.Noon.Add(-time.Hour), -20)
	page := s.As(t, s.Bob).Get("/")
	page.Wants(t, http.StatusOK, "Nothing needs a person right now.", "−4.0 °F")
	freezer(dbtest.Noon, -10) // 14 °F: trade.md 4.1 keeps meat at 0 °F; above 10 °F somebody acts (common practice, no source)
	s.As(t, s.Bob).Get("/").Wants(t, http.StatusOK, "Rooms to look at: 1", "Above 10 °F. Find the cause now", `href="/coolers/freezer"`, "line urgent")
}

// An empty shop with a cold room: one quiet sentence, how it begins, and cautions; no
// number that is nothing.
func TestTodayNothing(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	page := s.As(t, s.Bob).Get("/")
	page.Wants(t, http.StatusOK, "Nothing needs a person right now.", "Nothing is in the house.", "Main cooler", "35.6 °F", "not the alarm")
	if strings.Contains(page.Body, "line-act") {
		t.Error("a line stands where nothing needs a person")
	}
	if a := s.Nobody(t).Get("/"); a.Location != "/enrol" {
		t.Errorf("a stranger sees the shop: %d %s", a.Status, a.Location)
	}
}

// What needs a person, the most urgent first, each line with its act.
func TestTodayMostUrgentFirst(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bad, held, asked, quiet := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2), s.HangDeer(t, 3, 3), s.HangDeer(t, 4, 4)
	for _, n := range []domain.ShopNumber{bad, held, quiet} {
		ordered(t, s, n)
	}
	fresh := arrive(t, s, 9, domain.Whole, false, nil)
	look(t, s, bad, round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceWet})
	must(t, s.OpenHold(t.Context(), s.Act(s.Bob, dbtest.Noon), held, hold.Quality, "odd smell at the hip", dbtest.Noon.Add(12*time.Hour)))
	must(t, s.WatchRounds(t.Context(), dbtest.Noon.Add(-5*time.Hour)))
	must(t, s.WatchRounds(t.Context(), dbtest.Noon))
	s.SetNow(dbtest.Noon.Add(13 * time.Hour)) // one in the morning in the shop's zone
	must(t, s.WatchRounds(t.Context(), s.Now()))
	page := s.As(t, s.Bob).Get("/")
	page.Wants(t, http.StatusOK, "Main cooler, evening round", "Missed. It was due Thu Nov 19, 7:00 pm", "That makes 2 in a row: phone the owner of the shop.", "Stopped, the lead decides: 1", "It smells sour.", "R1-1",
		"Holds to look at again: 1", "odd smell at the hip (BT). To be looked at again Fri Nov 20.", "/animals/"+string(held)+"/holds",
		"Get the order", "/animals/"+string(asked)+"/order", "Orders to ask for: 1", "/animals/"+string(fresh)+"/order")
	last := -1
	for _, title := range []string{"<h2>Rounds", "<h2>Stopped", "<h2>To be cut by", "<h2>To skin", "<h2>Holds to look at again", "<h2>Orders to ask for"} {
		at := strings.Index(page.Body, title)
		if at <= last {
			t.Errorf("%q stands at %d, before what is less urgent (%d)", title, at, last)
		}
		last = at
	}
	if strings.Contains(page.Body, string(quiet)+"/") {
		t.Error("an animal that needs nobody is on the page")
	}
}

// What a look stops under the knife waits for the lead on this page too, until decided.
func TestTodayStoppedAtTheTable(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	ordered(t, s, n)
	must(t, s.Start(t.Context(), s.Act(s.Bob, dbtest.Noon), n, db.Taking{TagRead: string(n), Version: 1}))
	look(t, s, n, round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceWet})
	bob := s.As(t, s.Bob)
	bob.Get("/").Wants(t, http.StatusOK, "Stopped, the lead decides: 1", "On the table. It smells sour.", "/animals/"+string(n)+"/look")
	must(t, s.Decide(t.Context(), s.Act(s.Ann, dbtest.Noon), n, round.CarryOn, "the flank alone"))
	if strings.Contains(bob.Get("/").Body, "Stopped, the lead decides") {
		t.Error("it is decided, and the page still asks the lead")
	}
}

// A room that is too warm comes first of all, in the words of its band.
func TestTodayWarmRoom(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	_, err := s.Pool().Exec(t.Context(), `
		INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		SELECT id, cooler_id, $1, 8, '8.0', 'C', '', 'ok', 'file' FROM sensors WHERE name = 'main air'`, dbtest.Noon.Add(30*time.Minute))
	must(t, err)
	s.SetNow(dbtest.Noon.Add(30 * time.Minute))
	s.As(t, s.Bob).Get("/").Wants(t, http.StatusOK, "Rooms to look at: 1", "46.4 °F", "above 45 °F", "Measure five animals", "Nothing hangs in it.", `href="/coolers/main"`, "line urgent")
	s.HangDeer(t, 1, 1)
	s.As(t, s.Bob).Get("/").Wants(t, http.StatusOK, "surface is past 41 °F already")
}

// Of a long list eight lines are shown and the rest counted; two on one hook and
// a promise stand apart. The dates are the shop's own.
func TestTodayLongListsAndPromises(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	var last domain.ShopNumber
	for i := range 11 {
		last = s.HangDeer(t, 10+i, 1+i)
	}
	owner := dbtest.Owner(t, s.DB)
	_, err := owner.Exec(t.Context(), `UPDATE animals SET promised_on = '2026-11-19', order_state = 'complete' WHERE number = $1`, last)
	must(t, err)
	_, err = owner.Exec(t.Context(), `UPDATE occupancies SET conflict = true WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, last)
	must(t, err)
	page := s.As(t, s.Ann).Get("/")
	page.Wants(t, http.StatusOK, "Orders to ask for: 10", "and 2 more", "Promised by today: 1", "Promised for Thu Nov 19; now hanging.", "Two on one hook: 1", "R1-11")
	_, err = owner.Exec(t.Context(), `UPDATE animals SET promised_on = '2026-11-20' WHERE number = $1`, last)
	must(t, err)
	if page = s.As(t, s.Ann).Get("/"); strings.Contains(page.Body, "Promised by today") {
		t.Error("tomorrow's promise stands under today")
	}
}

// Past its day, and its last day tomorrow: two groups, and the way to the knife
// leads to the order where that is missing.
func TestTodayCutBy(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1) // young: at most 5 days, killed three days before noon
	ordered(t, s, n)
	look(t, s, n, round.Look{At: dbtest.Noon, Smell: round.SmellClean, Surface: round.SurfaceDry})
	bob := s.As(t, s.Bob)
	if page := bob.Get("/"); strings.Contains(page.Body, "today or tomorrow") {
		t.Error("two days before its last day it is not urgent")
	}
	s.SetNow(dbtest.Noon.Add(24 * time.Hour))
	bob.Get("/").Wants(t, http.StatusOK, "To be cut by today or tomorrow: 1", "Cut it no later than Sat Nov 21, 12:00 pm", "/cutting?take="+string(n))
	s.SetNow(dbtest.Noon.Add(72 * time.Hour))
	bob.Get("/").Wants(t, http.StatusOK, "Past their day: 1", "Its last day was Sat Nov 21.", "cond-past")
}
