package today_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// A line that asks for a call names who is called, with the number to tap for those
// whose work it is; of several owners it names none. The lead's own calls say so.
func TestTodayWhomToCall(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	mine, shared := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.Own(t, mine, "Wade Tolliver", "607-555-0171")
	s.Own(t, shared, "Rosa Lunt", "607-555-0172")
	s.Own(t, shared, "Edda Prewitt", "607-555-0173")
	page := s.As(t, s.Bob).Get("/")
	page.Wants(t, http.StatusOK, "Orders to ask for: 2", "Whitetail, Wade Tolliver", "tel:6075550171")
	if strings.Contains(page.Body, "Rosa Lunt") || strings.Contains(page.Body, "Edda Prewitt") || strings.Contains(page.Body, "the lead speaks first") {
		t.Error("one of two owners is named, or the lead is to speak of a quiet animal")
	}
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE animals SET call_first = true WHERE number = $1`, mine)
	must(t, err)
	cutter, err := s.AddStaff(t.Context(), db.NewStaff{Name: "Max Toivonen", Initials: "MT", Roles: []string{"cutter"}, PIN: "9182"}, dbtest.Noon.Add(-time.Hour))
	must(t, err)
	page = s.As(t, cutter).Get("/")
	page.Wants(t, http.StatusOK, "··· 0171", "the lead speaks first")
	if strings.Contains(page.Body, "tel:") {
		t.Error("a cutter reads a phone number")
	}
}

// Whose meat was lost waits for the lead's call: the line stays until the lead has spoken
// to the owner, also where none of the animal hangs any more, and asks for no second call.
func TestTodayBadNewsIsTold(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	s.Own(t, n, "Wade Tolliver", "607-555-0171")
	page, title := s.As(t, s.Ann), "The lead speaks to the owner: 1"
	if strings.Contains(page.Get("/").Body, title) {
		t.Error("there is no news yet")
	}
	must(t, s.Decide(t.Context(), s.Act(s.Ann, dbtest.Noon), n, round.CondemnPart, "the neck cut away"))
	a := page.Get("/")
	a.Wants(t, http.StatusOK, title, "Meat was condemned Thu Nov 19", "Whitetail, Wade Tolliver", "tel:6075550171", "the lead speaks first")
	if strings.Contains(a.Body, "Orders to ask for") {
		t.Error("two lines ask to call one owner")
	}
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		INSERT INTO notices (id, animal_id, statute_id, raised_at, raised_by, due_at)
		SELECT gen_random_uuid(), a.id, (SELECT id FROM statutes LIMIT 1), $2, $3, $2 FROM animals a WHERE a.number = $1`, n, dbtest.Noon, s.Ann.ID)
	must(t, err)
	if strings.Contains(page.Get("/").Body, title) {
		t.Error("a notice asks for the call, and the page asks for it twice")
	}
	_, err = dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE notices SET sent_at = $1, sent_by = $2, how = 'by phone'`, dbtest.Noon, s.Ann.ID)
	must(t, err)
	must(t, s.Decide(t.Context(), s.Act(s.Ann, dbtest.Noon.Add(time.Minute)), n, round.CondemnAll, "sour to the bone"))
	must(t, s.LogCall(t.Context(), s.Act(s.Ann, dbtest.Noon.Add(2*time.Minute)), n, "call", "left word", ""))
	page.Get("/").Wants(t, http.StatusOK, title)
	must(t, s.LogCall(t.Context(), s.Act(s.Ann, dbtest.Noon.Add(3*time.Minute)), n, "call", "spoke", ""))
	if strings.Contains(page.Get("/").Body, title) {
		t.Error("the owner knows, and the page still asks for the call")
	}
}

// What is to be cut stands once, where it is most urgent; where tag or register are
// not complete the line leads there and not to the knife.
func TestTodayNotToTheKnife(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	look(t, s, n, round.Look{At: dbtest.Noon, Smell: round.SmellClean, Surface: round.SurfaceDry})
	s.SetNow(dbtest.Noon.Add(24 * time.Hour))
	bob := s.As(t, s.Bob)
	page := bob.Get("/")
	page.Wants(t, http.StatusOK, "To be cut by today or tomorrow: 1", "Get the order")
	if strings.Contains(page.Body, "Orders to ask for") {
		t.Error("its order is asked for twice")
	}
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE animals SET legal = 'unchecked' WHERE number = $1`, n)
	must(t, err)
	bob.Get("/").Wants(t, http.StatusOK, "Tag or register not complete.", "/dropoff/owed/"+string(n), "Fill in")
	if page = bob.Get("/"); strings.Contains(page.Body, "/cutting?take=") || strings.Contains(page.Body, "Get the order") {
		t.Error("what may not be cut is sent to the knife")
	}
}

// What a round found says when, by whom, and what the room's air is by now, where it
// was about a temperature.
func TestTodayFoundWhen(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	owner := dbtest.Owner(t, s.DB)
	_, err := owner.Exec(t.Context(), `
		INSERT INTO corrective_actions (id, cooler_id, item, value, expected, found_at, found_by)
		SELECT gen_random_uuid(), c.id, i.item, i.value, i.expected, $1, $2
		FROM coolers c, (VALUES ('meat-old', 15.0::float8, NULL::int), ('fans', 2, 3)) i (item, value, expected) WHERE c.name = 'main'`, dbtest.Noon.Add(-20*time.Hour), s.Bob.ID)
	must(t, err)
	page := s.As(t, s.Ann).Get("/")
	page.Wants(t, http.StatusOK, "To be put right: 2", "59 °F", "Found Wed Nov 18, 4:00 pm by BT.", "The room&#39;s air was last 35.6 °F, Thu Nov 19,")
	if n := strings.Count(page.Body, "air was last"); n != 1 {
		t.Errorf("the air is told %d times, a fan has none", n)
	}
}

// What one walk of a room found is one line that names all of it and leads to its card,
// as one person puts it right; another walk's finding is a line of its own.
func TestTodayFoundOnOneWalk(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	walk := s.Act(s.Bob, dbtest.Noon).ID.String()
	bob := s.As(t, s.Bob)
	a := bob.Post("/round/main/room", url.Values{"walk": {walk}, "smell": {"clean"}, "panel_exact": {"47"}, "independent_exact": {"47"}, "fans": {"2"},
		"right-frost": {"yes"}, "right-drip": {"yes"}, "right-floor": {"yes"}, "right-door": {"yes"}, "right-light": {"yes"}})
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		INSERT INTO corrective_actions (id, cooler_id, item, found_at, found_by)
		SELECT gen_random_uuid(), id, 'drip', $1, $2 FROM coolers WHERE name = 'main'`, dbtest.Noon.Add(-time.Hour), s.Bob.ID)
	must(t, err)
	open, err := s.OpenActions(t.Context())
	must(t, err)
	page := s.As(t, s.Ann).Get("/")
	page.Wants(t, http.StatusOK, "To be put right: 4", "Main cooler: 3 things", "2 of 3 fans turn", "47 °F; ", "Main cooler: Drip: not right", "/round/actions#several-")
	if len(open) != 4 || strings.Count(page.Body, "/round/actions#") != 2 {
		t.Errorf("%d findings stand in %d lines, want 4 in 2", len(open), strings.Count(page.Body, "/round/actions#"))
	}
	_, after, _ := strings.Cut(page.Body, "/round/actions#")
	card, _, _ := strings.Cut(after[strings.Index(after, "/round/actions#several-")+len("/round/actions#"):], `"`)
	s.As(t, s.Ann).Get("/round/actions").Wants(t, http.StatusOK, `id="`+card+`"`)
}
