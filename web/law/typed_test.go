package law_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/round"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// Whatever is typed about an animal on its way through the shop may hold a name. None of
// it stands on the time line, its record shows it until the animal's names go, and then no
// table of the shop has it any more.
func TestTypedOnTheWayGoesToo(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	ann := s.As(t, s.Ann)
	hung, boxed, shared := typedWhileHanging(t, s), typedAtPickUp(t, s), s.SharedBeef(t, 5)
	typedOnABill(t, s, shared)
	typedInRows(t, s, hung)
	for n, says := range map[domain.ShopNumber][]string{
		hung: {"note: sour, says Wade", "why: Wade was told", "note: in the binder of Wade", "note: Wade came for it", "why: as Wade&#39;s other one",
			"not the first: Wade waits outside", "If a part is lost: Wade decides", "instead of: "},
		boxed:  {"still to come", "note: sausage for Wade; Wade pays Friday", "still to pay: $"},
		shared: {"why: Rush: for Wade", "line: Rush of Wade", "share: "},
	} {
		ann.Get("/animals/"+string(n)).Wants(t, http.StatusOK, says...)
	}
	want := strings.Fields(`animal_people animals charges decisions handovers hang_signatures left_things looks night_finds orders pieces samples sessions_at_table trim typed_reasons`)
	if in := holding(t, s, "wade"); !slices.Equal(in, want) {
		t.Fatalf("typed into %v, want %v", in, want)
	}
	if n := countOf(t, s, `typed_reasons WHERE why ~ 'Wade'`); n != 10 {
		t.Errorf("%d stand beside the time line, want 10", n)
	}
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'released', money = 'settled'`); err != nil {
		t.Fatal(err)
	}
	s.SetNow(dbtest.Noon.AddDate(6, 0, 2))
	post(t, ann, "/office/forget", url.Values{"animal": {string(hung), string(boxed), string(shared)}, "pin": {"4711"}})
	if in := holding(t, s, "wade"); len(in) > 0 {
		t.Errorf("a name is left in %v", in)
	}
	ann.Get("/animals/"+string(hung)).Wants(t, http.StatusOK, "note: (blanked)", "not the first: (blanked)", "gamey")
	if err := s.VerifyRegister(t.Context()); err != nil {
		t.Errorf("the chain is broken: %v", err)
	}
}

// What a warden asked for, was shown and found may name an owner, and so may a form given
// up on a tablet. It goes by the same list; who of which agency came, and when, stays.
func TestTypedBesideNoAnimalGoesToo(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	post(t, bob, "/visits", url.Values{"who": {"Officer Lane"}, "agency": {"DEC"}, "asked": {"what Wade brought"}})
	visits, err := s.Visits(t.Context())
	if err != nil || len(visits) != 1 {
		t.Fatalf("%d visits, %v", len(visits), err)
	}
	at := "/visits/" + visits[0].ID.String()
	post(t, bob, at+"/shown", url.Values{"shown": {"the slip of Wade"}})
	post(t, bob, at+"/end", url.Values{"findings": {"Wade owes a tag"}})
	if err := s.Discard(t.Context(), s.Act(s.Bob, dbtest.Noon), db.GivenUp{Act: uuid.New(), KeptAt: dbtest.Noon, Title: "A look", Said: "Wade has it already", Fields: map[string]string{"note": "sour, says Wade"},
		Reason: "Wade came for it"}); err != nil {
		t.Fatal(err)
	}
	if in := holding(t, s, "wade"); !slices.Equal(in, []string{"discarded", "visit_shown", "visits"}) {
		t.Fatalf("typed into %v", in)
	}
	s.SetNow(dbtest.Noon.AddDate(5, 0, 2))
	page := ann.Get("/office/forget")
	page.Wants(t, http.StatusOK, "2 may be blanked", "Visit", "Given up on a tablet")
	list := url.Values{"pin": {"4711"}}
	for _, part := range strings.Split(page.Body, `name="paper" value="`)[1:] {
		value, _, _ := strings.Cut(part, `"`)
		list.Add("paper", value)
	}
	post(t, ann, "/office/forget", list)
	if in := holding(t, s, "wade"); len(in) > 0 {
		t.Errorf("a name is left in %v", in)
	}
	bob.Get("/visits").Wants(t, http.StatusOK, "Officer Lane, DEC", "(blanked)", "It ended")
	ann.Get("/office/tablets").Wants(t, http.StatusOK, "A look, kept", "(blanked)")
}

