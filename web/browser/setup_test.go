package browser

import (
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The keystroke-level model: Card, Moran and Newell 1980, Communications of the ACM
// 23(7):396-410; the figures are from memory. It times somebody who knows the program
// and makes no mistake, so what a new owner has to read is added: headings, notes and
// hints at the silent reading speed of adults (Brysbaert 2019, Journal of Memory and
// Language 109:104047, 238 words a minute; from memory).
const (
	keySeconds    = 0.28 // a key, average typist who is no secretary
	pointSeconds  = 1.1  // pointing at something
	homeSeconds   = 0.4  // a hand from the keys to the pointer, or back
	mindSeconds   = 1.35 // making up one's mind what comes next
	wordsAMinute  = 238.0
	setUpMinutes  = 5.0
	firstPassword = "the old mill by the creek"
)

// A new shop is set up without the demo, from the address the program writes at its
// first start to the first deer on its hook: shop, zone, state, units, a cooler by
// typing its rails, prices from the starting sheet, one more person, in under five
// minutes as counted.
func TestSetUpToTheFirstHook(t *testing.T) {
	t.Parallel()
	d := dbtest.Open(t)
	site := webtest.Serve(t, d, time.Now())
	go func() { // the browser has no other clock
		for t.Context().Err() == nil {
			site.SetNow(time.Now())
			time.Sleep(100 * time.Millisecond)
		}
	}()
	code, err := d.OpeningCode(t.Context())
	must(t, err)
	h := &newOwner{hand: hand{screen: open(t, site.URL, tablet)}, seen: map[string]bool{}}
	h.opens("/setup/open?code=" + code)
	h.fills("shop", "Far Field Meats", "phone", "6075550100", "state", "NY", "name", "Ada Kline", "initials", "AK", "pin", "2468", "password", firstPassword)
	h.presses("Open the shop")
	h.reads()
	h.follows("/office/rooms")
	h.fills("label", "Main cooler", "rails", "4 rails of 12, 1 hide-on rail of 8", "length", "20", "width", "12", "height", "10", "outside", "60")
	h.tap("main [name=kind][value=cooler]")
	h.tap("main [name=panel][value=polyurethane]")
	h.presses("Build it")
	h.opens("/setup")
	h.follows("/setup/prices")
	h.presses("Put them in force")
	h.reads()
	h.follows("/office/staff")
	h.fills("name", "Ben Tull", "initials", "BT", "new_pin", "1357")
	h.tap("main [name=roles][value=cutter]")
	h.fills("pin", "2468")
	h.presses("Take on")
	h.opens("/setup")
	h.follows("/dropoff")
	h.fills("phone", "6075550142", "name", "Dell Hargrove", "tag", "NY448102")
	for _, tile := range []string{"[name=species][value=whitetail]", "[name=shape][value=whole-hide-on]", "[name=sex][value=male]", "[name=killed][value=today]"} {
		h.tap(tile)
	}
	h.presses("Take it in")
	h.reads()
	h.sees("Hang it", "Main cooler")
	h.picture("setup-first-hook")
	seconds := float64(h.keys)*keySeconds + float64(h.taps)*(pointSeconds+mindSeconds) + float64(h.typed)*2*homeSeconds + float64(h.words)/wordsAMinute*60
	t.Logf("set up to the first hook: %d taps, %d keys in %d fields, %d words to read: %.1f minutes", h.taps, h.keys, h.typed, h.words, seconds/60)
	if seconds/60 >= setUpMinutes {
		t.Errorf("set up takes %.1f minutes, at most %.0f", seconds/60, setUpMinutes)
	}
}

// newOwner is a hand whose owner sees each page for the first time.
type newOwner struct {
	hand
	typed, words int
	seen         map[string]bool
}

// opens goes to a page and reads it; going back to the list is one tap.
func (h *newOwner) opens(path string) {
	h.t.Helper()
	h.taps++
	h.goTo(path)
	h.reads()
}

// follows taps the link of a page that leads to another, and reads that.
func (h *newOwner) follows(path string) {
	h.t.Helper()
	h.tap(`main a[href="` + path + `"]`)
	h.wait(`location.pathname === "` + path + `" && document.querySelector("main h1")`)
	h.reads()
}

// fills types into fields, name and text by turns.
func (h *newOwner) fills(pairs ...string) {
	h.t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		h.types(pairs[i], pairs[i+1])
		h.typed++
	}
}

// reads counts the words that stand above and beside the fields, of a page seen for
// the first time.
func (h *newOwner) reads() {
	h.t.Helper()
	path := ask[string](h.screen, "location.pathname")
	if h.seen[path] {
		return
	}
	h.seen[path] = true
	h.words += len(strings.Fields(ask[string](h.screen, `[...document.querySelectorAll("main h1, main h2, main .note, main .hint, main .line-title, main .line-note")].filter(e => e.offsetParent).map(e => e.innerText).join(" ")`)))
}
