// Package browser holds the tests that drive real Chromium: the whole life of
// one deer as the people of the shop play it, the width of pages on a phone, and
// the true size of what is printed. With -pictures each step is kept in artefacts/ at the root of
// the repository, which git ignores.
package browser

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// The sizes that screens are made for.
const (
	phone   = "phone"
	tablet  = "tablet"
	desktop = "desktop"
)

var sizes = map[string][2]int64{phone: {360, 740}, tablet: {820, 1180}, desktop: {1440, 900}}

// chromium is the one browser of this test binary.
var chromium context.Context

func TestMain(m *testing.M) {
	if err := cutOff(); err != nil {
		fmt.Fprintln(os.Stderr, "FAIL: these tests run cut off from the internet:", err)
		os.Exit(1)
	}
	path := "/usr/bin/chromium"
	if _, err := os.Stat(path); err != nil {
		fmt.Fprintln(os.Stderr, "FAIL: no Chromium at /usr/bin/chromium. Run: .ci/install test")
		os.Exit(1)
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	var closeBrowser context.CancelFunc
	chromium, closeBrowser = chromedp.NewContext(allocator)
	if err := chromedp.Do(chromium); err != nil {
		fmt.Fprintln(os.Stderr, "FAIL: Chromium does not start:", err)
		os.Exit(1)
	}
	status := m.Run()
	closeBrowser()
	stop()
	os.Exit(status)
}

// screen is one device: its own cookies, its own size.
type screen struct {
	t   testing.TB
	ctx context.Context
	url string

	hung map[string]int // how many hang on each rail, for whoever counts
}

// open gives a device of a size, for this test alone.
func open(t testing.TB, url, size string) *screen {
	t.Helper()
	tab, done := chromedp.NewContext(chromium, chromedp.WithNewBrowserContext())
	t.Cleanup(done)
	if err := chromedp.Do(tab); err != nil { // without a time limit: it would end the tab
		t.Fatal(err)
	}
	s := &screen{t: t, ctx: tab, url: url}
	s.do(chromedp.EmulateViewport(sizes[size][0], sizes[size][1]))
	return s
}

func (s *screen) do(steps ...chromedp.Action[chromedp.Void]) {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.ctx, 30*time.Second)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		s.t.Fatal(err)
	}
}

// call sends the browser a command about this device.
func call[P, R any](s *screen, command cdp.Command[P, R], with P) {
	s.t.Helper()
	if _, err := chromedp.Call(s.ctx, command, with); err != nil {
		s.t.Fatal(err)
	}
}

// ask evaluates an expression in the page.
func ask[T any](s *screen, expression string) T {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.ctx, 30*time.Second)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		s.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// goTo opens a page of the site.
func (s *screen) goTo(path string) {
	s.t.Helper()
	if !strings.HasPrefix(path, "http") {
		path = s.url + path
	}
	s.do(chromedp.Navigate(path))
}

// form fills the fields by name in the form that holds the button with these
// words, presses it and waits for the page that follows.
func (s *screen) form(button string, fields map[string]string) {
	s.t.Helper()
	values, err := json.Marshal(fields)
	if err != nil {
		s.t.Fatal(err)
	}
	words, err := json.Marshal(button)
	if err != nil {
		s.t.Fatal(err)
	}
	said := ask[string](s, fmt.Sprintf(fill, values, words))
	if said != "" {
		s.t.Fatalf("form %q at %s: %s", button, ask[string](s, "location.pathname"), said)
	}
	s.wait(arrived + ` || document.querySelector("#problem")?.textContent.trim()`)
	if problem := ask[string](s, `document.querySelector("#problem")?.textContent.trim() || ""`); problem != "" {
		s.t.Fatalf("form %q: %s", button, problem)
	}
	if wrong := ask[string](s, `[...document.querySelectorAll(".wrong, .notice.urgent")].map(e => e.textContent.trim()).join(" | ")`); wrong != "" && ask[bool](s, `!!document.querySelector(".wrong")`) {
		s.t.Fatalf("form %q came back: %s", button, wrong)
	}
}

