package round_test

import (
	"bytes"
	"compress/gzip"
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
	err := s.SaveRound(t.Context(), s.Act(s.Bob, morning), db.Round{Cooler: "main", WalkedFrom: morning.Add(-time.Minute), WalkedTo: morning,
		AirPanel: &air, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean, Looks: looks})
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

// filled is the evening's form, all well.
func filled() url.Values {
	return url.Values{"from": {now.Add(-20 * time.Minute).Format(time.RFC3339)}, "smell": {"clean"}, "panel": {"35"}, "independent": {"36"}, "meat-old": {"36"}, "meat-new": {"55"},
		"fans": {"3"}, "count-1": {"3"}, "count-2": {"1"}, "count-3": {"0"}, "touch-1": {string(dbtest.Tag(2))}, "touch-surface-1": {"dry"}, "touch-smell-1": {"clean"}}
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
	a.Wants(t, http.StatusOK, "R1: 3 on the list", "R3: 0 on the list", "of 3", "One by one: 2 to look at", "nobody has looked yet", "day 16: older than 14 days",
		"Meat, one that has hung long: 0004", "Meat, the newest: 0003", "Right: 32 °F to 38 °F", "Touch one carcass")
	if strings.Contains(a.Body, `value="`+string(dbtest.Tag(3))+`"`) {
		t.Error("a carcass to be looked at by itself is offered to the hand as well")
	}
	s.As(t, s.Bob).Get("/round/freezer").Wants(t, http.StatusOK, "0 °F or colder")
}

// A round that went well, and sending it twice.
func TestSave(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	f := filled()
	f.Set("act", s.Act(s.Bob, now).ID.String())
	for _, n := range []int{3, 4} {
		f.Set("smell-"+string(dbtest.Tag(n)), "clean")
		f.Set("surface-"+string(dbtest.Tag(n)), "drying")
	}
	f.Set("at-"+string(dbtest.Tag(4)), now.Add(-7*time.Minute).Format(time.RFC3339))
	var where string
	for range 2 {
		a := bob.Post("/round/main", f)
		if a.Status != http.StatusSeeOther {
			t.Fatalf("%d %s", a.Status, a.Body)
		}
		where = a.Location
	}
	bob.Get(where).Wants(t, http.StatusOK, "The evening round is done.", "Nothing out of its limits", "4, with 4 on the list", "3 animals")
	looks, err := s.LooksAt(t.Context(), dbtest.Tag(4))
	if err != nil || len(looks) != 2 || !looks[0].At.Equal(now.Add(-7*time.Minute)) {
		t.Errorf("its own moment: %+v, %v", looks, err)
	}
}

func TestSaveFindsTrouble(t *testing.T) {
	t.Parallel()
	s := open(t)
	f := filled()
	f.Set("panel", "47")
	f.Set("fans", "2")
	f.Set("count-1", "4")
	n := "-1-0" // on rail 1, the first thing found
	f.Set("other"+n, string(dbtest.Tag(1)))
	f.Set("smell"+n, "sour")
	f.Set("surface"+n, "slimy")
	f.Set("site-0"+n, "ribs")
	f.Set("length-0"+n, "1/8")
	f.Set("colour-0"+n, "blue-green")
	ann := s.As(t, s.Ann)
	a := ann.Post("/round/main", f)
	ann.Get(a.Location).Wants(t, http.StatusOK, "This is an incident", "Look at the breaker", "R1: 4 counted, 3 on the list", "Bad smell: stop", "make toxins",
		"mould inside the ribs, blue-green, 1/8 in", "Not looked at, though they should have been", "do not breathe the dust", "Decide")
}

// Every slip of the finger, with its sentence; what was typed stays.
func TestSaveRefuses(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	n := "-" + string(dbtest.Tag(4))
	for _, tt := range []struct{ name, field, value, says string }{
		{"no panel", "panel", "", "Measure it before you go on."},
		{"words for a number", "panel", "cold", "cannot be read"},
		{"too hot", "independent", "185", "That temperature cannot be right"},
		{"five of three fans", "fans", "5", "Count the fans that turn"},
		{"fans in words", "fans", "all", "Type how many"},
		{"no count", "count-2", "", "Type how many"},
		{"no smell", "smell", "", "Say what the room smells of."},
		{"touched, not smelled", "touch-smell-1", "", "Say what it smells of."},
		{"looked, not felt", "smell" + n, "clean", "Touch it and say how it feels."},
		{"found on no carcass", "smell-1-0", "sour", "Say on which carcass"},
		{"found on one of another rail", "other-1-0", string(dbtest.Tag(4)), "Say on which carcass"},
		{"nothing said of it", "other-1-0", string(dbtest.Tag(1)), "Touch it and say how it feels."},
		{"a mould of no length", "site-0" + n, "ribs", "Type a length"},
	} {
		f := filled()
		f.Set("comment", "kept as typed")
		f.Set(tt.field, tt.value)
		a := bob.Post("/round/main", f)
		a.Wants(t, http.StatusUnprocessableEntity, tt.says, "kept as typed")
		if t.Failed() {
			t.Fatal(tt.name)
		}
	}
	bob.Post("/round/main", url.Values{"act": {"not an id"}}).Wants(t, http.StatusUnprocessableEntity, "came in damaged")
	walked, err := s.WalkedRounds(t.Context(), s.Cooler.ID, now.Add(-time.Hour))
	if err != nil || len(walked) != 0 {
		t.Errorf("something was kept: %v, %v", walked, err)
	}
}

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
		AirPanel: &air, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean}); err != nil {
		t.Fatal(err)
	}
	a := s.As(t, s.Bob).Get("/round/barn")
	a.Wants(t, http.StatusOK, "B1: 250 on the list", "0500")
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
	bob.Get("/round/main").Wants(t, http.StatusOK, "R1: 0 on the list")
	f := filled()
	for _, field := range []string{"meat-old", "meat-new", "touch-1", "touch-surface-1", "touch-smell-1"} {
		f.Del(field)
	}
	f.Set("count-1", "0")
	f.Set("count-2", "0")
	if a := bob.Post("/round/main", f); a.Status != http.StatusSeeOther {
		t.Errorf("an empty cooler: %d %s", a.Status, regexp.MustCompile(`(?s)<p class="wrong.*?</p>`).FindString(a.Body))
	}
}

