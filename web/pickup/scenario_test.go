package pickup_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// goes posts a form that has to succeed.
func goes(t *testing.T, b *webtest.Browser, path string, form url.Values) {
	t.Helper()
	if a := b.Post(path, form); a.Status != http.StatusSeeOther {
		t.Fatalf("%s %v: %d %.900s", path, form, a.Status, a.Body)
	}
}

// Annex E 27: the brother comes, is not listed, $188 is owed and the owner does not
// answer: nothing is released and the call stands in the log. The owner's later yes by
// phone is recorded with its time; where the shop takes the receipt stub, that opens
// the door too, and where it does not, it does not.
func TestScenario27BrotherComes(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, second := s.BoxDeer(t, 1, 1), s.BoxDeer(t, 2, 1)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	s.Own(t, second, "June Loomis", "607-555-0177")
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	for _, x := range []domain.ShopNumber{n, second} {
		goes(t, bob, "/animals/"+string(x)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}})
	}
	goes(t, ann, "/animals/"+string(n)+"/money/charge", url.Values{"label": {"Cut in a hurry"}, "amount": {"38"}, "why": {"asked for on the phone"}, "kind": {"charge"}, "pin": {"4711"}})
	at, other := "/pickup/"+string(n), "/pickup/"+string(second)
	brother := func(authority string) url.Values {
		v := form(url.Values{"collector": {"Carl Orrin"}, "authority": {authority}}, domain.BoxCode(n, 1))
		v.Del("act")
		return v
	}
	stays := func(authority, says string) {
		t.Helper()
		bob.Post(at, brother(authority)).Wants(t, http.StatusUnprocessableEntity, says)
		if p, err := s.Pickup(t.Context(), n); err != nil || len(p.Handovers) != 0 {
			t.Errorf("%s: %+v, %v: something left the shop", authority, p.Handovers, err)
		}
	}
	bob.Get(at).Wants(t, http.StatusOK, "$188.00")
	stays("named by owner", "The owner has not named them")
	stays("owner", "not the owner&#39;s name")
	goes(t, bob, "/animals/"+string(n)+"/money/pay", url.Values{"amount": {"188"}, "way": {"cash"}, "pin": {"2222"}})
	stays("named by owner", "The owner has not named them")
	goes(t, bob, at+"/call", url.Values{"way": {"call"}, "outcome": {"no answer"}, "note": {"brother at the counter"}})
	bob.Get(at).Wants(t, http.StatusOK, "Called: no answer", "brother at the counter")

	ladder := url.Values{"second": {"7"}, "letter": {"30"}, "decide": {"60"}, "after_letter": {"10"}}
	goes(t, ann, "/office/fetching", ladder)
	stays("receipt stub", "for the stub alone")

	s.SetNow(dbtest.Noon.Add(40 * time.Minute))
	said := bob.Post(at+"/named", url.Values{"named": {"Carl Orrin"}, "named_how": {"call"}, "boxes": {domain.BoxCode(n, 1)}})
	if said.Status != http.StatusSeeOther {
		t.Fatalf("named: %d %.900s", said.Status, said.Body)
	}
	// He stands in the hand-over as whom the owner named, and the box is ticked still.
	bob.Get(said.Location).Wants(t, http.StatusOK, `value="Carl Orrin"`, `value="named by owner" checked`, `value="`+domain.BoxCode(n, 1)+`" checked`)
	bob.Get(at).Wants(t, http.StatusOK, "the owner said so by phone, Thu Nov 19, 12:40 pm")
	goes(t, bob, at, brother("named by owner"))
	bob.Get(at).Wants(t, http.StatusOK, "Nothing to hand over now", "Carl Orrin")

	goes(t, bob, "/animals/"+string(second)+"/money/pay", url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"2222"}})
	ladder.Set("stub", "yes")
	ladder.Del("act")
	goes(t, ann, "/office/fetching", ladder)
	goes(t, bob, other, form(url.Values{"collector": {"Carl Orrin"}, "authority": {"receipt stub"}}, domain.BoxCode(second, 1)))
}

