package pickup_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/web/webtest"
)

// aLink is an owner's private link, as the counter sees it.
var aLink = regexp.MustCompile(`/s/[A-Za-z0-9_-]{20,}`)

// From the switch in the office to the line on the bill and the receipt: off, nothing;
// on, nothing before the owner of the shop approves it for this animal; then the counter
// sees what it comes to and adds it before the meat leaves.
func TestStorageFromOfficeToReceipt(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	s.TellOwners(t, db.AlarmSettings{})
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/pickup/"+string(n)
	goes := func(b *webtest.Browser, path string, form url.Values) {
		t.Helper()
		b.Post(path, form).Wants(t, http.StatusSeeOther)
	}
	goes(bob, "/animals/"+string(n)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}})
	goes(bob, at+"/call", url.Values{"way": {"call"}, "outcome": {"left word"}})
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "Storage is off: it costs nothing to wait")

	fee := func(after, day, why, pin string) url.Values {
		return url.Values{"seen": {"0"}, "on": {"yes"}, "taxable": {"yes"}, "after": {after}, "day": {day}, "why": {why}, "pin": {pin}}
	}
	ann.Get("/office").Wants(t, http.StatusOK, "/office/storage")
	bob.Get("/office/storage").Wants(t, http.StatusForbidden)
	for _, tt := range []struct {
		form url.Values
		says string
	}{
		{fee("0", "2", "page 4", "4711"), "Storage runs after 1 to 365 days."},
		{fee("7", "200", "page 4", "4711"), "Storage costs $0.01 to $100.00 a day."},
		{fee("7", "2", " ", "4711"), "Say why"},
		{fee("7", "2", "page 4", "0000"), "That does not fit"},
	} {
		ann.Post("/office/storage", tt.form).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	goes(ann, "/office/storage", fee("7", "2", "page 4 of the invented state", "4711"))
	ann.Get("/office/storage").Wants(t, http.StatusOK, "$2.00 a day after 7 days, taxed", "page 4 of the invented state", "AK, Thu Nov 19", `value="2.00"`)
	ann.Post("/office/storage", fee("9", "2", "again", "4711")).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just changed storage", `name="seen" value="1"`)

	bob.Get(at+"/letters").Wants(t, http.StatusOK, "has not approved it", "Storage was off when it came in", "The owner of the shop approves it")
	bob.Post(at+"/storage", url.Values{"why": {"told by phone"}, "pin": {"2222"}}).Wants(t, http.StatusForbidden)
	ann.Post(at+"/storage", url.Values{"why": {""}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "how its owner was told")
	goes(ann, at+"/storage", url.Values{"why": {"told by phone"}, "pin": {"4711"}})
	ann.Get(at+"/letters").Wants(t, http.StatusOK, "Storage costs $2.00 a day from Fri Nov 27 on", "by AK: told by phone", "Stop storage")
	bob.Get("/pickup/unclaimed").Wants(t, http.StatusOK, "storage runs")
	bob.Get("/messages").Wants(t, http.StatusOK, "nobody has fetched it") // a landline: somebody calls
	own := aLink.FindString(bob.Get(at).Body)
	bob.Get(own).Wants(t, http.StatusOK, "From Fri Nov 27 on storage costs $2.00 a day.")

	s.SetNow(dbtest.Noon.AddDate(0, 0, 12)) // Dec 1: five days from Nov 27 on
	bob = s.As(t, s.Bob)
	bob.Get(at).Wants(t, http.StatusOK, "Not on the bill yet", "Storage, by the day: $10.00")
	bob.Get(own).Wants(t, http.StatusOK, "$160.00 is to be paid when you collect.")
	home := form(url.Values{"collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"license"}, "strokes": {"M1 1 L5 5"}}, domain.BoxCode(n, 1))
	bob.Post(at, home).Wants(t, http.StatusUnprocessableEntity, "Not on the bill yet: Storage, by the day")
	goes(bob, "/animals/"+string(n)+"/money/rest", url.Values{"back": {"pickup"}, "pin": {"2222"}})
	goes(bob, "/animals/"+string(n)+"/money/pay", url.Values{"amount": {"160"}, "way": {"cash"}, "pin": {"2222"}})
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusOK, "Storage, by the day", "first told Nov 19, 7 days free", "$10.00", "$160.00")
	home.Del("act")
	goes(bob, at, home)
	if page := bob.Get(own); page.Status != http.StatusOK || strings.Contains(page.Body, "storage costs") {
		t.Errorf("%d, and storage is spoken of though all is fetched", page.Status)
	}
}

// Whoever signs at drop-off is told what storage costs, once it is on.
func TestStorageIsSignedFor(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	before, after := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	if page := bob.Get("/dropoff/" + string(before) + "/hung"); page.Status != http.StatusOK || strings.Contains(page.Body, "storage may cost") {
		t.Errorf("%d, and storage is spoken of while it is off", page.Status)
	}
	s.SetNow(dbtest.Noon.AddDate(0, 0, -30))
	s.As(t, s.Ann).Post("/office/storage", url.Values{"seen": {"0"}, "on": {"yes"}, "after": {"14"}, "day": {"1.50"}, "why": {"page 4"}, "pin": {"4711"}}).Wants(t, http.StatusSeeOther)
	s.SetNow(dbtest.Noon)
	bob = s.As(t, s.Bob)
	bob.Get("/dropoff/"+string(after)+"/hung").Wants(t, http.StatusOK, "From 14 days after I was told, storage may cost $1.50 a day.")
	bob.Get("/animals/"+string(after)+"/slip").Wants(t, http.StatusOK, "From 14 days after the call, storage may cost $1.50 a day.")
}

// The page says that its owner was told at drop-off only where somebody signed for that
// very fee. The letter asks for what the counter asks for.
func TestStorageSaysWhoSigned(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ctx, now := t.Context(), dbtest.Noon
	for _, err := range []error{
		s.SetStorage(ctx, s.Act(s.Ann, now.AddDate(0, 0, -30)), 0, billing.StorageRule{On: true, AfterDays: 7, ADay: 200}, "page 4"),
		s.SetFetching(ctx, s.Act(s.Ann, now), db.Fetching{Ladder: animal.Ladder{On: true, SecondDays: 3, LetterDays: 14, DecideDays: 14, AfterLetterDays: 10}}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	n := s.BoxDeer(t, 1, 1)
	ann, at := s.As(t, s.Ann), "/pickup/"+string(n)
	ann.Get(at+"/letters").Wants(t, http.StatusOK, "It came in under $2.00 a day after 7 days, but nobody signed for that")
	if _, err := s.Pool().Exec(ctx, `INSERT INTO signed (id, animal_id, words, signer, at, by_staff)
		SELECT gen_random_uuid(), id, '{"From 7 days after I was told, storage may cost $2.00 a day."}', 'Dale Orrin', received_at, $2 FROM animals WHERE number = $1`, n, s.Bob.ID); err != nil {
		t.Fatal(err)
	}
	ann.Get(at+"/letters").Wants(t, http.StatusOK, "It came in under $2.00 a day after 7 days, which was signed for at drop-off.")
	for _, err := range []error{s.BillPart(ctx, s.Act(s.Bob, now), n), s.LogCall(ctx, s.Act(s.Bob, now), n, "call", "left word", ""), s.ApproveStorage(ctx, s.Act(s.Ann, now), n, "signed for")} {
		if err != nil {
			t.Fatal(err)
		}
	}
	s.SetNow(now.AddDate(0, 0, 15)) // by hand: days 8 to 15, $16.00, on a bill of $150.00
	s.As(t, s.Ann).Get(at+"/letters").Wants(t, http.StatusOK, "$166.00", "Write it, for the owner of the shop to approve")
}
