package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// Illinois accepts a permit or a written certification (520 ILCS 5/2.36): without one
// the animal comes in and owes it, a carcass tag is neither, and what was shown stands
// in the register. A row that asks only of kills in other states leaves ours alone.
func TestProofIsAskedByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "IL", "America/Chicago")
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	bob.Get("/dropoff").Wants(t, http.StatusOK, "Proof that was shown", "Written certification", "520 ILCS 5/2.36")
	home := buck(1)
	home.Set("state", "IL")
	bring(t, bob, home)
	owed := "/dropoff/owed/" + string(dbtest.Tag(1))
	bob.Get("/dropoff/"+string(dbtest.Tag(1))+"/hung").Wants(t, http.StatusOK, "Proof that was shown")
	bob.Post(owed, url.Values{"proof": {"carcass-tag"}, "why": {"seen"}})
	bob.Get(owed).Wants(t, http.StatusOK, "Proof that was shown", "Permit")
	owes := func(running int) bool {
		o, err := s.OwedBy(t.Context(), dbtest.Tag(running))
		if err != nil {
			t.Fatal(err)
		}
		return owes(o.Fields(), "proof")
	}
	if !owes(1) {
		t.Error("a carcass tag is no permit, and it is taken for one")
	}
	post(t, bob, owed, url.Values{"proof": {"certification"}, "why": {"paper seen at the counter"}})
	if owes(1) {
		t.Error("the certification was shown and proof is still owed")
	}
	bob.Get(owed).Wants(t, http.StatusOK, "<dd>certification</dd>", "paper seen at the counter")

	permit := buck(2)
	permit.Set("state", "IL")
	permit.Set("tag_kind", "permit")
	bring(t, bob, permit)
	if owes(2) {
		t.Error("the permit's number was read off it and proof is owed")
	}
	ticked := buck(3)
	ticked.Set("state", "IL")
	ticked.Set("proof", "mud")
	bob.Post("/dropoff", ticked).Wants(t, http.StatusUnprocessableEntity, "Tick what was shown from the list")

	rule := url.Values{"version": {"0"}, "state": {"IL"}, "topic": {"proof"}, "covers": {"game"}, "says": {"From another state: the seal."}, "cites": {"invented for the test"},
		"origin": {"outside"}, "accepts": {"seal"}, "pin": {"4711"}}
	wrong := url.Values{"topic": {"tag"}}
	for k, v := range rule {
		if k != "topic" {
			wrong[k] = v
		}
	}
	ann.Post("/office/rules/new", wrong).Wants(t, http.StatusUnprocessableEntity, "Only a rule about what is needed to take it in")
	post(t, ann, "/office/rules/new", rule)
	if owes(2) {
		t.Error("a rule about kills elsewhere asks of one at home")
	}
	outside := buck(4)
	outside.Set("proof", "certification")
	bring(t, bob, outside) // killed in NY
	if !owes(4) {
		t.Error("it came from another state, without its seal, and owes nothing")
	}
}

// Colorado wants a receipt as an animal comes in (8 CCR 1202-13 part 3): owed until it
// is said that it was given.
func TestReceiptAtDropOffByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "CO", "America/Denver")
	bob, at := s.As(t, s.Bob), "/dropoff/"+string(dbtest.Tag(1))
	bring(t, bob, buck(1))
	bob.Get(at+"/hung").Wants(t, http.StatusOK, "Printed and handed over", "8 CCR 1202-13 part 3", "Receipt given at drop-off")
	bob.Post("/dropoff/owed/"+string(dbtest.Tag(1)), url.Values{"receipt": {"soon"}, "why": {"busy"}}).Wants(t, http.StatusUnprocessableEntity, "once it was")
	post(t, bob, at+"/receipt", url.Values{})
	a := bob.Get(at + "/hung")
	a.Wants(t, http.StatusOK, "The receipt was given.")
	if strings.Contains(a.Body, "Receipt given at drop-off") {
		t.Error("it is still owed")
	}
	bob.Get("/dropoff/owed/"+string(dbtest.Tag(1))).Wants(t, http.StatusOK, "<dt>Receipt given at drop-off</dt><dd>given</dd>")
}

// South Dakota lets nothing leave without a receipt (ARSD 41:06:03:11): the hand-over
// waits for it, and the register has it.
func TestReceiptAtPickUpByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "SD", "America/Chicago")
	n := s.BoxDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "555-0142")
	bob, at := s.As(t, s.Bob), "/pickup/"+string(n)
	post(t, bob, "/animals/"+string(n)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}})
	post(t, bob, "/animals/"+string(n)+"/money/pay", url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"2222"}})
	bob.Get(at).Wants(t, http.StatusOK, "The receipt was printed and given", "ARSD 41:06:03:11", `href="/animals/`+string(n)+`/receipt"`)
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusOK, "$150.00")
	form := url.Values{"boxes": {domain.BoxCode(n, 1)}, "collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"driver's license"}, "tag": {"yes"}, "pin": {"2222"}}
	bob.Post(at, form).Wants(t, http.StatusUnprocessableEntity, "nothing leaves without a receipt", "ARSD 41:06:03:11")
	form.Set("receipt", "yes")
	form.Del("act")
	post(t, bob, at, form)
	lines, err := s.RegisterOf(t.Context(), n)
	if err != nil || len(lines) == 0 || lines[len(lines)-1].Facts["receipt_out"] != "given" {
		t.Errorf("%+v, %v: the register does not say that the receipt was given", lines, err)
	}
}

