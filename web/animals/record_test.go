package animals_test

import (
	"net/http"
	"net/url"
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

// lookAt keeps one look at an animal at now.
func lookAt(t testing.TB, s *webtest.Site, n domain.ShopNumber, at time.Time, surface round.Surface, mould ...round.Mould) {
	t.Helper()
	must(t, s.Look(t.Context(), s.Act(s.Bob, at), n, db.Look{Look: round.Look{At: at, Smell: round.SmellClean, Surface: surface, Mould: mould}, Touched: true}))
}

// The whole record of a hanging deer: what it is, where, how it stands, the sum
// laid open, the people, the looks and the time line.
func TestRecordOfAHangingDeer(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n, ctx := s.As(t, s.Bob), s.HangDeer(t, 147, 7), t.Context()
	s.Own(t, n, "Walt Orrin", "607-555-0133")
	lookAt(t, s, n, dbtest.Noon.Add(-20*time.Hour), round.SurfaceDrying, round.Mould{Site: round.SiteRibs, Length: 1.8, Colour: round.White})
	must(t, s.TakeOrder(ctx, s.Act(s.Bob, dbtest.Noon.Add(-time.Hour)), n, db.Written{Source: "phone", Caller: "Dell Marrow", Order: cutting.Order{Added: cutting.NoneAdded, OwnMeatOnly: true,
		Lines: []cutting.Line{{Part: cutting.Backstrap, Treatment: cutting.Butterflied, Thickness: "3/4", Amount: "all"}}}}))
	page := bob.Get("/animals/" + string(n))
	page.Wants(t, http.StatusOK, "0147", "Whitetail, young, whole, skinned", "Main cooler, rail R1, hook 7", "cond-ready", "Ready to cut. Cut it",
		"It is cold and is not aged: cut it.", "No deep temperature at the door", "Walt Orrin", "tel:6075550133", "order not complete", "butterflied, 3/4 in thick",
		"The sums behind it", "deer or caribou, young or thin, version 1", "Common practice, no source", "Growth on the surface", "log 7, slime is felt at log 8",
		"E. coli O157:H7", "probe and decide", "FSIS generic plan has 24 hours", "Gaps in the record", "inside the ribs: white, 1/16 in",
		`<svg class="chart"`, "<title id=\"lived-title\">", "Order written", "Looked at", "does not say the meat is fit to eat",
		"If the room ran at another temperature", "From 34 °F to 38 °F it makes no difference. Ready from: now.",
		"/animals/"+string(n)+"/receipt", "/animals/"+string(n)+"/cutsheet", "/animals/"+string(n)+"/money")
	for _, never := range []string{"safe", "CWD-free", "style="} {
		if strings.Contains(page.Body, never) {
			t.Errorf("the page says %q", never)
		}
	}
	bob.Get("/animals/"+string(s.SharedBeef(t, 1))).Wants(t, http.StatusOK, "<h3>left half, Lena Ochoa</h3>", "<h3>right half, first quarter, Marv Tull</h3>",
		"<h3>right half, second quarter, Dot Quill</h3>")
}

// Every reason and every assumption opens its source by one tap, without script.
func TestReasonsOpenTheirSource(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	body := bob.Get("/animals/" + string(n)).Body
	for said, source := range map[string]string{
		"It is cold and is not aged: cut it.": "University of Wyoming B-513R, 2002: pork, veal",
		"No deep temperature at the door":     "Common practice, no source.",
		"Cut it between day":                  "Koutsoumanis et al. 2006",
	} {
		_, after, found := strings.Cut(body, "<details><summary>"+said)
		inside, _, _ := strings.Cut(after, "</details>")
		if !found || !strings.Contains(inside, `Where this comes from:`) || !strings.Contains(inside, source) {
			t.Errorf("%q does not open %q: %q", said, source, inside)
		}
	}
}

// A hold lies across the condition, and bad news is the lead's to tell.
func TestRecordHeld(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Your deer came in on Mon Nov 16; its number is 0147.", "how you want it cut")
	must(t, s.OpenHold(t.Context(), s.Act(s.Bob, dbtest.Noon), n, hold.Quality, "odd smell at the hip", time.Time{}))
	page := bob.Get("/animals/" + string(n))
	page.Wants(t, http.StatusOK, "cond-ready", "held: quality in question", "While it is held, nobody cuts it.", "By its days alone: Ready to cut.",
		"<summary>By its days alone: It is cold and is not aged: cut it.</summary>", "<summary>By its days alone: Cut it between day ", "The person in charge wants to speak to you about your deer", "Held")
	if strings.Contains(page.Body, "Your deer came in") {
		t.Error("the counter would tell what the lead has to tell first")
	}
	if strings.Contains(page.Body, "<summary>Cut it") {
		t.Error("held, and a reason bids to cut it")
	}
}

// An animal that was never here, one whose room has no reading, one not yet hung.
func TestRecordWithLittleToSay(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	bob.Get("/animals/26-9999-9").Wants(t, http.StatusNotFound, "There is no animal with the number 26-9999-9.")
	bob.Get("/animals/nonsense").Wants(t, http.StatusNotFound, "There is no animal with the number nonsense.")
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "There is no temperature reading of this room yet.", "No reading of its room in that time yet",
		"I cannot name a day for cutting yet", "Nobody is written down for it yet.", "No order yet.", "The register has no line of it yet.")
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE occupancies SET until = $1`, dbtest.Noon.Add(20*time.Minute))
	must(t, err)
	s.Cold(t)
	s.SetNow(dbtest.Noon.Add(time.Hour))
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "As it stood when it left the rail, Thu Nov 19, 12:20 pm.", "The sums behind it")
}

// One tap keeps a call; sent twice it is one call.
func TestLogCall(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	at, form := "/animals/"+string(n)+"/call", url.Values{"outcome": {"spoke"}, "back": {"/find?q=orrin"}}
	for range 2 {
		if a := bob.Post(at, form); a.Status != http.StatusSeeOther || a.Location != "/find?q=orrin&logged="+string(n) {
			t.Fatalf("%d %s %.300s", a.Status, a.Location, a.Body)
		}
	}
	calls, err := s.Contacts(t.Context(), n)
	must(t, err)
	if len(calls) != 1 || calls[0].Outcome != "spoke" || calls[0].By != "BT" {
		t.Errorf("calls %+v, want one by BT", calls)
	}
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "BT: spoke (by phone)", "what came of it: spoke; how: by phone")
	if a := bob.Post(at, url.Values{"outcome": {"spoke"}, "back": {"//elsewhere.example/find?q="}}); a.Location != "/animals/"+string(n)+"?logged="+string(n) {
		t.Errorf("a call leads out of the site, to %s", a.Location)
	}
	bob.Post(at, url.Values{"outcome": {"shouted"}}).Wants(t, http.StatusUnprocessableEntity, "Choose what came of it.")
}

// The day an owner was told is kept, shown on the record and on the owner's
// page, and may move; a day that is past is refused and changes nothing.
func TestPromise(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	record := "/animals/" + string(n)
	for _, day := range []string{"2026-12-03", "2026-12-04"} {
		if a := bob.Post(record+"/promise", url.Values{"promised": {day}}); a.Status != http.StatusSeeOther || a.Location != record {
			t.Fatalf("%d %s %.300s", a.Status, a.Location, a.Body)
		}
	}
	bob.Post(record+"/promise", url.Values{"promised": {"2026-11-01"}}).Wants(t, http.StatusUnprocessableEntity, "That day is past")
	bob.Post(record+"/promise", url.Values{"promised": {"soon"}}).Wants(t, http.StatusUnprocessableEntity, "Choose the day.")
	bob.Get(record).Wants(t, http.StatusOK, "Fri Dec 4", `value="2026-12-04"`, "Day promised", "before: Thu Dec 3; day: Fri Dec 4", "We told you: ready to collect about Fri Dec 4.")
}

// The find box: one hit opens the record, several are listed with a sentence and
// a tap, none says what was looked for.
func TestFind(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	one, two := s.HangDeer(t, 147, 7), s.HangDeer(t, 148, 8)
	s.Own(t, one, "Walt Orrin", "607-555-0133")
	s.Own(t, two, "Walter Pike", "607-555-0199")
	for typed, want := range map[string]domain.ShopNumber{
		string(one): one, one.Digits(): one, "0148": two, "orrin": one, "0133": one, "(607) 555-0199": two, "6075550133": one,
		"https://coldrail.example/animals/" + string(two): two, string(one) + "/2": one,
	} {
		if a := bob.Get("/find?q=" + url.QueryEscape(typed)); a.Status != http.StatusSeeOther || a.Location != "/animals/"+string(want) {
			t.Errorf("find %q: %d %s, want %s", typed, a.Status, a.Location, want)
		}
	}
	kept := bob.Post("/animals/"+string(one)+"/call", url.Values{"outcome": {"spoke"}})
	bob.Get(kept.Location).Wants(t, http.StatusOK, "The call is written down.", "Left word")
	if again := bob.Get("/animals/" + string(one)); strings.Contains(again.Body, "The call is written down.") || !strings.Contains(again.Body, "Log the call") {
		t.Error("the record says for good that a call was written down")
	}
	list := bob.Get("/find?q=walt")
	list.Wants(t, http.StatusOK, "2 animals", "Walt Orrin · Whitetail, young", "Main cooler R1-8", "say-aloud", "Log the call", "/find?q=walt", "cond-ready")
	bob.Get("/find?q=walt&logged="+string(one)).Wants(t, http.StatusOK, "The call is written down.", "Log the call")
	bob.Get("/find?q=zz").Wants(t, http.StatusOK, "Nothing found", "a name that begins with zz; the state&#39;s tag ZZ", "last four digits of the phone")
	bob.Get("/find?q=2601472").Wants(t, http.StatusOK, "one digit is wrong")
	bob.Get("/find?q=").Wants(t, http.StatusOK, "Type or scan something first")
	bob.Get("/find?q=%25").Wants(t, http.StatusOK, "Nothing found")
	if a := s.Nobody(t).Get("/find?q=walt"); a.Status != http.StatusSeeOther || a.Location != "/enrol" {
		t.Errorf("a stranger finds people: %d %s", a.Status, a.Location)
	}
}

// A stopped animal asks for the one act that is due and offers no move; a look that
// found nothing stands in the table of looks alone.
func TestRecordOfAStoppedDeer(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	lookAt(t, s, n, dbtest.Noon.Add(-20*time.Hour), round.SurfaceDry)
	sound := bob.Get("/animals/" + string(n))
	sound.Wants(t, http.StatusOK, "Move it", "Looks without a finding stand under Looks alone.", `<a class="button" href="/animals/`+string(n)+`/order">Get the order`)
	if strings.Contains(sound.Body, "smell: clean") {
		t.Error("a look without a finding stands in the time line too")
	}
	lookAt(t, s, n, dbtest.Noon.Add(-time.Hour), round.SurfaceSlimy)
	stopped := bob.Get("/animals/" + string(n))
	stopped.Wants(t, http.StatusOK, "cond-stop", `<a class="button" href="/animals/`+string(n)+`/look">Look and decide`, "surface: slimy", `class="button quiet" name="outcome" value="spoke"`)
	if strings.Contains(stopped.Body, "Move it") {
		t.Error("what nobody may move is offered to be moved")
	}
}

// What is ready goes to the table from its record, but not while another animal is written
// on its hook.
func TestRecordLeadsToTheTable(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	ann, n := s.As(t, s.Ann), s.HangDeer(t, 147, 7)
	s.HangDeer(t, 148, 8)
	set := func(sql string, args ...any) {
		t.Helper()
		_, err := s.Pool().Exec(t.Context(), sql, args...)
		must(t, err)
	}
	lookAt(t, s, n, dbtest.Noon.Add(-20*time.Hour), round.SurfaceDry)
	set(`UPDATE animals SET order_state = 'complete', revision = revision + 1 WHERE number = $1`, n)
	ann.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Take it to the table")
	set(`UPDATE occupancies o SET conflict = true, place_id = (SELECT place_id FROM occupancies WHERE animal_id <> o.animal_id LIMIT 1)
		WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n)
	page := ann.Get("/animals/" + string(n))
	page.Wants(t, http.StatusOK, "Another animal is written on the same hook")
	if strings.Contains(page.Body, "Take it to the table") {
		t.Error("it is led to the table while nobody knows which animal hangs there")
	}
}

// Where the count says that it may smell by now, the card says so beside the days.
func TestRecordCautionsOfSmell(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 147, 7)
	const caution = "may smell by now. Smell it before the knife."
	if strings.Contains(bob.Get("/animals/"+string(n)).Body, caution) {
		t.Error("a fresh deer is said to smell")
	}
	s.SetNow(dbtest.Noon.AddDate(0, 0, 12))
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, caution)
}
