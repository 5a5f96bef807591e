package cutting_test

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// onTable brings a deer with a whole order to the table.
func onTable(t *testing.T, s *webtest.Site, b *webtest.Browser, running int) (domain.ShopNumber, string) {
	t.Helper()
	number := s.HangDeer(t, running, running)
	at := "/cutting/" + string(number)
	if a := b.Post("/animals/"+string(number)+"/order", sheet()); a.Status != http.StatusSeeOther {
		t.Fatalf("order: %d %.600s", a.Status, a.Body)
	}
	if a := b.Post(at+"/start", url.Values{"tag": {string(number)}, "version": {"1"}, "why": {"test"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("start: %d %.900s", a.Status, a.Body)
	}
	return number, at
}

// A tag that is not the card's: both animals are held, and the same form sent
// again, or sent for another, does nothing by mistake.
func TestWrongTagStopsEverything(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	first, second := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	for _, n := range []domain.ShopNumber{first, second} {
		bob.Post("/animals/"+string(n)+"/order", sheet())
	}
	a := bob.Post("/cutting/"+string(first)+"/start", url.Values{"tag": {second.Digits()}, "version": {"1"}, "act": {"019aa000-0000-7000-8000-000000000001"}})
	a.Wants(t, http.StatusUnprocessableEntity, "Put the knife down", string(first), string(second), "Held: not certain whose it is.")
	if strings.Contains(a.Body, "autofocus") {
		t.Error("a phone goes to the next tag and leaves the stop above the screen")
	}
	if strings.Contains(a.Body, "019aa000-0000-7000-8000-000000000001") {
		t.Error("the act of the hold stands in the next form: another start would be taken for done")
	}
	for _, n := range []domain.ShopNumber{first, second} {
		bob.Get("/animals/"+string(n)+"/holds").Wants(t, http.StatusOK, "At the table the tag read "+string(second))
	}
}

// What the knife opens may be worse than what hung there: the look is one tap from the
// table, and the table says stop until the lead has decided.
func TestTableSaysWhatTheLookStopped(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	number, at := onTable(t, s, bob, 1)
	page := bob.Get(at)
	page.Wants(t, http.StatusOK, "/animals/"+string(number)+"/look", "Look at it")
	if strings.Contains(page.Body, "Stopped. The lead") {
		t.Error("stopped, and nobody has looked")
	}
	sour := db.Look{Look: round.Look{At: s.Now(), Smell: round.SmellSour, Surface: round.SurfaceDry}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, s.Now()), number, sour); err != nil {
		t.Fatal(err)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Stopped. The lead has not decided yet.", "Do not cut on.")
	bob.Post(at+"/finish", url.Values{"labelled": {"yes"}}).Wants(t, http.StatusUnprocessableEntity, "It is stopped: It smells sour. Nothing of it is mixed, finished or boxed before the lead has decided.")
	if err := s.Decide(t.Context(), s.Act(s.Ann, s.Now().Add(time.Minute)), number, round.CarryOn, "only the flank, cut out wide"); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(bob.Get(at).Body, "Stopped. The lead") {
		t.Error("the lead has decided, and the table still says stop")
	}
}

// An incident that comes to be known when the animal is at the table already, from a
// logger's file of the night, stops it there too: nothing is finished before the lead has
// decided, and the page of the look leads to the incident.
func TestTableStoppedByAnIncident(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	number, at := onTable(t, s, bob, 1)
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		WITH i AS (INSERT INTO incidents (id, cooler_id, began_at, called_at, opened_at, ended_at)
		           SELECT gen_random_uuid(), id, $2::timestamptz - interval '9 hours', $2::timestamptz - interval '8 hours', $2, $2::timestamptz - interval '1 hour' FROM coolers WHERE name = 'main' RETURNING id)
		INSERT INTO incident_stops (incident_id, animal_id, at, why) SELECT i.id, a.id, $2, 'it was warm' FROM i, animals a WHERE a.number = $1`, number, s.Now())
	if err != nil {
		t.Fatal(err)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Stopped. The lead has not decided yet.", "An incident in the room stopped it.")
	bob.Get("/").Wants(t, http.StatusOK, "Stopped, the lead decides: 1", "On the table. An incident in the room stopped it.")
	look := "/animals/" + string(number) + "/look"
	bob.Get(look).Wants(t, http.StatusOK, "Stopped by a warm room. The lead has not decided yet.", "Too warm from", "/coolers/incidents/")
	bob.Post(at+"/finish", url.Values{"labelled": {"yes"}}).Wants(t, http.StatusUnprocessableEntity, "It is stopped: An incident in the room stopped it.")
	if err := s.Decide(t.Context(), s.Act(s.Ann, s.Now().Add(time.Minute)), number, round.CarryOn, "smelled and probed, 38 °F"); err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{at, look} {
		if strings.Contains(bob.Get(page).Body, "has not decided yet") {
			t.Errorf("%s: the lead has decided", page)
		}
	}
}

// Who cuts along, gross and tare, an edible part thrown away, tubs and the count.
func TestTableKeepsItsWeights(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	number, at := onTable(t, s, bob, 1)
	ann.Get(at).Wants(t, http.StatusOK, "I am cutting it too", "0 minutes, order version 1, at the table: Bob Tarrant")
	if a := ann.Post(at+"/join", url.Values{}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get(at).Wants(t, http.StatusOK, "Ann Kessler, Bob Tarrant")
	bob.Post(at+"/pack", url.Values{"cut": {"stew"}, "count": {"4"}, "weight": {"5"}, "tare": {"6"}}).Wants(t, http.StatusUnprocessableEntity, "The tub cannot weigh as much", `value="stew"`)
	if a := bob.Post(at+"/pack", url.Values{"cut": {"stew"}, "count": {"4"}, "weight": {"5.5"}, "tare": {"0.5"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "5.0 lb", "typed")
	bob.Post(at+"/trim", url.Values{"kind": {"shot"}, "trim_weight": {"3"}, "part": {"hind"}}).Wants(t, http.StatusUnprocessableEntity, "the law of most states wants a reason")
	bob.Post(at+"/trim", url.Values{"kind": {"shot"}, "trim_weight": {"3"}, "part": {"hind"}, "note": {"splinters"}})
	bob.Get(at).Wants(t, http.StatusOK, "shot meat, hinds: splinters")

	pieces := "/animals/" + string(number) + "/pieces"
	if a := bob.Post(pieces, url.Values{"kind": {"tub"}, "piece_weight": {"12"}, "instruction": {"sticks"}}); a.Location != pieces+"/T/label" {
		t.Fatalf("%d %s %.600s", a.Status, a.Location, a.Body)
	}
	bob.Get(pieces+"/T/label").Wants(t, http.StatusOK, "tub of trim", "sticks", "12.0 lb", number.Digits()+"T", "NOT FOR SALE")
	bob.Get(pieces+"/ZZ/label").Wants(t, http.StatusNotFound, "has no piece ZZ")
	bob.Post(pieces, url.Values{"kind": {"tail"}}).Wants(t, http.StatusUnprocessableEntity, "Say what came off")
	bob.Get("/cutting/tubs").Wants(t, http.StatusOK, "In the book: 1", string(number)+"-T")
	bob.Post("/cutting/tubs", url.Values{"counted": {"2"}}).Wants(t, http.StatusUnprocessableEntity, "A tub without a number stands there", "It did not agree")
	bob.Post("/cutting/tubs", url.Values{"counted": {"many"}}).Wants(t, http.StatusUnprocessableEntity, "Count the tubs")
	bob.Post(pieces+"/T", url.Values{"gone": {"owner"}}).Wants(t, http.StatusUnprocessableEntity, "Say where it went")
	if !strings.Contains(bob.Get("/cutting/tubs").Body, `name="from" value="/cutting/tubs"`) || !strings.Contains(bob.Get(at).Body, `name="from" value="`+at+`"`) {
		t.Error("a tub that is gone leads away from the count, or from the table")
	}
	if a := bob.Post(pieces+"/T", url.Values{"gone": {"packed"}, "from": {"/cutting/tubs"}}); a.Status != http.StatusSeeOther || a.Location != "/cutting/tubs" {
		t.Fatalf("%d %s %.600s", a.Status, a.Location, a.Body)
	}
	if a := bob.Post(pieces+"/T/back", url.Values{"why": {"it stood behind"}, "from": {at}}); a.Location != at {
		t.Fatalf("%d %s %.600s", a.Status, a.Location, a.Body)
	}
	if a := bob.Post(pieces+"/T", url.Values{"gone": {"packed"}, "from": {"https://example.org"}}); a.Location != pieces {
		t.Fatalf("%d %s %.600s", a.Status, a.Location, a.Body)
	}
	bob.Post(pieces+"/T", url.Values{"gone": {"batch"}}).Wants(t, http.StatusUnprocessableEntity, "is gone: cut up and packed, by BT")
	if a := bob.Post("/cutting/tubs", url.Values{"counted": {"0"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get("/cutting/tubs").Wants(t, http.StatusOK, "0, and that agrees.")
	bob.Get("/find?q="+number.Digits()+"T").Wants(t, http.StatusSeeOther)
	bob.Get("/find?q="+cutting.SheetCode(number, 1)).Wants(t, http.StatusSeeOther)
}

// A weight lands on the page of whoever stands there, read from its scale.
func TestScaleOverTheNetwork(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	_, at := onTable(t, s, bob, 1)
	bob.Get("/office/scales").Wants(t, http.StatusForbidden)
	ann.Get("/office/scales").Wants(t, http.StatusOK, "No scale sends its weights")
	ann.Post("/office/scales", url.Values{"scale": {"Bench One"}, "beside": {"any"}}).Wants(t, http.StatusUnprocessableEntity, "small letters")
	act := "019aa000-0000-7000-8000-000000000002"
	made := ann.Post("/office/scales", url.Values{"scale": {"bench-1"}, "beside": {"any"}, "act": {act}})
	made.Wants(t, http.StatusOK, "shown this once", "curl -H", "/scales/bench-1")
	_, rest, _ := strings.Cut(made.Body, `<p class="formula">`)
	token, _, _ := strings.Cut(rest, "<")
	ann.Post("/office/scales", url.Values{"scale": {"bench-1"}, "beside": {"any"}, "act": {act}}).Wants(t, http.StatusOK, "was made already")

	send := func(token string, form url.Values, want int) {
		t.Helper()
		jar, _ := cookiejar.New(nil)
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/scales/bench-1", strings.NewReader(form.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Authorization", "Bearer "+token)
		res, err := (&http.Client{Jar: jar}).Do(req)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode != want {
			t.Errorf("%v: %d, want %d", form, res.StatusCode, want)
		}
	}
	send("wrong", url.Values{"weight": {"9"}}, http.StatusUnauthorized)
	send(token, url.Values{"weight": {"heavy"}}, http.StatusUnprocessableEntity)
	send(token, url.Values{"weight": {"9"}, "unit": {"stone"}}, http.StatusUnprocessableEntity)
	send(token, url.Values{"weight": {"9"}, "stable": {"no"}}, http.StatusUnprocessableEntity)
	send(token, url.Values{"weight": {"-9"}}, http.StatusUnprocessableEntity)
	send(token, url.Values{"weight": {"9.4"}, "unit": {"lb"}, "stable": {"yes"}}, http.StatusNoContent)
	page := bob.Get(at + "/scale")
	page.Wants(t, http.StatusOK, "Take 9.4 lb from scale bench-1", `name="reading"`)
	_, rest, _ = strings.Cut(page.Body, `name="reading" value="`)
	reading, _, _ := strings.Cut(rest, `"`)
	if a := bob.Post(at+"/pack", url.Values{"cut": {"stew"}, "count": {"4"}, "weight": {""}, "tare": {"0.4"}, "reading": {reading}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "9.0 lb", "read from scale bench-1 at 12:00 pm")
	bob.Post(at+"/pack", url.Values{"cut": {"stew"}, "count": {"4"}, "reading": {reading}}).Wants(t, http.StatusUnprocessableEntity, "was used already")
	scales, err := s.Scales(t.Context())
	if err != nil || len(scales) != 1 {
		t.Fatal(err)
	}
	if a := ann.Post("/office/scales/"+scales[0].ID.String()+"/revoke", url.Values{}); a.Status != http.StatusSeeOther {
		t.Errorf("%d %.600s", a.Status, a.Body)
	}
	send(token, url.Values{"weight": {"9.4"}}, http.StatusUnauthorized)
}

// Weights that do not close say what to check, and name the neighbour.
func TestWeightsThatDoNotClose(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	cut := func(running int, packed string) (domain.ShopNumber, string) {
		t.Helper()
		number, at := onTable(t, s, ann, running)
		bob.Post(at+"/pack", url.Values{"cut": {"grind"}, "count": {"20"}, "weight": {packed}})
		bob.Post(at+"/trim", url.Values{"kind": {"bone"}, "trim_weight": {"35"}})
		if a := bob.Post(at+"/finish", url.Values{"labelled": {"yes"}, "all_weighed": {"yes"}}); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.900s", a.Status, a.Body)
		}
		return number, at
	}
	_, lacks := cut(1, "36") // 88 lb hung
	tooMuch, _ := cut(2, "66")
	bob.Get(lacks).Wants(t, http.StatusOK, "is missing. Check the tub and the neighbors", string(tooMuch), "is off the other way", "none left under the table")
	bob.Get("/animals/"+strings.TrimPrefix(lacks, "/cutting/")+"/proof").Wants(t, http.StatusOK, "they cannot tell", string(tooMuch), "off the tag, the same as on the card", "Ann Kessler")
}

// The lead's word stands on the cutting page, at the table and on the record.
func TestWhyNotNextIsReadBack(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	ann := s.As(t, s.Ann)
	first := s.HangDeer(t, 9, 9)
	ann.Post("/animals/"+string(first)+"/order", sheet())
	second := s.HangDeer(t, 2, 2)
	ann.Post("/animals/"+string(second)+"/order", sheet())
	queue := must(t)(s.CuttingQueue(t.Context(), s.Now()))
	pick, passed := queue[1].Number, queue[0].Number
	at := "/cutting/" + string(pick)
	if a := ann.Post(at+"/start", url.Values{"tag": {string(pick)}, "version": {"1"}, "why": {"door side"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get("/cutting").Wants(t, http.StatusOK, "taken before "+string(passed)+": door side")
	ann.Get(at).Wants(t, http.StatusOK, "Taken before "+string(passed)+": door side")
	ann.Get("/animals/"+string(pick)).Wants(t, http.StatusOK, "not the first: door side", "instead of: "+string(passed))
}

func must(t *testing.T) func(queue, barred []db.Queued, err error) []db.Queued {
	return func(queue, _ []db.Queued, err error) []db.Queued {
		t.Helper()
		if err != nil || len(queue) < 2 {
			t.Fatalf("%d wait, %v", len(queue), err)
		}
		return queue
	}
}

// Exactly as many boxes as are needed, and one tap for another with everything
// typed kept.
func TestExactlyTheBoxesNeeded(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	number, at := onTable(t, s, bob, 1)
	for _, lb := range []string{"30", "9"} { // 39 lb: one box of 44
		bob.Post(at+"/pack", url.Values{"cut": {"grind " + lb}, "count": {"5"}, "weight": {lb}})
	}
	bob.Post(at+"/finish", url.Values{"labelled": {"yes"}})
	page := bob.Get(at)
	if !strings.Contains(page.Body, "place-1") || strings.Contains(page.Body, "place-2") {
		t.Error("one box is needed and not one place is offered")
	}
	packs, err := s.Packs(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	a := bob.Post(at+"/boxes", url.Values{"pack": {packs[0].ID.String(), packs[1].ID.String()}, "box": {"1", "2"}, "place": {"3"}, "more": {"yes"}})
	a.Wants(t, http.StatusOK, "place-2", `value="2"`)
	if strings.Contains(a.Body, "place-3") {
		t.Error("two more boxes at one tap")
	}
	if at := strings.Index(a.Body, "autofocus"); at < 0 || strings.LastIndex(a.Body[:at], `id="place-`) != strings.Index(a.Body, `id="place-2"`) {
		t.Error("one more box throws the cutter back to the top of the page")
	}
	// A box that is typed and has no place yet is asked for its place, not only named.
	spots, err := s.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	a = bob.Post(at+"/boxes", url.Values{"pack": {packs[0].ID.String(), packs[1].ID.String()}, "box": {"1", "2"}, "place": {strconv.Itoa(spots[0].ID)}})
	a.Wants(t, http.StatusUnprocessableEntity, "Say where box 2 stands in the freezer.", "place-2")
	if got, _ := s.Animal(t.Context(), number); got.Physical != "split" {
		t.Errorf("asking for a box boxed it: %v", got.Physical)
	}
}

// A pack in the wrong box and a box on the wrong shelf, told on the page of the table.
func TestPacksAndBoxesElsewhere(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 2)
	s.Packed(t, n, "steaks", 8)
	s.Packed(t, n, "roasts", 4)
	s.Packed(t, n, "ground", 6)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE packs p SET box_id = b.id FROM boxes b WHERE b.n = CASE p.cut WHEN 'roasts' THEN 2 ELSE 1 END`); err != nil {
		t.Fatal(err)
	}
	bob, at := s.As(t, s.Bob), "/cutting/"+string(n)
	bob.Get(at).Wants(t, http.StatusOK, "In another box", "A box stands elsewhere", "One more box")
	packs, err := s.Packs(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	line := packs[slices.IndexFunc(packs, func(k db.PackLine) bool { return k.Cut == "steaks" })]
	f := url.Values{"line": {line.ID.String()}, "packs": {"1"}, "to_box": {"2"}}
	bob.Post(at+"/packs", f).Wants(t, http.StatusUnprocessableEntity, "Say in a word how it got into the other box")
	f.Set("why", "slid into it")
	if a := bob.Post(at+"/packs", f); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Post(at+"/shelf", url.Values{"of_box": {"2"}}).Wants(t, http.StatusUnprocessableEntity, "Say where box 2 stands")
	spots, err := s.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if a := s.As(t, s.Ann).Post(at+"/shelf", url.Values{"of_box": {"2"}, "shelf": {strconv.Itoa(spots[2].ID)}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Packs are in another box", "to box: 2", "Box stands elsewhere", "place: Freezer "+spots[2].Name)
}

// Where an animal has several owners every line of packs and every box says whose it is:
// two halves cut the same way look alike.
func TestWhosePacks(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.SharedBeef(t, 1)
	bob, at := s.As(t, s.Bob), "/cutting/"+string(n)
	page := bob.Get(at)
	page.Wants(t, http.StatusOK, "Steaks, Lena Ochoa, left half", "Steaks, Marv Tull, right half, first quarter", "132.3 lb, Lena Ochoa, left half")
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'split', revision = revision + 1 WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	page = bob.Get(at)
	form := page.Body[strings.Index(page.Body, "Which packs into which box"):]
	for _, whose := range []string{"Lena Ochoa, left half, 5 packs", "Marv Tull, right half, first quarter, 5 packs"} {
		if form := form[:strings.Index(form, "Where each box stands")]; !strings.Contains(form, whose) {
			t.Errorf("the form of the boxes does not say %q: %.900s", whose, form)
		}
	}
	alone := s.BoxDeer(t, 2, 1)
	if strings.Contains(bob.Get("/cutting/"+string(alone)).Body, "the whole animal") {
		t.Error("what has one owner says whose it is on every line")
	}
}
