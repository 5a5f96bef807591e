package demo_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/db/demo"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/cutting"

	"github.com/jackc/pgx/v5"
)

// The season must be what the screens promise: full at every stage, with its
// stories, its register whole; and a second loading is refused.
func TestSeason(t *testing.T) {
	t.Parallel()
	d, ctx, now := dbtest.Open(t), t.Context(), time.Date(2026, 11, 25, 15, 30, 0, 0, time.UTC)
	if err := demo.LoadAfter(ctx, d, now, demo.Earlier{Seasons: 1, Readings: 30_000}); err != nil {
		t.Fatal(err)
	}
	hung, err := d.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	stands, species := map[ageing.Condition]int{}, map[domain.Species]int{}
	held := 0
	for _, h := range hung {
		if h.Verdict == nil {
			t.Fatalf("%s: %s", h.Number, h.Why)
		}
		stands[h.Verdict.Condition]++
		species[h.Species]++
		if len(h.Holds) > 0 {
			held++
		}
	}
	t.Logf("hanging %d: %v; %v; held %d", len(hung), stands, species, held)
	for _, c := range ageing.Conditions {
		if stands[c] == 0 {
			t.Errorf("nothing stands at %q", c)
		}
	}
	if stands[ageing.Past] > 4 || held == 0 || species[domain.Beef] != 3 || species[domain.Elk] != 2 || species[domain.Hog] != 1 {
		t.Errorf("past %d, held %d, beef sides %d, elk %d, hogs %d", stands[ageing.Past], held, species[domain.Beef], species[domain.Elk], species[domain.Hog])
	}
	if err := d.VerifyRegister(ctx); err != nil {
		t.Error(err)
	}
	if err := demo.Load(ctx, d, now); domain.As(err).Kind != domain.Refused {
		t.Errorf("a second loading: %v", err)
	}

	checkStages(t, d)
	checkTax(t, d)
	checkSeasonBefore(t, d, now)
}

// Whatever the hour and the day of the week it is loaded, it loads, nothing of it lies
// ahead, and nobody brought an animal to a closed shop.
func TestSeasonAtAnyHour(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	for _, now := range []time.Time{
		time.Date(2026, 11, 9, 5, 0, 0, 0, zone),    // a Monday before dawn, eight days after the clocks went back
		time.Date(2026, 12, 27, 18, 40, 0, 0, zone), // a Sunday evening, in the round's window
		time.Date(2026, 11, 25, 0, 30, 0, 0, zone),
		time.Date(2026, 11, 26, 9, 0, 0, 0, zone),
		time.Date(2026, 11, 27, 14, 0, 0, 0, zone),
		time.Date(2026, 11, 28, 23, 0, 0, 0, zone),
	} {
		t.Run(now.Format("Mon 15:04"), func(t *testing.T) {
			t.Parallel()
			d := dbtest.Open(t)
			if err := demo.Load(t.Context(), d, now); err != nil {
				t.Fatal(err)
			}
			checkStages(t, d)
			checkHours(t, d, now)
			hung, err := d.Hanging(t.Context(), now)
			if err != nil {
				t.Fatal(err)
			}
			stands := map[ageing.Condition]int{}
			for _, h := range hung {
				stands[h.Verdict.Condition]++
			}
			for _, c := range ageing.Conditions {
				if stands[c] == 0 {
					t.Errorf("nothing stands at %q", c)
				}
			}
		})
	}
}

// checkHours looks for drop-offs while the shop is closed, for anything before it can
// be, and for anything that has not happened yet. The doors are open from 8 to 20; an hour
// and two more are left for whoever comes early or waits in line.
func checkHours(t *testing.T, d *db.DB, now time.Time) {
	t.Helper()
	for what, sql := range map[string]string{
		"drop-offs at night":                   `SELECT count(*) FROM animals WHERE (received_at AT TIME ZONE 'America/New_York')::time NOT BETWEEN '06:00' AND '21:00'`,
		"animals here before they were killed": `SELECT count(*) FROM animals WHERE killed_at >= received_at`,
		"deer shot at night":                   `SELECT count(*) FROM animals WHERE species IN ('whitetail', 'mule-deer', 'elk') AND (killed_at AT TIME ZONE 'America/New_York')::time NOT BETWEEN '06:15' AND '17:00'`,
		"animals to come":                      `SELECT count(*) FROM animals, loaded WHERE received_at > loaded.at`,
		"acts to come":                         `SELECT count(*) FROM time_line t, loaded WHERE t.at > loaded.at`,
		"acts on an animal not here yet":       `SELECT count(*) FROM time_line t JOIN animals a ON a.id = t.animal_id WHERE t.at < a.received_at`,
		"capes or hides of a skinned deer":     `SELECT count(*) FROM animals WHERE species IN ('whitetail', 'mule-deer') AND form <> 'whole-hide-on' AND keeps ~* 'cape|hide'`,
		"orders taken at night":                `SELECT count(*) FROM orders WHERE (written_at AT TIME ZONE 'America/New_York')::time NOT BETWEEN '06:00' AND '21:00'`,
	} {
		var n int
		if err := d.Pool().QueryRow(t.Context(), `WITH loaded AS (SELECT $1::timestamptz AS at) `+sql, now).Scan(&n); err != nil || n > 0 {
			t.Errorf("%d %s, %v", n, what, err)
		}
	}
}

