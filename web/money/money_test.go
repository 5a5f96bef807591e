package money_test

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/domain/animal"
	"coldrail/web/ui"
	"coldrail/web/webtest"
)

// Deposit, bill with something ticked, payment, credit, refund: through the page.
func TestMoney(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)+"/money"
	bob.Get(at).Wants(t, http.StatusOK, "Not billed yet", "Deer, cut, grind and wrap", "Skinning", "$150.00", "Rush, front of the line", "$40.00 each", "Bill the rest later", "Summer sausage", "Nothing has been paid yet")
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
	bob.Get(at).Wants(t, http.StatusOK, "Paid in so far", "No. 1", "The lead or the owner of the shop gives money back.")
	bob.Post(at+"/bill", url.Values{"much-rush": {"1"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "tick that the rest is billed later", `name="much-rush"`, `value="1"`)
	bob.Post(at+"/bill", url.Values{"later": {"yes"}, "much-rush": {"0"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "a whole number from 1 to 999")
	goes(bob.Post(at+"/bill", url.Values{"later": {"yes"}, "much-rush": {"1"}, "pin": {"2222"}}))
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
	ann.Get(at).Wants(t, http.StatusOK, "Who gets it, if not the owner")
	back := pay("30", "cash", "4711")
	back.Set("payer", "Dot Quill")
	goes(ann.Post(at+"/refund", back))
	ann.Get(at).Wants(t, http.StatusOK, "All paid", "Given back", "given to Dot Quill", "−$30.00")
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

// Tax stands as a line of its own on the bill and the receipt; sausage packed after
// the bill is added with one tap, and the total stays the sum of the lines.
func TestMoneyTaxedAndBilledLater(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)+"/money"
	tax := url.Values{"seen": {"0"}, "called": {"Sales tax"}, "rate": {"6"}, "since": {"2026-11-01"}, "why": {"the state's letter"}, "pin": {"4711"}}
	ann.Post("/office/tax", tax).Wants(t, http.StatusSeeOther)
	// By hand: 6 % of the 125.00 that are taxed is 7.50.
	bob.Get(at).Wants(t, http.StatusOK, "Sales tax", "6 % of $125.00", "$7.50", "$157.50")
	bob.Post(at+"/rest", url.Values{"pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Everything that was packed")
	bob.Post(at+"/bill", url.Values{"later": {"yes"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	s.Packed(t, n, "Summer sausage", 10)
	bob.Get(at).Wants(t, http.StatusOK, "Not on the bill yet", "22.0 lb", "$121.00")
	bob.Post(at+"/rest", url.Values{"pin": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	bob.Post(at+"/rest", url.Values{"pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "packed since the bill", "$278.50")
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusOK, "Sales tax", "(taxed)", "$7.50", "$278.50")
	bob.Post(at+"/charge", url.Values{"label": {"Jar of rub"}, "amount": {"10"}, "taxable": {"yes"}, "why": {"asked for"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "6 % of $10.00", "$289.10") // and 10.00, 0.60
}

// A deposit is kept on the page by the lead, with the reason.
func TestMoneyDepositKept(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.CutDeer(t, 1, animal.Hanging)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)+"/money"
	bob.Post(at+"/deposit", url.Values{"amount": {"50"}, "way": {"cash"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	keep := url.Values{"amount": {"50"}, "pin": {"4711"}}
	ann.Get(at).Wants(t, http.StatusOK, "Keep the deposit", `value="50.00"`)
	ann.Post(at+"/keep", keep).Wants(t, http.StatusUnprocessableEntity, "Say why the deposit is kept", `value="50"`)
	keep.Set("why", "took it away uncut")
	bob.Post(at+"/keep", keep).Wants(t, http.StatusForbidden)
	keep.Del("act")
	ann.Post(at+"/keep", keep).Wants(t, http.StatusSeeOther)
	ann.Get(at).Wants(t, http.StatusOK, "Deposit kept", "took it away uncut", "All paid")
}

// No line of a bill, of a receipt or of the rates ends between a number and its sign,
// what is stored as text too.
func TestStoredRateIsNotBroken(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)
	tax := url.Values{"seen": {"0"}, "called": {"Sales tax, 6 %"}, "rate": {"6"}, "since": {"2026-11-01"}, "why": {"6 % by the state's letter"}, "pin": {"4711"}}
	ann.Post("/office/tax", tax).Wants(t, http.StatusSeeOther)
	unbroken(t, ann, "/office/tax", 5) // the figure with its name, the line with its source
	unbroken(t, bob, at+"/money", 2)   // what the bill will be
	bob.Post(at+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	unbroken(t, bob, at+"/money", 2)
	unbroken(t, bob, at+"/receipt", 2)
}

// unbroken looks for "6 %" on a page as its letters stand there: so often with a space
// that holds, never with one at which a line may end.
func unbroken(t *testing.T, b *webtest.Browser, page string, held int) {
	t.Helper()
	answer := b.Ask(http.MethodGet, page, nil)
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close() // read to its end
	if n := strings.Count(string(body), "6"+ui.Joint+"%"); n != held || strings.Contains(string(body), "6 %") {
		t.Errorf("%s: %d of %d hold, %d may be parted", page, n, held, strings.Count(string(body), "6 %"))
	}
}
