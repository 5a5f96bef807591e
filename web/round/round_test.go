package round_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// now is ten to seven in the evening in New York: the evening round is due.
var now = time.Date(2026, 11, 19, 23, 50, 0, 0, time.UTC)

// open is a site with some deer in the cooler and the evening round due.
func open(t testing.TB) *webtest.Site {
	t.Helper()
	s := webtest.Open(t)
	s.SetNow(now)
	hang(t, s, 1, "R1", 1, 9*24*time.Hour)
	hang(t, s, 2, "R1", 2, 5*24*time.Hour)
	hang(t, s, 3, "R1", 3, 4*time.Hour) // new since the morning
	hang(t, s, 4, "R2", 1, 16*24*time.Hour)
	if err := s.WatchRounds(t.Context(), now); err != nil {
		t.Fatal(err)
	}
	morning := now.Add(-12 * time.Hour)
	looks := []db.Look{}
	for n := range 4 {
		if n != 2 {
			l := db.Look{Number: dbtest.Tag(n + 1), Look: round.Look{At: morning, Smell: round.SmellClean, Surface: round.SurfaceDry}}
			l.ID = s.Act(s.Bob, morning).ID
			looks = append(looks, l)
		}
	}
	air, fans := domain.Fahrenheit(36), 3
	err := s.SaveRound(t.Context(), s.Act(s.Bob, morning), db.Round{Cooler: "main", WalkedFrom: morning.Add(-time.Minute), WalkedTo: morning, Looks: looks,
		RoomCheck: db.RoomCheck{AirPanel: &air, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// hang puts a deer straight onto a hook, some time ago.
func hang(t testing.TB, s *webtest.Site, running int, rail string, position int, ago time.Duration) {
	t.Helper()
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		WITH a AS (
		  INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, hanging_kg, physical, legal, disease, order_state, money,
		         protocol_id, price_list_id)
		  VALUES (gen_random_uuid(), $1, 'whitetail', 'mature', 'whole', $2::timestamptz - interval '3 hours', $2, $3, 41, 'hanging', 'verified', 'not-needed',
		         'none', 'quoted', (SELECT id FROM protocols WHERE key LIKE 'deer%' ORDER BY id LIMIT 1), $4) RETURNING id
		)
		INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		SELECT gen_random_uuid(), p.id, a.id, $2, $3 FROM a, places p JOIN rails r ON r.id = p.rail_id WHERE r.name = $5 AND p.position = $6`,
		dbtest.Tag(running), now.Add(-ago), s.Bob.ID, s.Prices.ID, rail, position)
	if err != nil {
		t.Fatal(err)
	}
}

// room is the evening's list of the room, all well.
func room(walk string) url.Values {
	return url.Values{"walk": {walk}, "smell": {"clean"}, "panel": {"35"}, "independent": {"36"}, "meat-old": {"36"}, "meat-new_exact": {"55.5"}, "fans": {"3"},
		"right-frost": {"yes"}, "right-drip": {"yes"}, "right-floor": {"yes"}, "right-door": {"yes"}, "right-light": {"yes"}}
}

// count is the count of a rail with its touch.
func count(walk, counted string, touch int) url.Values {
	return url.Values{"walk": {walk}, "count": {counted}, "touch": {string(dbtest.Tag(touch))}, "touch_surface": {"dry"}, "touch_smell": {"clean"}}
}

func lookOn(walk string, running int, surface, smell string) url.Values {
	return url.Values{"walk": {walk}, "step": {"rail-1"}, "number": {string(dbtest.Tag(running))}, "surface": {surface}, "smell": {smell}}
}

func moved(t *testing.T, a webtest.Answer, where string) {
	t.Helper()
	if a.Status != http.StatusSeeOther || a.Location != where {
		t.Fatalf("%d to %q: %s", a.Status, a.Location, regexp.MustCompile(`(?s)<p class="wrong.*?</p>|<div class="notice urgent.*?</div>`).FindString(a.Body))
	}
}

func TestChooseRoom(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	bob.Get("/round").Wants(t, http.StatusOK, "Main cooler", "Freezer", "The evening round is due until 9:00 pm", "own battery-backed")
	bob.Get("/round/attic").Wants(t, http.StatusNotFound, "no room called attic")
}

func TestWalkPage(t *testing.T) {
	t.Parallel()
	s := open(t)
	a := s.As(t, s.Bob).Get("/round/main")
	a.Wants(t, http.StatusOK, "How many hang on R1", "3 of 3", "nobody has looked yet", "day 17: past day 14",
		"Meat, one that has hung long: 0004, R2-1", "Meat, the newest: 0003, R1-3", "Right: 32 °F to 38 °F", "Touch one carcass", "Door and latch")
	if strings.Contains(a.Body, "on the list") {
		t.Error("the page says how many should hang there before anybody counted")
	}
	s.As(t, s.Bob).Get("/round/freezer").Wants(t, http.StatusOK, "0 °F or colder", "Frost on the coil")
}

// Whoever looks again reads what the last look found, mold and all.
func TestWalkSaysWhatWasFound(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	look := url.Values{"number": {string(dbtest.Tag(3))}, "surface": {"sticky"}, "smell": {"clean"}, "site-0": {"neck"}, "length-0": {"1/8"}, "colour-0": {"white"}}
	if a := bob.Post("/round/look", look); a.Status != http.StatusSeeOther {
		t.Fatalf("%d: %.3000s", a.Status, a.Body)
	}
	bob.Get("/round/main").Wants(t, http.StatusOK, "something was found at the last look", "smell clean, surface sticky; mold neck, white, 1/8")
}

// A round that went well: each step sent twice, each with its own moment.
func TestWalkBySteps(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	walk := s.Act(s.Bob, now).ID.String()
	steps := []struct {
		path string
		form url.Values
		at   time.Duration
	}{
		{"/round/main/room", room(walk), 0},
		{"/round/main/looks", lookOn(walk, 3, "drying", "clean"), time.Minute},
		{"/round/main/rails/1", count(walk, "3", 2), 2 * time.Minute},
		{"/round/main/looks", lookOn(walk, 4, "dry", "clean"), 3 * time.Minute},
		{"/round/main/rails/2", count(walk, "1", 4), 4 * time.Minute},
		{"/round/main/rails/3", url.Values{"walk": {walk}, "count": {"other"}, "count_other": {"0"}}, 5 * time.Minute},
	}
	for _, step := range steps {
		s.SetNow(now.Add(step.at))
		step.form.Set("act", s.Act(s.Bob, now).ID.String())
		for range 2 {
			moved(t, bob.Post(step.path, step.form), "/round/main")
		}
	}
	bob.Get("/round/main").Wants(t, http.StatusOK, "3 counted", "The round is done")
	moved(t, bob.Post("/round/main/end", url.Values{"walk": {walk}}), "/round/walked/"+walk)
	bob.Get("/round/walked/"+walk).Wants(t, http.StatusOK, "The evening round is done.", "Nothing out of its limits", "4, with 4 on the list", "3 animals")
	looks, err := s.LooksAt(t.Context(), dbtest.Tag(4))
	if err != nil || len(looks) != 2 || !looks[0].At.Equal(now.Add(3*time.Minute)) {
		t.Errorf("its own moment: %+v, %v", looks, err)
	}
	bob.Get("/animals/"+string(dbtest.Tag(1))+"/look").Wants(t, http.StatusOK, "touch of rail R1 by BT, 6:52 pm")
}

// Trouble is said at the step that finds it, and stays open until it is put right.
func TestWalkFindsTrouble(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	walk := s.Act(s.Bob, now).ID.String()
	f := room(walk)
	f.Set("panel", "47")
	f.Set("fans", "2")
	f.Set("right-drip", "no")
	moved(t, bob.Post("/round/main/room", f), "/round/main")
	bob.Get("/round/main").Wants(t, http.StatusOK, "This is an incident", "Look at the breaker", "Move what hangs below")
	f = lookOn(walk, 1, "slimy", "sour")
	f.Set("site-0", "ribs")
	f.Set("length-0", "1/8 in")
	f.Set("colour-0", "blue-green")
	moved(t, bob.Post("/round/main/looks", f), "/round/main")
	bob.Get("/round/main").Wants(t, http.StatusOK, "Bad smell: stop", "make toxins", "mold inside the ribs, blue-green, 1/8 in")
	moved(t, bob.Post("/round/main/rails/1", count(walk, "2", 2)), "/round/main")
	bob.Get("/round/main").Wants(t, http.StatusOK, "R1: 2 counted, 3 on the list", "Tap each that is not there")
	moved(t, bob.Post("/round/main/rails/1/tags", url.Values{"walk": {walk}, "missing": {string(dbtest.Tag(2))}, "extra": {string(dbtest.Tag(44))}}), "/round/main")
	moved(t, bob.Post("/round/main/end", url.Values{"walk": {walk}}), "/round/walked/"+walk)
	ann.Get("/round/walked/"+walk).Wants(t, http.StatusOK, "This is an incident", "Look at the breaker", "Not counted: R2<", "R3 was not counted: nothing hangs there by the list.", "Not looked at, though they should have been", "Decide")
	ann.Get("/round/actions").Wants(t, http.StatusOK, "2 of 3 fans turn", "Drip: not right", string(dbtest.Tag(2))+" is not on R1", string(dbtest.Tag(44))+" hangs on R1", "47 °F")
	ann.Get("/").Wants(t, http.StatusOK, "2 of 3 fans turn", "is not on R1")
	open, err := s.OpenActions(t.Context())
	if err != nil || len(open) != 5 {
		t.Fatalf("%d open, %v", len(open), err)
	}
	if page := ann.Get("/round/actions"); strings.Count(page.Body, `name="done"`) != 1 || !strings.Contains(page.Body, "Main cooler: 5 things") {
		t.Error("what one walk found is not one card with one form")
	}
	at := "/round/actions/" + open[0].ID.String()
	bob.Post(at+"/done", url.Values{"several": {"yes"}, "done": {"breaker reset, runs again"}}).Wants(t, http.StatusUnprocessableEntity, "Tick what it is about.", "breaker reset, runs again")
	bob.Post(at+"/done", url.Values{"done": {""}}).Wants(t, http.StatusUnprocessableEntity, "Say in a few words what was done")
	moved(t, bob.Post(at+"/done", url.Values{"done": {"breaker reset, runs again"}}), "/round/actions")
	bob.Post(at+"/close", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "Somebody else looks at it")
	moved(t, ann.Post(at+"/close", url.Values{}), "/round/actions")
	ann.Get("/round/actions").Wants(t, http.StatusOK, "Closed in the last two weeks", "breaker reset, runs again")
	rest := url.Values{"several": {"yes"}, "done": {"swept dry, found on R2"}}
	for _, a := range open[1:] {
		rest.Set("action-"+a.ID.String(), "yes")
	}
	at = "/round/actions/" + open[1].ID.String()
	moved(t, bob.Post(at+"/done", rest), "/round/actions")
	if page := ann.Get("/round/actions"); strings.Count(page.Body, "I looked: it is right") != 1 || !strings.Contains(page.Body, "Main cooler: 4 things") {
		t.Error("what waits for a second look is not one card")
	}
	rest.Del("act") // the browser of the test wrote its own into the form
	moved(t, ann.Post(at+"/close", rest), "/round/actions")
	ann.Get("/round/actions").Wants(t, http.StatusOK, "Nothing is open.", "swept dry, found on R2")
	ann.Post("/round/actions/nonsense/done", url.Values{}).Wants(t, http.StatusNotFound, "no such thing to put right")
}

// The tiles of a temperature stand around the last reading, and in the room's own range
// after one that was out of it: the repaired room is read with a tap.
func TestTilesAfterAWarmReading(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	tiles := func(key, from, to string) {
		t.Helper()
		page := bob.Get("/round/main").Body
		for _, value := range []string{from, to} {
			if !regexp.MustCompile(`<input type="radio" name="` + key + `" value="` + value + `"`).MatchString(page) {
				t.Errorf("%s offers no %s", key, value)
			}
		}
	}
	tiles("panel", "33", "39") // 36 °F in the morning
	tiles("meat-old", "33", "39")
	walk := s.Act(s.Bob, now).ID.String()
	f := room(walk)
	f.Set("panel", "38")
	f.Del("independent")
	f.Set("independent_exact", "45.5")
	f.Set("meat-old", "40")
	moved(t, bob.Post("/round/main/room", f), "/round/main")
	moved(t, bob.Post("/round/main/looks", lookOn(walk, 3, "drying", "clean")), "/round/main")
	moved(t, bob.Post("/round/main/end", url.Values{"walk": {walk}}), "/round/walked/"+walk)
	s.SetNow(now.Add(time.Hour))
	tiles("panel", "35", "41")       // still right
	tiles("independent", "32", "38") // out of its range
	tiles("meat-old", "37", "43")    // right at 40 °F
	tiles("meat-new", "32", "38")    // 55.5 °F
}

// Every slip of the finger, with its sentence; what was typed stays.
func TestWalkRefuses(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	walk := s.Act(s.Bob, now).ID.String()
	for _, tt := range []struct{ name, path, field, value, says string }{
		{"no panel", "room", "panel", "", "Measure it before you go on."},
		{"words for a number", "room", "panel_exact", "cold", "cannot be read"},
		{"too hot", "room", "independent_exact", "185", "That temperature cannot be right"},
		{"five of three fans", "room", "fans", "5", "Count the fans that turn"},
		{"fans in words", "room", "fans", "all", "Type how many"},
		{"no smell", "room", "smell", "", "Say what the room smells of."},
		{"a line left out", "room", "right-door", "", "Look at it and say whether it is right."},
		{"damp in words", "room", "humidity", "wet", "Humidity is from 0 to 100"},
		{"no such thermometer", "room", "thermometer", "x", "which thermometer"},
		{"no count", "rails/1", "count", "", "Type how many"},
		{"touched, not smelled", "rails/1", "touch_smell", "", "Say what it smells of."},
		{"touched none of this rail", "rails/1", "touch", string(dbtest.Tag(4)), "Say which carcass of this rail"},
		{"looked, not felt", "looks", "surface", "", "Touch it and say how it feels."},
		{"on no carcass", "looks", "number", "", "Say on which carcass."},
		{"a mould of no length", "looks", "site-0", "ribs", "Type a length"},
		{"a tag misread", "rails/1/tags", "extra", "26-0147-9", "one digit is wrong"},
		{"before the room", "end", "x", "", "has not been looked at yet"},
	} {
		f := map[string]url.Values{"room": room(walk), "rails/1": count(walk, "3", 2), "looks": lookOn(walk, 1, "dry", "clean"), "end": {"walk": {walk}},
			"rails/1/tags": {"walk": {walk}}}[tt.path]
		f.Set("comment", "kept as typed")
		f.Set(tt.field, tt.value)
		a := bob.Post("/round/main/"+tt.path, f)
		a.Wants(t, http.StatusUnprocessableEntity, tt.says)
		if tt.path == "room" {
			a.Wants(t, http.StatusUnprocessableEntity, "kept as typed")
		}
		if t.Failed() {
			t.Fatal(tt.name)
		}
	}
	bob.Post("/round/main/room", url.Values{"act": {"not an id"}}).Wants(t, http.StatusUnprocessableEntity, "came in damaged")
	bob.Post("/round/main/room", url.Values{"walk": {"nor this"}}).Wants(t, http.StatusUnprocessableEntity, "came in damaged")
	bob.Post("/round/main/rails/77", url.Values{"walk": {walk}}).Wants(t, http.StatusNotFound, "not in this room")
	if u, err := s.RoundUnderWay(t.Context(), s.Cooler.ID, now); err != nil || u != nil {
		t.Errorf("something was kept: %v, %v", u, err)
	}
}

// Ice checks: out of service, look-back, and the today list.
func TestThermometers(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	bob.Get("/round/thermometers").Wants(t, http.StatusOK, "the lead adds it here")
	if a := bob.Post("/round/thermometers", url.Values{"thermometer": {"T1"}}); a.Status != http.StatusForbidden {
		t.Errorf("the cutter added one: %d", a.Status)
	}
	moved(t, ann.Post("/round/thermometers", url.Values{"thermometer": {"T1"}}), "/round/thermometers")
	ann.Get("/").Wants(t, http.StatusOK, "T1", "never checked in ice")
	walk := s.Act(s.Bob, now).ID.String()
	f := room(walk)
	f.Set("thermometer", "1")
	moved(t, bob.Post("/round/main/room", f), "/round/main")
	bob.Post("/round/thermometers/1/ice", url.Values{"reading": {"cold"}}).Wants(t, http.StatusUnprocessableEntity, "cannot be read")
	bob.Post("/round/thermometers/9/ice", url.Values{"reading": {"32"}}).Wants(t, http.StatusNotFound, "no such thermometer")
	moved(t, bob.Post("/round/thermometers/1/ice", url.Values{"reading": {"36"}}), "/round/thermometers")
	bob.Get("/round/thermometers").Wants(t, http.StatusOK, "Out of service", "Look again: Main cooler", "less what it was off in ice, about 32.0 °F")
	back, err := s.LookBacks(t.Context(), 1)
	if err != nil || len(back) != 1 {
		t.Fatalf("%v, %v", back, err)
	}
	at := "/round/look-back/" + back[0].CheckID.String() + "/" + back[0].RoundID.String()
	bob.Post(at, url.Values{"says": {""}}).Wants(t, http.StatusUnprocessableEntity, "Say in a few words")
	moved(t, bob.Post(at, url.Values{"says": {"panel agrees, meat cold"}}), "/round/thermometers")
	bob.Get("/round/thermometers").Wants(t, http.StatusOK, "panel agrees, meat cold")
	moved(t, ann.Post("/round/thermometers/1/retire", url.Values{}), "/round/thermometers")
	ann.Get("/round/thermometers").Wants(t, http.StatusOK, "taken out of use")
}

// A metric shop holds bars of millimetres beside a mould, and a look takes them.
func TestMetricScale(t *testing.T) {
	t.Parallel()
	s := open(t)
	shop, err := s.DB.Shop(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	shop.Units = "metric"
	if err := s.SaveShop(t.Context(), shop); err != nil {
		t.Fatal(err)
	}
	bob := s.As(t, s.Bob)
	page := bob.Get("/animals/" + string(dbtest.Tag(1)) + "/look")
	page.Wants(t, http.StatusOK, `value="6 mm"`, "scale-mm-25", "its 25 mm")
	if strings.Contains(page.Body, "1/16 in") {
		t.Error("a metric shop is shown inches")
	}
	form := url.Values{"surface": {"dry"}, "smell": {"clean"}, "site-0": {"ribs"}, "length-0": {"6 mm"}, "colour-0": {"white"}}
	if a := bob.Post("/animals/"+string(dbtest.Tag(1))+"/look", form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	var mm float64
	if err := s.Pool().QueryRow(t.Context(), `SELECT max(length_mm) FROM look_moulds`).Scan(&mm); err != nil || mm != 6 {
		t.Errorf("%v mm, %v; want 6", mm, err)
	}
}
