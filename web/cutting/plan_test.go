package cutting_test

import (
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/webtest"

	"github.com/jackc/pgx/v5"
)

// ordered marks the order of an animal complete, as its row says.
func ordered(t testing.TB, s *webtest.Site, numbers ...domain.ShopNumber) {
	t.Helper()
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET order_state = 'complete', revision = revision + 1 WHERE number = ANY ($1)`, numbers); err != nil {
		t.Fatal(err)
	}
}

func TestPlanPage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	empty := bob.Get("/cutting/plan")
	empty.Wants(t, http.StatusOK, "Nothing can be planned", "closed", "The lead and the owner keep this calendar.")
	if strings.Contains(empty.Body, "No plan serves") || strings.Contains(empty.Body, "No better plan") {
		t.Error("a plan of nothing is praised")
	}
	s.Cold(t)
	deer, orderless := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	ordered(t, s, deer)
	bob.Get("/cutting/plan").Wants(t, http.StatusOK, "There is no better order to cut these in.", "Thu Nov 19: 40 min of 8 h", "40 min. ", "May go home Fri Nov 20.",
		string(orderless), "The order is not complete", "no plan has fewer than 0")
	bob.Get("/cutting").Wants(t, http.StatusOK, "/cutting/plan")
	bob.Get("/dropoff/"+string(orderless)+"/hung").Wants(t, http.StatusOK, "As it stands you can have it home between Fri Nov 20 and Sun Nov 22.",
		"We mean to cut it between now and Sat Nov 21.", "Promise Sun Nov 22")
}

// Within a day the plan is in the order of the cutter's list: what is cut first comes
// first, whatever its number.
func TestPlanInTheListsOrder(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	one, two, three := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2), s.HangDeer(t, 3, 3)
	ordered(t, s, one, two, three)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET door = 'damaged', revision = revision + 1 WHERE number = $1`, three); err != nil {
		t.Fatal(err)
	}
	body := s.As(t, s.Bob).Get("/cutting/plan").Body
	at := []int{strings.Index(body, "/animals/"+string(three)), strings.Index(body, "/animals/"+string(one)), strings.Index(body, "/animals/"+string(two))}
	if at[0] < 0 || !slices.IsSorted(at) {
		t.Errorf("the plan of the day stands at %v, want what is cut first before the others", at)
	}
}

// What cannot be ready by its last day says so in one sentence.
func TestPlanSaysTooLate(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	deer := s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET class = 'mature', protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature'), revision = revision + 1`); err != nil {
		t.Fatal(err)
	}
	ordered(t, s, deer)
	page := s.As(t, s.Bob).Get("/cutting/plan")
	page.Wants(t, http.StatusOK, "It will not be ready by its last day, Sat Nov 21: cut it all the same, or ask for a longer hang.")
	if strings.Contains(page.Body, "Ready from") || strings.Contains(page.Body, "too early") {
		t.Error("the line says it twice")
	}
}

// What is ready says so by its badge alone; what will be within the day does not say
// today's date, as if it were ready already.
func TestPlanSaysReadyLaterToday(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	soon, ready := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	ordered(t, s, soon, ready)
	for _, sql := range []string{
		`UPDATE animals SET class = 'mature', protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature'), killed_at = killed_at - $1::interval, received_at = received_at - $1::interval, revision = revision + 1 WHERE number = $2`,
		`UPDATE occupancies SET since = since - $1::interval WHERE animal_id = (SELECT id FROM animals WHERE number = $2)`,
	} {
		if _, err := s.Pool().Exec(t.Context(), sql, "118 hours", soon); err != nil {
			t.Fatal(err)
		}
	}
	dry(t, s, soon)
	bob := s.As(t, s.Bob)
	for _, path := range []string{"/cutting/plan", "/cutting"} {
		page := bob.Get(path)
		page.Wants(t, http.StatusOK, "nearly ready", "Ready later today.", "ready to cut")
		if strings.Contains(page.Body, "Ready from") || strings.Contains(page.Body, "Ready about") {
			t.Errorf("%s: what is ready today says a date", path)
		}
	}
}

// Where more hangs than the crew can cut in time, the plan's head says by how much, and
// the line that is late is urgent and says so. Closed until Saturday, then one a day, and
// three whose last day is Saturday: by hand.
func TestPlanSaysItIsBehind(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	deer := []domain.ShopNumber{s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2), s.HangDeer(t, 3, 3)}
	ordered(t, s, deer...)
	ann := s.As(t, s.Ann)
	if page := ann.Get("/cutting/plan"); strings.Contains(page.Body, "More hangs than the crew") {
		t.Error("three in a day are no trouble for the crew")
	}
	ann.Post("/cutting/plan/works", url.Values{"works": {"carcasses"}}).Wants(t, http.StatusSeeOther)
	for day, n := range map[string]string{"2026-11-19": "0", "2026-11-20": "0", "2026-11-21": "1", "2026-11-22": "1", "2026-11-23": "1"} {
		ann.Post("/cutting/plan/day", url.Values{"day": {day}, "cutters": {n}, "size": {n}, "takes": {"both"}, "version": {"0"}}).Wants(t, http.StatusSeeOther)
	}
	ann.Get("/cutting/plan").Wants(t, http.StatusOK, "More hangs than the crew can cut in time: 2 are past their last day before their turn.",
		"By Sat Nov 21 about 1 a day are cut; it would take at least 3 a day.", `href="#crew"`, "1 day late.", "2 days late.")
}

