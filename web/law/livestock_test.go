package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// cow is a cow in halves of halves that a farmer brought, hanging and weighed.
func cow(t *testing.T, s *webtest.Site) domain.ShopNumber {
	t.Helper()
	n := s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET species = 'beef', class = 'mature', hanging_kg = 300`); err != nil {
		t.Fatal(err)
	}
	farmer := s.Own(t, n, "Hollis Rudd", "555-0177")
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $2, 'deliverer', $3 FROM animals WHERE number = $1`, n, farmer, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	return n
}

// portionOrder is all an owner of a portion is asked; extra are parts beyond.
func portionOrder(portion, whom, after, loin string, extra ...[3]string) url.Values {
	v := url.Values{"source": {"counter"}, "portion": {portion}, "for_whom": {whom}, "after": {after}, "added_meat": {"none"}, "own_meat": {"yes"}, "fall_back": {"less ground"}}
	for _, row := range append([][3]string{{"chuck", "roasts", ""}, {"rib", "steaks", "1"}, {"short-loin", loin, "1"}, {"sirloin", "steaks", "3/4"},
		{"round", "cubed", ""}, {"brisket", "whole", ""}, {"trim", "grind", ""}}, extra...) {
		v.Add("part", row[0])
		v.Add("treatment", row[1])
		v.Add("thickness", row[2])
	}
	return v
}

// killed is a kill entry for the portions given.
func killed(thirty, by string, shares ...[2]string) url.Values {
	v := url.Values{"thirty_months": {thirty}, "known_by": {by}, "said_by": {"Hollis Rudd"}, "household": {"yes"}}
	for i, sh := range shares {
		n := string(rune('1' + i))
		v.Set("portion"+n, sh[0])
		v.Set("owner"+n, sh[1])
		v.Set("phone"+n, "555-018"+n)
		v.Set("sold"+n, "2026-10-01")
		v.Set("evidence"+n, "bill of sale")
	}
	return v
}

// Annex E 21: of one half in mixed quarters one owner wants T-bones, the other strip
// and fillet. Both orders stand, the conflict is named, farmer and both owners are
// listed, and it is not ready to cut before they agree.
func TestScenario21ShareMatesDisagree(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	quarters := [][2]string{{"L1", "Marla Finch"}, {"L2", "Orrin Beck"}, {"R", "Lena Prather"}}
	sold := killed("no", "papers", quarters...)
	sold.Set("sold2", "2026-11-30")
	bob.Post(at+"/kill", sold).Wants(t, http.StatusUnprocessableEntity, "was sold after the kill", "Orrin Beck", "ask your inspector")
	bob.Post(at+"/kill", killed("no", "papers", quarters[:2]...)).Wants(t, http.StatusUnprocessableEntity, "Nobody is written down for the right half")
	own := killed("no", "papers", quarters...)
	own.Del("household")
	bob.Post(at+"/kill", own).Wants(t, http.StatusUnprocessableEntity, "belongs under inspection")
	post(t, bob, at+"/kill", killed("no", "papers", quarters...))

	post(t, bob, at+"/order", portionOrder("L1", "Marla Finch", "0", "t-bones"))
	post(t, bob, at+"/order", portionOrder("R", "Lena Prather", "1", "t-bones"))
	second := portionOrder("L2", "Orrin Beck", "2", "strip-and-fillet")
	second.Set("act", actID(t, bob, at+"/order?portion=L2"))
	post(t, bob, at+"/order", second)
	post(t, bob, at+"/order", second) // sent twice, one version
	a := bob.Get(at + "/order/read")
	a.Wants(t, http.StatusOK, "The owners do not agree: not ready to cut", "first quarter wants T-bones and porterhouse", "second quarter wants strip", "Hollis Rudd", "555-0177",
		"Marla Finch", "555-0181", "Orrin Beck", "555-0182")
	if strings.Contains(a.Body, "The order is complete") || strings.Contains(a.Body, "version 4") {
		t.Error("it is called complete, or the order sent twice made two")
	}
	bob.Get(at+"/order").Wants(t, http.StatusOK, "The owners do not agree")
	bob.Get("/cutting").Wants(t, http.StatusOK, "The order is not complete")
	bob.Post("/cutting/"+string(n)+"/start", url.Values{"tag": {string(n)}, "version": {"3"}}).Wants(t, http.StatusUnprocessableEntity, "not complete")
	post(t, bob, at+"/order", portionOrder("L2", "Orrin Beck", "3", "t-bones"))
	if a := bob.Get(at + "/order/read"); strings.Contains(a.Body, "do not agree") || !strings.Contains(a.Body, "The order is complete") {
		t.Error("they agree, and the page says otherwise")
	}
	bob.Get("/").Wants(t, http.StatusOK, "Tell the farmer the hanging weight", "Hollis Rudd")
	post(t, bob, at+"/kill/told", url.Values{})
	if a := bob.Get("/"); strings.Contains(a.Body, "Tell the farmer") {
		t.Error("the farmer was told and is still to be called")
	}
}