// typedWhileHanging looks at a deer, decides, signs, judges it anew, writes its order and
// takes it to the table before its turn, each with a name in what is typed.
func typedWhileHanging(t *testing.T, s *webtest.Site) domain.ShopNumber {
	t.Helper()
	ctx, ann := t.Context(), s.Act(s.Ann, dbtest.Noon)
	step := func() db.Act { return s.Act(s.Ann, dbtest.Noon) }
	first, n := s.HangDeer(t, 9, 9), s.HangDeer(t, 2, 2)
	if _, err := dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE animals SET class = 'mature', protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature') WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	versions, err := s.ProtocolVersions(ctx, "deer-mature")
	if err != nil {
		t.Fatal(err)
	}
	rule := versions[0].Rule()
	rule.Cites = []string{"Our own practice"}
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellGamey, Surface: round.SurfaceDry}, Note: "sour, says Wade"}
	for _, err := range []error{
		s.EditProtocol(ctx, ann, versions[0].Version, rule, "longer than last year"),
		s.JudgeByNewRule(ctx, step(), "deer-mature", []domain.ShopNumber{n}, "as Wade's other one"),
		s.Look(ctx, step(), n, look),
		s.Decide(ctx, step(), n, round.CarryOn, "Wade was told"),
		s.OwnerSigned(ctx, step(), n, 21, "in the binder of Wade"),
		s.EndLongHang(ctx, step(), n, "Wade came for it"),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, of := range []domain.ShopNumber{first, n} {
		order := db.Written{Source: "counter", Note: "tell Wade first", Order: cutting.Order{OwnMeatOnly: true, Added: cutting.NoneAdded, FallBack: "Wade decides"}}
		if of == first {
			order.FallBack, order.Note = "less stew", ""
		}
		for part, treatment := range map[cutting.Part]cutting.Treatment{"backstrap": "chops", "hind": "steaks", "shoulder": "stew", "neck": "grind", "trim": "burger"} {
			order.Lines = append(order.Lines, cutting.Line{Part: part, Treatment: treatment, Thickness: "1", Size: "1 lb", PerPack: "4", Amount: "rest"})
		}
		if err := s.TakeOrder(ctx, step(), of, order); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Start(ctx, step(), n, db.Taking{TagRead: string(n), Version: 1, Why: "Wade waits outside"}); err != nil {
		t.Fatal(err)
	}
	return n
}

// typedAtPickUp hands one box of two over: something is still to come, money is owed.
func typedAtPickUp(t *testing.T, s *webtest.Site) domain.ShopNumber {
	t.Helper()
	ctx, n := t.Context(), s.BoxDeer(t, 3, 2)
	if err := s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), n); err != nil {
		t.Fatal(err)
	}
	if err := s.HandOver(ctx, s.Act(s.Ann, dbtest.Noon), n, db.Collection{Collector: "Dale Orrin", Authority: animal.ByOwner, Seen: "driver's license",
		Boxes: []string{domain.BoxCode(n, 1)}, Remains: "sausage for Wade", LetOwe: "Wade pays Friday"}); err != nil {
		t.Fatal(err)
	}
	lines, err := s.RegisterOf(ctx, n)
	if err != nil || lines[len(lines)-1].Facts["disposition"] != "1 of 2 boxes; more to come" {
		t.Errorf("in the register for good: %+v, %v", lines, err)
	}
	return n
}

