package browser

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// A warden asks while the shop's machine cannot be reached: the tablet shows and
// prints everything in the house from the page it kept, with tags, people and the
// hour as of which it is (Annex E 29).
func TestWardenWithoutNetwork(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	drop := db.Drop{Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142", Address: "9 Mill Lane, Corbin"}, Tag: db.OfficialTag{Number: "NY 4410", State: "NY"}, KillState: "NY", Place: 3,
		Drop: animal.Drop{Number: dbtest.Tag(1), Species: domain.Whitetail, Form: domain.Whole, Sex: animal.Male, Points: 8, KilledAt: dbtest.Noon.AddDate(0, 0, -1), Kept: animal.KeptHung}}
	if err := site.Receive(t.Context(), site.Act(site.Bob, dbtest.Noon), drop); err != nil {
		t.Fatal(err)
	}
	first, second := dbtest.Tag(1), site.HangDeer(t, 2, 4)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	s.ready()
	s.wait(`window.sheetThere || (caches.open("coldrail-pages").then(c => c.match("/register/now")).then(m => window.sheetThere = !!m), false)`)
	site.Away()
	s.sheet("/register/now", "register-now", "8.5x11")
	s.sees("In the house now", "2 animals", string(first), string(second), "R1-3", "R1-4", "NY 4410 NY", "Dell Hargrove", "As of", "Received")
	s.picture("register-now-without-network")
	site.Back(t)
	s.take("Ann Kessler")
	s.sheet("/office/register/print?from=2026-01-01&until=2026-12-31", "register", "8.5x11")
	s.sees("1 line, printed", "Brought by, killed by, owner: Dell Hargrove, 9 Mill Lane, Corbin", "Seal of the last line above")
}
