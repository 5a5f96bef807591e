package dropoff_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// A morning at the bay (hard scenario 3, trade.md Annex E): the unpaired carcass is
// a question with a name and a clock, its tag leads to a person, and it comes in held.
func TestMorningAtTheBay(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.SetNow(dbtest.Noon.Add(-5*60*60*1e9 - 15*60*1e9)) // 6:45 am in the shop's zone
	b := s.As(t, s.Bob)
	tolliver := fast(1)
	tolliver.Set("name", "Wade Tolliver")
	tolliver.Set("licence", "L-7731")
	tolliver.Del("time")
	tolliver.Set("killed", "yesterday")
	if a := b.Post("/dropoff", tolliver); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	post := func(status int, form url.Values, says string) {
		t.Helper()
		if a := b.Post("/dropoff/night", form); a.Status != status || !strings.Contains(a.Body, says) {
			t.Errorf("%v: %d, lacks %q: %.600s", form, a.Status, says, a.Body)
		}
	}
	post(http.StatusUnprocessableEntity, url.Values{"which": {"count"}, "carcasses": {"some"}}, "two numbers")
	post(http.StatusSeeOther, url.Values{"which": {"count"}, "carcasses": {"2"}, "cards": {"1"}}, "")
	post(http.StatusUnprocessableEntity, url.Values{"which": {"card"}}, "Write what can be read on the card")
	post(http.StatusUnprocessableEntity, url.Values{"which": {"carcass"}}, "Say what kind of animal")
	post(http.StatusSeeOther, url.Values{"which": {"card"}, "number": {string(dbtest.Tag(5))}, "reads": {"Hale or Hall"}}, "")
	post(http.StatusSeeOther, url.Values{"which": {"carcass"}, "number": {string(dbtest.Tag(5))}, "species": {"whitetail"}, "deep": {"44"}}, "")
	post(http.StatusUnprocessableEntity, url.Values{"which": {"carcass"}, "number": {string(dbtest.Tag(5))}, "species": {"whitetail"}}, "written down already")
	post(http.StatusSeeOther, url.Values{"which": {"carcass"}, "species": {"whitetail"}, "tag": {"L-7731"}}, "")
	page := b.Get("/dropoff/night")
	page.Wants(t, http.StatusOK, "Counted Thu Nov 19, 6:45 am by BT: 2 carcasses, 1 card. Written down: 2 carcasses, 1 card.",
		"Hale or Hall, no phone that can be read", "44 °F deep in the ham", "no card, nobody", "license number of Wade Tolliver", "Call by 9:00 am", "Take it in, held")
	b.Get("/").Wants(t, http.StatusOK, "Found in the bay, whose is it: 1", "Carcass without a card")
	b.Get("/dropoff").Wants(t, http.StatusOK, "Found in the bay: 1 open")

	_, after, _ := strings.Cut(page.Body[strings.Index(page.Body, "nobody"):], "/dropoff?found=")
	found, _, _ := strings.Cut(after, `"`)
	b.Get("/dropoff?found="+found).Wants(t, http.StatusOK, `name="found" value="`+found+`"`, `value="L-7731"`)
	form := url.Values{"found": {found}, "number": {string(dbtest.Tag(6))}, "species": {"whitetail"}, "shape": {"whole"}, "killed": {"yesterday"}, "state": {"NY"}, "place": {"next"}, "other": {"-"}}
	if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther {
		t.Fatalf("taken in: %d %.2000s", a.Status, a.Body)
	}
	b.Get("/dropoff/"+string(dbtest.Tag(6))+"/hung").Wants(t, http.StatusOK, "Held: not certain whose it is")
	b.Post("/cutting/"+string(dbtest.Tag(6))+"/start", url.Values{}).Wants(t, http.StatusUnprocessableEntity)
	s.SetNow(dbtest.Noon)
	b.Get("/dropoff/night").Wants(t, http.StatusOK, "Call now: it was due at 9:00 am")
	post(http.StatusUnprocessableEntity, url.Values{"which": {"settle"}, "find": {found}}, "Write down who was reached")
	post(http.StatusSeeOther, url.Values{"which": {"settle"}, "find": {found}, "how": {"Tolliver comes at noon"}}, "")
	b.Get("/dropoff/night").Wants(t, http.StatusOK, "Tolliver comes at noon")
}

