package browser

import (
	"math"
	"slices"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/web/webtest"

	"github.com/chromedp/chromedp"
)

// The cutting room on a tablet, with a scanner that types digits and Enter, and a
// knuckle: an old sheet, a wrong tag, the right one, packs, a tub, labels, boxes.
func TestCuttingRoom(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	site.Cold(t)
	good, card, tag := ordered(t, site, 1), ordered(t, site, 2), ordered(t, site, 3)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Ann Kessler")

	// An old sheet is told by its square, and the carcass stays where it is.
	s.goTo("/cutting?take=" + string(good))
	s.readable()
	if top := ask[float64](s, `document.querySelector(".next-number").getBoundingClientRect().top`); top < 0 {
		t.Errorf("the number to cut lies %.0f px above the screen", -top)
	}
	s.fits(tablet)
	s.form("Start cutting", map[string]string{"tag": good.Digits(), "card": cutting.SheetCode(good, 1)})
	if where := ask[string](s, "location.pathname"); where != "/cutting/"+string(good) {
		t.Fatalf("the right sheet and the right tag lead to %s: %s", where, ask[string](s, "document.body.innerText"))
	}
	s.knuckle()
	s.fits(tablet)
	s.picture("cutting-table")

	// Packs, a tub with its number, and what was thrown away.
	at := "/cutting/" + string(good)
	for _, pack := range []map[string]string{{"cut": "hind steaks", "count": "8", "weight": "12.4", "tare": "0.4"}, {"cut": "burger", "count": "12", "weight": "24"}} {
		s.goTo(at)
		s.form("Add", pack)
	}
	s.form("Note it", map[string]string{"kind": "bone", "trim_weight": "34"})
	s.goTo("/animals/" + string(good) + "/pieces")
	s.form("Number and label", map[string]string{"kind": "tub", "piece_weight": "14", "instruction": "sticks"})
	s.sees("tub of trim", good.Short())
	s.labels(site, good)
	s.goTo(at)
	s.form("Finish cutting", map[string]string{"labelled": "yes", "all_weighed": "yes"})
	s.sees("The weights add up.")
	s.picture("cutting-boxes")
	s.form("One more box", nil)
	if places := ask[int](s, `document.querySelectorAll("select[name=place]").length`); places != 2 {
		t.Errorf("%d places after one more, want 2", places)
	}
	s.goTo("/cutting/tubs")
	s.form("That is my count", map[string]string{"counted": "1"})
	s.sees("1, and that agrees.")
	s.fits(tablet)
	s.picture("cutting-tubs")

	// The scanner reads a tag that is not the card's: both are held.
	s.goTo("/cutting?take=" + string(card))
	s.scans(tag)
	s.wait(`document.body.innerText.includes("Put the knife down")`)
	s.picture("cutting-wrong-tag")
	for _, n := range []domain.ShopNumber{card, tag} {
		if holds, err := site.Holds(t.Context(), n); err != nil || len(holds) != 1 {
			t.Errorf("%s: %+v, %v", n, holds, err)
		}
	}

	// A knuckle that scans the right one starts it by Enter alone.
	next := ordered(t, site, 4)
	s.goTo("/cutting")
	s.scans(next)
	s.wait(`location.pathname == "/cutting/` + string(next) + `"`)
	if a, err := site.Animal(t.Context(), next); err != nil || a.Physical != animal.OnTable {
		t.Errorf("%v, %v", a.Physical, err)
	}
	s.goTo("/animals/" + string(next) + "/order")
	s.fits(tablet)
}

// scans types what a scanner types: the digits and Enter, into whatever field has
// the focus. Nobody taps the field first.
func (s *screen) scans(number domain.ShopNumber) {
	s.t.Helper()
	s.wait(`document.readyState == "complete" && document.activeElement?.name == "tag"`)
	s.do(chromedp.KeyEvent(number.Digits() + "\r"))
}

// ordered hangs a deer of 40 kg whose owner has ordered.
func ordered(t *testing.T, site *webtest.Site, running int) domain.ShopNumber {
	t.Helper()
	number := site.HangDeer(t, running, running)
	site.Own(t, number, "Wendell Ostrander", "607-555-018"+string(rune('0'+running)))
	must(t, site.TakeOrder(t.Context(), site.Act(site.Bob, dbtest.Noon), number, db.Written{Source: "counter", Order: cutting.Order{OwnMeatOnly: true, Added: cutting.NoneAdded,
		Lines: []cutting.Line{{Part: cutting.Backstrap, Treatment: cutting.Chops, Thickness: "1", PerPack: "4"}, {Part: cutting.Hind, Treatment: cutting.Steaks, Thickness: "3/4", PerPack: "2"},
			{Part: cutting.Shoulder, Treatment: cutting.Stew}, {Part: cutting.Neck, Treatment: cutting.Grind}, {Part: cutting.Trim, Treatment: cutting.Burger, Size: "1 lb", Amount: "rest"}}}}))
	return number
}

