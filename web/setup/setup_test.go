package setup_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

func opening(code, password string) url.Values {
	return url.Values{"code": {code}, "shop": {"Far Field Meats"}, "phone": {"555-0100"}, "address": {"1 Mill Lane"}, "state": {"oh"},
		"zone": {"America/New_York"}, "units": {"us"}, "name": {"Ada Kline"}, "initials": {"ak"}, "pin": {"2468"}, "password": {password}, "device": {"counter tablet"}}
}

// An empty database becomes a shop, and its first deer hangs.
func TestSetUpToTheFirstAnimal(t *testing.T) {
	t.Parallel()
	s := webtest.Serve(t, dbtest.Open(t), dbtest.Noon)
	b := s.Nobody(t)
	b.Get("/setup/open").Wants(t, http.StatusOK, "Set the shop up", "Code")
	code, err := s.OpeningCode(t.Context())
	if err != nil || len(code) != 8 {
		t.Fatalf("%q, %v", code, err)
	}
	b.Post("/setup/open", opening("AAAAAAAA", "a good long sentence")).Wants(t, http.StatusUnprocessableEntity, "That is not the code.", "Far Field Meats")
	b.Post("/setup/open", opening(code, "short")).Wants(t, http.StatusUnprocessableEntity, "12 to 128 characters")
	b.Post("/setup/open", opening(code, "")).Wants(t, http.StatusUnprocessableEntity, "12 to 128 characters")
	if a := b.Post("/setup/open", opening(strings.ToLower(code), "a good long sentence")); a.Location != "/setup" {
		t.Fatalf("%d to %q %.800s", a.Status, a.Location, a.Body)
	}
	s.Nobody(t).Post("/setup/open", opening(code, "a good long sentence")).Wants(t, http.StatusConflict)
	b.Get("/setup").Wants(t, http.StatusOK, "1. A cooler with its rails", "Do it now", "· Far Field Meats</title>")
	if a := b.Post("/office/rooms", url.Values{"label": {"Main cooler"}, "kind": {"cooler"}, "rails": {"4 rails of 12, 1 hide-on rail of 8"}, "length": {"20"},
		"width": {"12"}, "height": {"10"}, "outside": {"60"}, "fans": {"2"}, "fan_w": {"240"}, "panel": {"polyurethane"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	for _, page := range []string{"/office/rooms", "/office/staff"} {
		b.Get(page).Wants(t, http.StatusOK, `href="/setup"`)
	}
	b.Get("/setup/prices").Wants(t, http.StatusOK, `<span class="unit">$</span> <input id="f-price-deer-whole"`, `<span class="unit">an animal</span>`)
	b.Post("/setup/prices", url.Values{"price-deer-whole": {"lots"}}).Wants(t, http.StatusUnprocessableEntity, "lots")
	b.Post("/setup/prices", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "Give at least one price.")
	if a := b.Post("/setup/prices", url.Values{"price-deer-whole": {"155"}, "price-rush": {""}}); a.Location != "/setup" {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	if a := b.Get("/setup/prices"); a.Location != "/office/prices" {
		t.Errorf("a second start with prices: %d to %q", a.Status, a.Location)
	}
	b.Get("/setup").Wants(t, http.StatusOK, "Coolers: 1. Build the freezer too.", "✓ done")
	came := b.Post("/dropoff", url.Values{"number": {string(domain.NewShopNumber(26, 1))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-1"}, "state": {"OH"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}})
	if came.Status != http.StatusSeeOther {
		t.Fatalf("the first drop-off: %d %.800s", came.Status, came.Body)
	}
	b.Get("/rail").Wants(t, http.StatusOK, "Main cooler", "0001")
	if a := b.Get("/office/rooms"); strings.Contains(a.Body, `href="/setup"`) {
		t.Error("the rooms of a shop that is open still lead to setting it up")
	}
	if a := b.Post("/office/rooms", url.Values{"label": {"Box freezer"}, "kind": {"freezer"}, "rails": {"4 shelves of 16"}, "length": {"10"},
		"width": {"8"}, "height": {"8"}, "outside": {"60"}, "fans": {"1"}, "fan_w": {"100"}, "panel": {"polyurethane"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	built := b.Get("/setup")
	built.Wants(t, http.StatusOK, "Coolers: 1, freezers: 1.")
	if strings.Contains(built.Body, "Build the freezer") || strings.Contains(built.Body, "line urgent") {
		t.Errorf("a shop that is set up is still asked for something: %.3000s", built.Body)
	}
	for _, home := range []string{`UPDATE occupancies SET until = since`, `UPDATE animals SET physical = 'released'`} {
		if _, err := s.Pool().Exec(t.Context(), home); err != nil {
			t.Fatal(err)
		}
	}
	if now := b.Get("/setup"); strings.Count(built.Body, "✓ done") != 3 || strings.Count(now.Body, "✓ done") != 3 {
		t.Errorf("once all have gone home the first animal is to be hung again: %.3000s", now.Body)
	}

	// Once there is something to lose, the page asks for its backups until they are on.
	built.Wants(t, http.StatusOK, "5. Backups", "Without one, all records go with this machine.", `href="/office/backups"`)
	if a := b.Post("/office/backups", url.Values{"directory": {t.TempDir()}, "hour": {"2"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	if now := b.Get("/setup"); strings.Count(now.Body, "✓ done") != 4 {
		t.Errorf("backups are on, and the page asks for them: %.3000s", now.Body)
	}
}

// A shop where somebody works is not set up a second time, whatever is sent.
func TestSetUpOnlyOnce(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	if a := s.Nobody(t).Get("/setup/open"); a.Location != "/setup" {
		t.Errorf("%d to %q", a.Status, a.Location)
	}
	code, err := s.OpeningCode(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	s.Nobody(t).Post("/setup/open", opening(code, "a good long sentence")).Wants(t, http.StatusConflict, "has been set up already")
	if shop, err := s.DB.Shop(t.Context()); err != nil || shop.Name == "Far Field Meats" {
		t.Errorf("%+v, %v", shop, err)
	}
	s.As(t, s.Bob).Get("/setup").Wants(t, http.StatusForbidden)
}
