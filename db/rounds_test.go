package db_test

import (
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// hung puts an animal straight onto a hook of the main cooler: these tests are
// about rounds and not about how it came there.
func hung(t testing.TB, s *dbtest.Shop, running int, rail string, position int, form domain.Form, since time.Time) domain.ShopNumber {
	t.Helper()
	number := dbtest.Tag(running)
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		WITH a AS (
		  INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, physical, legal, disease, order_state, money,
		         protocol_id, price_list_id)
		  VALUES (gen_random_uuid(), $1, 'whitetail', 'mature', $2, $3::timestamptz - interval '3 hours', $3, $4, 'hanging', 'verified', 'not-needed', 'none', 'quoted',
		         (SELECT min(id) FROM protocols), $5) RETURNING id
		)
		INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		SELECT gen_random_uuid(), p.id, a.id, $3, $4 FROM a, places p JOIN rails r ON r.id = p.rail_id WHERE r.name = $6 AND p.position = $7`,
		number, form, since, s.Bob.ID, s.Prices.ID, rail, position)
	if err != nil {
		t.Fatal(err)
	}
	return number
}

func f(t float64) *domain.Celsius { c := domain.Fahrenheit(t); return &c }
func n(i int) *int                { return &i }

// walked is a good round of the main cooler that ended at to.
func walked(s *dbtest.Shop, to time.Time, looks ...db.Look) db.Round {
	return db.Round{Cooler: s.Cooler.Name, WalkedFrom: to.Add(-20 * time.Minute), WalkedTo: to, RoomCheck: goodRoom(), Looks: looks}
}

func lookAt(number domain.ShopNumber, at time.Time) db.Look {
	return db.Look{ID: uuid.Must(uuid.NewV7()), Number: number, Look: round.Look{At: at, Smell: round.SmellClean, Surface: round.SurfaceDry}}
}

func dueOf(t testing.TB, s *dbtest.Shop) []db.DueRound {
	t.Helper()
	due, err := s.DueRounds(t.Context(), s.Cooler.ID, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return due
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Windows in the shop's zone: 7 am and 7 pm in New York are 12 and 24 o'clock
// UTC in November, two hours either way.
var (
	morning = time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)
	evening = time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
)

func TestWatchRoundsOpensAndMisses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.WatchRounds(ctx, morning.Add(-3*time.Hour)))
	if due := dueOf(t, s); len(due) != 0 {
		t.Fatalf("before any window: %v", due)
	}
	for range 3 { // the same minute, again and again
		must(t, s.WatchRounds(ctx, morning.Add(-2*time.Hour)))
	}
	if due := dueOf(t, s); len(due) != 1 || due[0].State != round.Open || due[0].Kind != round.Morning || !due[0].DueAt.Equal(morning) {
		t.Fatalf("at the opening: %+v", due)
	}
	open, err := s.OpenRounds(ctx, morning)
	if err != nil || len(open) != 2 {
		t.Fatalf("the freezer has a round too: %v, %v", open, err)
	}
	// The program is down for two days.
	must(t, s.WatchRounds(ctx, morning.AddDate(0, 0, 2)))
	due := dueOf(t, s)
	if len(due) != 5 || due[0].State != round.Open {
		t.Fatalf("after two days: %+v", due)
	}
	for _, d := range due[1:] {
		if d.State != round.Missed || d.MissedAt == nil || !d.MissedAt.Equal(d.ClosesAt) {
			t.Errorf("%s of %v: %s, missed at %v", d.Kind, d.DueAt, d.State, d.MissedAt)
		}
	}
	var lines int
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM time_line WHERE what = 'miss-round' AND cooler_id = $1`, s.Cooler.ID).Scan(&lines))
	if lines != 4 {
		t.Errorf("%d lines for 4 missed rounds", lines)
	}
}

// Two servers watch at the same moment.
func TestWatchRoundsTwice(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.WatchRounds(ctx, morning))
	var wg sync.WaitGroup
	errs := make([]error, 4)
	for i := range errs {
		wg.Go(func() { errs[i] = s.WatchRounds(ctx, evening) })
	}
	wg.Wait()
	for _, err := range errs {
		must(t, err)
	}
	var due, lines int
	must(t, s.Pool().QueryRow(ctx, `SELECT (SELECT count(*) FROM due_rounds), (SELECT count(*) FROM time_line)`).Scan(&due, &lines))
	if due != 4 || lines != 2 {
		t.Errorf("%d due rounds and %d lines, want 4 and 2", due, lines)
	}
}