// typedOnABill adds a line of its own words and puts it on one owner.
func typedOnABill(t *testing.T, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	ctx := t.Context()
	for _, err := range []error{
		s.AddCharge(ctx, s.Act(s.Bob, dbtest.Noon), n, "Rush", 500, "for Wade"),
		s.AddCharge(ctx, s.Act(s.Bob, dbtest.Noon), n, "Rush of Wade", 500, "asked"),
		s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), n),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	of, err := s.Animal(ctx, n)
	if err != nil {
		t.Fatal(err)
	}
	shares, err := s.ShareAccounts(ctx, of)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range shares[1].Lines {
		if l.Label == "Rush of Wade" {
			err = s.GiveLine(ctx, s.Act(s.Bob, dbtest.Noon), n, l.Charge, shares[1].Portion)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
}

// typedInRows types a name where a row of its own keeps it.
func typedInRows(t *testing.T, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	for _, sql := range []string{
		`UPDATE animals SET door_note = 'Wade saw it', keeps = 'antlers for Wade' WHERE number = $3 AND $1::timestamptz IS NOT NULL AND $2::uuid IS NOT NULL`,
		`UPDATE orders SET days_why = 'Wade fetches it early' WHERE animal_id = (SELECT id FROM animals WHERE number = $3) AND $1::timestamptz IS NOT NULL AND $2::uuid IS NOT NULL`,
		`INSERT INTO trim (id, animal_id, kind, kg, note, at, by_staff) SELECT id, id, 'other', 1, 'Wade shot low', $1, $2 FROM animals WHERE number = $3`,
		`INSERT INTO pieces (id, animal_id, mark, kind, made_at, made_by, instruction) SELECT id, id, 'C', 'cape', $1, $2, 'mount for Wade' FROM animals WHERE number = $3`,
		`INSERT INTO samples (id, animal_id, number, drawn_on, result, result_on, source, seen_by, seen_at) SELECT id, id, 'S1', $1::date, 'not detected', $1::date, 'agency-call; Wade called too', $2, $1 FROM animals WHERE number = $3`,
		`INSERT INTO left_things (id, animal_id, what, left_at, left_by) SELECT id, id, 'cooler of Wade', $1, $2 FROM animals WHERE number = $3`,
		`INSERT INTO night_finds (id, kind, animal_id, note, found_at, found_by, settled, settled_at, settled_by) SELECT id, 'carcass', id, 'under Wade''s card', $1, $2, 'Wade told us', $1, $2 FROM animals WHERE number = $3`,
		`INSERT INTO people (id, name, known_since) SELECT id, 'Dale Orrin', $1 FROM animals WHERE number = $3 AND $2::uuid IS NOT NULL`,
		`INSERT INTO animal_people (animal_id, person_id, role, note, since) SELECT id, id, 'payer', 'cousin of Wade', $1 FROM animals WHERE number = $3 AND $2::uuid IS NOT NULL`,
	} {
		args := []any{dbtest.Noon.Add(-time.Hour), s.Bob.ID, string(n)}
		if _, err := s.Pool().Exec(t.Context(), sql, args...); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
}

// holding lists the tables with a word anywhere in one of their rows.
func holding(t *testing.T, s *webtest.Site, word string) (in []string) {
	t.Helper()
	rows, err := s.Pool().Query(t.Context(), `
		SELECT table_name::text FROM information_schema.tables WHERE table_schema = 'public' AND table_type = 'BASE TABLE'
		  AND query_to_xml(format('SELECT FROM public.%I x WHERE x::text ILIKE %L LIMIT 1', table_name, '%' || $1 || '%'), true, false, '')::text ~ '<row' ORDER BY 1`, word)
	if err != nil {
		t.Fatal(err)
	}
	for rows.Next() {
		var table string
		if err := rows.Scan(&table); err != nil {
			t.Fatal(err)
		}
		in = append(in, table)
	}
	if rows.Err() != nil {
		t.Fatal(rows.Err())
	}
	return in
}