func TestLookAndDecide(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	number := string(dbtest.Tag(1))
	page := "/animals/" + number + "/look"
	bob.Get("/animals/26-9999-9/look").Wants(t, http.StatusNotFound, "no animal with the number")
	bob.Get(page).Wants(t, http.StatusOK, "A look now", "smell clean, surface dry")
	bob.Post(page, url.Values{}).Wants(t, http.StatusUnprocessableEntity, "Say how it feels")
	if a := bob.Post(page, url.Values{"smell-" + number: {"sour"}, "surface-" + number: {"slimy"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "The lead has not decided yet", "Bad smell: stop")
	decide := "/animals/" + number + "/decide"
	good := url.Values{"verdict": {"condemn-all"}, "reason": {"sour to the bone"}, "second": {"Bob Tarrant"}, "pin": {"4711"}}
	if a := bob.Post(decide, good); a.Status != http.StatusForbidden {
		t.Errorf("the cutter decided: %d", a.Status)
	}
	for _, tt := range []struct{ field, value, says string }{
		{"verdict", "", "Say what you decide"},
		{"reason", "", "Give the reason"},
		{"second", "", "takes two people"},
		{"second", "Ann Kessler", "takes two people"},
		{"pin", "0000", "That does not fit"},
	} {
		f := url.Values{}
		for k, v := range good {
			f[k] = v
		}
		f.Del("act")
		f.Set(tt.field, tt.value)
		ann.Post(decide, f).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	if a := ann.Post(decide, good); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	ann.Get(page).Wants(t, http.StatusOK, "condemn all of it", "sour to the bone (seen with Bob Tarrant)")
	if a, err := s.Animal(t.Context(), dbtest.Tag(1)); err != nil || a.Physical != "condemned" {
		t.Errorf("stands at %s, %v", a.Physical, err)
	}
}