// Annex E 28: Wyoming's rule, as its rows have it. The deer is stored 45 days; the
// notice is posted Dec 3 and comes back Dec 12. On Dec 13, ten days from the postmark,
// the report is ready with what the rule asks for; the picture of the returned letter
// is demanded; the donation form has its pounds; no page offers a sale. The shop's own
// days, which are shorter, count for nothing.
func TestScenario28NobodyCame(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	on := func(month time.Month, day int) { s.SetNow(time.Date(2026, month, day, 17, 0, 0, 0, time.UTC)) }
	n := s.BoxDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	s.Packed(t, n, "hind steaks", domain.Pounds(41))
	for _, sql := range []string{`UPDATE shop SET home_state = 'WY'`, `UPDATE packs SET box_id = (SELECT id FROM boxes)`,
		`UPDATE animals SET killed_at = '2026-10-18 17:00Z', received_at = '2026-10-19 17:00Z'`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/pickup/"+string(n)
	goes(t, ann, "/office/fetching", url.Values{"on": {"yes"}, "second": {"1"}, "letter": {"7"}, "decide": {"14"}, "after_letter": {"0"}})
	ann.Get("/office/fetching").Wants(t, http.StatusOK, "Wyoming: Not over 45 days", "Confirm with your state before relying on it")

	on(12, 2)
	for range 3 {
		goes(t, bob, at+"/call", url.Values{"way": {"call"}, "outcome": {"no answer"}})
	}
	bob.Post(at+"/letters", url.Values{"which": {"write"}}).Wants(t, http.StatusUnprocessableEntity, "too early for a letter", "your state&#39;s rule")
	on(12, 3)
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "A letter from Thu Dec 3 on.", "The rule of Wyoming: Not over 45 days", "Wyoming abandonment rules, second-hand summary", "Confirm with your state before relying on it")
	bob.Get(at+"/report").Wants(t, http.StatusConflict, "A letter comes first")
	goes(t, bob, at+"/letters", url.Values{"which": {"write"}})
	goes(t, ann, at+"/letters/approve", url.Values{"pin": {"4711"}})
	goes(t, bob, at+"/letters", url.Values{"which": {"send"}, "how": {"certified"}})
	bob.Get("/notices").Wants(t, http.StatusOK, "game and fish enforcement", "Sun Dec 13")

	on(12, 12)
	goes(t, bob, at+"/letters", url.Values{"which": {"back"}})
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "Now: the letter is out.", "Given away not before Sun Dec 13 is over", "Picture of the returned letter")
	on(12, 13)
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "Now: the state wants a report")
	ann.Get("/").Wants(t, http.StatusOK, "Nobody fetches these: 1")
	bob.Get(at+"/report").Wants(t, http.StatusOK, "To: game and fish enforcement", "Dale Orrin", "Dec 3, 2026, certified. It came back undelivered on Dec 12, 2026.",
		"1 box, 41.0 lb", "the notice with its postmark, the returned letter", "picture of the returned letter is missing")
	give := url.Values{"recipient": {"Mill Street Pantry"}, "pounds": {"41"}, "why": {"report made"}, "signer": {"Rosa Lunt"}, "pin": {"4711"}}
	ann.Post(at+"/give-away", give).Wants(t, http.StatusUnprocessableEntity, "Your state wants a report first")

	notices, err := s.OpenNotices(t.Context())
	if err != nil || len(notices) != 1 {
		t.Fatalf("%+v, %v", notices, err)
	}
	goes(t, bob, "/notices/"+notices[0].ID.String(), url.Values{"how": {"by phone and mail"}, "sent": {"2026-12-13T11:00"}})
	ann.Post(at+"/give-away", give).Wants(t, http.StatusUnprocessableEntity, "Take a picture of the letter that came back")
	var image28 bytes.Buffer
	if err := jpeg.Encode(&image28, image.NewGray(image.Rect(0, 0, 600, 400)), nil); err != nil {
		t.Fatal(err)
	}
	if a := bob.PostWith(at+"/letters", url.Values{"which": {"back"}}, "photo", image28.Bytes()); a.Status != http.StatusSeeOther {
		t.Fatalf("picture: %d %.600s", a.Status, a.Body)
	}
	if a := bob.PostWith(at+"/letters", url.Values{"which": {"back"}}, "photo", image28.Bytes()); a.Status != http.StatusUnprocessableEntity {
		t.Errorf("a second picture: %d", a.Status)
	}
	bob.Get(at+"/report").Wants(t, http.StatusOK, `src="/photos/`)
	ann.Post(at+"/give-away", give).Wants(t, http.StatusUnprocessableEntity, "too early to give it away")
	on(12, 14)
	pages := ann.Get(at + "/letters")
	pages.Wants(t, http.StatusOK, "Give it away", "is never sold", `value="41"`)
	bob.Get(at+"/donation").Wants(t, http.StatusOK, "Meat given away, not for sale", "41.0 lb")
	for _, word := range []string{"Sell it", "sale price", "auction", "Sold to"} {
		if strings.Contains(pages.Body, word) {
			t.Errorf("the page speaks of %q", word)
		}
	}
	give.Del("act")
	goes(t, ann, at+"/give-away", give)
	bob.Get(at+"/donation").Wants(t, http.StatusOK, "41.0 lb", "Mill Street Pantry", "Rosa Lunt")
}
