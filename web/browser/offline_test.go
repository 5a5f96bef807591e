package browser

import (
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// tabletIn is a tablet whose browser keeps its things in dir, so that it can be
// killed and started again.
func tabletIn(t *testing.T, url, dir string) (*screen, context.CancelFunc) {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("/usr/bin/chromium"), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.UserDataDir(dir))
	allocator, kill := chromedp.NewExecAllocator(context.Background(), opts...)
	tab, done := chromedp.NewContext(allocator)
	if err := chromedp.Do(tab); err != nil {
		t.Fatal(err)
	}
	s := &screen{t: t, ctx: tab, url: url}
	s.do(chromedp.EmulateViewport(sizes[tablet][0], sizes[tablet][1]))
	return s, func() { done(); kill() }
}

// fillIn fills fields of the page's form as a person would and presses nothing.
func (s *screen) fillIn(fields map[string]string) {
	s.t.Helper()
	for name, value := range fields {
		ask[bool](s, fmt.Sprintf(`(() => {
			const all = [...document.querySelectorAll("form[data-offline]")].flatMap(f => [...f.elements]).filter(e => e.name === %q);
			const one = all.find(e => e.type !== "radio" || e.value === %q);
			if (!one) throw new Error("no field %s");
			if (one.type === "radio") { one.click(); return true; }
			one.value = %q;
			one.dispatchEvent(new Event("change", {bubbles: true}));
			return true;
		})()`, name, value, name, value))
	}
}

// press taps a button of a marked form.
func (s *screen) press(words string) {
	s.t.Helper()
	ask[bool](s, fmt.Sprintf(`(() => { const b = [...document.querySelectorAll("button")].find(b => b.textContent.trim() === %q);
		if (!b) throw new Error("no button"); const empty = b.form ? [...b.form.elements].filter(e => e.willValidate && !e.checkValidity()).map(e => e.name) : [];
		if (empty.length) throw new Error("it would not be sent: " + empty); b.click(); return true; })()`, words))
}

// ready waits until the tablet has kept the pages and the worker hands them out.
func (s *screen) ready() {
	s.t.Helper()
	for tries := 0; !ask[bool](s, `!!navigator.serviceWorker?.controller`); tries++ {
		if tries == 200 {
			s.t.Fatal("the worker that keeps pages never takes the tablet over")
		}
		if tries%50 == 0 { // every page that opens sets it up if it is not there yet
			s.goTo("/round")
		}
		time.Sleep(100 * time.Millisecond)
	}
	s.goTo("/round")
	s.wait(`window.keptThere || (caches.open("coldrail-pages").then(c => c.match("/round/move")).then(m => kept.get("notes", "synced").then(n => window.keptThere = !!m && !!n)), false)`)
}

func (s *screen) says(words string) string {
	return fmt.Sprintf(`(document.getElementById("kept")?.innerText || "").includes(%q)`, words)
}

// A look and a move without the shop's machine, with a half-filled form over a
// reload and the browser killed before anything was sent; then everything
// arrives once.
func TestRoundWithoutNetwork(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	deer := site.HangDeer(t, 1, 3)
	site.HangDeer(t, 2, 4)
	dir := filepath.Join(t.TempDir(), "browser")
	s, end := tabletIn(t, site.URL, dir)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()

	site.Away()
	s.goTo("/round/look")
	s.wait(s.says("cannot be reached"))
	s.fillIn(map[string]string{"number": string(deer), "surface": "dry"})
	s.wait(`window.drafted || (kept.all("drafts").then(d => window.drafted = d.some(x => x.fields.some(f => f[0] === "surface"))), false)`)
	s.goTo("/round/look") // a reload in the middle
	s.wait(`document.querySelector('[name="surface"][value="dry"]').checked`)
	s.press("sour")
	s.wait(`location.pathname === "/round"`)
	s.wait(s.says("Not yet sent: 1"))
	s.sees("On this tablet", "Bad smell: stop")
	s.fits(tablet)
	s.picture("offline-kept")
	s.goTo("/round/move")
	s.fillIn(map[string]string{"number": string(deer), "place": ask[string](s, `[...document.querySelector('[name="place"]').options].find(o => o.text.includes("R2-1,")).value`)})
	s.press("It hangs there")
	s.wait(`location.pathname === "/round"`)
	s.wait(s.says("Not yet sent: 2"))
	end() // the browser is killed

	s, end = tabletIn(t, site.URL, dir)
	defer end()
	s.goTo("/round")
	s.wait(s.says("Not yet sent: 2"))
	looks, err := site.LooksAt(t.Context(), deer)
	if err != nil || len(looks) != 0 {
		t.Fatalf("before the network is back: %+v, %v", looks, err)
	}
	site.Back(t)
	// A browser killed within half a minute has forgotten its session: somebody
	// else signs in, and what Bob kept is still sent in Bob's name.
	call(s, network.ClearBrowserCookies, cdp.Empty{})
	s.signIn("AK", "correct horse battery", "Ann Kessler")
	s.goTo("/round")
	s.wait(s.says("Said by the shop's machine"))
	s.wait(`!document.getElementById("kept").innerText.includes("Not yet sent")`)
	s.picture("offline-arrived")
	looks, err = site.LooksAt(t.Context(), deer)
	if err != nil || len(looks) != 1 || looks[0].By != "BT" {
		t.Errorf("looks: %+v, %v; want the one", looks, err)
	}
	if where := hangsOn(t, site, deer); len(where) != 1 || where[0].Rail != "R2" || where[0].Position != 1 {
		t.Errorf("it hangs on %+v, want R2-1", where)
	}
}

