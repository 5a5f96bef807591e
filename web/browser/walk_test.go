package browser

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// A round of 60 carcasses with three exceptions, at the sizes of tablet and
// phone. Taps and keystrokes are counted; the aim is under 60.
func TestRoundOfSixty(t *testing.T) {
	t.Parallel()
	evening := time.Date(2026, 11, 20, 0, 5, 0, 0, time.UTC)
	for _, size := range []string{tablet, phone} {
		t.Run(size, func(t *testing.T) {
			site := webtest.Open(t)
			sixty(t, site, evening)
			site.SetNow(evening)
			s := open(t, site.URL, size)
			s.signIn("AK", "correct horse battery", site.Bob.Name)
			s.goTo("/round/big")
			s.fits(size)
			s.picture("walk-room-" + size)
			s.hung = map[string]int{}
			for _, rail := range ask[[]string](s, `[...document.querySelectorAll("[data-step^=rail]")].map(e => e.dataset.step)`) {
				s.hung[rail] = 10
			}
			taps, keys := s.oneStep()
			s.fits(size)
			s.picture("walk-rail-" + size)
			s.tallest(t, size)
			// Three exceptions on the first rail: tap the fold, the number, how it feels, how it smells.
			for i, smell := range []string{"musty", "gamey", "sour"} {
				said := ask[string](s, fmt.Sprintf(exception, i, smell))
				var n int
				if _, err := fmt.Sscanf(said, "%d", &n); err != nil {
					t.Fatal(said)
				}
				taps += n
				s.wait(arrived)
			}
			s.sees("Bad smell: stop")
			s.picture("walk-exception-" + size)
			more, typed := s.wholeRound()
			taps, keys = taps+more, keys+typed
			s.sees("The evening round is done")
			s.fits(size)
			s.picture("walk-done-" + size)
			t.Logf("%s: 60 carcasses, 3 exceptions: %d taps, %d keystrokes", size, taps, keys)
			if taps+keys >= 60 {
				t.Errorf("%d taps and keystrokes, the aim is under 60", taps+keys)
			}
		})
	}
}

const exception = `((i, smell) => {
	const step = [...document.querySelectorAll("[data-step]")].find(e => e.offsetParent);
	const fold = [...step.querySelectorAll(":scope > details")][0];
	let taps = 0;
	const tap = e => { e.click(); taps++; };
	if (!fold.open) tap(fold.querySelector("summary"));
	const form = fold.querySelector("form");
	tap(form.querySelectorAll("[name=number]")[i]);
	tap(form.querySelector("[name=surface][value=dry]"));
	document.querySelector("main").dataset.before = "yes";
	tap(form.querySelector("button[name=smell][value=" + smell + "]"));
	return "" + taps;
})(%d, %q)`

// tallest says how long the open step is: a thumb should not have to scroll far.
func (s *screen) tallest(t *testing.T, size string) {
	t.Helper()
	high := ask[int](s, "document.documentElement.scrollHeight")
	t.Logf("%s: the page of one rail is %d px high", size, high)
	if limit := 4 * int(sizes[size][1]); high > limit {
		t.Errorf("the page of one rail is %d px high on a %s, more than four screens", high, size)
	}
	small := ask[string](s, `[...document.querySelectorAll("[data-step].now button:not([disabled]), [data-step].now .tile > span, [data-step].now summary")].filter(e => e.offsetParent && e.getBoundingClientRect().height < 63).map(e => e.textContent.trim().slice(0, 30) + " " + e.getBoundingClientRect().height).join("; ")`)
	if small != "" {
		t.Errorf("targets below 64 px: %s", small)
	}
}

func hasArgument(sql string) bool { return strings.Contains(sql, "$1") }

// quietRoom is a big cooler with nothing wrong.
func quietRoom() db.RoomCheck {
	air, fans := domain.Fahrenheit(36), 6
	return db.RoomCheck{AirPanel: &air, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean}
}

func walkAt(site *webtest.Site, at time.Time) db.Walk {
	return db.Walk{ID: site.Act(site.Bob, at).ID, Cooler: "big", Arrived: at}
}

