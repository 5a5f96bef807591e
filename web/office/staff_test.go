package office_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The owner takes on a lead, the lead a helper with a last day; the helper's name
// stands on the devices, and not after that day.
func TestHireOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	form := func(name, initials, role, ends, pin string) url.Values {
		return url.Values{"name": {name}, "initials": {initials}, "roles": {role}, "new_pin": {"2468"}, "ends": {ends}, "pin": {pin}}
	}
	ann.Post("/office/staff", form("Marcus Tiede", "MT", "lead", "", "0000")).Wants(t, http.StatusUnprocessableEntity, "That does not fit.")
	if a := ann.Post("/office/staff", form("Marcus Tiede", "MT", "lead", "", "4711")); a.Location != "/office/staff" {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	var marcus db.Staff
	everybody, err := s.Everybody(t.Context(), dbtest.Noon)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range everybody {
		if e.Initials == "MT" {
			marcus = e.Staff
		}
	}
	lead := s.As(t, marcus)
	lead.Post("/office/staff", form("Ada Kline", "AD", "cutter", "", "2468")).Wants(t, http.StatusUnprocessableEntity, "Give the helper&#39;s last day.")
	if a := lead.Post("/office/staff", form("Ada Kline", "AD", "cutter", "2026-11-20", "2468")); a.Location != "/office/staff" {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	lead.Get("/who").Wants(t, http.StatusOK, "Ada Kline")
	ann.Get("/office/staff").Wants(t, http.StatusOK, "until Nov 20, 2026", "MT took on AD")
	s.SetNow(dbtest.Noon.AddDate(0, 0, 3))
	if page := lead.Get("/who"); strings.Contains(page.Body, "Ada Kline") {
		t.Error("a helper whose last day is over may still take a device")
	}
}

// What may be changed of a person, and who may.
func TestChangeOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	at := "/office/staff/" + s.Bob.ID.String()
	bob.Get(at).Wants(t, http.StatusForbidden)
	ann.Get(at).Wants(t, http.StatusOK, "Bob Tarrant", "A new PIN")
	ann.Post(at+"/pin", url.Values{"new_pin": {"12"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "A PIN has four to eight digits.")
	if a := ann.Post(at+"/pin", url.Values{"new_pin": {"97531"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Errorf("%d %.600s", a.Status, a.Body)
	}
	if err := s.CheckPIN(t.Context(), s.Device, s.Bob.ID, "97531", dbtest.Noon); err != nil {
		t.Error(err)
	}
	change := url.Values{"roles": {"cutter"}, "seen": s.Bob.Roles, "ends": {""}, "pin": {"4711"}}
	if a := ann.Post(at, change); a.Status != http.StatusSeeOther {
		t.Errorf("%d %.600s", a.Status, a.Body)
	}
	ann.Post(at, url.Values{"roles": {"cooler"}, "seen": s.Bob.Roles, "ends": {""}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just changed")
	own := "/office/staff/" + s.Ann.ID.String()
	ann.Post(own, url.Values{"roles": {"lead"}, "seen": s.Ann.Roles, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Nobody else could let a device in then.")
	ann.Post(own+"/password", url.Values{"password": {"short"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "12 to 128 characters")
	ann.Get("/office/staff/nobody").Wants(t, http.StatusNotFound)
}

// A device turned away is asked to be let in again.
func TestTurnAwayOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	devices, err := s.Devices(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range devices {
		if d.Name == "Bob Tarrant's tablet" {
			if a := ann.Post("/office/tablets/"+d.ID.String()+"/away", url.Values{}); a.Location != "/office/tablets" {
				t.Errorf("%d %.600s", a.Status, a.Body)
			}
		}
	}
	if a := bob.Get("/"); a.Location != "/enrol" {
		t.Errorf("a device turned away is led to %q", a.Location)
	}
	ann.Get("/office/tablets").Wants(t, http.StatusOK, "in your hand now")
}
