package coolers_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/domain"
)

// The lead sets a room's limits and defrosts; anybody says that it is being loaded.
func TestRoomRulesAndLoading(t *testing.T) {
	t.Parallel()
	s := small(t, 0)
	bring(t, s, 60, func(time.Duration) (domain.Celsius, bool) { return 2, true })
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	if a := bob.Get("/coolers/small/limits"); a.Status == http.StatusOK {
		t.Error("the counter may not change a room's limits")
	}
	ann.Get("/coolers/small/limits").Wants(t, http.StatusOK, "In force: what is usual.", `name="far_too"`, `value="45"`)
	form := func(far, defrosts, reason, pin string) url.Values {
		return url.Values{"warm": {"38"}, "warm_for": {"60"}, "too_warm": {"40"}, "too_long": {"120"}, "far_too": {far}, "defrosts": {defrosts}, "reason": {reason}, "pin": {pin}}
	}
	ann.Post("/coolers/small/limits", form("47", "", "", "4711")).Wants(t, http.StatusUnprocessableEntity, "Say why", `value="47"`)
	ann.Post("/coolers/small/limits", form("44", "2 am", "", "4711")).Wants(t, http.StatusUnprocessableEntity, "no time of day")
	ann.Post("/coolers/small/limits", form("x", "", "", "4711")).Wants(t, http.StatusUnprocessableEntity, `name="far_too"`)
	ann.Post("/coolers/small/limits", form("44", "14:00, 02:00", "", "1111")).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	if a := ann.Post("/coolers/small/limits", form("44", "14:00, 02:00", "", "4711")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	ann.Get("/coolers/small/limits").Wants(t, http.StatusOK, "In force since", "by AK", `value="44"`, `value="02:00 14:00"`)
	ann.Get("/coolers/freezer/limits").Wants(t, http.StatusNotFound, "its rounds see to it")

	bob.Get("/coolers/small").Wants(t, http.StatusOK, "Loading now, for an hour at most")
	if a := bob.Post("/coolers/small/load", url.Values{}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get("/coolers/small").Wants(t, http.StatusOK, "Loading until")
	if a := bob.Post("/coolers/small/load", url.Values{}); a.Status == http.StatusSeeOther {
		t.Error("a second loading while the first is on")
	}
}
