package browser

import (
	"fmt"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The rail board with no, few and very many animals: never wider than its screen,
// its numbers the largest text on a tag; one letter page, where five hundred hang too.
// Then the other pages of such a shop, as everyone's are looked at.
func TestRailBoardOnPaper(t *testing.T) {
	t.Parallel()
	for _, n := range []int{0, 3, 500} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			site := webtest.Open(t)
			if n > 0 {
				site.HangMany(t, n)
			}
			for i := range n { // every seventieth has its owner, a few wait in boxes
				if i%70 == 0 {
					site.Own(t, dbtest.Tag(5000+i), fmt.Sprintf("Wendell Ostrander the %dth", i+4), fmt.Sprintf("607-555-%04d", 200+i))
					site.BoxDeer(t, 1+i/70, 1)
				}
			}
			s := open(t, site.URL, desktop)
			s.at(site.Now())
			s.signIn("AK", "correct horse battery", "Bob Tarrant")
			s.goTo("/rail")
			s.fits(desktop)
			s.picture(fmt.Sprintf("board-%d", n))
			if got := ask[int](s, `document.querySelectorAll(".hang-number").length`); got < n {
				t.Errorf("%d tags on the board, want %d", got, n)
			}
			// Digits of 30 px type are 22 px or 5.8 mm high at 96 dots an inch: 6.6
			// minutes of arc from three metres. An eye reads 5 (the 20/20 line, ISO 8596).
			if small := ask[float64](s, `Math.min(99, ...[...document.querySelectorAll(".hang-number")].map(e => parseFloat(getComputedStyle(e).fontSize)))`); small < 30 {
				t.Errorf("the numbers on the tags are %.0f px, want at least 30", small)
			}
			if got := pages(t, s.paper(fmt.Sprintf("paper-board-%d", n))); len(got) != 1 || got[0] != "8.5x11" {
				t.Errorf("%d animals print on pages of %v in, want one of 8.5x11", n, got)
			}
			s.take("Ann Kessler")
			s.everyPage(site, fmt.Sprintf("hang-%d", n), append([]string{"/", "/cutting"}, onlyWith(*everyLook, "/rail", "/dropoff", "/round", "/setup", "/pickup",
				"/batches", "/bookings", "/office", "/coolers", "/help")...)...)
		})
	}
}
