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

// goodRoom is a room with nothing wrong.
func goodRoom() db.RoomCheck {
	return db.RoomCheck{AirPanel: f(35), AirOwn: f(36), MeatOld: f(36), MeatNew: f(50), FansRunning: n(3), Smell: round.SmellClean}
}

func walkOf(s *dbtest.Shop, at time.Time) db.Walk {
	return db.Walk{ID: uuid.Must(uuid.NewV7()), Cooler: s.Cooler.Name, Arrived: at}
}

func says(t testing.TB, err error, kind domain.Kind, phrase string) {
	t.Helper()
	if e := domain.As(err); err == nil || e.Kind != kind || !strings.Contains(e.Msg.String(), phrase) {
		t.Fatalf("want kind %v saying %q, got %v", kind, phrase, err)
	}
}

// One evening by steps, each sent twice: the steps keep their own times, the
// touch speaks for the longer-hung whole carcass and for no hide, and only the
// end makes the due round done.
func TestWalkBySteps(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	old := hung(t, s, 1, "R1", 1, domain.Whole, evening.AddDate(0, 0, -5))
	young := hung(t, s, 2, "R1", 2, domain.Whole, evening.AddDate(0, 0, -2))
	hide := hung(t, s, 3, "R1", 3, domain.WholeHideOn, evening.AddDate(0, 0, -5))
	must(t, s.WatchRounds(ctx, evening))
	w := walkOf(s, evening)
	room, rail, look, end := s.Act(s.Bob, evening), s.Act(s.Bob, evening.Add(2*time.Minute)), s.Act(s.Bob, evening.Add(time.Minute)), s.Act(s.Bob, evening.Add(5*time.Minute))
	touch := db.Look{Number: young, Look: round.Look{Smell: round.SmellClean, Surface: round.SurfaceDry}}
	for range 2 {
		must(t, s.LookOnRound(ctx, look, w, hide, db.Look{Look: round.Look{Smell: round.SmellMusty, Surface: round.SurfaceWet}}))
		says(t, s.EndRound(ctx, s.Act(s.Bob, evening.Add(time.Minute)), db.Walk{ID: uuid.Must(uuid.NewV7()), Cooler: "main", Arrived: evening}), domain.Refused, "has not been looked at yet")
		must(t, s.CheckRoom(ctx, room, w, goodRoom()))
		must(t, s.CountRail(ctx, rail, w, 1, 3, &touch))
		if due := dueOf(t, s); due[0].State == round.Done && room.At.IsZero() {
			t.Error("done before its end")
		}
		must(t, s.EndRound(ctx, end, w))
	}
	if due := dueOf(t, s); due[0].State != round.Done {
		t.Errorf("the due round is %s", due[0].State)
	}
	got, err := s.WalkedRound(ctx, w.ID)
	must(t, err)
	if !got.WalkedFrom.Equal(evening) || !got.WalkedTo.Equal(end.At) || got.Saw != 2 || got.Counted != 3 || got.Expected != 3 {
		t.Errorf("walked %+v", got)
	}
	var took, fromHide int
	must(t, s.Pool().QueryRow(ctx, `
		SELECT count(*) FILTER (WHERE a.number = $1), count(*) FILTER (WHERE a.number = $2) FROM rail_surfaces r JOIN animals a ON a.id = r.animal_id`, old, hide).Scan(&took, &fromHide))
	if took != 1 || fromHide != 0 {
		t.Errorf("the touch spoke %d times for the longer-hung and %d times for a hide", took, fromHide)
	}
	says(t, s.CountRail(ctx, s.Act(s.Bob, evening.Add(9*time.Minute)), w, 2, 0, nil), domain.Conflict, "ended already")
	says(t, s.CheckRoom(ctx, s.Act(s.Bob, evening.Add(4*time.Hour)), db.Walk{ID: w.ID, Cooler: "freezer", Arrived: evening.Add(4 * time.Hour)}, goodRoom()), domain.Invalid, "another room")
}

