package law_test

import (
	"html"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/register"
	"coldrail/web/webtest"
)

// buck is the fast drop-off of a whole buck.
func buck(running int) url.Values {
	return url.Values{"number": {string(dbtest.Tag(running))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-" + string(dbtest.Tag(running))},
		"state": {"NY"}, "species": {"whitetail"}, "other": {"-"}, "shape": {"whole"}, "sex": {"male"}, "points": {"6"}, "killed": {"today"}, "time": {"09:00"},
		"deep": {"58"}, "kept": {"hung"}, "place": {"next"}, "tag_kind": {"carcass-tag"}, "address": {"12 Alder Lane"}}
}

func bring(t *testing.T, b *webtest.Browser, form url.Values) {
	t.Helper()
	if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther {
		t.Fatalf("drop-off: %d %.1500s", a.Status, a.Body)
	}
}

// settle changes the shop's state, zone and warden.
func settle(t *testing.T, s *webtest.Site, state, zone string) {
	t.Helper()
	shop, err := s.Shop.Shop(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	shop.HomeState, shop.Zone, shop.WardenPhone = state, zone, "555-0190"
	if err := s.SaveShop(t.Context(), shop); err != nil {
		t.Fatal(err)
	}
}

// Annex E 4: the tag says antlerless, the animal has six points.
func TestScenario4TagDoesNotFit(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "NY", "America/New_York")
	bob, form := s.As(t, s.Bob), buck(1)
	form.Set("tag_differs", "tag says antlerless, it has 6 points")
	bring(t, bob, form)
	bob.Get("/animals/"+string(dbtest.Tag(1))+"/holds").Wants(t, http.StatusOK, "tag or papers in question", "antlerless", "not cut", "555-0190")
	bob.Get("/register/now").Wants(t, http.StatusOK, "NOT MATCHED", string(dbtest.Tag(1)))
	order := url.Values{"source": {"counter"}, "added_meat": {"none"}, "own_meat": {"yes"}, "after": {"0"}, "fall_back": {"burger"},
		"part": {"trim"}, "treatment": {"burger"}, "thickness": {""}, "size": {"1 lb"}, "per_pack": {""}, "amount": {"rest"}}
	if a := bob.Post("/animals/"+string(dbtest.Tag(1))+"/order", order); a.Status != http.StatusSeeOther {
		t.Fatalf("order: %d %.900s", a.Status, a.Body)
	}
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'hanging', hanging_kg = 40`); err != nil { // skinned meanwhile
		t.Fatal(err)
	}
	bob.Post("/cutting/"+string(dbtest.Tag(1))+"/start", url.Values{"tag": {string(dbtest.Tag(1))}, "version": {"1"}}).
		Wants(t, http.StatusUnprocessableEntity, "cannot be cut now", "Held: tag or papers in question")
}

// Annex E 7: a head and spine from another state, taken in on Saturday at 5 pm, is
// to be told by Monday 5 pm, with the hunter's name and address; the notice stays
// until somebody says how and when.
func TestScenario7HeadFromOutOfState(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "KY", "America/Kentucky/Louisville")
	loc, err := time.LoadLocation("America/Kentucky/Louisville")
	if err != nil {
		t.Fatal(err)
	}
	s.SetNow(time.Date(2026, 11, 21, 17, 0, 0, 0, loc))
	bob := s.As(t, s.Bob)
	home := buck(1)
	home.Set("state", "KY")
	bring(t, bob, home)
	bob.Get("/notices").Wants(t, http.StatusOK, "Nothing has to be told just now.")
	away := buck(2)
	away.Set("state", "OH")
	bring(t, bob, away)
	bob.Get("/notices").Wants(t, http.StatusOK, "Due Mon Nov 23, 5:00 pm", "Dell Hargrove, 12 Alder Lane", "hunter&#39;s name and address", "301 KAR 2:095")
	first := func() bool { // on Today, before the work that waits longest
		page := bob.Get("/")
		page.Wants(t, http.StatusOK, "Notices to send", "To skin and weigh")
		return strings.Index(page.Body, "Notices to send") < strings.Index(page.Body, "To skin and weigh")
	}
	if first() {
		t.Error("a notice that has two days stands before the meat")
	}
	s.SetNow(time.Date(2026, 11, 22, 18, 0, 0, 0, loc))
	if !first() {
		t.Error("a notice that is due within a day stands beneath the work of the day")
	}
	s.SetNow(time.Date(2026, 11, 21, 17, 0, 0, 0, loc))
	open, err := s.OpenNotices(t.Context())
	if err != nil || len(open) != 1 {
		t.Fatalf("%d notices, %v", len(open), err)
	}
	at := "/notices/" + open[0].ID.String()
	bob.Post(at, url.Values{"how": {""}, "sent": {"2026-11-21T16:30"}}).Wants(t, http.StatusUnprocessableEntity, "Say how it was told")
	bob.Post(at, url.Values{"how": {"by phone"}, "sent": {""}}).Wants(t, http.StatusUnprocessableEntity, "Say when it was told", "by phone")
	if a := bob.Post(at, url.Values{"how": {"phone, Officer Lane, ref 88"}, "sent": {"2026-11-21T16:55"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	bob.Get("/notices").Wants(t, http.StatusOK, "Nothing has to be told just now.", "Officer Lane, ref 88")
	bob.Post(at, url.Values{"how": {"again"}, "sent": {"2026-11-21T16:55"}}).Wants(t, http.StatusUnprocessableEntity, "has told it already")

	// Ticked off by a slip: it stands open again with its deadline, and what was written stays.
	slip := url.Values{"notice": {open[0].ID.String()}, "why": {""}}
	bob.Post("/notices/again", slip).Wants(t, http.StatusUnprocessableEntity, "Say why it was not told after all")
	slip.Set("why", "the line was engaged")
	post(t, bob, "/notices/again", slip)
	bob.Get("/notices").Wants(t, http.StatusOK, "Due Mon Nov 23, 5:00 pm", "Officer Lane, ref 88", "Not told after all", "the line was engaged")
	slip.Del("act") // another tap, not the same one sent twice
	bob.Post("/notices/again", slip).Wants(t, http.StatusUnprocessableEntity, "It is open already")
}

// Annex E 29: every deer in the house with its tags and who brought it, in the
// order of a walk, on a page the tablet keeps.
func TestScenario29TheWardenAsks(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, form := s.As(t, s.Bob), buck(1)
	form.Set("deliverer", "Wade Tolliver")
	bring(t, bob, form)
	second := buck(2)
	second.Del("tag")
	bring(t, bob, second)
	bob.Get("/register/now").Wants(t, http.StatusOK, "2 animals", "1 not joined to a tag", "Main cooler R1-1", "T-"+string(dbtest.Tag(1))+" NY", "Wade Tolliver", "none read")
	bob.Post("/round/shift", url.Values{}).Wants(t, http.StatusOK, "/register/now")

	// What is opened while the visit lasts is written down by the pages themselves.
	post(t, bob, "/visits", url.Values{"who": {"Officer Lane"}, "agency": {"DEC"}, "asked": {"every deer in, and who brought it"}})
	if a := bob.Get("/visits"); strings.Contains(a.Body, "Opened") {
		t.Error("what was opened before the visit stands in it")
	}
	bob.Get("/register/now")
	bob.Get("/register/now") // looked at, then printed
	ann := s.As(t, s.Ann)
	ann.Get("/office/register/print?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusOK, "Wade Tolliver")
	a := bob.Get("/visits")
	a.Wants(t, http.StatusOK, "Opened on the screen: everything in the house (animals: 2)", ", BT", "Opened: the register from Nov 1, 2026 to Nov 30, 2026 (lines: 2)", ", AK")
	if n := strings.Count(a.Body, "everything in the house (animals: 2)"); n != 1 {
		t.Errorf("the one sheet stands %d times", n)
	}
	visits, err := s.Visits(t.Context())
	if err != nil || len(visits) != 1 {
		t.Fatalf("%d visits, %v", len(visits), err)
	}
	// What a tablet showed without the network is written in by hand; the page says so.
	bob.Get("/visits").Wants(t, http.StatusOK, "A sheet that a tablet showed without the network is not: write it in here")
	byHand := url.Values{"shown": {"everything in the house, on the tablet without the network, 10:40"}}
	post(t, bob, "/visits/"+visits[0].ID.String()+"/shown", byHand)
	bob.Get("/visits").Wants(t, http.StatusOK, "on the tablet without the network, 10:40")
	post(t, bob, "/visits/"+visits[0].ID.String()+"/end", url.Values{"findings": {"one deer without its tag"}})
	s.SetNow(s.Now().Add(time.Hour))
	bob.Get("/register/now")
	if after, err := s.Visits(t.Context()); err != nil || len(after[0].Shown) != 3 {
		t.Errorf("after the visit %d things are shown, %v", len(after[0].Shown), err)
	}
}

// trade.md 2.3: the tag goes from carcass to card with time and initials; a lost one
// needs a statement and the call to the warden, and holds the animal.
func TestTagsAreFollowed(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	bring(t, bob, buck(1))
	at, tag := "/animals/"+string(dbtest.Tag(1))+"/tags", "T-"+string(dbtest.Tag(1))
	if a := bob.Post(at, url.Values{"tag": {tag}, "to": {"on-card"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "On the card or in its envelope, from: On the carcass", "BT")
	bob.Post(at, url.Values{"tag": {tag}, "to": {"lost"}, "warden": {"Lane, 4 pm"}}).Wants(t, http.StatusUnprocessableEntity, "Write down what happened")
	bob.Post(at, url.Values{"tag": {tag}, "to": {"lost"}, "note": {"not in its envelope"}}).Wants(t, http.StatusUnprocessableEntity, "Call the warden", "not in its envelope")
	bob.Post(at, url.Values{"tag": {tag}, "to": {"lost"}, "note": {"not in its envelope"}, "warden": {"Lane, 4 pm"}}).Wants(t, http.StatusUnprocessableEntity, "Write the name of whoever signs.")
	if a := bob.Post(at, url.Values{"tag": {tag}, "to": {"lost"}, "note": {"not in its envelope"}, "warden": {"Lane, 4 pm"}, "signer": {"Bob Tarrant"}, "strokes": {"M10 10 L90 40"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	bob.Get("/animals/"+string(dbtest.Tag(1))+"/holds").Wants(t, http.StatusOK, "the tag is lost: not in its envelope")
	bob.Get(at).Wants(t, http.StatusOK, "Statement about tag "+tag, "Bob Tarrant", "M10 10 L90 40")
}

// A result that came back detected raises the notices of the rules, and what it
// reached is one page.
func TestPositiveRaisesNotices(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "MI", "America/Detroit")
	ann, number := s.As(t, s.Ann), s.HangDeer(t, 1, 1)
	hold := url.Values{"kind": {"positive"}, "why": {"letter of the laboratory"}, "pin": {"4711"}}
	if a := ann.Post("/animals/"+string(number)+"/holds", hold); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	// Thursday and two business days: Monday.
	ann.Get("/notices").Wants(t, http.StatusOK, "Tell the wildlife agency", "Due Mon Nov 23, 11:59 pm", "Tell each owner it may have reached")
	ann.Get("/animals/"+string(number)+"/reached").Wants(t, http.StatusOK, "only its own pieces and packs")
}

// The owner changes a rule without a programmer; its history stays.
func TestRulesOnThePage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/office/rules").Wants(t, http.StatusOK, "What reaches this shop: NY", "Not checked here yet: ", "Not checked here.", "Confirm with your state")
	ann.Get("/office/rules?state=WI").Wants(t, http.StatusOK, "72 hours, from the kill", "Wisconsin DNR")
	rule := url.Values{"version": {"0"}, "state": {"ny"}, "topic": {"register"}, "covers": {"game"}, "says": {"The unit of kill."}, "cites": {"letter of the region"},
		"text_date": {"2026"}, "checked_by": {"AK, Officer Lane"}, "checked_on": {"2026-11-02"}, "fields": {"unit"}, "pin": {"4711"}}
	bad := url.Values{}
	for k, v := range rule {
		bad[k] = v
	}
	bad.Set("cites", "")
	ann.Post("/office/rules/new", bad).Wants(t, http.StatusUnprocessableEntity, "Say where the rule stands", "The unit of kill.")
	for range 2 { // sent twice it is one rule
		if a := ann.Post("/office/rules/new", rule); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.800s", a.Status, a.Body)
		}
	}
	address := regexp.MustCompile(`/office/rules/ny-register-[0-9a-f]{6}`).FindString(ann.Get("/office/rules").Body)
	ann.Get("/office/rules").Wants(t, http.StatusOK, "The unit of kill.", "Checked by AK, Officer Lane, 2026-11-02")
	bring(t, s.As(t, s.Bob), buck(1))
	ann.Get("/dropoff/owed/"+string(dbtest.Tag(1))).Wants(t, http.StatusOK, "Unit or zone")
	rule.Set("version", "1")
	rule.Set("end", "yes")
	rule.Del("act") // another act than the one above
	if a := ann.Post(address, rule); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	ann.Get(address).Wants(t, http.StatusOK, "Version 1", "AK, ")
	if owing, err := s.OwedBy(t.Context(), dbtest.Tag(1)); err != nil || owes(owing.Fields(), "unit") {
		t.Errorf("the rule has ended and the unit is still owed, %v", err)
	}
}

func owes(fields []register.Field, name string) bool {
	return slices.ContainsFunc(fields, func(f register.Field) bool { return f.Name == name })
}

// Annex E 6: a doe killed in a zone county 60 hours ago, the state's limit 72 hours
// after the kill: 12 hours are left, by which rule and of which date; on yes the time
// of the kill is on record; at 73 hours the same question says no and report.
func TestScenario6HoursOnTheRoad(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "WI", "America/Chicago")
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	rule := url.Values{"rule": {"wi-72h"}, "version": {"2"}, "state": {"WI"}, "topic": {"transport"}, "covers": {"game"}, "shape": {"whole"}, "starts": {"kill"}, "count": {"72"}, "unit": {"hours"},
		"places": {"Alder, Birch"}, "says": {"Whole, within 72 hours of harvest."}, "cites": {"Wisconsin DNR, carcass movement page"}, "text_date": {"2026-08-01"},
		"checked_by": {"AK"}, "checked_on": {"2026-11-02"}, "pin": {"4711"}}
	if a := ann.Post("/office/rules/wi-72h", rule); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.800s", a.Status, a.Body)
	}
	loc, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	kill := time.Date(2026, 11, 16, 6, 30, 0, 0, loc)
	s.SetNow(kill.Add(60 * time.Hour))
	ask := "/dropoff/hours?species=whitetail&shape=whole-hide-on&state=WI&county=Alder&date=2026-11-16&time=06:30"
	bob.Get("/dropoff").Wants(t, http.StatusOK, "/dropoff/hours")
	answer := bob.Get(ask)
	answer.Wants(t, http.StatusOK, "12 h 0 min left, until Thu Nov 19, 6:30 am", "Wisconsin DNR, carcass movement page (2026-08-01)", "Checked by AK, 2026-11-02", "Yes, take it in")
	yes := regexp.MustCompile(`href="(/dropoff\?[^"]*)"`).FindStringSubmatch(answer.Body)
	if yes == nil {
		t.Fatal("no way to say yes")
	}
	form := bob.Get(html.UnescapeString(yes[1]))
	form.Wants(t, http.StatusOK, `value="2026-11-16"`, `value="06:30"`, `value="Alder"`)
	doe := buck(1)
	for field, value := range map[string]string{"shape": "whole-hide-on", "sex": "female", "points": "", "state": "WI", "county": "Alder", "killed": "other", "date": "2026-11-16", "time": "06:30", "deep": "36"} {
		doe.Set(field, value)
	}
	bring(t, bob, doe)
	a, err := s.Animal(t.Context(), dbtest.Tag(1))
	if err != nil || !a.KilledAt.Equal(kill) || a.KilledDayOnly {
		t.Errorf("killed %v on record, want %v, %v", a.KilledAt, kill, err)
	}
	bob.Get("/animals/"+string(dbtest.Tag(1))).Wants(t, http.StatusOK, "12 h 0 min left by rule wi-72h")

	s.SetNow(kill.Add(73 * time.Hour))
	bob.Get(ask).Wants(t, http.StatusOK, "No: do not take it in. Report it.", "Over since Thu Nov 19, 6:30 am, 1 hour ago", "555-0190", "/dropoff/refused?finding=out-of-time")
	bob.Get(strings.Replace(ask, "county=Alder", "county=Cedar", 1)).Wants(t, http.StatusOK, "No rule written down here counts hours for it.")
	bob.Get(strings.Replace(ask, "county=Alder", "county=", 1)).Wants(t, http.StatusOK, "Ask for the county")
	bob.Get(strings.Replace(ask, "&time=06:30", "", 1)).Wants(t, http.StatusOK, "Ask for the hour")
	bob.Get(strings.Replace(ask, "11-16", "11-26", 1)).Wants(t, http.StatusUnprocessableEntity, "It cannot have been killed in the future")
	late := maps.Clone(doe)
	late.Del("act")
	late.Set("number", string(dbtest.Tag(2)))
	late.Set("tag", "T-2")
	late.Set("shape", "whole")
	bob.Post("/dropoff", late).Wants(t, http.StatusUnprocessableEntity, "No: by the rule of WI its hours were over Thu Nov 19, 6:30 am", "whom of the agency you told")
	late.Set("road_told", "Officer Lane, 7:40 am: hold it apart")
	bring(t, bob, late)
	bob.Get("/animals/"+string(dbtest.Tag(2))+"/holds").Wants(t, http.StatusOK, "past its hours on the road by rule wi-72h; told: Officer Lane", "not cut")
}

