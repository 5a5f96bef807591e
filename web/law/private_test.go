package law_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// taken on for one kind of work alone.
func takenOn(t *testing.T, s *webtest.Site, name, initials string, roles ...string) *webtest.Browser {
	t.Helper()
	staff, err := s.AddStaff(t.Context(), db.NewStaff{Name: name, Initials: initials, Roles: roles, PIN: "3333"}, dbtest.Noon.Add(-time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	return s.As(t, staff)
}

// The page of a kill is everyone's, its owners' phone numbers are the counter's: the
// cutter's fields are empty, and what comes back empty keeps the number.
func TestPhonesOfAKillAreTheCounters(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := cow(t, s)
	bob, cutter, at := s.As(t, s.Bob), takenOn(t, s, "Kit Sarver", "KS", "cutter"), "/animals/"+string(n)+"/kill"
	post(t, bob, at, killed("yes", "teeth", [2]string{"", "Wade Tolliver"}))
	bob.Get(at+"?correct=yes").Wants(t, http.StatusOK, `value="555-0181"`)
	page := cutter.Get(at + "?correct=yes")
	if page.Wants(t, http.StatusOK, "Wade Tolliver"); strings.Contains(page.Body, "555-0181") {
		t.Error("the cutter is shown an owner's number")
	}
	right := killed("no", "papers", [2]string{"", "Wade Tolliver"})
	right.Set("phone1", "")
	right.Set("after", "0")
	right.Set("why", "the papers say so")
	post(t, cutter, at+"/correct", right)
	bob.Get(at+"?correct=yes").Wants(t, http.StatusOK, `value="555-0181"`)
}

// Whoever is shown no numbers puts a name right: the owner in that row keeps the number
// that is stored. Names that change places take theirs along, one who is written in
// another row has it there, and it goes where they say that this is somebody else.
func TestCorrectedNameKeepsItsNumber(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := cow(t, s)
	bob, cutter, at := s.As(t, s.Bob), takenOn(t, s, "Kit Sarver", "KS", "cutter"), "/animals/"+string(n)+"/kill"
	post(t, bob, at, killed("no", "papers", [2]string{"L", "Wade Toliver"}, [2]string{"R", "Orrin Beck"}))
	page := cutter.Get(at + "?correct=yes")
	page.Wants(t, http.StatusOK, `name="row1" value="1"`, `name="row2" value="2"`, "··· 0181", "··· 0182")
	if strings.Contains(page.Body, "555-018") {
		t.Error("the cutter is shown an owner's number")
	}
	if bob.Get(at+"?correct=yes").Wants(t, http.StatusOK, `value="555-0181"`); strings.Contains(bob.Get(at+"?correct=yes").Body, "This is somebody else") {
		t.Error("whoever has the number in front of them is asked whose it is")
	}
	for i, c := range []struct {
		why   string
		rows  [][4]string // row it came from, portion, name, number typed
		else1 string
		want  string
	}{
		{"a slip in the name", [][4]string{{"1", "L", "Wade Tolliver", ""}, {"2", "R", "Orrin Beck", ""}}, "", "L Wade Tolliver 555-0181, R Orrin Beck 555-0182"},
		{"the other way round", [][4]string{{"1", "L", "Orrin Beck", ""}, {"2", "R", "Wade Tolliver", ""}}, "", "L Orrin Beck 555-0182, R Wade Tolliver 555-0181"},
		{"Wade wrote down another", [][4]string{{"1", "L", "Orrin Beck", ""}, {"2", "R", "Wade Tolliver", "555-0199"}}, "", "L Orrin Beck 555-0182, R Wade Tolliver 555-0199"},
		{"Orrin has a quarter", [][4]string{{"1", "L1", "Lena Prather", ""}, {"2", "R", "Wade Tolliver", ""}, {"", "L2", "Orrin Beck", ""}}, "", "L1 Lena Prather , L2 Orrin Beck 555-0182, R Wade Tolliver 555-0199"},
		{"Orrin sold it to Marla", [][4]string{{"1", "L1", "Lena Prather", ""}, {"2", "L2", "Marla Finch", ""}, {"3", "R", "Wade Tolliver", ""}}, "2", "L1 Lena Prather , L2 Marla Finch , R Wade Tolliver 555-0199"},
	} {
		var sold [][2]string
		for _, r := range c.rows {
			sold = append(sold, [2]string{r[1], r[2]})
		}
		right := killed("no", "papers", sold...)
		for j, r := range c.rows {
			row := strconv.Itoa(j + 1)
			right.Set("row"+row, r[0])
			right.Set("phone"+row, r[3])
		}
		if c.else1 != "" {
			right.Set("else"+c.else1, "yes")
		}
		right.Set("after", strconv.Itoa(i))
		right.Set("why", c.why)
		post(t, cutter, at+"/correct", right)
		if got := soldTo(t, s, n); got != c.want {
			t.Errorf("%s: %s, want %s", c.why, got, c.want)
		}
	}
}

// soldTo is who has which part of an animal, and their number, as it stands.
func soldTo(t *testing.T, s *webtest.Site, n domain.ShopNumber) string {
	t.Helper()
	a, err := s.Animal(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	k, err := s.KilledOf(t.Context(), a)
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, b := range k.Shares {
		said = append(said, strings.Join([]string{string(b.Portion), b.Name, b.Phone}, " "))
	}
	return strings.Join(said, ", ")
}

// Licence numbers, addresses and who brought and killed it are for those who need
// them; elsewhere a mask stands, and each look is written down for the owner.
func TestPrivateThingsAreMaskedAndLooksWrittenDown(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	cooler, cutter := takenOn(t, s, "Cleo Marsh", "CM", "cooler"), takenOn(t, s, "Kit Sarver", "KS", "cutter")
	form := buck(1)
	form.Set("deliverer", "Wade Tolliver")
	form.Set("licence", "L-778812")
	bring(t, bob, form)
	bring(t, bob, buck(2)) // two, so that the find box lists them
	n := string(dbtest.Tag(1))

	for _, c := range []struct{ page, secret, instead string }{
		{"/animals/" + n, "555-0142", "··· 0142"},
		{"/animals/" + n, "Wade Tolliver", "kept at the counter"},
		{"/find?q=Hargrove", "555-0142", "··· 0142"},
		{"/register/now", "Wade Tolliver", "kept at the counter"},
		{"/animals/" + n + "/slip", "12 Alder Lane", "kept at the counter"},
		{"/dropoff/owed/" + n, "L-778812", "kept at the counter"},
		{"/dropoff/owed/" + n, "12 Alder Lane", "··· 0142"},
	} {
		bob.Get(c.page).Wants(t, http.StatusOK, c.secret)
		a := cooler.Get(c.page)
		a.Wants(t, http.StatusOK, c.instead)
		if strings.Contains(a.Body, c.secret) {
			t.Errorf("the cooler reads %s on %s", c.secret, c.page)
		}
	}
	cutter.Get("/dropoff/owed/"+n).Wants(t, http.StatusForbidden, "not in Kit Sarver&#39;s work")
	if a := cooler.Post("/dropoff", url.Values{"phone": {"555-0142"}, "find": {"yes"}}); strings.Contains(a.Body, "L-778812") || strings.Contains(a.Body, "Alder") || !strings.Contains(a.Body, "Dell Hargrove") {
		t.Error("the cooler reads the licence or the address of a known person, or not the name")
	}
	bob.Post("/dropoff", url.Values{"phone": {"555-0142"}, "find": {"yes"}}).Wants(t, http.StatusOK, "12 Alder Lane")
	ann.Get("/office/register.csv?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusOK, "L-778812")

	bob.Get("/office/looks").Wants(t, http.StatusForbidden, "not in Bob Tarrant&#39;s work")
	a := ann.Get("/office/looks")
	a.Wants(t, http.StatusOK, "Bob Tarrant&#39;s tablet", n, "drop-off slip", "lines of the register", "everything in the house", "at drop-off: Dell Hargrove",
		"the register as a file, Nov 1, 2026 to Nov 30, 2026", "license numbers", "its record")
	if strings.Contains(a.Body, "Cleo Marsh") {
		t.Error("whoever saw a mask is in the list of looks")
	}
	ann.Get("/office/looks?of="+n).Wants(t, http.StatusOK, "lines of the register")
	if a := ann.Get("/office/looks?of=bt"); strings.Contains(a.Body, "register as a file") || !strings.Contains(a.Body, "drop-off slip") {
		t.Error("the list of Bob's looks has Ann's, or not his own")
	}
}

// Names kept at the counter stand masked wherever else they would be told: who signed
// for a lost tag and what they say, whose licence a tag in the bay is, who took a piece;
// each look of the counter's is written down.
func TestNamesAreMaskedElsewhereToo(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, cooler, n := s.As(t, s.Bob), takenOn(t, s, "Cleo Marsh", "CM", "cooler"), s.BoxDeer(t, 1, 1)
	s.Own(t, n, "Dell Hargrove", "555-0142")
	rows(t, s, `UPDATE people SET licence = 'L-778812' WHERE $1::timestamptz IS NOT NULL AND $2::uuid IS NOT NULL`,
		`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) SELECT id, id, 'carcass-tag', '7731', 'NY', 'lost', $1, $2 FROM animals`,
		`INSERT INTO tag_moves (id, tag_id, was, now, note, warden, at, by_staff, signer) SELECT id, id, 'on-carcass', 'lost', 'fell off at the creek', 'called', $1, $2, 'Wade Tolliver' FROM animals`,
		`INSERT INTO pieces (id, animal_id, mark, kind, made_at, made_by, gone_at, gone_to, gone_by, taken_by) SELECT id, id, 'P', 'cape', $1, $2, $1, 'taxidermist', $2, 'Ina Moss' FROM animals`,
		`INSERT INTO donations (id, animal_id, recipient, address, kg, signer, why, at, by_staff) SELECT id, id, 'Mill Street Pantry', '4 Mill Street', 3, 'Rosa Lunt', 'x', $1, $2 FROM animals`,
		`INSERT INTO night_finds (id, kind, tag, found_at, found_by) VALUES (gen_random_uuid(), 'carcass', 'L-778812', $1, $2)`)
	tags, bay := "/animals/"+string(n)+"/tags", "/dropoff/night"
	bob.Get(tags).Wants(t, http.StatusOK, "Wade Tolliver", "fell off at the creek")
	bob.Get(bay).Wants(t, http.StatusOK, "the license number of Dell Hargrove")
	s.As(t, s.Ann).Get("/animals/"+string(n)+"/reached").Wants(t, http.StatusOK, "to the taxidermist Ina Moss")
	bob.Get("/pickup/"+string(n)+"/donation").Wants(t, http.StatusOK, "4 Mill Street")
	for page, secrets := range map[string][]string{tags: {"Wade Tolliver", "fell off"}, bay: {"Dell Hargrove"}} {
		a := cooler.Get(page)
		a.Wants(t, http.StatusOK, "counter")
		for _, secret := range secrets {
			if strings.Contains(a.Body, secret) {
				t.Errorf("the cooler reads %s on %s", secret, page)
			}
		}
	}
	s.As(t, s.Ann).Get("/office/looks").Wants(t, http.StatusOK, "statement about a lost tag", "license that a tag in the bay names", "what it may have reached", "sheet of meat given away")
}

// actID is the act's id that the first form of a page carries.
func actID(t *testing.T, b *webtest.Browser, page string) string {
	t.Helper()
	_, rest, found := strings.Cut(b.Get(page).Body, `name="act" value="`)
	id, _, closed := strings.Cut(rest, `"`)
	if !found || !closed {
		t.Fatalf("no form on %s", page)
	}
	return id
}
