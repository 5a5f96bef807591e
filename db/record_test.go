package db_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cooler"
	"coldrail/domain/hold"
	"coldrail/domain/register"
	"coldrail/domain/round"
)

func TestWaysToFind(t *testing.T) {
	for typed, want := range map[string]db.Ways{
		"":                              {},
		"   ":                           {},
		" 26-0147-3 ":                   {Number: "26-0147-3", Phone: "2601473", Official: "26-0147-3"},
		"2601473":                       {Number: "26-0147-3", Phone: "2601473", Official: "2601473"},
		"2601474":                       {Misread: true, Phone: "2601474", Official: "2601474"},
		"26-0147-3/2":                   {Number: "26-0147-3", Phone: "2601473", Official: "26-0147-3/2"},
		"https://x.example/a/26-0147-3": {Number: "26-0147-3", Phone: "2601473", Official: "HTTPS://X.EXAMPLE/A/26-0147-3"},
		"0147":                          {Short: "0147", Official: "0147"},
		"(607) 555-0133":                {Phone: "6075550133", Official: "(607) 555-0133"},
		"Walt  Or":                      {Name: "walt or", Official: "WALT OR"},
		"ny 4410":                       {Official: "NY 4410"},
		"147":                           {Official: "147"},
		strings.Repeat("é", 60):         {Name: strings.Repeat("é", 40), Official: strings.Repeat("É", 40)},
	} {
		if got := db.WaysToFind(typed); got != want {
			t.Errorf("%q: %+v, want %+v", typed, got, want)
		}
	}
}

