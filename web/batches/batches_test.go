package batches_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// poolDeer is a deer in boxes whose owner said yes to a pool and to pork.
func poolDeer(t *testing.T, s *webtest.Site, running int) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, 1)
	s.Packed(t, n, "steaks", 8)
	if _, err := s.Pool().Exec(t.Context(), `
		UPDATE orders SET own_meat_only = false, added_meat = 'pork' WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n); err != nil {
		t.Fatal(err)
	}
	return n
}

// sent posts a form that has to be taken.
func sent(t *testing.T, b *webtest.Browser, path string, form url.Values) string {
	t.Helper()
	a := b.Post(path, form)
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%s: %d %.3000s", path, a.Status, a.Body)
	}
	return a.Location
}

// begin begins a batch on the page.
func begin(t *testing.T, b *webtest.Browser, kind, pork string) string {
	t.Helper()
	return sent(t, b, "/batches/new", url.Values{"product": {"summer-sausage"}, "flavour": {"jalapeno"}, "kind": {kind}, "pork": {pork}, "beef": {"no"}})
}

// A pool on its page, from the first question to the boxes.
func TestPoolOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, wade, marla := s.As(t, s.Bob), poolDeer(t, s, 1), poolDeer(t, s, 2)
	bob.Get("/batches").Wants(t, http.StatusOK, "No batch yet", "Start a batch", "second person look")
	bob.Post("/batches/new", url.Values{"product": {"sticks"}, "kind": {"own"}, "beef": {"no"}}).Wants(t, http.StatusUnprocessableEntity, "Say yes or no: is pork added?")
	at := begin(t, bob, "pooled", "yes")
	if at != "/batches/1" {
		t.Fatal(at)
	}
	early := bob.Post(at+"/cure", url.Values{"cure_method": {"comminuted"}, "cure_g": {"70"}, "cure_nitrite_fraction": {"6.25"}, "step": {"reckon"}})
	early.Wants(t, http.StatusUnprocessableEntity, "Weigh the meat in first: the cure is reckoned on it.")
	if list := early.Body[strings.Index(early.Body, `id="cure-second"`):]; strings.Count(list[:strings.Index(list, "</select>")], "Choose") != 1 {
		t.Error("the list of who looked too says Choose twice")
	}
	// The animal's number, or what stands on the label of its tub.
	for tag, lb := range map[string]string{wade.Digits(): "20", string(marla) + "-T": "30"} {
		sent(t, bob, at+"/add", url.Values{"animal": {tag}, "weight": {lb}})
	}
	bob.Post(at+"/add", url.Values{"animal": {"123"}, "weight": {"3"}}).Wants(t, http.StatusUnprocessableEntity, "is not a tag number")
	bob.Post(at+"/add", url.Values{"animal": {string(dbtest.Tag(99))}, "weight": {"3"}}).Wants(t, http.StatusUnprocessableEntity, "There is no animal with the number")
	bob.Post(at+"/lot", url.Values{"added": {"pork"}, "supplier": {"Miller Packing"}, "lot_weight": {"12.5"}}).Wants(t, http.StatusUnprocessableEntity, "mark of inspection", "Miller Packing")
	sent(t, bob, at+"/lot", url.Values{"added": {"pork"}, "supplier": {"Miller Packing"}, "mark": {"EST 1234"}, "lot_weight": {"12.5"}})
	bob.Get(at+"?lean_fat=3&added_fat=50&target_fat=20").Wants(t, http.StatusOK, "Add 28.3 lb to the 50.0 lb that are in")
	bob.Get(at+"?lean_fat=3&added_fat=50&target_fat=80").Wants(t, http.StatusOK, "has to lie between")
	cureOnThePage(t, s, bob, at)
	sent(t, bob, at+"/mix", url.Values{})
	smoke(t, s, bob, at)
	bob.Post(at+"/finish", url.Values{"packs": {"50"}, "packed": {"90"}}).Wants(t, http.StatusUnprocessableEntity, "That cannot be")
	bob.Post(at+"/finish", url.Values{"packs": {"50"}, "packed": {"50"}, "odd": {"0.6"}}).Wants(t, http.StatusUnprocessableEntity, "The shop keeps none")
	sent(t, bob, at+"/finish", url.Values{"packs": {"50"}, "packed": {"50"}})
	bob.Get(at).Wants(t, http.StatusOK, "20 packs", "30 packs", "Give 30 packs to 0002")
	bob.Get("/pickup/"+string(wade)).Wants(t, http.StatusOK, "Still to come: summer sausage, batch 1.")
	spots, err := s.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	bob.Post(at+"/give", url.Values{"animal": {string(wade)}}).Wants(t, http.StatusUnprocessableEntity, "Say where box 2 stands")
	for _, n := range []domain.ShopNumber{wade, marla} {
		sent(t, bob, at+"/give", url.Values{"animal": {string(n)}, "place": {strconv.Itoa(spots[0].ID)}})
	}
	bob.Get(at).Wants(t, http.StatusOK, "Given back", "with its boxes since")
	if a := bob.Get("/pickup/" + string(wade)); strings.Contains(a.Body, "Still to come: summer") {
		t.Error("the counter still waits for the sausage")
	}
	bob.Get("/animals/"+string(wade)).Wants(t, http.StatusOK, "Weighed into a batch", "Cure weighed", "Mixed", "Share given back", "156 ppm of nitrite, within the limit of 156")
	bob.Get("/batches").Wants(t, http.StatusOK, "B1: Summer sausage, jalapeno", "2 animals", "pork added, no beef")
}

// cureOnThePage reckons, meets each refusal, and saves with a second person's PIN.
func cureOnThePage(t *testing.T, s *webtest.Site, bob *webtest.Browser, at string) {
	t.Helper()
	weighed := func(grams string, more url.Values) url.Values {
		form := url.Values{"cure_method": {"comminuted"}, "cure_g": {grams}, "cure_nitrite_fraction": {"6.25"}, "lot": {"C-81"},
			"second": {s.Ann.ID.String()}, "pin": {"4711"}, "step": {"save"}}
		for name, v := range more {
			form[name] = v
		}
		return form
	}
	reckoned := bob.Post(at+"/cure", weighed("88", url.Values{"step": {"reckon"}}))
	reckoned.Wants(t, http.StatusOK, "Reckoned, not saved", "194 ppm of nitrite, over the limit of 156")
	if field := reckoned.Body[strings.Index(reckoned.Body, `name="cure_g"`):]; !strings.Contains(field[:strings.Index(field, ">")], "autofocus") {
		t.Error("what was reckoned stands below the screen: the page opens at its top")
	}
	bob.Post(at+"/cure", weighed("many", nil)).Wants(t, http.StatusUnprocessableEntity, "Type the grams of cure")
	bob.Post(at+"/cure", weighed("88", nil)).Wants(t, http.StatusUnprocessableEntity, "over the limit of 156", `value="88"`)
	bob.Post(at+"/cure", weighed("100", nil)).Wants(t, http.StatusUnprocessableEntity, "at the very most")
	bob.Post(at+"/cure", weighed("40", nil)).Wants(t, http.StatusUnprocessableEntity, "Weigh the cure again")
	bob.Post(at+"/cure", weighed("70.8", url.Values{"pin": {"2222"}})).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	bob.Post(at+"/cure", weighed("70.8", url.Values{"second": {s.Bob.ID.String()}, "pin": {"2222"}})).Wants(t, http.StatusUnprocessableEntity, "A second person")
	bob.Post(at+"/cure", weighed("70.8", url.Values{"lot": {""}})).Wants(t, http.StatusUnprocessableEntity, "lot on the bag")
	sent(t, bob, at+"/cure", weighed("70.8", nil))
	bob.Get(at).Wants(t, http.StatusOK, "156 ppm of nitrite, within the limit of 156", "weighed by BT, looked at by AK")
}

// smoke writes the house and the way down, and looks at what the page says between.
func smoke(t *testing.T, s *webtest.Site, bob *webtest.Browser, at string) {
	t.Helper()
	start := s.Now()
	bob.Get(at).Wants(t, http.StatusOK, "Game is in it: 160 °F", "No temperature of the inside was written down")
	for _, p := range []struct {
		after  time.Duration
		inside string
	}{{3 * time.Hour, "161"}, {4 * time.Hour, "130"}, {6 * time.Hour, "80"}, {9 * time.Hour, "39"}} {
		s.SetNow(start.Add(p.after))
		sent(t, bob, at+"/probe", url.Values{"when": {local(t, s.Now())}, "probe": {p.inside}, "probe_two": {p.inside}, "house": {"170"}})
	}
	bob.Post(at+"/probe", url.Values{"when": {local(t, s.Now())}, "probe": {"39"}}) // the same again
	bob.Get(at).Wants(t, http.StatusOK, "Written again; the line below counts.", "It cooled to 40 °F in time")
	bob.Post(at+"/probe", url.Values{"when": {local(t, s.Now().Add(time.Hour))}, "probe": {"39"}}).Wants(t, http.StatusUnprocessableEntity, "That time is still ahead")
	bob.Post(at+"/probe", url.Values{"when": {local(t, s.Now())}, "probe": {"399"}}).Wants(t, http.StatusUnprocessableEntity, "Read the probe again")
	bob.Get(at).Wants(t, http.StatusOK, "Met the table. It reached 161 °F inside", "Met the table. It cooled to 40 °F in time")
}

func local(t *testing.T, at time.Time) string {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	return at.In(zone).Format("2006-01-02T15:04")
}

// What the domain refuses is told on the form, with what was typed.
func TestRefusalsOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann, n := s.As(t, s.Bob), s.As(t, s.Ann), poolDeer(t, s, 1)
	at := begin(t, bob, "pooled", "no")
	if err := s.DrawSample(t.Context(), s.Act(s.Ann, dbtest.Noon), n, db.NewSample{Number: "114", DrawnOn: dbtest.Noon.AddDate(0, 0, -9), Elsewhere: true}); err != nil {
		t.Fatal(err)
	}
	bob.Post(at+"/add", url.Values{"animal": {string(n)}, "weight": {"20"}}).Wants(t, http.StatusUnprocessableEntity, "is not back. Bone it, bag it, keep it apart and cold", `value="20"`)
	bob.Post(at+"/mix", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "meat is in this batch yet")
	bob.Post(at+"/probe", url.Values{"when": {"2026-11-19T12:00"}, "probe": {"39"}}).Wants(t, http.StatusUnprocessableEntity, "Batch 1 is open")
	bob.Get("/batches/77").Wants(t, http.StatusNotFound, "There is no batch 77.")
	bob.Get("/batches/soup").Wants(t, http.StatusNotFound, "There is no batch soup.")
	destroy := url.Values{"why": {"the mixer broke"}, "pin": {"4711"}, "second": {s.Bob.ID.String()}, "second_pin": {"9"}}
	bob.Post(at+"/destroy", url.Values{"why": {"x"}, "pin": {"2222"}, "second": {s.Ann.ID.String()}, "second_pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Only the lead")
	ann.Post(at+"/destroy", destroy).Wants(t, http.StatusUnprocessableEntity, "That does not fit", "the mixer broke")
	destroy.Set("second_pin", "2222")
	sent(t, ann, at+"/destroy", destroy)
	ann.Get(at).Wants(t, http.StatusOK, "Thrown away", "the mixer broke")
}

func TestMachinesPage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n, other := s.As(t, s.Bob), poolDeer(t, s, 1), poolDeer(t, s, 2)
	bob.Get("/machines").Wants(t, http.StatusOK, "Nothing is written down yet")
	at := begin(t, bob, "pooled", "no")
	sent(t, bob, at+"/add", url.Values{"animal": {string(n)}, "weight": {"20"}})
	sent(t, bob, at+"/machine", url.Values{"machine": {"2"}})
	sent(t, bob, "/machines/run", url.Values{"machine": {"4"}, "thing": {"B1"}})
	bob.Post("/machines/run", url.Values{"machine": {"2"}, "thing": {other.Digits()}}).Wants(t, http.StatusUnprocessableEntity, "own meat", "Clean it out in full first", other.Digits())
	bob.Post("/machines/run", url.Values{"machine": {"2"}, "thing": {"soup"}}).Wants(t, http.StatusUnprocessableEntity, "Scan the tag")
	bob.Post("/machines/run", url.Values{"machine": {"2"}, "thing": {"B9"}}).Wants(t, http.StatusUnprocessableEntity, "There is no batch 9")
	bob.Post("/machines/clean", url.Values{"machine": {"2"}}).Wants(t, http.StatusUnprocessableEntity, "how thorough")
	sent(t, bob, "/machines/clean", url.Values{"machine": {"2"}, "level": {"full"}, "why": {"own meat next"}})
	sent(t, bob, "/machines/run", url.Values{"machine": {"2"}, "thing": {other.Digits()}})
	bob.Get("/machines").Wants(t, http.StatusOK, "Grinder: full clean-out", "own meat next", "Grinder: batch B1, summer sausage", "Last: Grinder: "+string(other), "Stuffer: batch B1")
}

// The kitchen's tables, and who may write.
func TestTablesAndRoles(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	cooler, err := s.AddStaff(t.Context(), db.NewStaff{Name: "Cy Moss", Initials: "CM", Roles: []string{"cooler"}, PIN: "3333"}, dbtest.Noon.AddDate(0, -1, 0))
	if err != nil {
		t.Fatal(err)
	}
	cy := s.As(t, cooler)
	cy.Get("/batches/tables").Wants(t, http.StatusOK, "145 °F", "4 min", "169 s", "at once", "9 CFR 318.10", "freezing does not help", "165 °F")
	for question, answer := range map[string]string{ // FSIS Appendix A; 9 CFR 318.10
		"ask=cook&temperature=145":                                 "The row of 145 °F counts: 240 s for 6.5 log, 240 s for 7 log.",
		"ask=cook&temperature=129":                                 "below the table of cooking",
		"ask=cook&temperature=160":                                 "at once",
		"ask=air&temperature=5&thickness=5&hours=456&meat=hog":     "does not meet the table",
		"ask=air&temperature=5&thickness=5&hours=480&meat=hog":     "That meets the table.",
		"ask=air&temperature=-20&thickness=5&hours=1080&meat=bear": "Freezing does not help with bear or wild hog.",
		"ask=centre&temperature=-35&hours=0.5&meat=hog":            "That meets the table.",
		"ask=centre&temperature=-35&hours=9&meat=whitetail":        "The table of freezing is for pork.",
		"ask=heat&temperature=140&hours=1":                         "That meets the table.",
		"ask=heat&temperature=100&hours=1":                         "The table of heating begins at 120 °F",
		"ask=heat&temperature=140&hours=long":                      "Type the hours",
		"ask=air&temperature=5&thickness=thick&hours=480&meat=hog": "cannot be read",
		"ask=tea&temperature=5&hours=480":                          "Choose the table.",
		"ask=cook&temperature=warm":                                "cannot be read",
	} {
		cy.Get("/batches/tables?"+question).Wants(t, http.StatusOK, answer)
	}
	cy.Post("/batches/new", url.Values{}).Wants(t, http.StatusForbidden, "not in Cy Moss")
}

// A batch tapped on as mixed with a wrong animal in it goes a step back on its page.
func TestBatchAStepBack(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, wade := s.As(t, s.Bob), poolDeer(t, s, 1)
	at := begin(t, bob, "pooled", "no")
	sent(t, bob, at+"/add", url.Values{"animal": {wade.Digits() + "T"}, "weight": {"20"}})
	if _, err := s.Pool().Exec(t.Context(), `UPDATE batches SET status = 'mixed', mixed_at = $1`, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	bob.Get(at).Wants(t, http.StatusOK, "A wrong animal or weight is in it")
	bob.Post(at+"/reopen", url.Values{"from": {"mixed"}}).Wants(t, http.StatusUnprocessableEntity, "Say what was wrong")
	sent(t, bob, at+"/reopen", url.Values{"from": {"mixed"}, "why": {"it was the next tub"}})
	bob.Post(at+"/reopen", url.Values{"from": {"mixed"}, "why": {"again"}}).Wants(t, http.StatusUnprocessableEntity, "open: meat goes in")
	bob.Get(at).Wants(t, http.StatusOK, "Meat in", "Take it out")
	bob.Get("/animals/"+string(wade)).Wants(t, http.StatusOK, "Batch taken a step back", "why: it was the next tub")
}
