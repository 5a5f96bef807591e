package holds_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// A hold opens and closes with a PIN, and only on evidence.
func TestHoldOpensAndClosesWithPIN(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	at := "/animals/" + string(number) + "/holds"
	bob.Get(at).Wants(t, http.StatusOK, "No hold stands.", "Hold it for another reason")
	form := url.Values{"kind": {"quality"}, "why": {"odd smell at the hip"}, "pin": {"9999"}}
	bob.Post(at, form).Wants(t, http.StatusUnprocessableEntity, "That does not fit", "odd smell at the hip")
	bob.Post(at, url.Values{"kind": {"quality"}, "why": {""}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Say in a few words why it is held.")
	bob.Post(at, url.Values{"kind": {"quality"}, "why": {"smell"}, "review": {"2026-11-01"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "has to lie ahead")
	form = url.Values{"kind": {"quality"}, "why": {"odd smell at the hip"}, "pin": {"2222"}}
	if a := bob.Post(at, form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "quality in question", "not cut, not mixed with other meat, not handed over", "Opened by BT")
	holds, err := s.Holds(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	shut := at + "/" + holds[0].ID.String()
	bob.Post(shut, url.Values{"note": {""}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "What was found at the second look")
	if a := bob.Post(shut, url.Values{"note": {"smelled again at noon, clean"}, "pin": {"2222"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "No hold stands.", "smelled again at noon, clean", "Closed by BT")
	bob.Post(shut, url.Values{"note": {"again"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "already closed")
	bob.Post(at+"/nonsense", url.Values{}).Wants(t, http.StatusNotFound, "There is no such hold.")
}

// The sample's way on the page, in the laboratory's words and never in ours.
func TestSampleOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann, number := s.As(t, s.Bob), s.As(t, s.Ann), s.HangDeer(t, 1, 1)
	sample, at := "/animals/"+string(number)+"/sample", "/animals/"+string(number)+"/holds"
	bob.Post(sample, url.Values{"sample": {""}, "drawn": {"2026-11-18"}}).Wants(t, http.StatusUnprocessableEntity, "Give the number on the sample")
	bob.Post(sample, url.Values{"sample": {"771"}, "drawn": {"2026-12-24"}}).Wants(t, http.StatusUnprocessableEntity, "cannot have been drawn in the future")
	for path, form := range map[string]url.Values{sample: {"sample": {"771"}, "lab": {"State laboratory"}, "drawn": {"2026-11-18"}}} {
		if a := bob.Post(path, form); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.600s", a.Status, a.Body)
		}
	}
	bob.Get(at).Wants(t, http.StatusOK, "test result not in", "It went to the laboratory")
	if a := bob.Post(sample+"/send", url.Values{"expected": {"2026-11-26"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	result := func(word, source string) url.Values {
		return url.Values{"result": {word}, "source": {source}, "result_day": {"2026-11-19"}, "pin": {"2222"}}
	}
	bob.Post(sample+"/result", result("not detected", "owner-says")).Wants(t, http.StatusUnprocessableEntity, "owner&#39;s word does not end this hold")
	if a := bob.Post(sample+"/result", result("detected", "lab-report")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	page := bob.Get(at)
	page.Wants(t, http.StatusOK, "test came back detected", "detected, dated Nov 19, 2026", "the laboratory&#39;s report, by BT", "gives the meat up", "It is not a promise about the meat")
	if strings.Contains(strings.ToLower(page.Body), "safe") || strings.Contains(page.Body, "CWD-free") {
		t.Error("the page calls meat what nobody may call it")
	}
	holds, err := s.Holds(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	shut := url.Values{"owner": {"gives up"}, "result": {"detected"}, "source": {"lab-report"}, "result_day": {"2026-11-19"}, "note": {"agency told"}, "second": {"AK"}, "pin": {"2222"}}
	bob.Post(at+"/"+holds[0].ID.String(), shut).Wants(t, http.StatusUnprocessableEntity, "the lead&#39;s to close")
	shut.Set("pin", "4711")
	shut.Set("second", "BT")
	shut.Del("act")
	if a := ann.Post(at+"/"+holds[0].ID.String(), shut); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
}

// Annex E 10: the hunter says "they texted me it's fine" and has no paper. The hold
// ends only with a source that was seen, the date of the result and initials.
func TestScenario10TheyTextedMe(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	sample, at := "/animals/"+string(number)+"/sample", "/animals/"+string(number)+"/holds"
	for _, step := range []struct {
		path string
		form url.Values
	}{{sample, url.Values{"sample": {"771"}, "lab": {"State laboratory"}, "drawn": {"2026-11-18"}}}, {sample + "/send", url.Values{"expected": {"2026-11-26"}}}} {
		if a := bob.Post(step.path, step.form); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.600s", a.Status, a.Body)
		}
	}
	for _, tt := range []struct {
		source, day, pin, says string
	}{
		{"owner-says", "2026-11-19", "2222", "owner&#39;s word does not end this hold"},
		{"", "2026-11-19", "2222", "Say where"},
		{"agency-letter", "", "2222", "Choose the day"},
		{"agency-letter", "2026-11-29", "2222", "future"},
		{"agency-letter", "2026-11-17", "2222", "before the day its sample was drawn"},
		{"agency-letter", "2026-11-19", "9999", "That does not fit"},
	} {
		bob.Post(sample+"/result", url.Values{"result": {"not detected"}, "source": {tt.source}, "result_day": {tt.day}, "pin": {tt.pin}}).Wants(t, http.StatusUnprocessableEntity, tt.says)
		bob.Get(at).Wants(t, http.StatusOK, "test result not in")
	}
	if a := bob.Post(sample+"/result", url.Values{"result": {"not detected"}, "source": {"agency-letter"}, "result_day": {"2026-11-19"}, "pin": {"2222"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "No hold stands.", "not detected", "BT", "Closed by BT")
}

// What a look stopped is no hold, and the page says so before it says that none stands.
func TestStoppedByALookIsSaid(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	at := "/animals/" + string(number) + "/holds"
	if a := bob.Get(at); strings.Contains(a.Body, "Look and decide") {
		t.Error("a sound deer is called stopped")
	}
	look := db.Look{Look: round.Look{At: s.Now(), Smell: round.SmellClean, Surface: round.SurfaceSlimy}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, s.Now()), number, look); err != nil {
		t.Fatal(err)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Nobody cuts it before the lead has decided.", "Look and decide", "No hold stands.")
}