// Without a network a warm room is told at once, where the walk goes on, as it is with
// one; what is right says nothing.
func TestWarmRoomWithoutNetwork(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	site.HangDeer(t, 1, 3)
	s, end := tabletIn(t, site.URL, filepath.Join(t.TempDir(), "browser"))
	defer end()
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()
	site.Away()
	room := map[string]string{"smell": "clean", "panel": "38", "independent_exact": "45.5", "meat-old": "36", "meat-new": "36", "fans": "3"}
	for _, i := range round.YesNo() {
		room["right-"+i.Key] = "yes"
	}
	const told = `[...document.querySelectorAll("[data-step] .notice.urgent")].filter(e => e.offsetParent).map(e => e.innerText).join()`
	for _, open := range []string{"as it is kept", "over a reload"} {
		s.goTo("/round/main")
		if open == "as it is kept" {
			s.fillIn(room)
			s.press("Next: walk the rails")
		}
		s.wait(`location.hash === "#step-rail-1"`)
		if got := ask[string](s, told); !strings.Contains(got, "Above 45\u00a0°F. This is an incident") || strings.Contains(got, "A little warm") {
			t.Errorf("%s the tablet says %q", open, got)
		}
	}
	s.fits(tablet)
	s.picture("offline-warm")
	site.Back(t)
	s.goTo("/round")
	s.wait(s.says("This is an incident"))
}

