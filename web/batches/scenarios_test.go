package batches_test

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// Annex E 8: Dell Hargrove's buck waits for its test, expected in six days, and his
// order has sticks with the pool. The grinder's try is refused with the reason, bone
// and hold is offered, and his own batch waits too. Where the rule of the state says
// no cutting (trade.md 2.4, MSU and Minnesota), there is no such choice.
func TestScenario8TestIsOut(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	n := poolDeer(t, s, 1)
	s.Own(t, n, "Dell Hargrove", "555-0142")
	sample, holds := "/animals/"+string(n)+"/sample", "/animals/"+string(n)+"/holds"
	drawn := url.Values{"sample": {"771"}, "lab": {"State laboratory"}, "drawn": {"2026-11-18"}, "expected": {"2026-11-25"}, "elsewhere": {"yes"}}
	sent(t, bob, sample, maps.Clone(drawn))
	bob.Get(holds).Wants(t, http.StatusOK, "State laboratory", "not in; expected Nov 25, 2026", "Bone and hold", "not cut, not mixed with other meat, not handed over")
	refused := func() {
		t.Helper()
		for _, kind := range []string{"pooled", "own"} {
			bob.Post(begin(t, bob, kind, "yes")+"/add", url.Values{"animal": {n.Digits()}, "weight": {"20"}}).
				Wants(t, http.StatusUnprocessableEntity, "The test of "+string(n)+" is not back", "no batch until the result is seen", "Bone and hold "+string(n), `href="`+holds+`"`)
		}
	}
	refused()
	bone := func(pin string) url.Values { return url.Values{"meanwhile": {"bone"}, "pin": {pin}} }
	bob.Post(sample+"/meanwhile", bone("2222")).Wants(t, http.StatusUnprocessableEntity, "Only the lead or the owner of the shop decides that")
	sent(t, ann, sample+"/meanwhile", bone("4711"))
	ann.Post(sample+"/meanwhile", bone("4711")).Wants(t, http.StatusUnprocessableEntity, "AK chose already that it is boned and held")
	bob.Get(holds).Wants(t, http.StatusOK, "Bone and hold, since", "While it stands: not mixed with other meat, not handed over.")
	refused()
	sent(t, bob, sample+"/result", url.Values{"result": {"not detected"}, "source": {"agency-site"}, "result_day": {"2026-11-19"}, "pin": {"2222"}})
	bob.Get(holds).Wants(t, http.StatusOK, "No hold stands.", "the agency&#39;s site, by BT", "not detected, dated Nov 19, 2026")
	sent(t, bob, begin(t, bob, "pooled", "yes")+"/add", url.Values{"animal": {n.Digits()}, "weight": {"20"}})
}

// Bone and hold frees the knife for a carcass that hangs, and nothing else; where a
// rule of the state says no cutting (trade.md 2.4: MSU; Annex D, Michigan), the choice
// is not there and is refused.
func TestBoneAndHoldByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob, n := s.As(t, s.Ann), s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	sample, holds := "/animals/"+string(n)+"/sample", "/animals/"+string(n)+"/holds"
	sent(t, bob, sample, url.Values{"sample": {"771"}, "drawn": {"2026-11-18"}})
	held := func() bool {
		t.Helper()
		_, barred, err := s.CuttingQueue(t.Context(), dbtest.Noon)
		if err != nil || len(barred) != 1 {
			t.Fatalf("%d barred, %v", len(barred), err)
		}
		return slices.ContainsFunc(barred[0].Why, func(w domain.Words) bool { return w.String() == "Held: test result not in." })
	}
	choose := func(what string) url.Values { return url.Values{"meanwhile": {what}, "pin": {"4711"}} }
	for _, step := range []struct {
		what string
		held bool
	}{{"bone", false}, {"whole", true}} {
		sent(t, ann, sample+"/meanwhile", choose(step.what))
		if held() != step.held {
			t.Errorf("after %s: held %v", step.what, !step.held)
		}
	}
	shop, err := s.Shop.Shop(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	shop.HomeState = "MI"
	if err := s.SaveShop(t.Context(), shop); err != nil {
		t.Fatal(err)
	}
	page := ann.Get(holds)
	page.Wants(t, http.StatusOK, "It is not cut before that.", "MSU deer intake protocol", "Confirm with your state before relying on it.")
	if strings.Contains(page.Body, `value="bone"`) {
		t.Error("it is offered")
	}
	ann.Post(sample+"/meanwhile", choose("bone")).Wants(t, http.StatusUnprocessableEntity, "Not here:", "MSU deer intake protocol")
	if !held() {
		t.Error("it may be cut")
	}
}
