package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/web/webtest"
)

// A kill entry is put right by added lines with their reason; what was entered stays,
// in the record and in the database, and the order is held against the newest line.
func TestKillIsPutRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)
	right := killed("no", "papers", [2]string{"", "Wade Tolliver"})
	right.Set("after", "0")
	bob.Post(at+"/kill/correct", right).Wants(t, http.StatusUnprocessableEntity, "enter it first")
	post(t, bob, at+"/order", portionOrder("", "", "0", "t-bones"))
	post(t, bob, at+"/kill", killed("yes", "teeth", [2]string{"", "Wade Tolliver"}))
	if a := bob.Get(at + "/order/read"); strings.Contains(a.Body, "The order is complete") {
		t.Error("T-bones of an older animal are complete")
	}
	bob.Get(at+"/kill?correct=yes").Wants(t, http.StatusOK, "What was entered stays", `value="Wade Tolliver"`, `value="2026-10-01"`)
	bob.Post(at+"/kill/correct", right).Wants(t, http.StatusUnprocessableEntity, "Write what was wrong")
	right.Set("why", "the ear tag's papers came")
	same := killed("yes", "teeth", [2]string{"", "Wade Tolliver"})
	same.Set("after", "0")
	same.Set("why", "to be sure")
	bob.Post(at+"/kill/correct", same).Wants(t, http.StatusUnprocessableEntity, "Nothing is different", "to be sure")
	if wins := atOnce(t, []*webtest.Browser{bob, ann}, at+"/kill/correct", right, "was put right by"); wins != 1 {
		t.Errorf("%d put the one entry right", wins)
	}
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "Younger than 30 months, by its papers", "Put right", "papers came", "Before: 30 months or older, by its teeth")
	bob.Get(at+"/order/read").Wants(t, http.StatusOK, "The order is complete")
	bob.Get(at).Wants(t, http.StatusOK, "Kill entry put right")
	owner := killed("no", "papers", [2]string{"L", "Wade Tolliver"}, [2]string{"R", "Orrin Beck"})
	owner.Set("after", "1")
	owner.Set("why", "sold in halves")
	post(t, bob, at+"/kill/correct", owner)
	post(t, bob, at+"/kill/correct", owner) // sent twice, one line
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "Orrin Beck", "sold in halves")
	for _, sql := range []string{`UPDATE kill_entries SET known_by = 'papers'`, `UPDATE kill_corrections SET why = 'x'`, `DELETE FROM kill_corrections`} {
		if _, err := s.Pool().Exec(t.Context(), sql); err == nil || !strings.Contains(err.Error(), "42501") {
			t.Errorf("%s: %v", sql, err)
		}
	}
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `DELETE FROM kill_corrections`); err == nil || !strings.Contains(err.Error(), "append-only") {
		t.Errorf("a line may be taken away: %v", err)
	}
}

// Into how many shares an animal may be sold is the state's row, shown with its
// citation (trade.md 3.2, the Minnesota guide); the owner's own row narrows it.
func TestSharesByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	settle(t, s, "MN", "America/Chicago")
	n := cow(t, s)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "At most 4 shares", "Minnesota Institute for Sustainable Agriculture", "right half, second quarter")
	rule := url.Values{"version": {"0"}, "state": {"MN"}, "topic": {"livestock"}, "covers": {"livestock"}, "species": {"beef"}, "says": {"Beef in halves."},
		"cites": {"letter of Inspector Roe"}, "count": {"2"}, "unit": {"shares"}, "starts": {"receipt"}, "pin": {"4711"}}
	ann.Post("/office/rules/new", rule).Wants(t, http.StatusUnprocessableEntity, "count shares from the kill")
	rule.Set("starts", "kill")
	post(t, ann, "/office/rules/new", rule)
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "At most 2 shares", "letter of Inspector Roe")
	three := killed("no", "papers", [2]string{"L", "Marla Finch"}, [2]string{"R1", "Orrin Beck"}, [2]string{"R2", "Lena Prather"})
	bob.Post(at+"/kill", three).Wants(t, http.StatusUnprocessableEntity, "2 owners at most", "letter of Inspector Roe", "Ask your inspector", "Lena Prather")
	bob.Post(at+"/order", portionOrder("R1", "Orrin Beck", "0", "strip-and-fillet")).Wants(t, http.StatusUnprocessableEntity, "not sold in such portions")
	post(t, bob, at+"/kill", killed("no", "papers", [2]string{"L", "Marla Finch"}, [2]string{"R", "Orrin Beck"}))
}

