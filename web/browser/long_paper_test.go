package browser

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// wordy is a wish of as many letters as a form takes, in the capitals of somebody who
// means it.
func wordy(letters int) string {
	return strings.ToUpper(strings.Repeat("Both hind quarters whole on the bone, backstraps in one piece, head and cape for the wall; ", 3))[:letters]
}

// The wish, the names and the rail of a deer are as long as their forms take: each of
// its papers still has all its codes, and they can be scanned off the paper.
func TestLongWordsOnPaper(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	site.Cold(t)
	shop, err := site.DB.Shop(t.Context())
	must(t, err)
	shop.Name, shop.Phone = longWords[:80], "607-555-0142"
	must(t, site.SaveShop(t.Context(), shop))
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Ann Kessler")
	number := ordered(t, site, 1)
	_, err = dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE animals SET keeps = $1, door = 'damaged'`, wordy(120))
	must(t, err)
	s.longOrder(t, site)
	s.longTag(t, site, number)
	s.longBox(t, site, number)
	s.longSlips(t, site, number)
}

// longTag prints the rail tag with the longest wish, on its own paper and on a letter page.
func (s *screen) longTag(t *testing.T, site *webtest.Site, number domain.ShopNumber) {
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE rails SET name = 'North wall ' || name`)
	must(t, err)
	for _, paper := range []struct{ ask, name, inches string }{{"", "tag-long", "4x6"}, {"?paper=letter", "tag-long-letter", "8.5x11"}} {
		s.sheet("/animals/"+string(number)+"/tag"+paper.ask, paper.name, paper.inches)
		s.sees("CUT FIRST", wordy(120), "North wall")
		s.whole(paper.name)
		s.codes(paper.name, number.Digits())
	}
}

// longBox packs nine cuts with the longest names into one box for the longest owner's
// name of the shop with the longest, and prints its label.
func (s *screen) longBox(t *testing.T, site *webtest.Site, number domain.ShopNumber) {
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE people SET name = $1`, longWord+" "+wordy(25))
	must(t, err)
	act := func() db.Act { return site.Act(site.Bob, dbtest.Noon) }
	must(t, site.Start(t.Context(), act(), number, db.Taking{TagRead: number.Digits(), Version: 1}))
	for i := range 9 {
		must(t, site.Pack(t.Context(), act(), number, db.Wrapped{Cut: fmt.Sprint(i, " ", wordy(38)), Count: 2, Net: 2}))
	}
	s.longPacks(t, site, number)
	must(t, site.Finish(t.Context(), act(), number, db.Finishing{Labelled: true}))
	packs, err := site.Packs(t.Context(), number)
	must(t, err)
	spots, err := site.FreezerSpots(t.Context())
	must(t, err)
	box := db.NewBox{N: 1, Place: spots[0].ID}
	for _, k := range packs {
		box.Packs = append(box.Packs, k.ID)
	}
	must(t, site.BoxUp(t.Context(), act(), number, []db.NewBox{box}))
	for _, paper := range []struct{ ask, name, inches string }{{"", "box-long", "4x6"}, {"?paper=letter", "box-long-letter", "8.5x11"}} {
		s.sheet("/animals/"+string(number)+"/boxes/1/label"+paper.ask, paper.name, paper.inches)
		s.sees("Box 1 of 1", longWord+" "+wordy(25), "7 more lines")
		s.lettersOf(paper.name)
		s.codes(paper.name, number.Digits())
	}
}

// longSlips prints what people take home: the receipt, which goes on to a second slip
// and has a margin there as well, and the slip of whoever was turned away.
func (s *screen) longSlips(t *testing.T, site *webtest.Site, number domain.ShopNumber) {
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE people SET address = $1`, wordy(120))
	must(t, err)
	s.sheet("/animals/"+string(number)+"/slip", "slip-long", "4x6", "4x6")
	s.sees(wordy(120), "607-555-0142")
	if ink := darkHeight(t, filepath.Join("..", "..", "artefacts", "paper-slip-long.pdf"), 2, []float64{0, 0, 4, 0.14}); ink > 0 {
		t.Errorf("%.2f in of the second slip are printed within its margin", ink)
	}
	away := site.Act(site.Bob, dbtest.Noon)
	must(t, site.RefuseAtDoor(t.Context(), away, animal.Refusal{Finding: animal.Spoiled, Reason: wordy(200), Species: domain.Whitetail, Name: longWord, Said: wordy(200), Told: wordy(120)}, "", nil))
	s.goTo("/dropoff/refused/" + away.ID.String() + "/slip")
	if lines := ask[int](s, `document.querySelector(".sheet-head .nowrap").getClientRects().length`); lines != 1 {
		t.Errorf("the shop's phone is broken into %d lines", lines)
	}
	if got := pages(t, s.paper("paper-refusal-long")); len(got) != 2 || got[1] != "4x6" {
		t.Errorf("the longest refusal prints on %v", got)
	}
}

