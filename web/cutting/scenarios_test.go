package cutting_test

import (
	"net/http"
	"testing"

	"coldrail/domain"
	"coldrail/web/webtest"
)

// Annex E 17: a fawn marked "age 14 days" at the counter. Its ceiling of 5 days
// (readiness.md section 10, young deer) is shown; it takes the lead's reason, or it is
// shortened and the owner told.
func TestScenario17FawnToHangLong(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	ask := func(n domain.ShopNumber, told, why string) map[string][]string {
		form := sheet()
		form.Set("days", "14")
		form.Set("days_told", told)
		form.Set("days_why", why)
		return form
	}
	first, second := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET protocol_id = (SELECT id FROM protocols WHERE key = 'deer-young' ORDER BY version DESC LIMIT 1)`); err != nil {
		t.Fatal(err)
	}
	at := func(n domain.ShopNumber) string { return "/animals/" + string(n) + "/order" }
	bob.Get(at(first)).Wants(t, http.StatusOK, "At most 5 for this animal")
	bob.Post(at(first), ask(first, "", "")).Wants(t, http.StatusUnprocessableEntity, "14 days are too many: this kind hangs 5 days from the kill at the most", "Shortened to 5 days, and the owner was told", `value="14"`)
	bob.Post(at(first), ask(first, "", "cold and dry")).Wants(t, http.StatusUnprocessableEntity, "Only the lead or the owner of the shop lets it hang longer than 5 days")
	if a := bob.Post(at(first), ask(first, "yes", "")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get(at(first)+"/read").Wants(t, http.StatusOK, "Hang 5 days from the kill. The owner wanted 14; shortened, and the owner was told.")
	bob.Get("/animals/"+string(first)+"/cutsheet").Wants(t, http.StatusOK, "Hang 5 days from the kill.")
	if a := ann.Post(at(second), ask(second, "", "cold and dry")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	ann.Get(at(second)+"/read").Wants(t, http.StatusOK, "Hang 14 days from the kill, longer than its kind allows, by the lead: cold and dry")
	// The counter changes something else: what the lead allowed stays.
	form := ask(second, "", "cold and dry")
	form["after"], form["fall_back"] = []string{"1"}, []string{"less burger"}
	if a := bob.Post(at(second), form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	odd := sheet()
	odd.Set("after", "2")
	odd.Set("days", "long")
	bob.Post(at(second), odd).Wants(t, http.StatusUnprocessableEntity, "long is not a number of days")
}