// trade.md 2.5: a positive in a pool is one task for each owner it may have reached,
// with a deadline, closed by how, when and what that owner wants.
func TestEachOwnerIsToldAlone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "MI", "America/Detroit")
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	first, second := s.BoxDeer(t, 1, 1), s.BoxDeer(t, 2, 1)
	s.Own(t, first, "Dell Hargrove", "555-0142")
	s.Own(t, second, "Marla Finch", "555-0143")
	for _, n := range []domain.ShopNumber{first, second} {
		s.Packed(t, n, "steaks", 8)
		if _, err := s.Pool().Exec(t.Context(), `UPDATE orders SET own_meat_only = false, added_meat = 'pork' WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n); err != nil {
			t.Fatal(err)
		}
	}
	post := func(b *webtest.Browser, path string, form url.Values) {
		t.Helper()
		if a := b.Post(path, form); a.Status != http.StatusSeeOther {
			t.Fatalf("%s: %d %.900s", path, a.Status, a.Body)
		}
	}
	post(bob, "/batches/new", url.Values{"product": {"summer-sausage"}, "flavour": {"garlic"}, "kind": {"pooled"}, "pork": {"yes"}, "beef": {"no"}})
	post(bob, "/batches/1/add", url.Values{"animal": {first.Digits()}, "weight": {"20"}})
	post(bob, "/batches/1/add", url.Values{"animal": {second.Digits()}, "weight": {"30"}})
	post(ann, "/animals/"+string(first)+"/holds", url.Values{"kind": {"positive"}, "why": {"letter of the laboratory"}, "pin": {"4711"}})
	ann.Get("/animals/"+string(first)+"/reached").Wants(t, http.StatusOK, "Batch B-1", "Marla Finch", "Dell Hargrove", "steaks")
	page := ann.Get("/notices")
	page.Wants(t, http.StatusOK, "Tell Dell Hargrove", "Tell Marla Finch", "555-0143", "Tell the wildlife agency", "Due Fri Nov 20, 12:00 pm", "What the owner wants")
	open, err := s.OpenNotices(t.Context())
	if err != nil || len(open) != 3 {
		t.Fatalf("%d notices, want the agency and two owners, %v", len(open), err)
	}
	for _, n := range open {
		at, told := "/notices/"+n.ID.String(), url.Values{"how": {"by phone"}, "sent": {"2026-11-19T11:30"}}
		if n.Owner != "" {
			ann.Post(at, maps.Clone(told)).Wants(t, http.StatusUnprocessableEntity, "Say what the owner wants")
			told.Set("answer", "discard")
			told.Del("act")
		}
		post(ann, at, told)
	}
	ann.Get("/notices").Wants(t, http.StatusOK, "Nothing has to be told just now.", "To Marla Finch", "by phone. Answer: Discard it")
}
