package browser

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"coldrail/domain/round"
	"coldrail/web/webtest"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
)

// The whole evening round of 60 carcasses in the steel box: every step without the
// shop's machine, a reload and a killed browser in the middle. Then all of it
// arrives, in its window, and the round is done.
func TestWholeRoundWithoutNetwork(t *testing.T) {
	t.Parallel()
	evening := time.Date(2026, 11, 20, 0, 5, 0, 0, time.UTC)
	site := webtest.Open(t)
	sixty(t, site, evening)
	site.SetNow(evening)
	dir := filepath.Join(t.TempDir(), "browser")
	s, end := tabletIn(t, site.URL, dir)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()
	site.Away()
	taps, keys, done := 0, 0, 0
	for done < 40 {
		s.goTo("/round/big")
		s.wait(`document.querySelector("[data-step]") && document.getElementById("kept").innerText.includes("cannot be reached")`)
		s.hung = map[string]int{}
		for _, rail := range ask[[]string](s, `[...document.querySelectorAll("[data-step^=rail]")].map(e => e.dataset.step)`) {
			s.hung[rail] = 10
		}
		last := ""
		for last != "end" {
			last = ask[string](s, `[...document.querySelectorAll("[data-step]")].find(e => e.offsetParent).dataset.step`)
			tapped, typed := s.kept(done + 1)
			taps, keys, done = taps+tapped, keys+typed, done+1
			if done == 1 { // one of the first rail smells: what that calls for is said here and now
				ask[string](s, fmt.Sprintf(exception, 0, "sour"))
				s.wait(s.says("Not yet sent: 2"))
				s.sees("Bad smell: stop. Move it aside, tell the lead")
				done++
			}
			if done == 3 {
				break // a reload
			}
			if done == 5 {
				s.picture("offline-round-half")
				end() // the browser is killed
				s, end = tabletIn(t, site.URL, dir)
				break
			}
		}
		if last == "end" {
			break
		}
	}
	defer end()
	t.Logf("60 carcasses without a network: %d steps, %d taps, %d keystrokes", done, taps, keys)
	if done != 9 {
		t.Errorf("%d steps were kept, want the room, a look, six rails and the end, each once", done)
	}
	s.wait(`location.pathname === "/round"`) // the end leads on, not back to the first rail
	s.goTo("/round/big")
	s.wait(`document.querySelector(".walk-steps") && document.getElementById("kept").innerText.includes("cannot be reached")`)
	if left := ask[string](s, `[...document.querySelectorAll(".walk-steps small")].map(e => e.textContent.trim()).filter(t => t.includes("to do") || t.includes("to count")).join("; ")`); left != "" {
		t.Errorf("the row of steps still says: %s", left)
	}
	s.picture("offline-round-kept")
	site.Back(t)
	// A browser killed within half a minute has forgotten its session: whoever signs
	// in now, the round stays Bob's.
	call(s, network.ClearBrowserCookies, cdp.Empty{})
	s.signIn("AK", "correct horse battery", "Ann Kessler")
	s.goTo("/round")
	s.wait(s.says("arrived"))
	s.wait(`!document.getElementById("kept").innerText.includes("Not yet sent")`)
	s.picture("offline-round-arrived")
	big, err := site.DB.Cooler(t.Context(), "big")
	must(t, err)
	walked, err := site.WalkedRounds(t.Context(), big.ID, evening.Add(-time.Hour))
	if err != nil || len(walked) != 1 || walked[0].By != "BT" {
		t.Fatalf("%+v, %v: want the one round, Bob's", walked, err)
	}
	rails, err := site.CountedRails(t.Context(), walked[0].ID)
	if err != nil || len(rails) != 6 {
		t.Errorf("%d rails were counted, %v: want six, each once", len(rails), err)
	}
	due, err := site.DueRounds(t.Context(), big.ID, evening.Add(-3*time.Hour))
	if err != nil || len(due) != 1 || due[0].State != round.Done {
		t.Errorf("%+v, %v: want the evening's round, done", due, err)
	}
}

// kept does the step that is open and waits until the tablet has kept it.
func (s *screen) kept(nth int) (taps, keys int) {
	s.t.Helper()
	taps, keys = s.tapStep()
	s.wait(s.says(fmt.Sprintf("Not yet sent: %d", nth)))
	return taps, keys
}