// labels prints what goes on packs and tubs, on the roll and on letter paper.
func (s *screen) labels(site *webtest.Site, number domain.ShopNumber) {
	s.t.Helper()
	packs, err := site.Packs(s.t.Context(), number)
	must(s.t, err)
	pack, piece := "/animals/"+string(number)+"/packs/"+packs[0].ID.String()+"/label", "/animals/"+string(number)+"/pieces/T/label"
	s.sheet(pack, "pack", slices.Repeat([]string{"3x2"}, packs[0].Count)...)
	s.lettersOf("pack")
	s.sheet(pack+"?paper=letter", "pack-letter", "8.5x11")
	s.lettersOf("pack-letter")
	s.sheet(piece, "piece", "3x2")
	s.lettersOf("piece")
	for paper, inches := range map[string]string{"pack": "3x2", "4x6": "4x6", "letter": "8.5x11"} {
		s.sheet("/labels/ruler?paper="+paper, "ruler-"+paper, inches)
		s.lettersOf("ruler-" + paper)
	}
	s.sheet("/animals/"+string(number)+"/cutsheet", "cutsheet-version", "8.5x11")
	// What each of them reads on the wall is one page, the owner's guide two.
	for _, role := range []string{"counter", "cooler", "cutter", "lead"} {
		s.sheet("/help/"+role, "how-"+role, "8.5x11")
		s.whole("how-" + role)
	}
	s.sheet("/help/owner", "owners-guide", "8.5x11", "8.5x11")
	s.whole("owners-guide")
	// A tap within another page comes to paper as a page of its own: desk, size and all.
	s.goTo("/help")
	s.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("a.line-act[href^='/help/']").click()`))
	s.wait(`document.body.matches(".desk") && getComputedStyle(document.querySelector(".sheet")).width == 8.5 * 96 + "px"`)
	// The button keeps the print in the book before the printer gets it.
	s.goTo(pack)
	s.do(chromedp.Evaluate[chromedp.Void](`window.print = () => { document.title = "went to the printer" }; document.querySelector("[data-print]").click()`))
	s.wait(`document.title == "went to the printer"`)
	printed, err := site.PrintsOf(s.t.Context(), number, "pack", packs[0].ID.String())
	if err != nil || len(printed) != 1 || printed[0].Labels != packs[0].Count {
		s.t.Errorf("the book has %+v, %v", printed, err)
	}
	s.goTo(pack)
	s.form("Show it again", map[string]string{"why": "jammed"})
	s.sees("Why again: jammed")
}

// readable measures the order on the tablet at two metres. A letter is readable
// at 20/40 where its height fills ten minutes of arc (Snellen: 20/20 is five), a
// capital is 0.7 of its type (common for serif type, no source), and a tablet of
// 820 px is 6.3 in wide.
func (s *screen) readable() {
	s.t.Helper()
	const want = 2000 * 10.0 / 60 * math.Pi / 180 // mm
	px := ask[float64](s, `parseFloat(getComputedStyle(document.querySelector(".order li")).fontSize)`)
	if high := 0.7 * px * 6.3 / 820 * 25.4; high < want {
		s.t.Errorf("the order's capitals are %.1f mm high on a tablet, readable at 2 m takes %.1f mm", high, want)
	}
}

// knuckle fails where something to tap in the page is lower than 64 px.
func (s *screen) knuckle() {
	s.t.Helper()
	low := ask[[]string](s, `[...document.querySelectorAll("main button, main select, main a.button, main summary, main .tile, main input:not([type=hidden]):not([type=radio]):not([type=checkbox])")]
		.filter(e => e.offsetParent && e.getBoundingClientRect().height < 63.5).map(e => (e.name || e.textContent.trim()) + " " + e.getBoundingClientRect().height)`)
	if len(low) > 0 {
		s.t.Errorf("%s: lower than a knuckle: %s", ask[string](s, "location.pathname"), strings.Join(low, ", "))
	}
}
