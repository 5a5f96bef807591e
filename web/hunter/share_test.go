package hunter_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/web/hunter"
	"coldrail/web/webtest"
)

var ownLink = regexp.MustCompile(`http://coldrail\.example(/s/[A-Za-z0-9_-]+)`)

// Each owner of a shared beef has a link of their own. On no page that goes to one of
// them, on glass or on paper, stands another's name, pounds or money.
func TestAnOwnerSeesOneShareAlone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.SharedBeef(t, 1)
	at := "/animals/" + string(n) + "/money"
	bob.Post(at+"/bill", url.Values{"pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Post(at+"/pay", url.Values{"amount": {"77.77"}, "way": {"cash"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Choose whose share the money is for")
	bob.Post(at+"/pay", url.Values{"amount": {"77.77"}, "way": {"cash"}, "portion": {"L"}, "payer": {"Aunt Fay"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "Share by share", "Lena Ochoa", "paid by Aunt Fay", "$363.77", "$286.00")

	counter := bob.Get("/pickup/" + string(n))
	counter.Wants(t, http.StatusOK, "To pay, share by share", "$286.00", "$303.07", "$424.25")
	links := ownLink.FindAllStringSubmatch(counter.Body, -1)
	seen := map[string]bool{}
	var paths []string
	for _, l := range links {
		if !seen[l[1]] {
			seen[l[1]], paths = true, append(paths, l[1])
		}
	}
	if len(paths) != 3 {
		t.Fatalf("three owners, %d links: %v", len(paths), paths)
	}
	shares := []cutting.Portion{cutting.Left, cutting.RightOne, cutting.RightTwo}
	money := []string{"286.00", "303.07", "424.25"} // what each owes; by hand in TestBillIsPartedAmongShares, less 77.77 paid
	pounds := []string{"132.3", "88.2", "44.1"}     // 60, 40 and 20 kg
	names := []string{"Lena", "Marv", "Dot", "Aunt Fay", "77.77", "1,091", "1091.09", "264.6"}
	stranger := s.Nobody(t)
	check := func(what, body string, own int, allowed ...string) {
		t.Helper()
		body = html.UnescapeString(body)
		for i := range shares {
			if i != own && (strings.Contains(body, money[i]) || strings.Contains(body, pounds[i])) {
				t.Errorf("%s of %s tells of %s", what, shares[own], shares[i])
			}
		}
		for _, name := range names {
			told := false
			for _, a := range allowed {
				told = told || a == name
			}
			if !told && strings.Contains(body, name) {
				t.Errorf("%s of %s says %q", what, shares[own], name)
			}
		}
	}
	for i, path := range paths {
		a := stranger.Get(path)
		a.Wants(t, http.StatusOK, money[i], pounds[i]+" lb")
		check("the page", a.Body, i, map[bool]string{true: "77.77"}[i == 0])
		paper := bob.Get("/animals/" + string(n) + "/receipt?share=" + string(shares[i]))
		paper.Wants(t, http.StatusOK, money[i], "your share")
		check("the receipt", paper.Body, i, []string{"Lena", "Marv", "Dot"}[i], map[bool]string{true: "77.77"}[i == 0])
	}
	bob.Get("/animals/"+string(n)+"/payments/1").Wants(t, http.StatusOK, "Lena Ochoa", "77.77")
	check("the receipt of the payment", bob.Get("/animals/"+string(n)+"/payments/1").Body, 0, "Lena", "77.77")
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusConflict, "Print each owner")
	bob.Get("/animals/"+string(n)+"/receipt?share=R").Wants(t, http.StatusNotFound)

	// A new link takes the owners' links with it, and a changed one opens nothing.
	for _, path := range []string{paths[0] + "A", paths[0][:len(paths[0])-2], strings.Replace(paths[0], "/s/", "/s/B", 1)} {
		stranger.Get(path).Wants(t, http.StatusNotFound, "This link does not work")
	}
	bob.Post("/pickup/"+string(n)+"/link", url.Values{}).Wants(t, http.StatusSeeOther)
	stranger.Get(paths[0]).Wants(t, http.StatusNotFound, "This link does not work")
}

// The link of the whole animal says how far a shared one is, and no money or pounds.
func TestWholeLinkOfASharedAnimal(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	n := s.BoxDeer(t, 2, 3)
	counter := ann.Get("/pickup/" + string(n))
	link := ownLink.FindStringSubmatch(counter.Body)
	if link == nil {
		t.Fatal("no link")
	}
	if _, err := s.Pool().Exec(t.Context(), `
		UPDATE orders SET portion = 'L', for_whom = 'Lena Ochoa' FROM animals a WHERE a.id = orders.animal_id AND a.number = $1`, n); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET revision = revision + 1 WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	a := s.Nobody(t).Get(link[1])
	a.Wants(t, http.StatusOK, "It is shared. Each owner has a link of their own")
	for _, word := range []string{"$", "Lena", " lb"} {
		if strings.Contains(a.Body, word) {
			t.Errorf("it says %q", word)
		}
	}
}

// A line goes to one owner whole, from the page: with a PIN, once.
func TestALineIsPutOnOneOwner(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.SharedBeef(t, 1)
	at := "/animals/" + string(n) + "/money"
	bob.Post(at+"/charge", url.Values{"label": {"Kill"}, "amount": {"80"}, "why": {"on the farm"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Post(at+"/bill", url.Values{"pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	page := bob.Get(at)
	line := regexp.MustCompile(`name="line"[^>]*value="([0-9a-f-]{36})"`).FindStringSubmatch(page.Body)
	if line == nil {
		t.Fatalf("no line to choose: %.2000s", page.Body)
	}
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Choose whose line it is")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"0000"}}).Wants(t, http.StatusUnprocessableEntity, "PIN")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "Whoever brought it", "$80.00")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "theirs already")
}

// What came with a shared animal and what comes off it whole stand on the pages of
// whoever it stands for; a batch on the pages of those who asked for it. The slips of a
// drop-off carry each owner's own link.
func TestWhatBelongsToAShare(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.SharedBeef(t, 1)
	s.Own(t, n, "Lena Ochoa", "607-555-0142")
	set(t, s, `INSERT INTO pieces (id, animal_id, mark, kind, made_at) SELECT gen_random_uuid(), id, 'H', 'hide', $2 FROM animals WHERE number = $1`, n, dbtest.Noon)
	set(t, s, `INSERT INTO left_things (id, animal_id, what, left_at, left_by) SELECT gen_random_uuid(), id, 'blue cooler', $2, $3 FROM animals WHERE number = $1`, n, dbtest.Noon, s.Bob.ID)
	asksForSausage(t, s, n, cutting.RightOne)
	set(t, s, `
		WITH b AS (
		  INSERT INTO batches (id, number, product, kind, pork, beef, status, started_at, started_by, finished_at, packs, packed_kg, odd_kg)
		  VALUES (gen_random_uuid(), 1, 'summer-sausage', 'own', false, false, 'finished', $2, $3, $2, 6, 12, 0) RETURNING id),
		i AS (INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT gen_random_uuid(), b.id, a.id, 15, $2, $3 FROM b, animals a WHERE a.number = $1)
		INSERT INTO batch_shares (batch_id, animal_id, input_kg, exact_kg, packs) SELECT b.id, a.id, 15, 12, 6 FROM b, animals a WHERE a.number = $1`, n, dbtest.Noon, s.Bob.ID)
	said := pagesOfShares(t, s, n)
	words := []string{"Hide: with us", "Blue cooler: with us", "33.1 lb of yours went into summer sausage, made of yours alone."} // 15 kg
	for portion, want := range map[cutting.Portion][]bool{cutting.Left: {true, true, false}, cutting.RightOne: {false, false, true},
		cutting.RightTwo: {false, false, false}, cutting.WholeAnimal: {true, true, false}} {
		for i, w := range words {
			if strings.Contains(said[portion], w) != want[i] {
				t.Errorf("the page of %q and %q: want %t", portion, w, want[i])
			}
		}
	}
	var place int
	must(t, s.Pool().QueryRow(t.Context(), `SELECT p.id FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.name = 'F1' AND p.position = 2`).Scan(&place))
	must(t, s.GiveShare(t.Context(), s.Act(s.Bob, dbtest.Noon), 1, n, place))
	if page := pagesOfShares(t, s, n)[cutting.RightOne]; !strings.Contains(page, "114.6 lb") { // 40 kg before, and 12: 52 kg
		t.Error("the batch's packs are not with the only share that asked for them")
	}
	asksForSausage(t, s, n, cutting.RightTwo)
	said = pagesOfShares(t, s, n)
	for _, portion := range []cutting.Portion{cutting.RightOne, cutting.RightTwo} {
		if !strings.Contains(said[portion], "33.1 lb of the animal you share went into summer sausage, made of that animal alone.") {
			t.Errorf("two asked for it, and the page of %s does not say so", portion)
		}
	}
}

func asksForSausage(t *testing.T, s *webtest.Site, n domain.ShopNumber, portion cutting.Portion) {
	set(t, s, `INSERT INTO order_lines (order_id, ord, part, treatment)
		SELECT o.id, 1, 'trim', 'summer-sausage' FROM orders o JOIN animals a ON a.id = o.animal_id WHERE a.number = $1 AND o.portion = $2 AND o.void_at IS NULL`, n, portion)
	set(t, s, `UPDATE animals SET revision = revision + 1 WHERE number = $1`, n)
}

// pagesOfShares are the pages of a shared beef, that of the whole animal among them.
func pagesOfShares(t *testing.T, s *webtest.Site, n domain.ShopNumber) map[cutting.Portion]string {
	t.Helper()
	a, err := s.Animal(t.Context(), n)
	must(t, err)
	secret, err := s.Secret(t.Context(), "hunter links")
	must(t, err)
	said := map[cutting.Portion]string{}
	for _, portion := range []cutting.Portion{cutting.WholeAnimal, cutting.Left, cutting.RightOne, cutting.RightTwo} {
		link := hunter.ShareLink("", secret, a.ID, portion, a.LinkRevision)
		if portion == cutting.WholeAnimal {
			link = hunter.Link("", secret, a.ID, a.LinkRevision)
		}
		answer := s.Nobody(t).Get(link)
		answer.Wants(t, http.StatusOK)
		said[portion] = html.UnescapeString(answer.Body)
	}
	return said
}

// The receipt of a shared animal's drop-off is one slip an owner, each with the link of
// that owner's own share; who brought it and owns none of it has the animal's.
func TestSlipsOfAShare(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.SharedBeef(t, 1)
	s.Own(t, n, "lena ochoa", "607-555-0142")
	slips := bob.Get("/animals/" + string(n) + "/slip")
	slips.Wants(t, http.StatusOK, "lena ochoa, address", "Marv Tull, a share of it", "Dot Quill, a share of it")
	if got := strings.Count(slips.Body, "sheet-4x6"); got != 3 || strings.Count(slips.Body, `, <span class="nowrap">607-555-0142</span>`) != 1 {
		t.Errorf("%d slips for three owners, or a phone on another's", got)
	}
	set(t, s, `UPDATE people SET name = 'Dale Orrin'`)
	slips = bob.Get("/animals/" + string(n) + "/slip")
	slips.Wants(t, http.StatusOK, "Dale Orrin, address", "Lena Ochoa, a share of it")
	if got := strings.Count(slips.Body, "sheet-4x6"); got != 4 {
		t.Errorf("%d slips for who brought it and three owners", got)
	}
}

// What storage costs stands on the pages of those alone whose boxes still wait, and that
// they part it.
func TestStorageOnThePagesOfShares(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ctx, n := t.Context(), s.SharedBeef(t, 1)
	must(t, s.SetStorage(ctx, s.Act(s.Ann, dbtest.Noon), 0, billing.StorageRule{On: true, AfterDays: 7, ADay: 200}, "page 4"))
	must(t, s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), n, "call", "left word", ""))
	must(t, s.ApproveStorage(ctx, s.Act(s.Ann, dbtest.Noon), n, "told by phone"))
	must(t, s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), n))
	must(t, s.HandOver(ctx, s.Act(s.Ann, dbtest.Noon), n, db.Collection{Collector: "Lena Ochoa", Authority: "owner", Seen: "license", Boxes: []string{domain.BoxCode(n, 1)}, LetOwe: "pays on Friday"}))
	said := pagesOfShares(t, s, n)
	for portion, want := range map[cutting.Portion]bool{cutting.Left: false, cutting.RightOne: true} {
		if got := strings.Contains(said[portion], "storage costs $2.00 a day. It is split among the shares that still wait here."); got != want || strings.Contains(said[portion], "storage costs") != want {
			t.Errorf("the page of %s speaks of storage: %t, want %t", portion, got, want)
		}
	}
}