// New Jersey lets deer be held to June 1 after the season (N.J.S.A. 23:4-43): said on
// the record, at the counter and on the list of what nobody fetches; two weeks before,
// and after, the first page says whom to call.
func TestPossessionEndsByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "NJ", "America/New_York")
	n := s.BoxDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "555-0142")
	bob := s.As(t, s.Bob)
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "It may be held until Jun 1, 2027", "N.J.S.A. 23:4-43")
	bob.Get("/pickup/"+string(n)).Wants(t, http.StatusOK, "It may be held until Jun 1, 2027")
	near := "May not be held much longer"
	for _, tt := range []struct {
		at   time.Time
		says bool
	}{{time.Date(2027, 5, 10, 16, 0, 0, 0, time.UTC), false}, {time.Date(2027, 5, 20, 16, 0, 0, 0, time.UTC), true}} {
		s.SetNow(tt.at)
		bob = s.As(t, s.Bob)
		if a := bob.Get("/"); strings.Contains(a.Body, near) != tt.says {
			t.Errorf("%s: the first page names it: %v", tt.at, !tt.says)
		}
		if a := bob.Get("/pickup/unclaimed"); strings.Contains(a.Body, "May be held until Jun 1, 2027") != tt.says {
			t.Errorf("%s: the list names it: %v", tt.at, !tt.says)
		}
	}
	s.SetNow(time.Date(2027, 6, 2, 16, 0, 0, 0, time.UTC))
	s.As(t, s.Bob).Get("/pickup/"+string(n)+"/letters").Wants(t, http.StatusOK, "It could be held only until Jun 1, 2027", "officer for permission")
}

// What a row wants on donated meat is printed on each pack and on the form that goes
// with it, and the ledger shows the row (W.S. 35-7-1302 wants words of its own; those
// here are invented for the test).
func TestDonatedMeatBearsTheStatesWords(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	settle(t, s, "WY", "America/Denver")
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	rule := url.Values{"version": {"1"}, "state": {"WY"}, "state_name": {"Wyoming"}, "topic": {"donation"}, "covers": {"game"}, "says": {"Donated game is labelled so."}, "cites": {"W.S. 35-7-1302"},
		"text_date": {"2026"}, "mark": {"GAME MEAT, GIVEN FREELY"}, "pin": {"4711"}}
	post(t, ann, "/office/rules/wy-donation", rule)
	n := s.CutDeer(t, 2, animal.Stored)
	s.Packed(t, n, "stew", 20)
	post(t, ann, "/programmes/add", url.Values{"programme_name": {"Full Plate"}, "words": {"Donated game meat"}})
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO programme_deer (animal_id, programme_id, signer, at, by_staff) SELECT a.id, p.id, 'Dell Hargrove', $1, $2 FROM animals a, programmes p`, dbtest.Noon, s.Bob.ID); err != nil {
		t.Fatal(err)
	}
	packs, err := s.Packs(t.Context(), n)
	if err != nil || len(packs) != 1 {
		t.Fatalf("%+v, %v", packs, err)
	}
	bob.Get("/animals/"+string(n)+"/packs/"+packs[0].ID.String()+"/label").Wants(t, http.StatusOK, "Donated game meat", "GAME MEAT, GIVEN FREELY")
	bob.Get("/pickup/"+string(n)+"/donation").Wants(t, http.StatusOK, "GAME MEAT, GIVEN FREELY", "W.S. 35-7-1302")
	bob.Get("/programmes").Wants(t, http.StatusOK, "Printed on each pack: GAME MEAT, GIVEN FREELY", "W.S. 35-7-1302")
}

// Only the quarters that leave have to be marked; and a row that comes later wants its
// own words on them before they go (9 CFR 316.16; CRS 35-33-201 asks for the owner's
// name).
func TestOneShareLeavesMarked(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 2)
	s.Packed(t, n, "steaks", 20)
	s.Packed(t, n, "roasts", 20)
	for _, sql := range []string{`UPDATE animals SET species = 'hog', form = 'whole', money = 'settled'`,
		`UPDATE packs p SET box_id = b.id, portion = CASE b.n WHEN 1 THEN 'L' ELSE 'R' END FROM boxes b WHERE (b.n = 1) = (p.cut = 'steaks')`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	s.Own(t, n, "Dale Orrin", "555-0142")
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	takes := func(box int) url.Values {
		return url.Values{"boxes": {domain.BoxCode(n, box)}, "collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"driver's license"}, "tag": {"yes"}, "pin": {"2222"}}
	}
	post(t, bob, at+"/kill", killed("", "", [2]string{"L", "Dale Orrin"}, [2]string{"R", "Orrin Beck"}))
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "It has to bear: NOT FOR SALE", "9 CFR 316.16")
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"LF", "LH"}})
	bob.Post("/pickup/"+string(n), takes(2)).Wants(t, http.StatusUnprocessableEntity, "not stamped yet: RF, RH")
	post(t, bob, "/pickup/"+string(n), takes(1))

	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"RF", "RH"}})
	settle(t, s, "CO", "America/Denver")
	bob.Post("/pickup/"+string(n), takes(2)).Wants(t, http.StatusUnprocessableEntity, "NOT FOR SALE, and the owner&#39;s name", "CRS 35-33-201")
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "It does not bear all the words above")
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"RF", "RH"}})
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE statutes SET version = version + 1, mark = 'NOT FOR SALE, and the lot' WHERE key = 'co-marks' AND until IS NULL`); err != nil {
		t.Fatal(err)
	}
	bob.Post("/pickup/"+string(n), takes(2)).Wants(t, http.StatusUnprocessableEntity, "NOT FOR SALE, and the lot")
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"RF", "RH"}})
	post(t, bob, "/pickup/"+string(n), takes(2))
}