// A closed form cannot be chosen and is refused with its reason; another comes in.
func TestClosedForm(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Post("/dropoff/forms", url.Values{"shape": {"whole"}, "closed": {"yes"}}).Wants(t, http.StatusUnprocessableEntity, "Say in a few words why")
	if a := b.Post("/dropoff/forms", url.Values{"shape": {"whole"}, "closed": {"yes"}, "why": {"full until Monday"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	b.Get("/dropoff").Wants(t, http.StatusOK, "We take no whole animals: full until Monday", "Closed: full until Monday", "Coolers 0 % full")
	b.Post("/dropoff", fast(1)).Wants(t, http.StatusUnprocessableEntity, "We take no whole animals just now: full until Monday")
	quarters := fast(1)
	quarters.Set("shape", "quarters")
	if a := b.Post("/dropoff", quarters); a.Status != http.StatusSeeOther {
		t.Errorf("quarters: %d", a.Status)
	}
	b.Get("/dropoff/forms").Wants(t, http.StatusOK, "Closed: full until Monday", "Take them again")
	b.Post("/dropoff/forms", url.Values{"shape": {"whole"}, "closed": {"no"}})
	if a := b.Post("/dropoff", fast(2)); a.Status != http.StatusSeeOther {
		t.Errorf("opened again: %d", a.Status)
	}
}

func TestTurnedAway(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/dropoff/refused").Wants(t, http.StatusOK, "Nothing has been turned away yet", "No legal tag, or not checked in")
	b.Post("/dropoff/refused", url.Values{"finding": {"sick"}, "reason": {"staggered"}}).Wants(t, http.StatusUnprocessableEntity, "Write down whom you told", `value="staggered"`)
	b.Post("/dropoff/refused", url.Values{"finding": {"full"}, "reason": {"x"}, "deep": {"hot"}}).Wants(t, http.StatusUnprocessableEntity, "cannot be read")
	a := b.Post("/dropoff/refused", url.Values{"finding": {"warm-long"}, "reason": {"garage, a day"}, "deep": {"68"}, "species": {"whitetail"}})
	if a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	// The slip for whoever stands there is above the next form, once.
	just := b.Get(a.Location)
	just.Wants(t, http.StatusOK, "Written down</h2>", "garage, a day")
	if page := just.Body; strings.Index(page, "Print the slip") > strings.Index(page, "<form class=\"form\"") || strings.Count(page, "Print the slip") != 1 {
		t.Error("what was just turned away does not stand above the form, or stands twice")
	}
	b.Get("/dropoff/refused").Wants(t, http.StatusOK, "Warm too long after the kill", "garage, a day", "68 °F deep in the ham", "no name given", "Print the slip")
}

// Whoever is turned away takes it home in writing: when, what was seen, what they were
// told, by which rule and from where, and who said so (trade.md 1.6); no phone number
// stands on it. The rule is the row of the state, South Carolina's here.
func TestRefusalSlip(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE shop SET home_state = 'SC'`); err != nil {
		t.Fatal(err)
	}
	b := s.As(t, s.Bob)
	b.Get("/dropoff/refused").Wants(t, http.StatusOK, "By which rule of the state", `value="sc-proof"`)
	form := url.Values{"finding": {"no-tag"}, "reason": {"no tag on the leg"}, "species": {"whitetail"}, "name": {"Carl Orrin"}, "phone": {"607-555-0199"},
		"said": {"Check it in at the number on the door"}, "rule": {"wy-abandon"}}
	b.Post("/dropoff/refused", form).Wants(t, http.StatusUnprocessableEntity, "That rule is not in force here", "Carl Orrin")
	form.Set("rule", "sc-proof")
	if a := b.Post("/dropoff/refused", form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	list, err := s.RefusedAtDoor(t.Context(), 1)
	if err != nil || len(list) != 1 {
		t.Fatalf("%+v, %v", list, err)
	}
	slip := b.Get("/dropoff/refused/" + list[0].ID.String() + "/slip")
	slip.Wants(t, http.StatusOK, "sheet-4x6", "Not taken in", "Nov 19, 2026, 12:00 pm", "No legal tag, or not checked in", "no tag on the leg", "Carl Orrin",
		"You may bring it back once it has them", "Check it in at the number on the door", "Take nothing untagged", "South Carolina: South Carolina DNR summary (2021).",
		"Confirm with your state before relying on it", "BT")
	if strings.Contains(slip.Body, "0199") {
		t.Error("the phone number stands on the slip")
	}
	b.Get("/dropoff/refused/nothing/slip").Wants(t, http.StatusNotFound, "Nothing like that was turned away")
	b.Post("/dropoff/refused", url.Values{"finding": {"full"}, "reason": {"full"}, "rule": {"-"}})
	list, err = s.RefusedAtDoor(t.Context(), 2)
	if err != nil || len(list) != 2 {
		t.Fatalf("%+v, %v", list, err)
	}
	for _, r := range list {
		if r.Finding == "full" {
			b.Get("/dropoff/refused/"+r.ID.String()+"/slip").Wants(t, http.StatusOK, "own decision. Your state may have a rule", "or another shop")
		}
	}
}