// Boxes of livestock leave only when NOT FOR SALE stands on each quarter, with who
// marked it and when (9 CFR 316.16).
func TestStampedBeforeItLeaves(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET species = 'hog', form = 'whole', money = 'settled'`); err != nil {
		t.Fatal(err)
	}
	s.Own(t, n, "Dale Orrin", "555-0142")
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	form := url.Values{"boxes": {domain.BoxCode(n, 1)}, "collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"driver's license"}, "tag": {"yes"}, "pin": {"2222"}}
	bob.Post("/pickup/"+string(n), form).Wants(t, http.StatusUnprocessableEntity, "NOT FOR SALE is not stamped yet: LF, LH, RF, RH", "page of its kill")
	post(t, bob, at+"/kill", killed("", "", [2]string{"", "Dale Orrin"}))
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"LF", "LH", "RF"}})
	form.Del("act")
	bob.Post("/pickup/"+string(n), form).Wants(t, http.StatusUnprocessableEntity, "not stamped yet: RH")
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"RH"}})
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "RH: ", "BT")
	form.Del("act")
	post(t, bob, "/pickup/"+string(n), form)
}

// A barrel written down wrong, and a spine that is not out at all: a line each with its
// reason, once for two at once. Hauled off, the ticket counts; cut, nobody says so by a tap.
func TestWhatCameOutIsPutRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)
	post(t, bob, at+"/kill", killed("yes", "teeth", [2]string{"", "Wade Tolliver"}))
	out := url.Values{"parts": cutting.SpineParts, "srm_weight": {"60"}, "barrel": {"B1"}, "denatured": {"green dye"}}
	post(t, bob, at+"/kill/spine", out)
	right := url.Values{"parts": cutting.SpineParts, "srm_weight": {"66"}, "barrel": {"B2"}, "denatured": {"green dye"}}
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "That was written down wrong", `value="B1"`, `value="60`)
	bob.Post(at+"/kill/spine/right", right).Wants(t, http.StatusUnprocessableEntity, "Say what was wrong", `value="B2"`)
	right.Set("why", "it went into the other barrel")
	post(t, bob, at+"/kill/spine/right", right)
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "66.0 lb in barrel B2")
	bob.Get("/disposal").Wants(t, http.StatusOK, "B2")
	no := url.Values{"not_out": {"yes"}, "why": {"the other cow was meant"}}
	if wins := atOnce(t, []*webtest.Browser{bob, ann}, at+"/kill/spine/right", no, "Open the page again"); wins != 1 {
		t.Errorf("%d took it back", wins)
	}
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "Cutting cannot be finished before this is written down")
	bob.Get(at).Wants(t, http.StatusOK, "What came out put right", "why: the other cow was meant")
	out.Del("act")
	post(t, bob, at+"/kill/spine", out)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'split'`); err != nil {
		t.Fatal(err)
	}
	no.Del("act")
	bob.Post(at+"/kill/spine/right", no).Wants(t, http.StatusUnprocessableEntity, "Its meat is cut")
	if countOf(t, s, `srm_removals WHERE wrong_at IS NULL`) != 1 || countOf(t, s, `srm_removals`) != 3 {
		t.Error("what was written did not stay")
	}
}

// A quarter ticked as stamped by a slip is taken back with its reason, and holds the box.
func TestStampIsTakenBack(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	post(t, bob, at+"/kill", killed("no", "teeth", [2]string{"", "Wade Tolliver"}))
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"LF", "RH"}})
	bob.Post(at+"/kill/stamp/off", url.Values{"unstamped": {"RH"}}).Wants(t, http.StatusUnprocessableEntity, "Say what was wrong")
	bob.Post(at+"/kill/stamp/off", url.Values{"unstamped": {"LH"}, "why": {"x"}}).Wants(t, http.StatusUnprocessableEntity, "not written down as stamped")
	post(t, bob, at+"/kill/stamp/off", url.Values{"unstamped": {"RH"}, "why": {"the ink ran out"}})
	if countOf(t, s, `stamps WHERE quarter = 'LF'`) != 1 || countOf(t, s, `stamps`) != 1 {
		t.Error("the wrong quarters are stamped")
	}
	bob.Get(at).Wants(t, http.StatusOK, "NOT FOR SALE was not stamped", "why: the ink ran out")
}