func hangsOn(t *testing.T, site *webtest.Site, number domain.ShopNumber) []db.Hangs {
	t.Helper()
	a, err := site.Animal(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	where, err := site.WhereHangs(t.Context(), a.ID)
	if err != nil {
		t.Fatal(err)
	}
	return where
}

// What was tapped for one carcass stays with it when the one before it leaves the page,
// and is not filled in again on a later round.
func TestHalfFilledLookStaysWithItsCarcass(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	first, second, third := site.HangDeer(t, 1, 1), site.HangDeer(t, 2, 2), site.HangDeer(t, 3, 3)
	s := open(t, site.URL, phone)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/round/main")
	const card = `[...document.querySelectorAll("[data-step] form")].find(f => f.elements.number?.value === "%s" && f.elements.single)`
	s.wait(fmt.Sprintf(card, third))
	ask[bool](s, fmt.Sprintf(card+`.querySelector("[name=surface][value=sticky]").click() || true`, second))
	s.wait(`window.drafted || (kept.all("drafts").then(d => window.drafted = d.some(x => x.fields.some(f => f[1] === "sticky"))), false)`)
	ask[bool](s, fmt.Sprintf(`(() => { const f = %s; f.querySelector("[name=surface][value=dry]").click();
		document.querySelector("main").dataset.before = "yes"; f.querySelector("[name=smell][value=clean]").click(); return true; })()`, fmt.Sprintf(card, first)))
	s.wait(arrived)
	const cards = `[...document.querySelectorAll("[data-step] form")].filter(f => f.elements.single).map(f => [f.querySelector("h3 a").getAttribute("href").split("/").pop(), f.elements.number.value, f.elements.surface.value].join(" ")).join(", ")`
	want := fmt.Sprintf("%s %s sticky, %s %s ", second, second, third, third)
	s.wait(`[...document.querySelectorAll("[name=surface][value=sticky]")].some(e => e.checked)`)
	if got := ask[string](s, cards); got != want {
		t.Errorf("after the first was looked at the cards are %q, want %q", got, want)
	}
	ask[bool](s, `kept.all("drafts").then(all => Promise.all(all.map(d => kept.put("drafts", { ...d, at: d.at - 5 * 3600000 })))).then(() => window.aged = true) && true`)
	s.wait(`window.aged`)
	ask[bool](s, fmt.Sprintf(card+`.querySelector("[name=surface][value=dry]").click() || true`, third))
	s.wait(`window.draftedAnew || (kept.all("drafts").then(d => window.draftedAnew = d.some(x => x.fields.some(f => f[1] === "dry"))), false)`)
	s.goTo("/round/main")
	s.wait(fmt.Sprintf(card+`?.elements.surface.value === "dry"`, third)) // the last card is filled in last
	if got, want := ask[string](s, cards), fmt.Sprintf("%s %s , %s %s dry", second, second, third, third); got != want {
		t.Errorf("five hours later the cards are %q, want %q", got, want)
	}
}

// A rail counted before whoever is to be looked at stays open without a network too, and
// what is kept names its carcass.
func TestRailStaysOpenUntilAllAreLookedAt(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	deer := site.HangDeer(t, 1, 3)
	s, end := tabletIn(t, site.URL, filepath.Join(t.TempDir(), "browser"))
	defer end()
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()
	site.Away()
	s.goTo("/round/main#step-rail-1")
	s.wait(s.says("cannot be reached"))
	const note = `document.querySelector('.walk-steps a[href="#step-rail-1"] small').innerText`
	for _, step := range []struct{ button, kept, hash, note string }{
		{`button[name="count"][value="1"]`, "", "#step-rail-1", "1 to look at"},
		{`button[name="smell"][value="clean"]`, deer.Short(), "#step-rail-2", "kept on this tablet, not yet sent"},
	} {
		ask[bool](s, fmt.Sprintf(`(() => { const step = document.getElementById("step-rail-1"), b = step.querySelector('%s');
			for (const name of ["touch_surface", "touch_smell", "surface"]) b.form.querySelector('[name="' + name + '"]')?.closest("fieldset").querySelector('[value="dry"], [value="clean"]').click();
			b.click(); return true; })()`, step.button))
		s.wait(fmt.Sprintf(`!document.querySelector('#step-rail-1 %s')`, step.button))
		s.wait(fmt.Sprintf(`location.hash === %q`, step.hash))
		if got := ask[string](s, note); got != step.note {
			t.Errorf("after %s the rail says %q, want %q", step.button, got, step.note)
		}
		if told := ask[string](s, `[...document.querySelectorAll("#step-rail-1 > div")].map(e => e.textContent).join()`); !strings.Contains(told, step.kept) {
			t.Errorf("what is kept is %q, want %s named", told, step.kept)
		}
	}
}

// Two tablets hang two animals on one hook: both hang there, marked, until a
// person says which moves.
func TestTwoTabletsOneHook(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	first, second := site.HangDeer(t, 1, 3), site.HangDeer(t, 2, 4)
	one, two := open(t, site.URL, tablet), open(t, site.URL, tablet)
	one.signIn("AK", "correct horse battery", "Bob Tarrant")
	two.signIn("AK", "correct horse battery", "Ann Kessler")
	one.ready()
	two.ready()
	site.Away()
	for s, number := range map[*screen]domain.ShopNumber{one: first, two: second} {
		s.goTo("/round/move")
		s.fillIn(map[string]string{"number": string(number), "place": ask[string](s, `[...document.querySelector('[name="place"]').options].find(o => o.text.includes("R2-5,")).value`)})
		s.press("It hangs there")
		s.wait(`location.pathname === "/round"`)
		s.wait(s.says("Not yet sent: 1"))
	}
	site.Back(t)
	for _, s := range []*screen{one, two} {
		s.goTo("/round")
		s.wait(s.says("arrived"))
	}
	for _, number := range []domain.ShopNumber{first, second} {
		if where := hangsOn(t, site, number); len(where) != 1 || where[0].Position != 5 || !where[0].Conflict {
			t.Errorf("%s: %+v, want R2-5 in conflict", number, where)
		}
	}
	one.goTo("/rail")
	one.sees("Two on one hook")
	one.picture("offline-two-on-one-hook")
	one.goTo("/rail/move?number=" + string(second))
	one.form("Move it here", map[string]string{"place": ask[string](one, `[...document.querySelectorAll('[name="place"]')].at(-1).value`), "reason": "read both tags"})
	if where := hangsOn(t, site, first); where[0].Conflict {
		t.Errorf("after one was moved the other is still in conflict: %+v", where)
	}
}

// aPicture is a picture of a camera's size.
func aPicture(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "mould.jpg")
	out, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	if err := jpeg.Encode(out, image.NewGray(image.Rect(0, 0, 2400, 1800)), nil); err != nil {
		t.Fatal(err)
	}
	return file
}

// A look with a picture on a phone: kept, sent, and shown with the look.
func TestLookWithPhoto(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	deer := site.HangDeer(t, 1, 3)
	file := aPicture(t)
	s := open(t, site.URL, phone)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/round/look")
	s.do(chromedp.SetUploadFiles(chromedp.CSS("#photo-one"), []string{file}))
	s.fillIn(map[string]string{"number": string(deer), "surface": "dry"})
	s.fits(phone)
	s.press("clean")
	s.wait(`location.pathname.endsWith("/look") && document.querySelector(".look-photo")?.naturalWidth === 1600`)
	s.fits(phone)
	s.picture("look-photo-phone")
}