// What a walk makes of its due round: trade.md 4.3, design.md "Fixed now".
func TestSaveRoundAndItsWindow(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name      string
		watched   time.Time // the watch came by
		to        time.Time // the walk ended
		arrived   time.Time
		want      round.State
		keepsMiss bool
		extra     bool
	}{
		{name: "in its window", watched: morning, to: morning, arrived: morning, want: round.Done},
		{name: "nobody watched yet", watched: morning.Add(-9 * time.Hour), to: morning, arrived: morning, want: round.Done},
		{name: "in its window, sent in the evening", watched: evening, to: morning, arrived: evening, want: round.Done, keepsMiss: true},
		{name: "in its window, sent before the watch came by", watched: morning, to: morning, arrived: evening, want: round.Done, keepsMiss: true},
		{name: "after it", watched: morning, to: morning.Add(3 * time.Hour), arrived: morning.Add(3 * time.Hour), want: round.Late, keepsMiss: true},
		{name: "yesterday's", watched: morning, to: morning.AddDate(0, 0, -1), arrived: morning, want: round.Open, extra: true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s, ctx := dbtest.OpenShop(t), t.Context()
			must(t, s.WatchRounds(ctx, morning.Add(-10*time.Hour)))
			must(t, s.WatchRounds(ctx, tt.watched))
			act := s.Act(s.Bob, tt.arrived)
			for range 2 { // sending it again changes nothing
				must(t, s.SaveRound(ctx, act, walked(s, tt.to)))
			}
			var got db.DueRound
			for _, d := range dueOf(t, s) {
				if d.DueAt.Equal(morning) {
					got = d
				}
			}
			if got.State != tt.want || (got.MissedAt != nil) != tt.keepsMiss {
				t.Errorf("%s, missed at %v; want %s", got.State, got.MissedAt, tt.want)
			}
			w, err := s.WalkedRound(ctx, act.ID)
			must(t, err)
			if (w.DueKind == "") != tt.extra || !w.WalkedTo.Equal(tt.to) || !w.ArrivedAt.Equal(tt.arrived) {
				t.Errorf("kept as %+v", w)
			}
		})
	}
}

// A second walk after a late one is an extra look, and a late one after a good
// one takes nothing away.
func TestSaveRoundExtra(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.WatchRounds(ctx, morning))
	late := morning.Add(3 * time.Hour)
	first, second := s.Act(s.Bob, late), s.Act(s.Ann, late.Add(time.Hour))
	must(t, s.SaveRound(ctx, first, walked(s, late)))
	must(t, s.SaveRound(ctx, second, walked(s, late.Add(time.Hour))))
	if w, err := s.WalkedRound(ctx, second.ID); err != nil || w.DueKind != "" {
		t.Errorf("the second late walk: %+v, %v", w, err)
	}
	must(t, s.SaveRound(ctx, s.Act(s.Bob, late.Add(2*time.Hour)), walked(s, morning))) // a tablet comes back into the network
	if d := dueOf(t, s)[0]; d.State != round.Done || d.MissedAt == nil {
		t.Errorf("the walk in time arrived last: %+v", d)
	}
}

func TestSaveRoundRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	number := hung(t, s, 1, "R1", 1, domain.Whole, morning.AddDate(0, 0, -3))
	for _, tt := range []struct {
		name, at, says string
		edit           func(*db.Round)
	}{
		{"in the future", "walked", "lies in the future", func(r *db.Round) { r.WalkedTo = morning.Add(11 * time.Minute) }},
		{"ends before it begins", "walked", "ends before it begins", func(r *db.Round) { r.WalkedFrom = morning.Add(time.Minute) }},
		{"not measured", "panel", "Measure it", func(r *db.Round) { r.AirPanel = nil }},
		{"meat not measured", "meat-old", "Measure it", func(r *db.Round) { r.MeatOld = nil }},
		{"a fan too many", "fans", "Count the fans", func(r *db.Round) { r.FansRunning = n(4) }},
		{"a rail of another room", "count", "not in this room", func(r *db.Round) { r.Counts = []db.RailCount{{Rail: 4, Counted: 1}} }},
		{"a rail twice", "count", "counted twice", func(r *db.Round) { r.Counts = []db.RailCount{{Rail: 1, Counted: 1}, {Rail: 1, Counted: 2}} }},
		{"a look of this morning's other walk", "at", "made during its round", func(r *db.Round) { r.Looks = []db.Look{lookAt(number, morning.Add(-time.Hour))} }},
		{"not smelled", "smell", "smells of", func(r *db.Round) {
			l := lookAt(number, morning)
			l.Smell = ""
			r.Looks = []db.Look{l}
		}},
		{"no such animal", "", "no animal with the number", func(r *db.Round) { r.Looks = []db.Look{lookAt(dbtest.Tag(99), morning)} }},
	} {
		r := walked(s, morning)
		r.Counts = []db.RailCount{{Rail: 1, Counted: 1}}
		tt.edit(&r)
		err := s.SaveRound(ctx, s.Act(s.Bob, morning), r)
		if e := domain.As(err); e.At != tt.at || !strings.Contains(e.Error(), tt.says) {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	var left int
	must(t, s.Pool().QueryRow(ctx, `SELECT (SELECT count(*) FROM rounds) + (SELECT count(*) FROM looks) + (SELECT count(*) FROM readings) + (SELECT count(*) FROM time_line)`).Scan(&left))
	if left != 0 {
		t.Errorf("%d rows stayed of what was refused", left)
	}
}

func TestSaveRoundKeepsEverything(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	old := hung(t, s, 1, "R1", 1, domain.Whole, morning.AddDate(0, 0, -9))
	touched := hung(t, s, 2, "R1", 2, domain.Whole, morning.AddDate(0, 0, -5))
	newer := hung(t, s, 3, "R1", 3, domain.Whole, morning.AddDate(0, 0, -1))
	hide := hung(t, s, 4, "R1", 4, domain.WholeHideOn, morning.AddDate(0, 0, -9))
	other := hung(t, s, 5, "R2", 1, domain.Whole, morning.AddDate(0, 0, -9))
	looked := hung(t, s, 6, "R1", 5, domain.Whole, morning.AddDate(0, 0, -9))

	touch, look := lookAt(touched, morning.Add(-9*time.Minute)), lookAt(looked, morning.Add(-5*time.Minute))
	touch.Touched = true
	look.Smell, look.Mould = round.SmellSour, []round.Mould{{Site: round.SiteRibs, Length: domain.Inches(1.0 / 8), Colour: round.White}, {Site: round.SiteMeat, Length: 2, Colour: round.BlueGreen}}
	r := walked(s, morning, look, touch)
	must(t, s.WatchRounds(ctx, morning))
	r.Counts = []db.RailCount{{Rail: 1, Counted: 4, At: morning.Add(-10 * time.Minute)}, {Rail: 2, Counted: 1}, {Rail: 3, Counted: 0}}
	act := s.Act(s.Bob, morning.Add(8*time.Hour))
	for range 2 {
		must(t, s.SaveRound(ctx, act, r))
	}

	w, err := s.WalkedRound(ctx, act.ID)
	must(t, err)
	if w.Expected != 6 || w.Counted != 5 || w.WrongRails != 1 || w.Saw != 2 || w.By != "BT" || *w.AirOwnC != domain.Fahrenheit(36) {
		t.Errorf("kept as %+v", w)
	}
	counts, err := s.CountedRails(ctx, act.ID)
	must(t, err)
	if len(counts) != 3 || counts[0].Rail != "R1" || counts[0].Expected != 5 || counts[0].Counted != 4 {
		t.Errorf("counts %+v", counts)
	}
	surfaces := map[domain.ShopNumber]string{}
	rows, err := s.Pool().Query(ctx, `SELECT a.number, rs.surface FROM rail_surfaces rs JOIN animals a ON a.id = rs.animal_id`)
	must(t, err)
	for rows.Next() {
		var number domain.ShopNumber
		var surface string
		must(t, rows.Scan(&number, &surface))
		surfaces[number] = surface
	}
	if len(surfaces) != 1 || surfaces[old] != "dry" {
		t.Errorf("the touch went to %v; only %s may take it (not %s newer, %s hide on, %s other rail, %s looked at)", surfaces, old, newer, hide, other, looked)
	}
	for number, want := range map[domain.ShopNumber]int{old: 2, touched: 2, looked: 2, newer: 1, other: 1} {
		if a, err := s.Animal(ctx, number); err != nil || a.Revision != want {
			t.Errorf("%s has revision %d, want %d (%v)", number, a.Revision, want, err)
		}
	}
	looks, err := s.LooksAt(ctx, looked)
	must(t, err)
	if len(looks) != 1 || looks[0].ID != look.ID || len(looks[0].Mould) != 2 || !looks[0].Look().Stops() || !looks[0].At.Equal(look.At) {
		t.Errorf("looks %+v", looks)
	}
	var lines, readings int
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM time_line`).Scan(&lines))
	must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM readings WHERE flag = 'ok' AND source = 'hand' AND round_id = $1`, act.ID).Scan(&readings))
	if lines != 3+2 || readings != 4 { // the round, two looks, and both rooms' morning missed before it arrived
		t.Errorf("%d lines and %d readings", lines, readings)
	}
	var raw, unit string
	must(t, s.Pool().QueryRow(ctx, `SELECT raw_value, raw_unit FROM readings r JOIN sensors s ON s.id = r.sensor_id WHERE s.name = 'main panel'`).Scan(&raw, &unit))
	if raw != "35" || unit != "F" {
		t.Errorf("the panel was read as %s %s", raw, unit)
	}
}