// sixty hangs 60 deer on six rails of a room, looked at in the morning.
func sixty(t *testing.T, site *webtest.Site, evening time.Time) {
	t.Helper()
	site.HangMany(t, 60)
	owner := dbtest.Owner(t, site.DB)
	for _, sql := range []string{
		`DELETE FROM occupancies o USING animals a WHERE a.id = o.animal_id AND a.number LIKE '26-5%'`,
		`INSERT INTO rails (cooler_id, name, ord, kind, length_m) SELECT c.id, 'D' || n, n + 20, 'bare', 5 FROM coolers c, generate_series(1, 6) n WHERE c.name = 'big'`,
		`INSERT INTO places (rail_id, position) SELECT r.id, n FROM rails r, generate_series(1, 10) n WHERE r.name LIKE 'D_'`,
		`DELETE FROM places p USING rails r WHERE r.id = p.rail_id AND r.name LIKE 'B_'`, `DELETE FROM rails WHERE name LIKE 'B_'`,
		`UPDATE animals SET received_at = $1::timestamptz - interval '5 days', killed_at = $1::timestamptz - interval '5 days 5 hours'`,
		`DELETE FROM looks`,
		`INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface) SELECT gen_random_uuid(), id, at, at, received_by, 'clean', 'dry'
		 FROM animals, (SELECT $1::timestamptz - interval '12 hours' AS at) t`,
		`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		 SELECT gen_random_uuid(), p.id, a.id, a.received_at, a.received_by
		 FROM (SELECT id, received_at, received_by, row_number() OVER (ORDER BY number) AS n FROM animals) a
		 JOIN (SELECT p.id, row_number() OVER (ORDER BY r.ord, p.position) AS n FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.name LIKE 'D_') p ON p.n = a.n`,
		`UPDATE occupancies SET since = $1::timestamptz - interval '5 days'`,
	} {
		var args []any
		if hasArgument(sql) {
			args = append(args, evening)
		}
		if _, err := owner.Exec(t.Context(), sql, args...); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
	// The morning's round, with the long list: the evening's is the short one.
	morning := evening.Add(-12 * time.Hour)
	must(t, site.WatchRounds(t.Context(), morning))
	w := walkAt(site, morning)
	check := quietRoom()
	check.Full, check.Right = true, map[string]bool{}
	for _, i := range round.YesNo() {
		check.Right[i.Key] = true
	}
	must(t, site.CheckRoom(t.Context(), site.Act(site.Bob, morning), w, check))
	must(t, site.EndRound(t.Context(), site.Act(site.Bob, morning.Add(time.Minute)), w))
	must(t, site.WatchRounds(t.Context(), evening))
}

// wholeRound walks the cooler step by step: the room, each rail from the door with
// whoever must be looked at by itself, and the end. It returns how many taps and
// keystrokes that took.
func (s *screen) wholeRound() (taps, keys int) {
	s.t.Helper()
	for range 200 {
		tapped, typed := s.oneStep()
		taps, keys = taps+tapped, keys+typed
		if !ask[bool](s, `!!document.querySelector("[data-walk]")`) {
			return taps, keys
		}
		if wrong := ask[string](s, `document.querySelector(".wrong, #problem .notice")?.textContent || ""`); wrong != "" {
			s.t.Fatalf("the round came back: %s", wrong)
		}
	}
	s.t.Fatal("the round has no end")
	return 0, 0
}

// oneStep does the step that is open and waits for the page that follows.
func (s *screen) oneStep() (taps, keys int) {
	s.t.Helper()
	taps, keys = s.tapStep()
	s.wait(arrived)
	return taps, keys
}

// tapStep does the step that is open.
func (s *screen) tapStep() (taps, keys int) {
	s.t.Helper()
	hung, err := json.Marshal(s.hung)
	if err != nil {
		s.t.Fatal(err)
	}
	s.wait(`[...document.querySelectorAll("[data-step]")].some(e => e.offsetParent)`)
	said := ask[string](s, fmt.Sprintf(walkOn, hung))
	if _, err := fmt.Sscanf(said, "%d %d", &taps, &keys); err != nil {
		s.picture("stuck")
		s.t.Fatalf("the round stands still: %s", said)
	}
	return taps, keys
}

// walkOn does what a person would at the step that is open: it taps the tiles and
// the button that leads on, and tells how many taps and keystrokes that were.
const walkOn = `(() => {
	const step = [...document.querySelectorAll("[data-step]")].find(e => e.offsetParent);
	if (!step) return "no step is open";
	let taps = 0, keys = 0;
	const tap = e => { if (!e.offsetParent && e.type !== "radio") throw new Error("hidden: " + e.outerHTML); e.click(); taps++; };
	const tile = (form, name, value) => { const e = form.querySelector('[name="' + name + '"][value="' + value + '"]'); if (!e) return false; if (!e.checked) tap(e); return true; };
	const type = (form, name, value) => { const e = form.querySelector('[name="' + name + '"]'); tap(e); e.value = value; keys += value.length; };
	const go = b => { document.querySelector("main").dataset.before = "yes"; tap(b); return taps + " " + keys; };
	const single = step.querySelector('input[name=single]');
	if (single) { tile(single.form, "surface", "drying"); return go(single.form.querySelector('button[name=smell][value=clean]')); }
	const form = step.querySelector("form");
	if (step.dataset.step === "room") {
		tile(form, "smell", "clean");
		for (const [name, value] of [["panel", "36"], ["independent", "36"], ["meat-old", "37"], ["meat-new", "37"]]) {
			if (form.querySelector('[name="' + name + '"]') && !tile(form, name, value)) type(form, name + "_exact", value);
		}
		const fans = form.querySelector("[name=fans]"); if (fans && !fans.checked) tap(fans);
		for (const yes of form.querySelectorAll('[name^=right-][value=yes]')) tap(yes);
		return go(form.querySelector("button.primary"));
	}
	if (step.dataset.step === "end") return go(form.querySelector("button.primary"));
	const counting = [...step.querySelectorAll("form")].find(f => f.querySelector("[name=count]"));
	if (!counting) return "nothing to do at " + step.dataset.step;
	tile(counting, "touch_surface", "dry"); tile(counting, "touch_smell", "clean");
	const hung = (%s || {})[step.dataset.step] || 0;
	const right = counting.querySelector('button[name=count][value="' + hung + '"]');
	return right ? go(right) : "no button says " + hung;
})()`
