package browser

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/register"
	"coldrail/domain/round"
	"coldrail/web/webtest"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// One deer, from the tailgate to its owner's hands, as four people of the shop
// play it on a tablet, and the owner's page on a phone.
func TestLifeOfOneDeer(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	s := open(t, site.URL, tablet)
	skinner, walker, cutter := crew(t, site)
	number := dbtest.Tag(1)
	n := string(number)
	step := 0
	picture := func(what string) {
		step++
		s.picture(fmt.Sprintf("life-%02d-%s", step, what))
	}
	is := func(want animal.Physical) db.Animal {
		t.Helper()
		a, err := site.Animal(t.Context(), number)
		if err != nil || a.Physical != want {
			t.Fatalf("%s is %q, want %q (%v)", n, a.Physical, want, err)
		}
		return a
	}

	// The counter takes it in.
	s.signIn("AK", "correct horse battery", "Bob Tarrant")
	picture("today-empty")
	s.goTo("/dropoff")
	s.form("Take it in", map[string]string{"number": n, "phone": "607-555-0188", "name": "Wendell Ostrander", "tag": "NY-4400213", "state": "NY",
		"species": "whitetail", "shape": "whole", "sex": "male", "points": "8", "killed": "today", "time": "08:30", "deep": "52", "kept": "hung",
		"licence": "WK-210047", "address": "118 Quarry Bend Rd", "county": "Wick", "unit": "7J"})
	s.sees(number.Short())
	picture("taken-in")
	is(animal.Chilling)

	// The skinner weighs and hangs it.
	s.take(skinner.Name)
	s.goTo("/skinning/" + n)
	picture("scale")
	s.form("Hang it", map[string]string{"weight": "104", "tare": "5"})
	if a := is(animal.Hanging); a.HangingKg == nil || a.HangingKg.Lb() < 98.9 || a.HangingKg.Lb() > 99.1 {
		t.Errorf("hangs at %v, want 99 lb", a.HangingKg)
	}

	// The counter writes the order down and reads it back.
	s.take(site.Bob.Name)
	s.goTo("/animals/" + n + "/order")
	s.form("Save and read it back", map[string]string{"treatment#0": "chops", "thickness#0": "3/4", "per_pack#0": "4", "amount#0": "all",
		"treatment#2": "whole", "amount#2": "all", "treatment#3": "grind", "amount#3": "all", "treatment#6": "grind", "amount#6": "all",
		"treatment#8": "grind", "amount#8": "all", "treatment#11": "grind", "amount#11": "rest", "added_meat": "none", "own_meat": "yes",
		"fall_back": "call me", "source": "counter"})
	s.sees("chops", "No pork and no beef")
	picture("order-read-back")
	if a := is(animal.Hanging); a.OrderState != animal.Complete {
		t.Fatalf("the order is %q", a.OrderState)
	}

	// The cooler's evening round, on the page; the days after through the same verb.
	evening := time.Date(2026, 11, 20, 0, 5, 0, 0, time.UTC)
	must(t, site.WatchRounds(t.Context(), evening.Add(-time.Hour)))
	site.SetNow(evening)
	s.take(walker.Name)
	s.goTo("/round/main")
	s.fits(tablet)
	s.hung = map[string]int{"rail-1": 1}
	s.wholeRound()
	s.sees("done")
	picture("round-done")
	for day := range 9 {
		for _, hours := range []int{12, 24} {
			at := evening.Add(time.Duration(24*day+hours) * time.Hour)
			must(t, site.WatchRounds(t.Context(), at))
			must(t, site.SaveRound(t.Context(), site.Act(walker, at), walked(number, at)))
		}
	}

	// Nine days on it is ready, and the rail says so.
	site.SetNow(evening.Add(9*24*time.Hour + 14*time.Hour))
	must(t, site.WatchRounds(t.Context(), site.Now()))
	s.goTo("/rail")
	s.sees(number.Short(), "ready to cut")
	s.fits(tablet)
	picture("rail-ready")
	s.goTo("/animals/" + n)
	s.sees("Ready to cut", "Wendell Ostrander")
	picture("record")

	// The cutter reads the tag, packs, trims, finishes and boxes.
	s.take(cutter.Name)
	s.goTo("/cutting")
	picture("next-to-cut")
	s.form("Start cutting", map[string]string{"tag": number.Digits()})
	is(animal.OnTable)
	for cut, weight := range map[string]string{"backstrap chops": "6.5", "tenderloin": "1.5", "grind": "40"} {
		s.goTo("/cutting/" + n)
		s.form("Add", map[string]string{"cut": cut, "count": "5", "weight": weight})
	}
	s.form("Note it", map[string]string{"kind": "bone", "trim_weight": "38"})
	picture("at-the-table")
	s.form("Finish cutting", map[string]string{"labelled": "yes"})
	is(animal.InPieces)
	picture("into-boxes")
	spots := map[string]string{}
	for i, spot := range ask[[]string](s, `[...document.querySelectorAll("main select[name=place]")].filter(e => e.form.action.endsWith("/boxes")).map((e, i) => e.options[i + 1].value)`) {
		spots[fmt.Sprintf("place#%d", i)] = spot
	}
	s.form("All boxed", spots)
	is(animal.Stored)

	// The bill, the money and the boxes over the counter.
	s.take(site.Bob.Name)
	s.goTo("/animals/" + n + "/money")
	s.form("Make the bill", map[string]string{"pin": "2222"})
	s.sees("$125.00")
	s.goTo("/pickup/" + n)
	s.sees("$125.00")
	s.form("Take the payment", map[string]string{"way": "cash", "pin": "2222"})
	picture("paid")
	boxes, err := site.Boxes(t.Context(), number)
	must(t, err)
	hand := map[string]string{"collector": "Wendell Ostrander", "seen": "driving licence", "authority": "owner", "tag": "yes", "pin": "2222"}
	for i, b := range boxes {
		hand[fmt.Sprintf("boxes#%d", i)] = domain.BoxCode(number, b.N)
	}
	s.goTo("/pickup/" + n)
	s.form("Hand over", hand)
	picture("handed-over")
	a := is(animal.Released)
	if a.Money != animal.Settled || a.Legal != animal.TagReturned {
		t.Errorf("money %q, legal %q", a.Money, a.Legal)
	}

	s.prints(n)

	// The owner, at home, on a phone.
	s.goTo("/animals/" + n + "/slip")
	link := ask[string](s, `document.documentElement.innerHTML.match(/\/s\/[A-Za-z0-9_-]+/)?.[0] || ""`)
	if link == "" {
		s.goTo("/pickup/" + n)
		link = ask[string](s, `document.documentElement.innerHTML.match(/\/s\/[A-Za-z0-9_-]+/)?.[0] || ""`)
	}
	if link == "" {
		t.Fatal("no page shows the owner's link")
	}
	home := open(t, site.URL, phone)
	home.goTo(link)
	home.sees("Hollow Creek Custom Meats", "It was picked up.", "48.0 lb", "paid, thank you")
	home.fits(phone)
	home.picture(fmt.Sprintf("life-%02d-hunter-at-home", step+1))
	if text := ask[string](home, "document.body.innerText"); strings.Contains(text, "Bob") || strings.Contains(text, "Wendell") {
		t.Error("the owner's page names somebody")
	}
	must(t, site.VerifyRegister(t.Context()))
	entered, err := site.RegisterOf(t.Context(), number)
	must(t, err)
	if len(entered) != 2 || entered[0].Kind != register.Receipt || entered[1].Kind != register.Handover {
		t.Errorf("the register holds %d lines of it, want its receipt and its hand-over", len(entered))
	}
	rows, err := site.Pool().Query(t.Context(), `SELECT l.what || ' ' || s.initials FROM time_line l JOIN staff s ON s.id = l.by_staff WHERE l.animal_id = $1 ORDER BY l.seq`, a.ID)
	must(t, err)
	told, err := pgx.CollectRows(rows, pgx.RowTo[string])
	must(t, err)
	want := "receive BT, hang SO, order BT, look CL, start CW, pack CW, trim CW, finish CW, box CW, bill BT, pay BT, hand-over BT"
	if got := strings.Join(slices.Compact(told), ", "); got != want {
		t.Errorf("its time line tells\n%s, want\n%s", got, want)
	}
}