// fill sets the fields as a person would and presses the button.
const fill = `((values, words) => {
	const button = [...document.querySelectorAll("main button")].find(b => b.textContent.trim().startsWith(words));
	if (!button) return "there is no such button";
	const form = button.form;
	for (const [name, value] of Object.entries(values || {})) {
		const [field, nth] = name.split("#"); // "amount#2" is the third field of that name
		let all = [...form.elements].filter(e => e.name === field && e.type !== "hidden");
		if (nth) all = all.slice(+nth, +nth + 1);
		if (!all.length) return "there is no field " + name + " among " + [...form.elements].map(e => e.name).join(" ");
		if (all[0].type === "radio" || all[0].type === "checkbox") {
			const one = all.find(e => e.value === value);
			if (!one) return name + " offers no " + value + " but " + all.map(e => e.value).join(" ");
			if (!one.checked) one.click();
			continue;
		}
		all[0].focus();
		all[0].value = value;
		all[0].dispatchEvent(new Event("input", {bubbles: true}));
		all[0].dispatchEvent(new Event("change", {bubbles: true}));
	}
	const empty = [...form.elements].filter(e => e.willValidate && !e.checkValidity()).map(e => e.name);
	if (empty.length && !button.formNoValidate) return "the browser would not send it: " + empty.join(" ");
	document.querySelector("main").dataset.before = "yes";
	button.click();
	return "";
})(%s, %s)`

// arrived holds once the page that follows a marked one is there, whole, and the focus
// is in the field that asks for it.
const arrived = `document.readyState === "complete" && document.querySelector("main") && !document.querySelector("main").dataset.before && !document.querySelector(".htmx-settling")`

// wait waits until the expression holds.
func (s *screen) wait(expression string) {
	s.t.Helper()
	for end := time.Now().Add(20 * time.Second); ; {
		ctx, stop := context.WithTimeout(s.ctx, 5*time.Second)
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		stop()
		if err == nil && ok {
			return
		}
		if time.Now().After(end) {
			s.picture("stuck")
			s.t.Fatalf("never came true at %s: %s (%v)", ask[string](s, "location.href"), expression, err)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// sees fails unless the page says every phrase.
func (s *screen) sees(phrases ...string) {
	s.t.Helper()
	text := strings.Join(strings.Fields(ask[string](s, "document.body.innerText")), " ")
	for _, p := range phrases {
		if !strings.Contains(strings.ToLower(text), strings.ToLower(p)) {
			s.t.Errorf("%s does not say %q: %.1500s", ask[string](s, "location.pathname"), p, text)
		}
	}
}

// fits fails if the page is wider than its screen, or if on a phone a table has to be
// moved sideways to be read.
func (s *screen) fits(size string) {
	s.t.Helper()
	if w := ask[int](s, "document.documentElement.scrollWidth"); w > int(sizes[size][0]) {
		wide := ask[string](s, `[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > innerWidth && !e.closest(".table-scroll, .rail-scroll")).slice(0, 4).map(e => e.outerHTML.slice(0, 90)).join(" | ")`)
		s.t.Errorf("%s is %d px wide on a %s of %d: %s", ask[string](s, "location.pathname"), w, size, sizes[size][0], wide)
	}
	if size != phone {
		return
	}
	if tables := ask[string](s, `[...document.querySelectorAll(".table-scroll")].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.scrollWidth + " in " + e.clientWidth + ": " + e.innerText.slice(0, 60)).join(" | ")`); tables != "" {
		s.t.Errorf("%s has tables wider than a phone: %s", ask[string](s, "location.pathname"), tables)
	}
}

var pictures = flag.Bool("pictures", false, "keep a picture of each step, to look at")

// picture keeps what is on the screen, where somebody is to look at it: drawing a
// whole page costs Chromium as much as all else on it.
func (s *screen) picture(name string) {
	s.t.Helper()
	if *pictures || *everyLook || name == "stuck" {
		s.draw(name)
	}
}

func (s *screen) draw(name string) {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.ctx, 30*time.Second)
	defer stop()
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil {
		s.t.Fatal(err)
	}
	keep(s.t, name+".png", png)
}

// paper prints the page as its style sheet wants it and keeps the PDF.
func (s *screen) paper(name string) []byte {
	s.t.Helper()
	ctx, stop := context.WithTimeout(s.ctx, 30*time.Second)
	defer stop()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	if err != nil {
		s.t.Fatal(err)
	}
	keep(s.t, name+".pdf", pdf)
	return pdf
}

func keep(t testing.TB, name string, data []byte) {
	t.Helper()
	dir := filepath.Join("..", "..", "artefacts")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// signIn lets the device in and takes it under a name, as on the first day.
func (s *screen) signIn(initials, password, name string) {
	s.t.Helper()
	s.goTo("/")
	s.form("Let it in", map[string]string{"initials": initials, "password": password, "device": name + "'s tablet"})
	s.take(name)
}

// take hands the device to somebody by a tap on a name.
func (s *screen) take(name string) {
	s.t.Helper()
	s.goTo("/who")
	s.form(name, nil)
}
