package money_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// Deposit, bill with something ticked, payment, credit, refund: through the page.
func TestMoney(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)+"/money"
	bob.Get(at).Wants(t, http.StatusOK, "Not billed yet", "Deer, cut, grind and wrap", "Skinning", "$150.00", "Rush, front of the line", "Nothing has been paid yet")
	pay := func(amount, way, pin string) url.Values {
		return url.Values{"amount": {amount}, "way": {way}, "pin": {pin}, "why": {"our saw"}}
	}
	bob.Post(at+"/deposit", pay("fifty", "cash", "2222")).Wants(t, http.StatusUnprocessableEntity, "cannot be read", `value="fifty"`)
	bob.Post(at+"/deposit", pay("50", "", "2222")).Wants(t, http.StatusUnprocessableEntity, "Choose how it was paid")
	bob.Post(at+"/deposit", pay("50", "cash", "1")).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	bob.Post(at+"/pay", pay("50", "cash", "2222")).Wants(t, http.StatusUnprocessableEntity, "Take it as a deposit")
	goes := func(a webtest.Answer) {
		t.Helper()
		if a.Status != http.StatusSeeOther || a.Location != at {
			t.Fatalf("%d %s %.900s", a.Status, a.Location, a.Body)
		}
	}
	goes(bob.Post(at+"/deposit", pay("50", "cash", "2222")))
	bob.Get(at).Wants(t, http.StatusOK, "Paid in so far", "No. 1")
	goes(bob.Post(at+"/bill", url.Values{"later": {"yes"}, "ticked": {"rush"}, "pin": {"2222"}}))
	bob.Get(at).Wants(t, http.StatusOK, "$190.00", "$140.00", "To pay", "Rush, front of the line")
	goes(bob.Post(at+"/pay", pay("140", "check", "2222")))
	bob.Get(at).Wants(t, http.StatusOK, "All paid")
	credit := url.Values{"label": {"Shoulder lost"}, "amount": {"30"}, "kind": {"credit"}, "why": {"our saw"}, "pin": {"2222"}}
	bob.Post(at+"/charge", credit).Wants(t, http.StatusUnprocessableEntity, "Only the lead or an owner", `value="Shoulder lost"`)
	credit.Set("pin", "4711")
	credit.Del("act")
	goes(ann.Post(at+"/charge", credit))
	ann.Get(at).Wants(t, http.StatusOK, "Owed back", "Give money back", "our saw")
	bob.Post(at+"/refund", pay("30", "cash", "2222")).Wants(t, http.StatusUnprocessableEntity)
	goes(ann.Post(at+"/refund", pay("30", "cash", "4711")))
	ann.Get(at).Wants(t, http.StatusOK, "All paid", "Given back", "-$30.00")
}

// While it hangs there is a deposit to take and nothing to bill.
func TestMoneyBeforeTheKnife(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.CutDeer(t, 1, animal.Hanging)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)+"/money"
	bob.Get(at).Wants(t, http.StatusOK, "It is billed when it is cut and weighed", "Take a deposit")
	bob.Post(at+"/bill", url.Values{"later": {"yes"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "take a deposit until then")
}
