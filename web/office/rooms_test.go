package office_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/web/webtest"
)

// A room is built by typing its rails, and gets more of them later.
func TestBuildARoom(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	room := func(rails string) url.Values {
		return url.Values{"label": {"Back cooler"}, "kind": {"cooler"}, "rails": {rails}, "length": {"20"}, "width": {"12"}, "height": {"10"},
			"outside": {"60"}, "fans": {"2"}, "fan_w": {"240"}, "panel": {"polystyrene"}}
	}
	ann.Post("/office/rooms", room("four rails")).Wants(t, http.StatusUnprocessableEntity, "is not clear", "Back cooler")
	if a := ann.Post("/office/rooms", room("2 rails of 12, 1 hold rail of 6")); a.Location != "/office/rooms" {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	ann.Post("/office/rooms", room("2 rails of 12")).Wants(t, http.StatusUnprocessableEntity, "There is a room called back-cooler already.")
	ann.Post("/office/rooms/back-cooler/rails", url.Values{"rails": {"2 hats of 3"}}).Wants(t, http.StatusUnprocessableEntity, "2 hats of 3")
	if a := ann.Post("/office/rooms/back-cooler/rails", url.Values{"rails": {"1 livestock rail of 8"}}); a.Location != "/office/rooms" {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	ann.Post("/office/rooms/nowhere/rails", url.Values{"rails": {"1 rail of 8"}}).Wants(t, http.StatusNotFound)
	ann.Get("/office/rooms").Wants(t, http.StatusOK, "H1", "L1", "20 ft by 12 ft by 10 ft")
	ann.Get("/rail").Wants(t, http.StatusOK, "Back cooler")
	s.As(t, s.Bob).Post("/office/rooms", room("1 rail of 2")).Wants(t, http.StatusForbidden)
}

// The shop's own row, changed with the owner's PIN.
func TestChangeTheShop(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	form := func(shop, zone, pin string) url.Values {
		return url.Values{"shop": {shop}, "phone": {"555-0100"}, "address": {"1 Mill Lane"}, "state": {"oh"}, "zone": {zone}, "season": {"27"},
			"units": {"us"}, "warden": {"555-0199"}, "pin": {pin}}
	}
	ann.Post("/office/shop", form("", "America/Chicago", "4711")).Wants(t, http.StatusUnprocessableEntity, "Give the shop&#39;s name.")
	ann.Post("/office/shop", form("Far Field Meats", "Mars/Base", "4711")).Wants(t, http.StatusUnprocessableEntity, "is no time zone")
	ann.Post("/office/shop", form("Far Field Meats", "America/Chicago", "1")).Wants(t, http.StatusUnprocessableEntity, "That does not fit.")
	if a := ann.Post("/office/shop", form("Far Field Meats", "America/Chicago", "4711")); a.Location != "/office" {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	ann.Get("/office").Wants(t, http.StatusOK, "· Far Field Meats</title>") // at once, not after what is remembered of the shop is old
	shop, err := s.DB.Shop(t.Context())
	if err != nil || shop.Name != "Far Field Meats" || shop.HomeState != "OH" || shop.Season != 27 || shop.Zone != "America/Chicago" {
		t.Errorf("%+v, %v", shop, err)
	}
	if hours := shop.RoundHours(); hours.Morning.Clock() != "7:00" {
		t.Errorf("the rounds moved to %s", hours.Morning.Clock())
	}
}