// Annex E 22: a cow by its teeth 30 months or older, ordered with T-bones and neck
// bones. At the kill entry both lines are refused with the reason and what may be had
// instead; what must come out and where it went is demanded before cutting is done
// (9 CFR 310.22).
func TestScenario22OlderCattle(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, ann, at := s.As(t, s.Bob), s.As(t, s.Ann), "/animals/"+string(n)
	order := portionOrder("", "", "0", "t-bones", [3]string{"neck", "neck-bones", ""})
	post(t, bob, at+"/order", order)
	// Until the kill is entered it counts as older, whatever anybody says.
	bob.Get(at+"/order/read").Wants(t, http.StatusOK, "No T-bones and porterhouse yet: its kill is not entered, so it counts as 30 months or older", "Enter the kill")
	bob.Get(at+"/order").Wants(t, http.StatusOK, "Counts as 30 months or older", at+"/kill")
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "Counts as 30 months or older")
	bob.Post("/cutting/"+string(n)+"/start", url.Values{"tag": {string(n)}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "not complete")

	bob.Post(at+"/kill", killed("yes", "", [2]string{"", "Wade Tolliver"})).Wants(t, http.StatusUnprocessableEntity, "by its teeth or its papers")
	entry := killed("yes", "teeth", [2]string{"", "Wade Tolliver"})
	wins := atOnce(t, []*webtest.Browser{bob, ann}, at+"/kill", entry, "The kill was entered by")
	if wins != 1 {
		t.Errorf("%d entered the one kill", wins)
	}
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "30 months or older, by its teeth", "No T-bones and porterhouse", "9 CFR 310.22", "strip and fillet off the same short loin",
		"No neck bones", "the neck boned out and ground", "What has to come out", "NOT FOR SALE", "not inspected")
	if a := bob.Get(at + "/order/read"); strings.Contains(a.Body, "The order is complete") {
		t.Error("the order with T-bones is still complete")
	}
	bob.Get("/cutting").Wants(t, http.StatusOK, "The order is not complete")
	bob.Post("/cutting/"+string(n)+"/start", url.Values{"tag": {string(n)}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "not complete")
	again := portionOrder("", "", "1", "t-bones")
	bob.Post(at+"/order", again).Wants(t, http.StatusUnprocessableEntity, "the spine is taken out", "strip and fillet off the same short loin")
	post(t, bob, at+"/order", portionOrder("", "", "1", "strip-and-fillet"))
	bob.Get(at+"/order/read").Wants(t, http.StatusOK, "The order is complete")

	onTheTable(t, s, n)
	finish := func() webtest.Answer {
		return bob.Post("/cutting/"+string(n)+"/finish", url.Values{"labelled": {"yes"}})
	}
	finish().Wants(t, http.StatusUnprocessableEntity, "its spine, cord and head are out")
	out := url.Values{"parts": {"head", "cord", "spine", "tonsils"}, "srm_weight": {"62"}, "barrel": {"red 2"}, "denatured": {"charcoal"}}
	bob.Post(at+"/kill/spine", out).Wants(t, http.StatusUnprocessableEntity, "Not ticked: end of the small intestine", "red 2")
	out["parts"] = append(out["parts"], "ileum")
	out.Set("barrel", "")
	bob.Post(at+"/kill/spine", out).Wants(t, http.StatusUnprocessableEntity, "which marked barrel")
	out.Set("barrel", "red 2")
	out.Del("act")
	post(t, bob, at+"/kill/spine", out)
	post(t, bob, at+"/kill/spine", out) // sent twice
	bob.Get("/disposal").Wants(t, http.StatusOK, "1 in marked barrels here", string(n), "red 2")
	post(t, bob, at+"/kill/stamp", url.Values{"quarters": {"LF", "LH"}})
	bob.Get(at+"/kill").Wants(t, http.StatusOK, "LF: ", "The barrel is still here")
	if a := finish(); a.Status != http.StatusSeeOther {
		t.Fatalf("finish: %d %.900s", a.Status, a.Body)
	}
	load := url.Values{"kind": {"srm"}, "load_weight": {"62"}, "denatured": {"charcoal"}, "hauler": {"Valley Rendering"}, "receipt": {""}, "left": {"2026-11-19T10:00"}, "animals": {string(n)}}
	bob.Post("/disposal", load).Wants(t, http.StatusUnprocessableEntity, "number of the ticket")
	load.Set("receipt", "V-118")
	load.Del("act")
	if wins := atOnce(t, []*webtest.Browser{bob, ann}, "/disposal", load, "hauled off already"); wins != 1 {
		t.Errorf("%d hauled the one barrel off", wins)
	}
	gone := bob.Get("/disposal")
	gone.Wants(t, http.StatusOK, "Valley Rendering", "V-118", string(n))
	if strings.Contains(gone.Body, "in marked barrels here") {
		t.Errorf("the barrel is gone and counted still: %.3000s", gone.Body)
	}
}

