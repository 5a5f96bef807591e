package browser

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"coldrail/web/webtest"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A deer taken in, looked at and handed back with the keyboard alone: Tab, space,
// the arrows and Enter. At every stop the focus is seen and further down the page.
func TestByKeyboardAlone(t *testing.T) {
	site := webtest.Open(t)
	boxed := site.BoxDeer(t, 1, 1)
	site.Own(t, boxed, "Dale Orrin", "607-555-0142")
	must(t, site.BillPart(t.Context(), site.Act(site.Bob, site.Now()), boxed))
	hung := site.HangDeer(t, 2, 3)
	s := open(t, site.URL, desktop)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")

	s.comesTo("/")
	s.tabTo(".skip")
	s.do(chromedp.KeyEvent("\r"))
	s.wait(`document.activeElement.id === "main" || location.hash === "#main"`)
	s.tabTo("main a, main button, main input, main summary") // past the head of the page

	s.comesTo("/dropoff")
	s.write("phone", "6075550143")
	s.write("name", "Dell Hargrove")
	s.write("tag", "NY448102")
	for _, tile := range [][2]string{{"species", "whitetail"}, {"killed", "today"}, {"sex", "male"}, {"shape", "whole-hide-on"}} {
		s.choose(tile[0], tile[1])
	}
	s.enter("Take it in")
	s.sees("Hang it", "What to tell the owner")

	s.comesTo("/round/look")
	s.choose("number", string(hung))
	s.choose("surface", "dry")
	s.enter("clean")
	s.sees("dry")

	s.comesTo("/pickup")
	s.write("q", "0142")
	s.enter("Find")
	s.sees("Dale Orrin")
	s.choose("way", "cash")
	s.write("pin", "2222")
	s.enter("Take the payment")
	s.sees("Paid")
	s.toTheEnd()
}

// comesTo opens a page and waits until a person could press a key: it is drawn, and
// the browser has put the focus where the page asks for it, which it does only then.
func (s *screen) comesTo(path string) {
	s.t.Helper()
	s.goTo(path)
	ask[bool](s, `requestAnimationFrame(() => requestAnimationFrame(() => { window.drawn = true; })), true`)
	s.wait(`window.drawn && (document.querySelector("[autofocus]") || document.body) === document.activeElement`)
}

// stop is where the focus is: whether the selector has it, whether a person sees
// it, and whether it came further down the page than where it was.
const stop = `((selector) => {
	const e = document.activeElement, was = window.lastStop;
	if (!e || e === document.body) return "nowhere";
	const shown = [e, e.nextElementSibling, e.closest(".line")].filter(Boolean).map(x => getComputedStyle(x));
	const seen = shown.some(c => c.outlineStyle !== "none" && parseFloat(c.outlineWidth) >= 2);
	const back = was?.isConnected && was !== e && !(was.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING);
	window.lastStop = e;
	const box = (e.matches(".tile input") ? e.nextElementSibling : e).getBoundingClientRect();
	if (!seen) return "unseen: " + e.outerHTML.slice(0, 120);
	if (back) return "back: " + e.outerHTML.slice(0, 120);
	if (box.bottom < 0 || box.top > innerHeight) return "off the screen: " + e.outerHTML.slice(0, 120);
	return e.matches(selector) ? "there" : "on the way";
})(%q)`

// tabTo presses Tab until the focus is on what the selector finds.
func (s *screen) tabTo(selector string) {
	s.t.Helper()
	if ask[bool](s, fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) {
		return
	}
	for range 150 {
		s.do(chromedp.KeyEvent("\t"))
		at := ask[string](s, fmt.Sprintf(stop, selector))
		for end := time.Now().Add(2 * time.Second); strings.HasPrefix(at, "off the screen") && time.Now().Before(end); {
			time.Sleep(20 * time.Millisecond) // the browser scrolls to it in its own time
			at = ask[string](s, fmt.Sprintf(stop, selector))
		}
		switch at {
		case "there":
			return
		case "on the way":
		default:
			s.t.Fatalf("on the way to %s at %s: focus %s", selector, ask[string](s, "location.pathname"), at)
		}
	}
	s.t.Fatalf("Tab never comes to %s at %s", selector, ask[string](s, "location.pathname"))
}

// toTheEnd presses Tab until the page lets the focus go, out of it or back to its
// first stop: nothing traps it.
func (s *screen) toTheEnd() {
	s.t.Helper()
	for range 150 {
		s.do(chromedp.KeyEvent("\t"))
		if ask[bool](s, `document.activeElement === document.body || document.activeElement.matches(".skip")`) {
			return
		}
	}
	s.t.Fatalf("the focus never leaves %s", ask[string](s, "location.pathname"))
}

// write comes to a field and types.
func (s *screen) write(name, text string) {
	s.t.Helper()
	s.tabTo(fmt.Sprintf("main [name=%s]", name))
	s.do(chromedp.KeyEvent(text))
}

// choose comes to a row of tiles or a list and walks it with the arrows to one of them.
func (s *screen) choose(name, value string) {
	s.t.Helper()
	s.tabTo(fmt.Sprintf("main [name=%s]", name))
	if ask[bool](s, `document.activeElement.type === "radio"`) {
		s.do(chromedp.KeyEvent(" "))
	}
	for range 20 {
		if ask[bool](s, fmt.Sprintf(`document.activeElement.checked !== false && document.activeElement.value === %q`, value)) {
			return
		}
		s.do(chromedp.KeyEvent(kb.ArrowDown))
	}
	s.t.Fatalf("the arrows never come to %s of %s", value, name)
}

// enter comes to the button with these words or this value, presses Enter and waits
// for the page that follows.
func (s *screen) enter(button string) {
	s.t.Helper()
	ask[bool](s, fmt.Sprintf(`[...document.querySelectorAll("main button")].find(b => b.value === %q || b.textContent.trim().startsWith(%q)).dataset.wanted = "yes", document.querySelector("main").dataset.before = "yes", true`, button, button))
	s.tabTo("[data-wanted]")
	s.do(chromedp.KeyEvent("\r"))
	s.wait(arrived)
}
