package browser

import (
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"

	"github.com/chromedp/chromedp"
)

// acts waits until so many acts lie on the tablet.
func (s *screen) acts(n int) {
	s.t.Helper()
	s.wait(fmt.Sprintf(`(kept.all("acts").then(a => window.lie = a.length), window.lie === %d)`, n))
}

// A drop-off that was refused while its clerk looked on, and then left, is nothing the
// tablet keeps: the refusal was read. It holds nobody else's animal either. Put right
// where it came back it arrives, with the picture that was taken before.
func TestRefusedOnLine(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	there := site.HangDeer(t, 1, 3)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	file := aPicture(t)
	for _, who := range []string{"Bob Tarrant", "Ann Kessler"} {
		s.take(who)
		s.goTo("/dropoff")
		s.do(chromedp.SetUploadFiles(chromedp.CSS("#f-photo"), []string{file}))
		filled := fmt.Sprintf(`{"number": %q, "phone": "6075550142", "name": "Dell Hargrove", "species": "whitetail", "shape": "whole", "sex": "male", "killed": "today"}`, there)
		if said := ask[string](s, fmt.Sprintf(fill, filled, `"Take it in"`)); said != "" {
			t.Fatal(said)
		}
		s.wait(arrived)
		s.sees("is already on another animal")
		if who == "Ann Kessler" {
			break
		}
		s.goTo("/round")
		s.acts(0)
		if got := ask[string](s, `document.getElementById("kept").innerText`); strings.Contains(got, "needs a person") || strings.Contains(got, "arrived") {
			t.Errorf("the tablet says %q", got)
		}
	}
	s.form("Take it in", map[string]string{"number": string(dbtest.Tag(2))})
	s.sees("Hang it")
	s.acts(0)
	a, err := site.Animal(t.Context(), dbtest.Tag(2))
	if err != nil {
		t.Fatal(err)
	}
	if photos, err := site.DoorPhotos(t.Context(), a.ID); err != nil || len(photos) != 1 {
		t.Errorf("%d pictures at the door, %v; want the one", len(photos), err)
	}
	if holds, err := site.Holds(t.Context(), there); err != nil || len(holds) != 0 {
		t.Errorf("a slip at the counter holds another animal: %+v, %v", holds, err)
	}
}

// What something else than the shop's machine answers, such as the guests' network with
// its own page, counts as no answer: the look is kept and arrives later.
func TestStrangersAnswer(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	deer := site.HangDeer(t, 1, 3)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()
	s.goTo("/round/look")
	site.Away()
	listener, err := net.Listen("tcp", strings.TrimPrefix(site.URL, "http://"))
	must(t, err)
	stranger := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost {
			w.WriteHeader(http.StatusServiceUnavailable)
		}
		fmt.Fprint(w, "<!doctype html><main>Welcome, guest</main>")
	})}
	go stranger.Serve(listener)
	s.fillIn(map[string]string{"number": string(deer), "surface": "dry"})
	s.press("clean")
	s.wait(`location.pathname === "/round" || location.pathname === "/round/look" && document.body.innerText.includes("Welcome")`)
	must(t, stranger.Close())
	site.Back(t)
	s.goTo("/round")
	s.wait(s.says("arrived"))
	if looks, err := site.LooksAt(t.Context(), deer); err != nil || len(looks) != 1 {
		t.Errorf("looks: %+v, %v; want the one", looks, err)
	}
}

// aLook puts a look at a carcass on the tablet, as if it had been kept before.
const aLook = `const number = %q, id = kept.newId(Date.now() - 60000), act = {id, at: Date.now() - 60000, url: "/round/look", page: "/round/look", state: %q, title: "A look at one", said: [],
	fields: [["number", number], ["surface", "dry"], ["smell", "clean"], ["act", id]]};`

// What was refused once and would be taken by now arrives whole when somebody puts it
// right: its picture too.
func TestPutRightWithItsPicture(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	deer := site.HangDeer(t, 1, 3)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/round")
	ask[bool](s, fmt.Sprintf(`(() => {`+aLook+`const c = document.createElement("canvas"); c.width = c.height = 200; c.getContext("2d").fillRect(0, 0, 99, 99);
		c.toBlob((b) => kept.put("acts", {...act, fields: [...act.fields, ["photo-one", b]]}).then(() => window.put = true), "image/jpeg"); return true; })()`, deer, "refused"))
	s.wait(`window.put`)
	s.goTo("/round")
	s.wait(s.says("needs a person"))
	s.press("Put it right")
	s.wait(s.says("arrived"))
	s.goTo("/animals/" + string(deer) + "/look")
	s.wait(`document.querySelector(".look-photo")?.naturalWidth === 200`)
}

// What is tapped while something else is on its way is sent behind it and answered where
// it was tapped; and what another tab of the tablet sends at the same time does not come
// back to life when that tab's answer is late.
func TestTwoOnTheirWay(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	first, second := site.HangDeer(t, 1, 3), site.HangDeer(t, 2, 4)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.goTo("/round/look")
	s.fillIn(map[string]string{"number": string(second), "surface": "dry"})
	ask[bool](s, fmt.Sprintf(`(() => {`+aLook+`const plain = window.fetch; let posts = 0;
		window.fetch = (...a) => a[1]?.method === "POST" && !posts++ ? new Promise((go) => setTimeout(go, 1500)).then(() => plain(...a)) : plain(...a);
		kept.put("acts", act).then(() => { kept.sendAll(); [...document.querySelectorAll("button")].find((b) => b.textContent.trim() === "clean").click(); }); return true; })()`, first, "waiting"))
	s.wait(`location.pathname.endsWith("/look") && location.pathname.startsWith("/animals/")`)
	for _, deer := range []domain.ShopNumber{first, second} {
		if looks, err := site.LooksAt(t.Context(), deer); err != nil || len(looks) != 1 {
			t.Errorf("%s: looks %+v, %v; want one", deer, looks, err)
		}
	}

	s.goTo("/round")
	ask[bool](s, `kept.all("acts").then((all) => Promise.all(all.map((a) => kept.remove("acts", a.id)))).then(() => window.none = true) && true`)
	s.wait(`window.none`)
	ask[bool](s, fmt.Sprintf(`(() => {`+aLook+`kept.send(act).then((said) => window.late = said); return true; })()`, first, "waiting"))
	s.wait(`window.late === "sent"`)
	s.acts(0)
}
