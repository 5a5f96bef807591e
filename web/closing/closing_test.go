package closing_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

var allDone = []string{"machines-clean", "waste-out", "doors-shut", "alarm-armed"}

// The lead counts by notes and coins, is told of a miscount, signs, and reads the
// day again on the screen and on paper; nobody else sees it.
func TestTheDayIsClosedOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	number := s.BoxDeer(t, 1, 2)
	bob.Post("/animals/"+string(number)+"/money/deposit", url.Values{"amount": {"50"}, "way": {"cash"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	for _, path := range []string{"/close", "/close/2026-11-19"} {
		bob.Get(path).Wants(t, http.StatusForbidden)
	}
	ann.Get("/close").Wants(t, http.StatusOK, "Close Thu Nov 19", "Cash taken, less given back: $50.00", "In boxes and not billed: 1", strings.ReplaceAll(string(number), "-", "\u2011"), "In the house now")
	form := url.Values{"day": {"2026-11-19"}, "seen": {"5000"}, "float": {"100"}, "n10000": {"1"}, "n2000": {"2"}, "done": allDone, "note": {"Trap barrel is full"}, "pin": {"4711"}}
	ann.Post("/close", form).Wants(t, http.StatusUnprocessableEntity, "should hold $150.00 and $140.00 were counted", `value="2"`, "Trap barrel is full")
	form.Set("n1000", "1")
	form.Set("counted", "140")
	ann.Post("/close", form).Wants(t, http.StatusUnprocessableEntity, "add up to $150.00, and the total says $140.00")
	form.Set("counted", "")
	form.Set("pin", "0000")
	ann.Post("/close", form).Wants(t, http.StatusUnprocessableEntity, "PIN")
	form.Set("pin", "4711")
	form.Set("n1", "x")
	ann.Post("/close", form).Wants(t, http.StatusUnprocessableEntity, "x is not a number of pieces")
	form.Set("n1", "")
	form.Set("out", "50")
	a := ann.Post("/close", form)
	if a.Wants(t, http.StatusSeeOther); a.Location != "/close/2026-11-19" {
		t.Errorf("sent to %s", a.Location)
	}
	ann.Get("/close/2026-11-19").Wants(t, http.StatusOK, "Signed by AK", "$150.00", "even", "Left for tomorrow", "Trap barrel is full", "2 × $20", "doors are shut")
	ann.Get("/close/2026-11-19/sheet").Wants(t, http.StatusOK, "Hollow Creek Custom Meats", "Signed by AK", "It should hold")
	ann.Get("/close").Wants(t, http.StatusOK, "Thu Nov 19 is closed", "$50.00 taken, drawer even")
	// Counted again, with a reason.
	again := url.Values{"counted": {"149"}, "out": {"50"}, "pin": {"4711"}}
	ann.Post("/close/2026-11-19/recount", again).Wants(t, http.StatusUnprocessableEntity, "Say why it was counted again")
	again.Set("why", "a dollar under the tray")
	ann.Post("/close/2026-11-19/recount", again).Wants(t, http.StatusSeeOther)
	ann.Get("/close/2026-11-19").Wants(t, http.StatusOK, "$1.00 short", "Counted more than once", "a dollar under the tray")
	ann.Get("/close/2026-11-18").Wants(t, http.StatusNotFound, "That day was not closed")
	ann.Get("/close/x").Wants(t, http.StatusNotFound)
}

// A shop with nothing in it can close its day, and the first page asks for
// yesterday's only where something was done.
func TestTodayAsksForYesterdaysClose(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/close").Wants(t, http.StatusOK, "Nothing is left open", "No receipt was written")
	number := s.BoxDeer(t, 1, 1)
	ann.Post("/animals/"+string(number)+"/money/deposit", url.Values{"amount": {"50"}, "way": {"check"}, "pin": {"4711"}}).Wants(t, http.StatusSeeOther)
	s.SetNow(dbtest.Noon.Add(20 * time.Hour))
	ann.Get("/").Wants(t, http.StatusOK, "Yesterday was not closed", "/close?day=2026-11-19")
	first := ann.Get("/close")
	first.Wants(t, http.StatusOK, "Thu Nov 19 was not closed", "Close Fri Nov 20", "the first close begins with its own day", "No receipt was written")
	if strings.Contains(first.Body, "covers both days") {
		t.Error("the first close is said to cover money that it leaves out")
	}
	ann.Get("/close?day=2026-11-19").Wants(t, http.StatusOK, "Close Thu Nov 19")
	ann.Post("/close", url.Values{"day": {"2026-11-19"}, "seen": {"0"}, "counted": {"0"}, "done": allDone, "pin": {"4711"}}).Wants(t, http.StatusSeeOther)
	if a := ann.Get("/"); a.Status != http.StatusOK || strings.Contains(a.Body, "Yesterday was not closed") {
		t.Errorf("it is closed now: %d", a.Status)
	}
	ann.Get("/close?day=2026-11-18").Wants(t, http.StatusOK, "is closed")
	ann.Post("/close", url.Values{"day": {"2026-11-22"}, "seen": {"0"}, "counted": {"0"}, "done": allDone, "pin": {"4711"}}).Wants(t, http.StatusConflict, "has not come yet")

	// A later close begins where the last one ended, so it does cover what was left open.
	s.SetNow(dbtest.Noon.Add(44 * time.Hour))
	ann.Post("/animals/"+string(number)+"/money/deposit", url.Values{"amount": {"30"}, "way": {"check"}, "pin": {"4711"}}).Wants(t, http.StatusSeeOther)
	s.SetNow(dbtest.Noon.Add(68 * time.Hour))
	ann.Get("/close").Wants(t, http.StatusOK, "Sat Nov 21 was not closed", "its close then covers both days", "$30.00")
}