// crew takes on the people who work behind the counter: a skinner, one who walks
// the cooler and a cutter.
func crew(t *testing.T, site *webtest.Site) (skinner, walker, cutter db.Staff) {
	t.Helper()
	add := func(name, initials, role string) db.Staff {
		s, err := site.AddStaff(t.Context(), db.NewStaff{Name: name, Initials: initials, Roles: []string{role}, PIN: "3333"}, dbtest.Noon.AddDate(0, -1, 0))
		must(t, err)
		return s
	}
	return add("Sal Okafor", "SO", "cooler"), add("Cora Lindqvist", "CL", "cooler"), add("Cal Whitford", "CW", "cutter")
}

// walked is a good round with a look at the one deer.
func walked(number domain.ShopNumber, to time.Time) db.Round {
	c := func(f float64) *domain.Celsius { t := domain.Fahrenheit(f); return &t }
	fans := 3
	look := db.Look{ID: uuid.Must(uuid.NewV7()), Number: number, Touched: true,
		Look: round.Look{At: to.Add(-5 * time.Minute), Smell: round.SmellClean, Surface: round.SurfaceDry}}
	return db.Round{Cooler: "main", WalkedFrom: to.Add(-20 * time.Minute), WalkedTo: to, Looks: []db.Look{look},
		RoomCheck: db.RoomCheck{AirPanel: c(35), AirOwn: c(36), MeatOld: c(36), MeatNew: c(36), FansRunning: &fans, Smell: round.SmellClean}}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
