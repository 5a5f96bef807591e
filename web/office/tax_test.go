package office_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/web/webtest"
)

// The owner sets a tax with its day and the PIN; nobody else opens the page.
func TestTaxIsSet(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	const page = "/office/tax"
	ann.Get("/office").Wants(t, http.StatusOK, page)
	ann.Get(page).Wants(t, http.StatusOK, "No tax is charged today", "Deer, cut, grind and wrap", "5 others are not taxed")
	bob.Get(page).Wants(t, http.StatusForbidden)
	tax := func(name, rate, since, why, pin string) url.Values {
		return url.Values{"seen": {"0"}, "called": {name}, "rate": {rate}, "since": {since}, "why": {why}, "pin": {pin}}
	}
	bob.Post(page, tax("Sales tax", "6", "2026-11-01", "letter", "2222")).Wants(t, http.StatusForbidden)
	for _, tt := range []struct {
		form url.Values
		says string
	}{
		{tax("", "6", "2026-11-01", "letter", "4711"), "Give the tax the name"},
		{tax("Sales tax", "six", "2026-11-01", "letter", "4711"), "Type the rate in percent"},
		{tax("Sales tax", "31", "2026-11-01", "letter", "4711"), "A rate is from 0 to 30 percent."},
		{tax("Sales tax", "6", "", "letter", "4711"), "Choose the day"},
		{tax("Sales tax", "6", "2026-11-01", " ", "4711"), "Say why"},
		{tax("Sales tax", "6", "2026-11-01", "letter", "0000"), "That does not fit"},
	} {
		ann.Post(page, tt.form).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	ann.Post(page, tax("Sales tax", "8.875", "2026-11-01", "the state's letter", "4711")).Wants(t, http.StatusSeeOther)
	ann.Get(page).Wants(t, http.StatusOK, "8.875 %", "Sales tax", "Nov 1, 2026", "AK, Nov 19, 2026", "the state&#39;s letter")
	ann.Post(page, tax("Sales tax", "9", "2026-12-01", "letter", "4711")).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just set a tax", `name="seen" value="1"`)
}