// Where the tag has to be (Annex D): South Carolina's stays on until processing starts,
// Texas's stays as long as any part does, Washington's goes back with the meat.
func TestTagStaysByTheRule(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	settle(t, s, "SC", "America/New_York")
	bring(t, bob, buck(1))
	tags, off := "/animals/"+string(dbtest.Tag(1))+"/tags", url.Values{"tag": {"T-" + string(dbtest.Tag(1))}, "to": {"on-card"}}
	bob.Get(tags).Wants(t, http.StatusOK, "The tag may come off once processing starts")
	bob.Post(tags, off).Wants(t, http.StatusUnprocessableEntity, "By the rule of SC the tag stays on until it is cut or quartered", "South Carolina DNR summary")
	bob.Post(tags, url.Values{"tag": off["tag"], "to": {"returned"}}).Wants(t, http.StatusUnprocessableEntity, "By the rule of SC the tag stays on")
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'split'`); err != nil {
		t.Fatal(err)
	}
	off.Del("act")
	post(t, bob, tags, off)

	n := s.BoxDeer(t, 2, 2)
	s.Own(t, n, "Dale Orrin", "555-0142")
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) SELECT gen_random_uuid(), id, 'carcass-tag', 'T-9', 'TX', 'on-card', $1, $2 FROM animals WHERE number = $3`, dbtest.Noon, s.Bob.ID, n); err != nil {
		t.Fatal(err)
	}
	post(t, bob, "/animals/"+string(n)+"/money/bill", url.Values{"later": {"yes"}, "pin": {"2222"}})
	post(t, bob, "/animals/"+string(n)+"/money/pay", url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"2222"}})
	takes := func(box int, tag string) url.Values {
		return url.Values{"boxes": {domain.BoxCode(n, box)}, "collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"driver's license"}, "tag": {tag}, "pin": {"2222"}}
	}
	settle(t, s, "TX", "America/Chicago")
	bob.Post("/pickup/"+string(n), takes(1, "yes")).Wants(t, http.StatusUnprocessableEntity, "the tag stays here as long as any part of the animal does", "31 TAC 65.10")
	post(t, bob, "/pickup/"+string(n), takes(1, ""))
	back := url.Values{"tag": {"T-9"}, "to": {"returned"}}
	bob.Post("/animals/"+string(n)+"/tags", back).Wants(t, http.StatusUnprocessableEntity, "the tag stays here as long as any part of the animal does")
	settle(t, s, "WA", "America/Los_Angeles")
	bob.Post("/pickup/"+string(n), takes(2, "")).Wants(t, http.StatusUnprocessableEntity, "the tag goes with the meat", "WAC 220-413-020")
	post(t, bob, "/pickup/"+string(n), takes(2, "yes"))

	last := s.BoxDeer(t, 3, 1) // its sausage was fetched since: nothing of it is here
	settle(t, s, "TX", "America/Chicago")
	for _, sql := range []string{`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) SELECT gen_random_uuid(), id, 'carcass-tag', 'T-10', 'TX', 'on-card', received_at, received_by FROM animals WHERE number = $1`,
		`UPDATE animals SET physical = 'part-released' WHERE number = $1`} {
		if _, err := s.Pool().Exec(t.Context(), sql, last); err != nil {
			t.Fatal(err)
		}
	}
	back = url.Values{"tag": {"T-10"}, "to": {"returned"}}
	bob.Post("/animals/"+string(last)+"/tags", back).Wants(t, http.StatusUnprocessableEntity, "as long as any part")
	if _, err := s.Pool().Exec(t.Context(), `UPDATE boxes SET released_at = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, last, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	back.Del("act")
	post(t, bob, "/animals/"+string(last)+"/tags", back)
}
