package label_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// Every pack has what trade.md 6.6 asks of its label, and a second print needs a
// reason, which is kept.
func TestPackLabels(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.CutDeer(t, 147, animal.InPieces)
	s.Own(t, number, "Wade Tolliver", "555-0147")
	s.Packed(t, number, "hind steaks", 4)
	packs, err := s.Packs(t.Context(), number)
	if err != nil || len(packs) != 1 {
		t.Fatalf("%+v, %v", packs, err)
	}
	line := packs[0].ID.String()
	at := "/animals/" + string(number) + "/packs/" + line + "/label"
	page := bob.Get(at)
	page.Wants(t, http.StatusOK, "Wade Tolliver", "hind steaks", "NOT FOR SALE", "Keep frozen. Cook through.", "Nov 19, 2026", "8.8 lb together", "Hollow Creek Custom Meats", "5/5", string(number))
	if strings.Contains(page.Body, "555-0147") {
		t.Error("a pack shows a phone number")
	}
	if n := strings.Count(page.Body, "sheet-pack"); n != 5 {
		t.Errorf("%d labels for 5 packs", n)
	}
	if letter := bob.Get(at + "?paper=letter"); strings.Count(letter.Body, "label-pack") != 5 || strings.Count(letter.Body, "sheet-letter") != 1 {
		t.Error("on letter paper the five are not on one page")
	}
	bob.Get("/animals/"+string(number)+"/packs/x/label").Wants(t, http.StatusNotFound, "no such packs")

	form := url.Values{"what": {"pack"}, "which": {line}, "labels": {"5"}}
	printed := bob.Post("/animals/"+string(number)+"/printed", form)
	if printed.Status != http.StatusSeeOther || !strings.HasPrefix(printed.Location, at+"?copy=") {
		t.Fatalf("%d %s %.600s", printed.Status, printed.Location, printed.Body)
	}
	bob.Get(printed.Location).Wants(t, http.StatusOK, "hind steaks", "by BT, labels: 5")
	again := bob.Get(at)
	again.Wants(t, http.StatusOK, "Why again?")
	if strings.Contains(again.Body, "sheet-pack") {
		t.Error("a printed label comes a second time without a reason")
	}
	form.Del("act")
	bob.Post("/animals/"+string(number)+"/printed", form).Wants(t, http.StatusUnprocessableEntity, "Say in a word why it is printed again")
	form.Del("act")
	form.Set("why", "jammed")
	if printed = bob.Post("/animals/"+string(number)+"/printed", form); printed.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", printed.Status, printed.Body)
	}
	bob.Get(printed.Location).Wants(t, http.StatusOK, "Why again: jammed", "hind steaks")
	bob.Post("/animals/"+string(number)+"/printed", url.Values{"what": {"poster"}, "labels": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "came in damaged")
}

// What the ruler on paper says, and when not to use the labels.
func TestRulerPage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	bob.Get("/labels/ruler").Wants(t, http.StatusOK, "It should be 3 in, 76.2 mm", "sheet-4x6")
	for _, tt := range []struct {
		paper, typed string
		says         []string
	}{{"pack", "2", []string{"prints true", "sheet-pack"}}, {"letter", "5 5/8", []string{"prints at 94 %", "set the scale to 107 %", "do not use labels of this printer"}}} {
		if a := bob.Post("/labels/ruler", url.Values{"paper": {tt.paper}, "measured": {tt.typed}}); a.Status != http.StatusSeeOther || a.Location != "/labels/ruler?paper="+tt.paper {
			t.Fatalf("%s: %d %.600s", tt.paper, a.Status, a.Body)
		}
		bob.Get("/labels/ruler?paper="+tt.paper).Wants(t, http.StatusOK, tt.says...)
	}
	bob.Post("/labels/ruler", url.Values{"measured": {"long"}}).Wants(t, http.StatusUnprocessableEntity, "cannot be read")
	bob.Post("/labels/ruler", url.Values{"measured": {"12"}}).Wants(t, http.StatusUnprocessableEntity, "cannot be the line on the page")
}

// The proof says what is in the book, and where nothing is.
func TestProof(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	number, bare := s.CutDeer(t, 147, animal.InPieces), s.HangDeer(t, 2, 2)
	s.Own(t, number, "Wade Tolliver", "555-0147")
	s.Packed(t, number, "hind steaks", 4)
	at := func(n domain.ShopNumber) string { return "/animals/" + string(n) + "/proof" }
	bob.Get(at(number)).Wants(t, http.StatusOK, "Wade Tolliver", "hind steaks", "5 packs.", "Nothing is in the book.", "they cannot tell one animal", "No tag of the state is in the book.")
	bob.Get(at(bare)).Wants(t, http.StatusOK, "Main cooler R1-2", "still there", "hung by BT", "No photograph of it is in the book.")
	for _, sql := range []string{
		`INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface, touched) SELECT '019aa000-0000-7000-8000-00000000000a', id, received_at, received_at, received_by, 'clean', 'dry', true FROM animals WHERE number = '` + string(bare) + `'`,
		`INSERT INTO photos (id, look_id, at, by_staff, jpeg) SELECT '019aa000-0000-7000-8000-00000000000b', id, at, by_staff, decode(repeat('ff', 200), 'hex') FROM looks`,
	} {
		if _, err := s.Pool().Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	bob.Get(at(bare)).Wants(t, http.StatusOK, `src="/photos/019aa000-0000-7000-8000-00000000000b"`)
	grown := db.Look{Look: round.Look{At: s.Now(), Smell: round.SmellClean, Surface: round.SurfaceDry, Mould: []round.Mould{{Site: round.SiteRibs, Length: domain.Inches(1.0 / 8), Colour: round.Black}}}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, s.Now()), bare, grown); err != nil {
		t.Fatal(err)
	}
	bob.Get(at(bare)).Wants(t, http.StatusOK, "smell clean, surface dry; mold inside the ribs, black, 1/8")
	bob.Get("/animals/26-9999-1/proof").Wants(t, http.StatusNotFound, "There is no animal")
}