// onTheTable puts an animal under the knife, with packs, as rows: when it may be is
// tested with the cutting list.
func onTheTable(t *testing.T, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	for _, sql := range []string{
		`INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, started_by)
		 SELECT a.id, a.id, o.id, $2, o.written_by FROM animals a JOIN orders o ON o.animal_id = a.id AND o.void_at IS NULL WHERE a.number = $1`,
		`INSERT INTO packs (id, animal_id, session_id, cut, count, net_kg, wrapped_at, by_staff)
		 SELECT a.id, a.id, a.id, 'chuck roasts', 4, 12, $2, a.received_by FROM animals a WHERE a.number = $1`,
		`UPDATE occupancies SET until = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`,
		`UPDATE animals SET physical = 'on-table', order_state = 'locked' WHERE number = $1 AND killed_at <= $2`} {
		if _, err := s.Pool().Exec(t.Context(), sql, n, dbtest.Noon); err != nil {
			t.Fatal(err)
		}
	}
}

// post sends a form that has to be taken.
func post(t *testing.T, b *webtest.Browser, path string, form url.Values) {
	t.Helper()
	if a := b.Post(path, form); a.Status != http.StatusSeeOther {
		t.Fatalf("%s: %d %s", path, a.Status, wrongIn(a.Body))
	}
}

// wrongIn is the main part of a page, for a test that says what was not expected.
func wrongIn(body string) string {
	_, main, _ := strings.Cut(body, "<main")
	return main[:min(len(main), 1500)]
}

// atOnce sends the same form from several devices in the same moment, each as an act
// of its own, and counts how many were taken; the others must be told.
func atOnce(t *testing.T, devices []*webtest.Browser, path string, form url.Values, told string) (wins int) {
	t.Helper()
	var mu sync.Mutex
	var all sync.WaitGroup
	for _, b := range devices {
		mine := url.Values{}
		for k, v := range form {
			mine[k] = v
		}
		mine.Del("act")
		all.Go(func() {
			a := b.Post(path, mine)
			mu.Lock()
			defer mu.Unlock()
			if a.Status == http.StatusSeeOther {
				wins++
			} else if !strings.Contains(a.Body, told) {
				t.Errorf("%s: the other is not told: %d %s", path, a.Status, wrongIn(a.Body))
			}
		})
	}
	all.Wait()
	return wins
}

// The form of the kill has a row for each part that was ordered, and one more for each
// press of the button, without a script and with all that was typed; never more than
// the four quarters.
func TestRoomForEachOwner(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := cow(t, s)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	rows := func(a webtest.Answer, want int, says ...string) {
		t.Helper()
		a.Wants(t, http.StatusOK, says...)
		if got := strings.Count(a.Body, `name="owner`); got != want {
			t.Errorf("%d rows for owners, want %d", got, want)
		}
	}
	rows(bob.Get(at+"/kill"), 1, "Add an owner")
	post(t, bob, at+"/order", portionOrder("L", "Marla Finch", "0", "t-bones"))
	post(t, bob, at+"/order", portionOrder("R", "Orrin Beck", "1", "t-bones"))
	rows(bob.Get(at+"/kill"), 2, `value="Marla Finch"`, `value="Orrin Beck"`)
	typed := killed("no", "papers", [2]string{"L", "Marla Finch"}, [2]string{"R1", "Orrin Beck"}, [2]string{"R2", "Lena Prather"})
	typed.Set("another", "yes")
	rows(bob.Post(at+"/kill", typed), 4, `value="Lena Prather"`, `value="bill of sale"`)
	typed.Set("owner4", "")
	if a := bob.Post(at+"/kill", typed); strings.Contains(a.Body, "Add an owner") {
		t.Error("a fifth owner is offered")
	}
	if strings.Contains(bob.Get(at+"/kill").Body, "Entered") {
		t.Error("the button that adds an owner enters the kill")
	}
	typed.Del("another")
	post(t, bob, at+"/kill", typed)
}