// Two tablets send the same round, and two rounds touch the same rail, at once.
func TestSaveRoundAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	a, b := hung(t, s, 1, "R1", 1, domain.Whole, morning.AddDate(0, 0, -9)), hung(t, s, 2, "R1", 2, domain.Whole, morning.AddDate(0, 0, -9))
	la, lb := lookAt(a, morning), lookAt(b, morning)
	la.Touched, lb.Touched = true, true
	same, other := s.Act(s.Bob, morning), s.Act(s.Ann, morning)
	var wg sync.WaitGroup
	errs := make([]error, 4)
	for i := range errs {
		wg.Go(func() {
			if i == 0 {
				errs[i] = s.SaveRound(ctx, other, walked(s, morning, lb))
				return
			}
			errs[i] = s.SaveRound(ctx, same, walked(s, morning, la))
		})
	}
	wg.Wait()
	for _, err := range errs {
		must(t, err)
	}
	var rounds, looks, okay, double int
	must(t, s.Pool().QueryRow(ctx, `
		SELECT (SELECT count(*) FROM rounds), (SELECT count(*) FROM looks), count(*) FILTER (WHERE flag = 'ok'), count(*) FILTER (WHERE flag = 'duplicate')
		FROM readings`).Scan(&rounds, &looks, &okay, &double))
	if rounds != 2 || looks != 2 || okay != 4 || double != 4 {
		t.Errorf("%d rounds, %d looks, %d readings and %d doubles", rounds, looks, okay, double)
	}
}

func TestLookAndDecide(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	number := hung(t, s, 1, "R1", 1, domain.Whole, now.AddDate(0, 0, -3))
	act := s.Act(s.Bob, now)
	for range 2 {
		must(t, s.Look(ctx, act, number, db.Look{Look: round.Look{At: now, Smell: round.SmellSour, Surface: round.SurfaceSlimy}, Note: "flank"}))
	}
	here, err := s.HangingIn(ctx, s.Cooler.ID)
	must(t, err)
	if len(here) != 1 || here[0].Number != number || !here[0].Hanging().Last.Stops() || len(here[0].Hanging().Why(now, now)) == 0 {
		t.Fatalf("hanging here: %+v", here)
	}
	if e := domain.As(s.Decide(ctx, s.Act(s.Ann, now), number, round.CarryOn, " ")); e.At != "reason" {
		t.Errorf("no reason: %v", e)
	}
	must(t, s.Decide(ctx, s.Act(s.Ann, now), number, round.TrimCutFirst, "flank only, trimmed wide"))
	// Both leads condemn it at once: one writes it, the other is told.
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		wg.Go(func() {
			errs[i] = s.Decide(ctx, s.Act(s.Ann, now.Add(time.Minute)), number, round.CondemnAll, "sour to the bone, seen with Bob Tarrant")
		})
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want one winner: %v", errs)
	}
	if e := domain.As(firstError(errs)); e.Kind != domain.Refused || !strings.Contains(e.Error(), "nothing left to decide") {
		t.Errorf("the other is told: %v", e)
	}
	a, err := s.Animal(ctx, number)
	must(t, err)
	if a.Physical != "condemned" || !a.CallFirst {
		t.Errorf("stands at %s, call first %v", a.Physical, a.CallFirst)
	}
	if here, err = s.HangingIn(ctx, s.Cooler.ID); err != nil || len(here) != 0 {
		t.Errorf("its hook is not free: %v, %v", here, err)
	}
	decisions, err := s.DecisionsOn(ctx, number)
	if err != nil || len(decisions) != 2 || decisions[0].Verdict != round.CondemnAll || decisions[0].By != "AK" {
		t.Errorf("decisions %+v, %v", decisions, err)
	}
}

// firstError is the one that is not nil.
func firstError(errs []error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
