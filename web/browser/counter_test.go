package browser

import (
	"encoding/json"
	"fmt"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/web/webtest"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// hand counts what a person does on a screen: taps and keys.
type hand struct {
	*screen
	taps, keys int
}

// tap presses what the selector finds. A label tapped is a tile tapped.
func (h *hand) tap(selector string) {
	h.t.Helper()
	h.taps++
	find, _ := json.Marshal(selector)
	if said := ask[string](h.screen, fmt.Sprintf(`(() => { const e = document.querySelector(%s); if (!e) return "nothing there"; e.click(); return ""; })()`, find)); said != "" {
		h.t.Fatalf("tap %s at %s: %s", selector, ask[string](h.screen, "location.pathname"), said)
	}
}

// types puts letters into a field, with a tap where it has not the focus already.
func (h *hand) types(name, text string) {
	h.t.Helper()
	if ask[string](h.screen, "document.activeElement?.name || ''") != name {
		h.taps++
		find, _ := json.Marshal(fmt.Sprintf("main [name=%s]", name))
		ask[bool](h.screen, fmt.Sprintf(`(() => { document.querySelector(%s).focus(); return true; })()`, find))
	}
	h.keys += len(text)
	h.do(chromedp.KeyEvent(text))
}

// presses taps a button by its words and waits for the page that follows.
func (h *hand) presses(words string) {
	h.t.Helper()
	h.taps++
	h.form(words, nil)
}

func (h *hand) all() int { return h.taps + h.keys }

// A known customer's deer is in the register and on its hook within 25 taps and keys
// (issue: the counter at the peak); a new customer's is counted too. Then the rest of
// the conversation, and the whole pick-up.
func TestCounterTaps(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	dropOff := func(known bool) *hand {
		h := &hand{screen: s}
		s.goTo("/dropoff")
		if known {
			h.types("phone", "0142")
			h.presses("Do we know them?")
		} else {
			h.types("phone", "6075550142")
			h.types("name", "Dell Hargrove")
		}
		h.types("tag", map[bool]string{false: "NY448102", true: "NY448103"}[known])
		for _, tile := range []string{"[name=species][value=whitetail]", "[name=shape][value=whole-hide-on]", "[name=sex][value=male]", "[name=killed][value=today]"} {
			h.tap(tile)
		}
		h.presses("Take it in")
		s.sees("Hang it", "Still owed to the register", "What to tell the owner")
		return h
	}
	fresh := dropOff(false)
	t.Logf("new customer: %d taps, %d keys", fresh.taps, fresh.keys)
	order := db.Written{Order: wholeDeer(), Source: "counter"}
	must(t, site.TakeOrder(t.Context(), site.Act(site.Bob, site.Now()), dbtest.Tag(1), order))
	known := dropOff(true)
	t.Logf("known customer: %d taps, %d keys", known.taps, known.keys)
	if known.all() > 25 {
		t.Errorf("a known customer takes %d taps and keys, the most is 25", known.all())
	}
	s.fits(tablet)
	s.picture("counter-hung")

	rest := &hand{screen: s}
	rest.presses("Same as last time")
	s.sees("Read it back")
	s.signs()
	rest.presses("Keep the signature")
	s.sees("Signed")
	if ask[int](s, `document.querySelectorAll(".signature path").length`) != 1 {
		t.Error("the signature is not shown")
	}
	s.picture("counter-signed")
	t.Logf("order as last time, signed: %d taps", rest.taps)

	// Somebody calls: is mine ready? By its number, and by a name that has two.
	s.do(chromedp.EmulateViewport(sizes[phone][0], sizes[phone][1]))
	for typed, answer := range map[string]string{"0002": "chilling", "hargrove": "It hangs in our cooler"} {
		h := &hand{screen: s, taps: 1, keys: len(typed) + 1}
		s.goTo("/")
		ask[bool](s, `(() => { document.getElementById("find").focus(); return true; })()`)
		s.do(chromedp.KeyEvent(typed + kb.Enter))
		s.wait(`!document.getElementById("today")`)
		s.sees("0002", answer)
		s.fits(phone)
		t.Logf("is it ready, by %q: %d taps, %d keys", typed, h.taps, h.keys)
		if h.all() > 10 {
			t.Errorf("by %q the answer takes %d taps and keys, the most is 10", typed, h.all())
		}
		s.picture("is-it-ready-" + typed)
	}
	s.do(chromedp.EmulateViewport(sizes[tablet][0], sizes[tablet][1]))

	away := site.Act(site.Bob, site.Now())
	must(t, site.RefuseAtDoor(t.Context(), away, animal.Refusal{Finding: animal.Spoiled, Reason: "green at the hip, sweet smell, shot the day before", Species: domain.Whitetail,
		Name: "Carl Orrin", Tag: "NY448104", Said: "The officer at the county office writes a new tag where the state allows it."}, "", nil))
	s.sheet("/dropoff/refused/"+away.ID.String()+"/slip", "refusal", "4x6")
	s.picture("counter-refusal")
}

// The whole pick-up on a tablet: found, billed, paid, boxes scanned, signed, gone; a
// wrong box is refused with its right place.
func TestPickUpTaps(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	n, other := site.BoxDeer(t, 1, 2), site.BoxDeer(t, 2, 1)
	site.Own(t, n, "Dale Orrin", "607-555-0142")
	must(t, site.BillPart(t.Context(), site.Act(site.Bob, site.Now()), n))
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	h := &hand{screen: s}
	s.goTo("/pickup")
	h.types("q", "0142")
	h.presses("Find")
	s.sees("Dale Orrin", "$150.00 to pay")
	h.tap("[name=way][value=cash]")
	h.types("pin", "2222")
	h.presses("Take the payment")
	scan := func(label string) {
		ask[bool](s, `(() => { document.querySelector("main [name=scan]").value = ""; return true; })()`)
		h.types("scan", label)
		h.keys -= len(label) - 1 // the scanner types: one press of its trigger
		h.presses("Tick this box")
	}
	ask[bool](s, `(() => { document.querySelector("main [name=scan]").value = "`+domain.BoxCode(other, 1)+`"; return true; })()`)
	ask[string](s, fmt.Sprintf(fill, "{}", `"Tick this box"`))
	s.wait(`document.body.innerText.includes("Put it back to Freezer F1-2")`)
	scan(domain.BoxCode(n, 1))
	scan(domain.BoxCode(n, 2))
	if ticked := ask[int](s, `document.querySelectorAll("[name=boxes]:checked").length`); ticked != 2 {
		t.Errorf("%d boxes are ticked after two scans", ticked)
	}
	h.types("seen", "license")
	s.signs()
	h.taps++
	ask[bool](s, `(() => { document.querySelector("#handover-pin").focus(); return true; })()`)
	h.types("pin", "2222")
	s.picture("counter-pickup")
	h.presses("Hand over")
	s.sees("Nothing to hand over now", "tag given back")
	s.fits(tablet)
	t.Logf("full pick-up of two boxes: %d taps, %d keys", h.taps, h.keys)
	if h.all() > 40 {
		t.Errorf("a full pick-up takes %d taps and keys", h.all())
	}
}

// A hand-over that is refused says so where it is seen: the page that comes back is
// long, and the field that is wrong stands below what a tablet shows.
func TestRefusalIsSeen(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	n := site.BoxDeer(t, 1, 2)
	site.Own(t, n, "Dale Orrin", "607-555-0142")
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/pickup/" + string(n))
	s.signs()
	ask[string](s, fmt.Sprintf(fill, `{"boxes": "`+domain.BoxCode(n, 1)+`", "collector": "Stranger", "authority": "named by owner", "seen": "license", "pin": "2222"}`, `"Hand over"`))
	s.wait(arrived)
	s.sees("The owner has not named them")
	s.wait(`(() => { const { top, bottom } = document.querySelector("main .is-wrong").getBoundingClientRect(); return top > 0 && bottom < innerHeight; })()`)

	// The owner names him: what was ticked by hand stays, and his name stands below.
	s.goTo("/pickup/" + string(n))
	ask[bool](s, `(() => { document.querySelectorAll("[name=boxes]").forEach((e) => e.click()); return true; })()`)
	s.form("Write it down", map[string]string{"named": "Stranger", "named_how": "call"})
	if kept := ask[string](s, `document.querySelectorAll("[name=boxes]:checked").length + " " + document.querySelector("[name=collector]").value`); kept != "2 Stranger" {
		t.Errorf("after the owner named somebody the hand-over says %q", kept)
	}
}

// signs draws a line on the field to sign in; where nothing came of it, as on a
// page that moved under the finger, a person draws once more.
func (s *screen) signs() {
	s.t.Helper()
	for range 2 {
		if s.drawn() != "" {
			return
		}
		s.t.Log("the first line was not taken")
	}
	s.t.Error("the field takes no line")
}

func (s *screen) drawn() string {
	s.t.Helper()
	// What the tablet keeps is told above the page as it loads, and moves the field.
	s.wait(`(() => {
		const pad = document.querySelector(".sign-pad");
		pad.scrollIntoView({block: "center", behavior: "instant"});
		const top = Math.round(pad.getBoundingClientRect().top + scrollY);
		window.still = top === window.padTop && document.readyState === "complete" && !document.querySelector(".htmx-request, .htmx-settling, .htmx-swapping") ? (window.still || 0) + 1 : 0;
		window.padTop = top;
		return window.still >= 6;
	})()`)
	at := ask[[]float64](s, `(() => { const b = document.querySelector(".sign-pad").getBoundingClientRect(); return [b.left, b.top, b.width, b.height]; })()`)
	x, y := at[0]+at[2]/4, at[1]+at[3]/2
	s.do(chromedp.MouseEvent(chromedp.MousePressed, x, y, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseMoved, x+60, y-20, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseMoved, x+90, y+20, chromedp.ButtonLeft),
		chromedp.MouseEvent(chromedp.MouseReleased, x+90, y+20, chromedp.ButtonLeft))
	return ask[string](s, `document.querySelector("[name=strokes]").value`)
}

// wholeDeer is an order that leaves nothing to ask.
func wholeDeer() cutting.Order {
	return cutting.Order{Added: cutting.NoneAdded, FallBack: "steaks", Lines: []cutting.Line{
		{Part: cutting.Backstrap, Treatment: cutting.WholePiece}, {Part: cutting.Hind, Treatment: cutting.Roasts},
		{Part: cutting.Shoulder, Treatment: cutting.Grind}, {Part: cutting.Neck, Treatment: cutting.Grind},
		{Part: cutting.Trim, Treatment: cutting.Burger}}}
}