// A promise the plan cannot keep is on the lead's list and the plan, moves by one
// tap, and the owner is then to be told.
func TestPlanMovesPromise(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	deer := s.HangDeer(t, 1, 1)
	ordered(t, s, deer)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	bob.Post("/animals/"+string(deer)+"/promise", url.Values{"promised": {"2026-11-20"}}).Wants(t, http.StatusSeeOther)
	for _, day := range []string{"2026-11-19", "2026-11-20"} {
		ann.Post("/cutting/plan/day", url.Values{"day": {day}, "cutters": {"0"}, "size": {"0"}, "takes": {"both"}, "version": {"0"}}).Wants(t, http.StatusSeeOther)
	}
	bob.Get("/").Wants(t, http.StatusOK, "Promises that cannot be kept", "Promised Fri Nov 20, can be home Sun Nov 22. Tell the owner.")
	bob.Get("/cutting/plan").Wants(t, http.StatusOK, "Promise Sun Nov 22 instead", "Days past the promise: 2. Tell the owner.")
	bob.Post("/cutting/plan/"+string(deer)+"/promise", url.Values{"promised": {"2026-11-22"}}).Wants(t, http.StatusSeeOther)
	bob.Get("/").Wants(t, http.StatusOK, "Owners to tell that the day moved", "Promised Fri Nov 20, now Sun Nov 22 (BT).")
	bob.Post("/animals/"+string(deer)+"/call", url.Values{"outcome": {"spoke"}, "way": {"call"}}).Wants(t, http.StatusSeeOther)
	if strings.Contains(bob.Get("/").Body, "Owners to tell") {
		t.Error("told, and still on the list")
	}
}

// Only the lead and the owner keep the calendar; what cannot be is refused with
// its sentence and what was typed stays.
func TestPlanCalendar(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	form := func(weekday, cutters, size, takes, version string) url.Values {
		return url.Values{"weekday": {weekday}, "cutters": {cutters}, "size": {size}, "takes": {takes}, "version": {version}}
	}
	if a := bob.Post("/cutting/plan/day", form("1", "2", "480", "both", "1")); a.Status == http.StatusSeeOther {
		t.Error("a cutter changed the calendar")
	}
	ann.Post("/cutting/plan/day", form("1", "4", "420", "game", "1")).Wants(t, http.StatusSeeOther)
	ann.Get("/cutting/plan").Wants(t, http.StatusOK, "Monday: 4 cutters, 7 h each, game only", "1 cutter, 8 h")
	ann.Post("/cutting/plan/day", form("1", "2", "480", "both", "1")).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just changed this day.")
	ann.Post("/cutting/plan/day", form("1", "two", "480", "both", "2")).Wants(t, http.StatusUnprocessableEntity, "Give a whole number.")
	ann.Post("/cutting/plan/day", form("1", "2", "1441", "both", "2")).Wants(t, http.StatusUnprocessableEntity, "A day has at most 1,440 minutes.")
	ann.Post("/cutting/plan/day", form("9", "2", "480", "both", "2")).Wants(t, http.StatusUnprocessableEntity, "Choose a weekday or a date.")
	ann.Post("/cutting/plan/works", url.Values{"works": {"carcasses"}}).Wants(t, http.StatusSeeOther)
	ann.Get("/cutting/plan").Wants(t, http.StatusOK, "420 carcasses, game only")
	ann.Post("/cutting/plan/works", url.Values{"works": {"hurry"}}).Wants(t, http.StatusUnprocessableEntity, "Choose how the crew counts its day.")
}

// BenchmarkPlan measures the plan by day with 500 waiting against its own SQL with
// the rows collected through pgx, in turn, on one connection; the plan itself is
// remembered, as it is while nothing changes, and is measured apart.
func BenchmarkPlan(b *testing.B) {
	s := webtest.Open(b)
	s.Past(b)
	s.HangMany(b, 500)
	browser, ctx := s.As(b, s.Ann), b.Context()
	conn, err := s.Pool().Acquire(ctx)
	if err != nil {
		b.Fatal(err)
	}
	defer conn.Release()
	bare := func() {
		rows, err := conn.Query(ctx, db.HangingSQL)
		if err != nil {
			b.Fatal(err)
		}
		if list, err := pgx.CollectRows(rows, pgx.RowToStructByName[db.Hung]); err != nil || len(list) != 500 {
			b.Fatal(len(list), err)
		}
		if waiting, traits, err := db.PlanRows(ctx, conn); err != nil || waiting != 500 || traits != 500 {
			b.Fatal(waiting, traits, err)
		}
	}
	page := func(path string) func() {
		return func() {
			res := browser.Ask(http.MethodGet, path, map[string]string{"Accept-Encoding": "gzip"})
			defer res.Body.Close()
			if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != http.StatusOK {
				b.Fatal(res.StatusCode, err)
			}
		}
	}
	began := time.Now()
	page("/cutting/plan")()
	b.ReportMetric(float64(time.Since(began).Microseconds()), "µs/first")
	var sql, next, days []time.Duration
	for b.Loop() {
		sql = append(sql, took(bare))
		next = append(next, took(page("/cutting")))
		days = append(days, took(page("/cutting/plan")))
	}
	b.ReportMetric(float64(median(next))/float64(median(sql)), "next/sql")
	b.ReportMetric(float64(median(days))/float64(median(sql)), "plan/sql")
	b.ReportMetric(float64(median(days).Microseconds()), "µs/plan")
	b.ReportMetric(float64(median(sql).Microseconds()), "µs/sql")
}

func took(do func()) time.Duration {
	began := time.Now()
	do()
	return time.Since(began)
}

func median(d []time.Duration) time.Duration {
	d = slices.Clone(d)
	slices.Sort(d)
	return d[len(d)/2]
}
