package pickup_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// From the list to the letter to the donation form; the owner's word is asked for
// each letter, and no page offers a sale.
func TestNobodyFetches(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 2)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/pickup/"+string(n)
	bob.Get("/pickup/unclaimed").Wants(t, http.StatusOK, "Letters are off", "Nobody was told yet", "Dale Orrin")
	for range 3 {
		if a := bob.Post(at+"/call", url.Values{"way": {"call"}, "outcome": {"busy"}}); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.300s", a.Status, a.Body)
		}
	}
	told := bob.Get("/pickup/unclaimed") // letters are off: a line says once that it waits
	if told.Wants(t, http.StatusOK, "Waits 2 days"); strings.Contains(told.Body, "Waits ·") {
		t.Error("it waits, and waits")
	}
	ann.Post("/office/fetching", url.Values{"second": {"7"}, "letter": {"5"}, "decide": {"60"}, "after_letter": {"10"}}).Wants(t, http.StatusUnprocessableEntity, "A letter comes after the second notice")
	if a := ann.Post("/office/fetching", url.Values{"on": {"yes"}, "second": {"7"}, "letter": {"30"}, "decide": {"60"}, "after_letter": {"10"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", a.Status, a.Body)
	}
	ann.Get("/office/fetching").Wants(t, http.StatusOK, `value="30"`)
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "a letter is due", "It will not be sold", "We have tried to reach you 3 times", "no address, ask for it")
	if a := bob.Post(at+"/letters", url.Values{"which": {"write"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", a.Status, a.Body)
	}
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "Letter waits for the owner of the shop")
	ann.Get("/").Wants(t, http.StatusOK, "Nobody fetches these: 1", "3 tries and 0 letters so far")
	bob.Post(at+"/letters/approve", url.Values{"pin": {"2222"}}).Wants(t, http.StatusForbidden)
	ann.Post(at+"/letters/approve", url.Values{"pin": {"0000"}}).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	if a := ann.Post(at+"/letters/approve", url.Values{"pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", a.Status, a.Body)
	}
	letters, err := s.Letters(t.Context(), n)
	if err != nil || len(letters) != 1 {
		t.Fatalf("%+v, %v", letters, err)
	}
	bob.Get(at+"/letters/"+letters[0].ID.String()).Wants(t, http.StatusOK, "sheet-letter", "Dale Orrin", "It will not be sold")
	bob.Post(at+"/letters", url.Values{"which": {"send"}}).Wants(t, http.StatusUnprocessableEntity, "Say how it went")
	bob.Post(at+"/letters", url.Values{"which": {"send"}, "how": {"certified"}})
	bob.Post(at+"/letters", url.Values{"which": {"back"}})
	bob.Get(at+"/letters").Wants(t, http.StatusOK, "came back")
	s.SetNow(dbtest.Noon.AddDate(0, 0, 61))
	page := ann.Get(at + "/letters")
	page.Wants(t, http.StatusOK, "Give it away", "is never sold")
	for _, word := range []string{"Sell", "sale price", "auction"} {
		if strings.Contains(page.Body, word) {
			t.Errorf("the page speaks of %q", word)
		}
	}
	for _, sql := range []string{`UPDATE shop SET home_state = 'VT'`, `UPDATE statutes SET state = 'VT', mark = 'GIVEN FREELY' WHERE key = 'wy-donation'`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	give := url.Values{"recipient": {"Mill Street Pantry"}, "pounds": {"41"}, "why": {"report sent"}, "signer": {"Rosa Lunt"}, "pin": {"4711"}}
	ann.Post(at+"/give-away", give).Wants(t, http.StatusUnprocessableEntity, "Each pack is labeled so: GIVEN FREELY", "Label them so and tick that")
	give.Set("labelled-wy-donation", "yes")
	give.Del("act")
	if a := ann.Post(at+"/give-away", give); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	ann.Get(at+"/donation").Wants(t, http.StatusOK, "Meat given away, not for sale", "41.0 lb", "Mill Street Pantry", "Rosa Lunt")
}

// Somebody the owner names on the phone is written down and then may collect.
func TestNamedByPhone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	bob, at := s.As(t, s.Bob), "/pickup/"+string(n)
	bob.Post("/animals/"+string(n)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}})
	bob.Post("/animals/"+string(n)+"/money/pay", url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"2222"}})
	carl := form(url.Values{"collector": {"Carl Orrin"}, "authority": {"named by owner"}, "strokes": {"M1 1 L5 5"}}, domain.BoxCode(n, 1))
	bob.Post(at, carl).Wants(t, http.StatusUnprocessableEntity, "The owner has not named them")
	bob.Post(at+"/named", url.Values{"named": {"Carl Orrin"}}).Wants(t, http.StatusUnprocessableEntity, "Say how the owner told you")
	if a := bob.Post(at+"/named", url.Values{"named": {"Carl Orrin"}, "named_how": {"call"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "the owner said so by phone, Thu Nov 19, 12:00 pm", "May collect")
	carl.Del("act")
	if a := bob.Post(at, carl); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, `d="M1 1 L5 5"`)
}