// checkKept looks for the steer of two owners, its kill entered, the cape that waits
// for the taxidermist, and the inspector's visit.
func checkKept(t *testing.T, d *db.DB) {
	t.Helper()
	ctx := t.Context()
	hung, err := d.Hanging(ctx, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	shared := 0
	for _, h := range hung {
		if h.Species != domain.Beef {
			continue
		}
		a, err := d.Animal(ctx, h.Number)
		if err != nil {
			t.Fatal(err)
		}
		k, err := d.KilledOf(ctx, a)
		if err != nil || !k.Entered {
			t.Errorf("%s hangs and its kill is not entered: %v", h.Number, err)
		}
		if len(k.Shares) == 1 {
			continue
		}
		orders, err := d.StandingOrders(ctx, h.Number)
		if shared++; err != nil || len(k.Shares) != 2 || len(k.Mates) != 3 || len(k.Stamps) != 4 || !k.Told || len(orders) != 2 || a.OrderState != "complete" {
			t.Errorf("%s: %+v, %d orders, %s, %v", h.Number, k, len(orders), a.OrderState, err)
		}
	}
	if shared != 2 { // its sides
		t.Errorf("%d sides of a shared steer hang", shared)
	}
	if kept, err := d.InKeeping(ctx); err != nil || len(kept) != 1 || kept[0].Kind != cutting.CapePiece || kept[0].FrozenAt == nil {
		t.Errorf("kept: %+v, %v", kept, err)
	}
	if v, err := d.Visits(ctx); err != nil || len(v) != 1 || v[0].EndedAt == nil || len(v[0].Shown) != 2 {
		t.Errorf("visits: %+v, %v", v, err)
	}
}

func checkStages(t *testing.T, d *db.DB) {
	t.Helper()
	checkKept(t, d)
	if list, err := d.Batches(t.Context(), 9); err != nil || len(list) == 0 || list[0].Status != db.BatchMixed {
		t.Errorf("the smokehouse stands cold: %+v, %v", list, err)
	}
	type stage struct {
		Physical string
		Animals  int
	}
	rows, _ := d.Pool().Query(t.Context(), `SELECT physical, count(*)::int AS animals FROM animals WHERE number LIKE '26-%' GROUP BY 1`)
	stages, err := pgx.CollectRows(rows, pgx.RowToStructByName[stage])
	if err != nil {
		t.Fatal(err)
	}
	t.Log(stages)
	least := map[string]int{"hanging": 45, "stored": 20, "released": 20, "on-table": 2, "chilling": 15, "received": 3}
	for _, s := range stages {
		if s.Animals < least[s.Physical] {
			t.Errorf("%d are %s, want at least %d", s.Animals, s.Physical, least[s.Physical])
		}
		delete(least, s.Physical)
	}
	if len(least) > 0 {
		t.Errorf("nothing at %v", least)
	}
}

// The season before stands whole: its animals are gone, and nothing of it hangs.
func checkSeasonBefore(t *testing.T, d *db.DB, now time.Time) {
	t.Helper()
	ctx := t.Context()
	var animals, half, readings, lines int
	err := d.Pool().QueryRow(ctx, `
		SELECT (SELECT count(*) FROM animals WHERE number LIKE '25-%'),
		       (SELECT count(*) FROM animals a WHERE number LIKE '25-%' AND ((SELECT count(*) FROM register r WHERE r.animal_id = a.id) <> 2
		          OR (SELECT count(*) FROM time_line t WHERE t.animal_id = a.id) <> 9 OR NOT EXISTS (SELECT FROM handovers h WHERE h.animal_id = a.id))),
		       (SELECT count(*) FROM readings WHERE at < $1), (SELECT count(*) FROM register WHERE at < $1)`, now.AddDate(0, -2, 0)).Scan(&animals, &half, &readings, &lines)
	if err != nil || animals != 1500 || half != 0 || readings != 30_000 || lines != 3000 {
		t.Errorf("%d animals, %d of them not whole, %d readings, %d lines of the register, %v", animals, half, readings, lines, err)
	}
	hung, err := d.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range hung {
		if h.Number[:2] != "26" {
			t.Errorf("%s of last year hangs", h.Number)
		}
	}
}

// checkTax looks for a bill with its line of tax: 4 % of what is taxed on it.
func checkTax(t *testing.T, d *db.DB) {
	t.Helper()
	waiting, err := d.WaitingForPickup(t.Context(), 100)
	if err != nil {
		t.Fatal(err)
	}
	taxed := 0
	for _, w := range waiting {
		account, err := d.Account(t.Context(), w.Number)
		if err != nil {
			t.Fatal(err)
		}
		inv := account.Invoice()
		for _, l := range inv.Lines {
			if l.Code == "tax" && l.Label == "County sales tax" && l.Total == (inv.Taxable()*4+50)/100 {
				taxed++
			}
		}
	}
	if taxed == 0 {
		t.Errorf("of %d bills none has its line of tax", len(waiting))
	}
}