func TestFind(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	one, two := receive(t, s, aDrop(147)), receive(t, s, aDrop(148))
	for typed, want := range map[string][]domain.ShopNumber{
		"26-0147-3": {one.Number}, "0148": {two.Number}, "0142": {one.Number, two.Number}, "555-0142": {one.Number, two.Number},
		"harg": {one.Number, two.Number}, "DELL H": {one.Number, two.Number}, "argrove": nil, "%": nil, "d_ll": nil, `dell\`: nil,
		"ny 4410 26-0148-1": {two.Number}, "nobody": nil, "": nil,
	} {
		found, err := s.Find(ctx, db.WaysToFind(typed))
		must(t, err)
		var got []domain.ShopNumber
		for _, f := range found {
			got = append(got, f.Number)
		}
		if slices.Sort(got); !slices.Equal(got, want) {
			t.Errorf("find %q: %v, want %v", typed, got, want)
		}
	}
	exec(t, s, `INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) VALUES (gen_random_uuid(), $1, 'permit', 'Pa-77B', 'PA', 'on-card', now(), $2)`, two.ID, s.Bob.ID)
	if found, err := s.Find(ctx, db.WaysToFind("pa-77b")); err != nil || len(found) != 1 || found[0].Number != two.Number || found[0].Owner != "Dell Hargrove" || found[0].Place != "Main cooler R1-2" {
		t.Errorf("the state's tag finds %+v, %v", found, err)
	}
	exec(t, s, `UPDATE animals SET physical = 'released' WHERE id = $1`, two.ID)
	if found, _ := s.Find(ctx, db.WaysToFind("harg")); len(found) != 2 || found[0].Number != one.Number {
		t.Errorf("what is in the house does not come first: %+v", found)
	}
}

// The record of an animal just taken in: its people, tag, place, line in the
// register with its seal, and the first line of its time line.
func TestRecordAfterDropOff(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	d := aDrop(147)
	d.County = ""
	a := receive(t, s, d)
	r, err := s.Record(ctx, a.Number, dbtest.Noon)
	must(t, err)
	if len(r.Register) != 1 || len(r.Register[0].Hash) != 32 || r.Register[0].Kind != register.Receipt {
		t.Errorf("register: %+v", r.Register)
	}
	if len(r.Owed) != 1 || r.Owed[0].Name != "county" {
		t.Errorf("owed: %+v, want the county", r.Owed)
	}
	if len(r.Tags) != 1 || len(r.Places) != 1 || r.Places[0].Rail != "R1" || r.Protocol.Key != "deer-mature" || r.ReceivedBy != "BT" {
		t.Errorf("tags %v, places %v, protocol %s, by %s", r.Tags, r.Places, r.Protocol.Key, r.ReceivedBy)
	}
	if !slices.ContainsFunc(r.Parties, func(p db.Party) bool { return p.Role == "owner" && p.Name == "Dell Hargrove" }) {
		t.Errorf("people: %+v", r.Parties)
	}
	if r.Verdict == nil {
		t.Errorf("no verdict: %s", r.Why)
	}
	line, err := s.TimeLine(ctx, a.ID)
	must(t, err)
	if len(line) != 1 || line[0].What != "receive" || line[0].By != s.Bob.Name || line[0].Detail["owed"] != 1.0 {
		t.Errorf("time line: %+v", line)
	}
	if _, err := s.Record(ctx, "26-9999-9", dbtest.Noon); domain.As(err).Kind != domain.NotFound {
		t.Errorf("a number nobody has: %v", err)
	}
}

// The air an animal lived in follows it from room to room, with the gaps of each.
func TestLived(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := s.HangDeer(t, 1, 1)
	moved := dbtest.Noon.Add(-24 * time.Hour)
	must(t, func() error {
		_, err := s.AddCooler(ctx, db.Cooler{Name: "back", Label: "Back cooler", Kind: "cooler", LengthM: 3, WidthM: 3, HeightM: 2.4, Panel: "polyurethane"},
			[]db.Rail{{Name: "B1", Kind: "bare", LengthM: 2, Places: 4}})
		return err
	}())
	owner := dbtest.Owner(t, s.DB)
	for _, sql := range []string{
		`DELETE FROM readings WHERE at > $1::timestamptz - interval '20 hours' AND at < $1::timestamptz - interval '10 hours'`,
		`UPDATE occupancies SET until = $1`,
		`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff) SELECT gen_random_uuid(), p.id, o.animal_id, $1, o.by_staff
		 FROM occupancies o, places p JOIN rails r ON r.id = p.rail_id WHERE r.name = 'B1' AND p.position = 1`,
	} {
		if _, err := owner.Exec(ctx, sql, moved); err != nil {
			t.Fatal(err)
		}
	}
	a := animalOf(t, s, number)
	lived, err := s.Lived(ctx, a.ID, a.Revision, dbtest.Noon)
	must(t, err)
	if len(lived) != 2 || lived[0].Room != "Main cooler" || lived[1].Room != "Back cooler" || !lived[0].From.Equal(a.ReceivedAt) || !lived[1].From.Equal(moved) || !lived[1].To.Equal(dbtest.Noon) {
		t.Fatalf("lived %+v", lived)
	}
	if n := len(lived[0].Readings); n != 34 { // hourly over 42 h with both ends are 43; nine are gone
		t.Errorf("%d readings in the main cooler", n)
	}
	if g := lived[0].Silences; len(g) != 1 || g[0].To.Sub(g[0].From) != 10*time.Hour {
		t.Errorf("silences %v, want one of ten hours", g)
	}
	if len(lived[1].Readings) != 0 {
		t.Errorf("a room without a sensor has %d readings", len(lived[1].Readings))
	}
}

// The first page's rows: a missed round stands until somebody walks the room, and
// a hold is due on the shop's own day.
func TestToday(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := s.HangDeer(t, 1, 1)
	must(t, s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), number, hold.Quality, "odd smell", dbtest.Noon.AddDate(0, 0, 1)))
	must(t, s.WatchRounds(ctx, dbtest.Noon.Add(-5*time.Hour))) // the morning's window is open
	now := dbtest.Noon
	must(t, s.WatchRounds(ctx, now)) // and has closed
	day, err := s.Today(ctx, now)
	must(t, err)
	if len(day.Rounds) != 2 || day.Rounds[0].State != round.Missed || day.Rounds[0].Kind != round.Morning {
		t.Errorf("rounds %+v, want the morning's missed in both rooms", day.Rounds)
	}
	if len(day.Reviews) != 0 || len(day.Hung) != 1 || len(day.InHouse) != 1 || !day.InHouse[0].Held || day.InHouse[0].Physical != animal.Hanging {
		t.Errorf("reviews %v, hung %d, in the house %+v", day.Reviews, len(day.Hung), day.InHouse)
	}
	if len(day.Rooms) != 1 || day.Rooms[0].Reading == nil || day.Rooms[0].Finding.Band != cooler.Fine {
		t.Errorf("rooms %+v, want the cooler alone, fine", day.Rooms)
	}
	must(t, s.SaveRound(ctx, s.Act(s.Bob, now), walked(s, now)))
	// Five hours on it is still the 19th in New York; eleven hours on, the 20th.
	for hours, due := range map[int]int{5: 0, 12: 1} {
		if day, err = s.Today(ctx, now.Add(time.Duration(hours)*time.Hour)); err != nil || len(day.Reviews) != due {
			t.Errorf("after %d h %d reviews, want %d; %v", hours, len(day.Reviews), due, err)
		}
	}
	for _, r := range day.Rounds {
		if r.Room == "main" && r.State == round.Missed {
			t.Errorf("a missed round stands although the room was walked since: %+v", r)
		}
	}
}