// longOrder prints an order of every part with the longest wish and notes, of an animal
// that a look stopped and that is cut first: one page, with its version at the foot.
func (s *screen) longOrder(t *testing.T, site *webtest.Site) {
	number := site.HangDeer(t, 2, 2)
	site.Own(t, number, longWord+" "+wordy(25), "607-555-0182")
	list := []cutting.Line{{Part: cutting.Backstrap, Treatment: cutting.WholePiece}, {Part: cutting.Tenderloin, Treatment: cutting.WholePiece}, {Part: cutting.Hind, Treatment: cutting.Stew},
		{Part: cutting.Shoulder, Treatment: cutting.Stew}, {Part: cutting.Neck, Treatment: cutting.Grind}, {Part: cutting.Shank, Treatment: cutting.Grind}, {Part: cutting.Trim, Treatment: cutting.Burger, Size: "1 lb", Amount: "rest"}}
	must(t, site.TakeOrder(t.Context(), site.Act(site.Bob, dbtest.Noon), number, db.Written{Source: "counter", Note: wordy(200), Order: cutting.Order{OwnMeatOnly: true, Added: cutting.NoneAdded,
		FallBack: wordy(80), Lines: list}}))
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE animals SET keeps = $1`, wordy(120))
	must(t, err)
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceSticky, Mould: []round.Mould{{Site: round.SiteNeck, Length: 20, Colour: round.White}}}, Touched: true}
	must(t, site.Look(t.Context(), site.Act(site.Bob, dbtest.Noon), number, look))
	s.sheet("/animals/"+string(number)+"/cutsheet", "cutsheet-long", "8.5x11")
	s.sees(wordy(200), "Version 1", "It smells sour.", "Gloves and mask.")
	s.codes("cutsheet-long", number.Digits())
}

// longPacks prints the label of packs whose names are long, and of a tub with the longest
// instruction: what must be read stands whole on it.
func (s *screen) longPacks(t *testing.T, site *webtest.Site, number domain.ShopNumber) {
	mark, err := site.CutOff(t.Context(), site.Act(site.Bob, dbtest.Noon), number, db.NewPiece{Kind: cutting.TubPiece, Kg: 4, Instruction: wordy(120)})
	must(t, err)
	packs, err := site.Packs(t.Context(), number)
	must(t, err)
	for _, l := range []struct{ at, name, inches, words string }{
		{"packs/" + packs[0].ID.String() + "/label?", "pack-long", "3x2", "No pork and no beef in it. Keep frozen. Cook through."},
		{"packs/" + packs[0].ID.String() + "/label?paper=letter", "pack-long-letter", "8.5x11", "No pork and no beef in it. Keep frozen. Cook through."},
		{"pieces/" + mark + "/label?", "piece-long", "3x2", wordy(120)},
	} {
		s.goTo("/animals/" + string(number) + "/" + l.at)
		if got := pages(t, s.paper("paper-"+l.name)); len(got) == 0 || got[0] != l.inches {
			t.Errorf("%s prints on %v", l.name, got)
		}
		s.lettersOf(l.name)
		s.codes(l.name, number.Digits())
		if over := ask[string](s, fmt.Sprintf(`(() => { const p = document.querySelector(".sheet-foot p"), box = p.getBoundingClientRect(), words = document.createRange(), text = p.firstChild, want = %q;
			const at = text.data.indexOf(want); if (at < 0) return "not said: " + p.innerText;
			words.setStart(text, at); words.setEnd(text, at + want.length);
			const end = words.getBoundingClientRect(); return end.bottom > box.bottom + 1 || end.right > box.right + 1 ? "is cut off: " + p.innerText : ""; })()`, l.words)); over != "" {
			t.Errorf("%s: what must be read %s", l.name, over)
		}
	}
	// Given away, it must say so in the program's own words.
	program := site.Act(site.Bob, dbtest.Noon)
	must(t, site.AddProgramme(t.Context(), program, db.Programme{Name: "Venison for Wick", Words: wordy(80), Takes: cutting.Takes{WholeCuts: true}}))
	_, err = dbtest.Owner(t, site.DB).Exec(t.Context(), `INSERT INTO programme_deer (animal_id, programme_id, signer, strokes, at, by_staff) SELECT id, $2, 'Dell Hargrove', '', $3, $4 FROM animals WHERE number = $1`,
		number, program.ID, program.At, program.Staff)
	must(t, err)
	s.sheet("/animals/"+string(number)+"/packs/"+packs[0].ID.String()+"/label", "pack-given", "3x2", "3x2")
	s.sees(wordy(80))
	s.whole("pack-given")
	s.codes("pack-given", number.Digits())
}