// Two tablets count the same rail at once: one wins, the other hears of it.
func TestCountRailTwoTablets(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	w := walkOf(s, evening)
	must(t, s.CheckRoom(ctx, s.Act(s.Bob, evening), w, db.RoomCheck{AirPanel: f(35), AirOwn: f(36), FansRunning: n(3), Smell: round.SmellClean}))
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i, who := range []db.Staff{s.Ann, s.Bob} {
		wg.Go(func() { errs[i] = s.CountRail(ctx, s.Act(who, evening), w, 1, i, nil) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want one winner: %v, %v", errs[0], errs[1])
	}
	for _, err := range errs {
		if err != nil {
			says(t, err, domain.Conflict, "was counted at")
		}
	}
	says(t, s.CheckRoom(ctx, s.Act(s.Ann, evening), w, goodRoom()), domain.Conflict, "answered at")
	says(t, s.CountRail(ctx, s.Act(s.Ann, evening.Add(4*time.Hour)), db.Walk{ID: w.ID, Cooler: "main", Arrived: evening.Add(4 * time.Hour)}, 2, 0, nil), domain.Refused, "too long ago")
}

// What is out of its limit opens a corrective action (trade.md 4.1) that its
// finder does not close alone; a wrong count is settled by reading the tags.
func TestCorrectiveActions(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	gone := hung(t, s, 1, "R1", 1, domain.Whole, evening.AddDate(0, 0, -5))
	w := walkOf(s, evening)
	bad := goodRoom()
	bad.FansRunning, bad.MeatNew = n(2), f(36)
	must(t, s.CheckRoom(ctx, s.Act(s.Bob, evening), w, bad))
	must(t, s.CountRail(ctx, s.Act(s.Bob, evening), w, 1, 0, nil))
	open, err := s.OpenActions(ctx)
	must(t, err)
	if len(open) != 2 {
		t.Fatalf("open: %+v", open)
	}
	must(t, s.ReadTags(ctx, s.Act(s.Bob, evening), w, 1, []domain.ShopNumber{gone}, []domain.ShopNumber{dbtest.Tag(9)}))
	open, err = s.OpenActions(ctx)
	must(t, err)
	var fan db.ActionRow
	for _, a := range open {
		if a.Item == round.ItemFans {
			fan = a
		}
		if a.Item == round.ItemCount {
			t.Error("the tags were read, and the count is still open")
		}
	}
	if len(open) != 3 || fan.Action().Found().String() != "2 of 3 fans turn" {
		t.Fatalf("open: %+v", open)
	}
	says(t, s.SeeRight(ctx, s.Act(s.Ann, evening), []uuid.UUID{fan.ID}), domain.Refused, "Nobody has said")
	says(t, s.PutRight(ctx, s.Act(s.Bob, evening), []uuid.UUID{fan.ID}, "reset", "", ""), domain.Invalid, "few words")
	act := s.Act(s.Bob, evening)
	for range 2 {
		must(t, s.PutRight(ctx, act, []uuid.UUID{fan.ID}, "breaker reset, all three turn", "none", "loose breaker"))
	}
	says(t, s.PutRight(ctx, s.Act(s.Ann, evening), []uuid.UUID{fan.ID}, "reset it again", "", ""), domain.Conflict, "put that right already")
	says(t, s.SeeRight(ctx, s.Act(s.Bob, evening), []uuid.UUID{fan.ID}), domain.Refused, "Somebody else looks")
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs {
		wg.Go(func() { errs[i] = s.SeeRight(ctx, s.Act(s.Ann, evening), []uuid.UUID{fan.ID}) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("closed twice or never: %v, %v", errs[0], errs[1])
	}
	closed, err := s.ClosedActions(ctx, evening.Add(-time.Hour))
	must(t, err)
	if len(closed) != 2 || closed[0].ClosedBy == "" {
		t.Errorf("closed: %+v", closed)
	}
}

// What one walk found is put right by one act, all or nothing; each thing keeps what
// was done, and things of two rooms are two acts.
func TestCorrectiveActionsOfOneWalk(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	bad := goodRoom()
	bad.FansRunning, bad.AirPanel = n(2), f(47)
	must(t, s.CheckRoom(ctx, s.Act(s.Bob, evening), walkOf(s, evening), bad))
	open, err := s.OpenActions(ctx)
	must(t, err)
	if len(open) < 2 || open[0].RoundID == nil || *open[0].RoundID != *open[1].RoundID {
		t.Fatalf("open: %+v", open)
	}
	ids := make([]uuid.UUID, len(open))
	for i, a := range open {
		ids[i] = a.ID
	}
	says(t, s.PutRight(ctx, s.Act(s.Ann, evening), nil, "breaker reset, all turn", "", ""), domain.NotFound, "no such thing")
	says(t, s.PutRight(ctx, s.Act(s.Ann, evening), append([]uuid.UUID{uuid.New()}, ids...), "breaker reset, all turn", "", ""), domain.NotFound, "no such thing")
	if still, err := s.OpenActions(ctx); err != nil || len(still) != len(open) || still[0].DoneAt != nil {
		t.Fatalf("a part of it was put right: %+v, %v", still, err)
	}
	must(t, s.PutRight(ctx, s.Act(s.Bob, evening), ids, "breaker reset, all turn", "", ""))
	done, err := s.OpenActions(ctx)
	must(t, err)
	for _, a := range done {
		if a.Done != "breaker reset, all turn" {
			t.Errorf("it does not keep what was done: %+v", a)
		}
	}
	_, err = dbtest.Owner(t, s.DB).Exec(ctx, `
		INSERT INTO corrective_actions (id, cooler_id, item, found_at, found_by) SELECT gen_random_uuid(), id, 'door', $1, $2 FROM coolers WHERE name = 'freezer'`, evening, s.Bob.ID)
	must(t, err)
	both, err := s.OpenActions(ctx)
	must(t, err)
	says(t, s.PutRight(ctx, s.Act(s.Ann, evening), []uuid.UUID{both[0].ID, ids[0]}, "latch mended, it shuts", "", ""), domain.Refused, "two rooms")
	must(t, s.PutRight(ctx, s.Act(s.Bob, evening), []uuid.UUID{both[0].ID}, "latch mended, it shuts", "", ""))
	says(t, s.SeeRight(ctx, s.Act(s.Ann, evening), []uuid.UUID{both[0].ID, ids[0]}), domain.Refused, "two rooms")
	must(t, s.SeeRight(ctx, s.Act(s.Ann, evening), ids))
	if closed, err := s.ClosedActions(ctx, evening.Add(-time.Hour)); err != nil || len(closed) != len(ids) {
		t.Errorf("closed: %+v, %v", closed, err)
	}
}

// trade.md 4.1: 32 °F ± 2 °F in ice water; a failure looks back to the last pass.
// Annex E 13: a pass at 34 °F whose offset parts panel and thermometer looks back
// to where the two last agreed.
func TestIceChecksLookBack(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.AddThermometer(ctx, s.Act(s.Ann, evening.AddDate(0, 0, -9)), "T1"))
	says(t, s.AddThermometer(ctx, s.Act(s.Ann, evening), "T1"), domain.Invalid, "of that name already")
	all, err := s.Thermometers(ctx)
	must(t, err)
	id := all[0].ID
	measured := func(at time.Time, panel, own float64) {
		t.Helper()
		r := goodRoom()
		r.AirPanel, r.AirOwn, r.Thermometer, r.MeatOld, r.MeatNew = f(panel), f(own), id, nil, nil
		w := walkOf(s, at)
		must(t, s.CheckRoom(ctx, s.Act(s.Bob, at), w, r))
		must(t, s.EndRound(ctx, s.Act(s.Bob, at.Add(time.Minute)), w))
	}
	measured(evening.AddDate(0, 0, -3), 37, 39) // once 2 °F are taken away they agree: 37 and 37
	measured(evening.AddDate(0, 0, -2), 35, 41) // 35 and 39: apart
	act := s.Act(s.Bob, evening.AddDate(0, 0, -1))
	for range 2 {
		must(t, s.CheckInIce(ctx, act, id, db.IceCheckMade{Reading: domain.Fahrenheit(34)}, act.At))
	}
	back, err := s.LookBacks(ctx, id)
	must(t, err)
	if len(back) != 1 || !back[0].Passed || back[0].OwnC.F() < 40.9 {
		t.Fatalf("after a pass that reads 2 °F too warm: %+v", back)
	}
	must(t, s.LookAgain(ctx, s.Act(s.Bob, evening), back[0].CheckID, back[0].RoundID, "panel probe is off, meat cold"))
	says(t, s.LookAgain(ctx, s.Act(s.Ann, evening), back[0].CheckID, back[0].RoundID, "meat was cold"), domain.Conflict, "looked at that round already")
	measured(evening.Add(-time.Hour), 35, 36)
	must(t, s.CheckInIce(ctx, s.Act(s.Bob, evening), id, db.IceCheckMade{Reading: domain.Fahrenheit(36)}, evening))
	back, err = s.LookBacks(ctx, id)
	must(t, err)
	if len(back) != 2 || back[0].SeenAt != nil || back[0].OwnC.F() > 36.1 {
		t.Errorf("after a failure, the rounds since the last pass: %+v", back)
	}
	r := goodRoom()
	r.Thermometer = id
	says(t, s.CheckRoom(ctx, s.Act(s.Bob, evening), walkOf(s, evening), r), domain.Invalid, "out of service")
	says(t, s.CheckInIce(ctx, s.Act(s.Bob, evening), id, db.IceCheckMade{Reading: 80}, evening), domain.Invalid, "not ice water")
	says(t, s.LookAgain(ctx, s.Act(s.Bob, evening), back[0].CheckID, back[0].RoundID, "ok"), domain.Invalid, "few words")
	must(t, s.RetireThermometer(ctx, s.Act(s.Ann, evening), id))
	says(t, s.CheckInIce(ctx, s.Act(s.Bob, evening), id, db.IceCheckMade{}, evening), domain.Refused, "taken out of use")
}

// design.md: work on paper shows as done on paper, neither on time nor missed;
// a sheet does not widen the window.
func TestPaperRound(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.WatchRounds(ctx, morning))
	must(t, s.WatchRounds(ctx, evening))
	r := walked(s, morning)
	r.OnPaper, r.By, r.MeatOld, r.MeatNew = true, s.Bob.ID, nil, nil
	act := s.Act(s.Ann, evening)
	for range 2 {
		must(t, s.SaveRound(ctx, act, r))
	}
	due := dueOf(t, s)
	if d := due[len(due)-1]; d.State != round.OnPaper || d.MissedAt == nil {
		t.Errorf("stands at %s", d.State)
	}
	got, err := s.WalkedRound(ctx, act.ID)
	must(t, err)
	if !got.OnPaper || got.By != "BT" || got.EnteredBy != "AK" || !got.WalkedTo.Equal(morning) || !got.ArrivedAt.Equal(evening) {
		t.Errorf("kept as %+v", got)
	}
	r = walked(s, evening.AddDate(0, 0, -8))
	r.OnPaper = true
	says(t, s.SaveRound(ctx, s.Act(s.Ann, evening), r), domain.Refused, "older than a week")
}
