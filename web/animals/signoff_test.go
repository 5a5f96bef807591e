package animals_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// A long hang is wished for. The page says what is missing until the owner's line
// and the lead's sign-off are there, and whoever may not sign is told.
func TestLongHangOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := string(s.HangDeer(t, 1, 1))
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		UPDATE animals SET class = 'mature', wish = 'long-hang', killed_at = $2, received_at = $2::timestamptz + interval '2 hours', revision = 2,
		       protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature') WHERE number = $1`, n, dbtest.Noon.AddDate(0, 0, -15)); err != nil {
		t.Fatal(err)
	}
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	page := "/animals/" + n + "/signoff"
	bob.Get("/animals/"+n).Wants(t, http.StatusOK, "Still missing: the owner&#39;s signed line, the lead&#39;s sign-off", "usual last day counts, day 14", "signature of this week is due", page)
	body := bob.Get(page).Body
	if at := strings.Index(body, "Sign for this week"); at < 0 || at > strings.Index(body, "<summary>A longer hang") {
		t.Error("what is due does not come first, with the longer hang under a fold beneath")
	}
	bob.Get("/").Wants(t, http.StatusOK, "Past day 14, for the lead to sign: 1", page)
	bob.Get("/animals/"+n+"/cutsheet").Wants(t, http.StatusOK, "I want my animal hung longer than day 14")
	ann.Post(page+"/extend", url.Values{"days": {"21"}, "note": {"dry"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "The owner has not signed for it yet.")
	bob.Post(page+"/owner", url.Values{"days": {"40"}, "note": {"binder"}}).Wants(t, http.StatusUnprocessableEntity, "more than 14 and at most 28 days", "binder")
	bob.Post(page+"/owner", url.Values{"days": {""}, "note": {"binder"}}).Wants(t, http.StatusUnprocessableEntity, "Write the number of days")
	if a := bob.Post(page+"/owner", url.Values{"days": {"21"}, "note": {"cut sheet, binder"}}); a.Status != http.StatusSeeOther || a.Location != page {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "Still missing: the lead&#39;s sign-off", "cut sheet, binder")
	bob.Post(page+"/extend", url.Values{"days": {"21"}, "note": {"dry"}, "pin": {"2222"}}).Wants(t, http.StatusForbidden)
	ann.Post(page+"/extend", url.Values{"days": {"21"}, "note": {"dry"}, "pin": {"1111"}}).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	ann.Post(page+"/extend", url.Values{"days": {"21"}, "note": {"dry"}, "humidity": {"80"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Write both")
	if a := ann.Post(page+"/extend", url.Values{"days": {"21"}, "note": {"cold, dry, good cover"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "It may hang to day 21: the owner signed and the lead signed it off.", "Signed off for a longer hang", "cold, dry, good cover")
	ann.Get("/animals/"+n+"/cutsheet").Wants(t, http.StatusOK, "up to day 21: owner&#39;s line")

	week := url.Values{"note": {"dry, clean"}, "pin": {"4711"}}
	ann.Post(page+"/week", week).Wants(t, http.StatusUnprocessableEntity, "Touch and smell it first")
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellClean, Surface: round.SurfaceDry}}
	if err := s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), domain.ShopNumber(n), look); err != nil {
		t.Fatal(err)
	}
	if a := ann.Post(page+"/week", week); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	if a := ann.Post(page+"/end", url.Values{"note": {"room needed"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	s.SetNow(dbtest.Noon.Add(time.Minute))
	ann.Get(page).Wants(t, http.StatusOK, "Its last day, day 14, is over. To day 28", "Longer hang ended", "room needed", "Signed for the week")
}

// What is stopped is not to be signed for: it waits for a decision, once.
func TestStoppedIsNotSigned(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE animals SET killed_at = $2, received_at = $2::timestamptz + interval '2 hours', revision = 2 WHERE number = $1`,
		n, dbtest.Noon.AddDate(0, 0, -15)); err != nil {
		t.Fatal(err)
	}
	bob := s.As(t, s.Bob)
	bob.Get("/").Wants(t, http.StatusOK, "for the lead to sign: 1")
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceDry}}
	if err := s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), n, look); err != nil {
		t.Fatal(err)
	}
	page := bob.Get("/")
	page.Wants(t, http.StatusOK, "Stopped, the lead decides: 1")
	if strings.Contains(page.Body, "for the lead to sign") {
		t.Error("what is stopped is to be signed for as well")
	}
}
