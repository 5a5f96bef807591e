package office_test

import (
	"net/http"
	"testing"

	"coldrail/web/webtest"
)

func TestOfficeShowsTheShop(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.As(t, s.Ann).Get("/office").Wants(t, http.StatusOK, "Bob Tarrant", "7:00 and 19:00", "Main cooler", "livestock", "Deer, cut, grind and wrap", "$125.00")
}

// The office holds money and people: counter and cooler have no business there.
func TestOfficeIsTheOwners(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.As(t, s.Bob).Get("/office").Wants(t, http.StatusForbidden, "not in Bob Tarrant&#39;s work")
}
