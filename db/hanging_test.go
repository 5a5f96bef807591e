package db_test

import (
	"context"
	"reflect"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
	"coldrail/domain/hold"
)

// What the board remembers must say the same as the model asked afresh, before
// and after an act that changes the facts.
func TestHangingJudgesLikeTheModelItself(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.HangMany(t, 60)
	hung, err := s.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	if len(hung) != 60 {
		t.Fatalf("%d hang, want 60", len(hung))
	}
	seen := map[ageing.Condition]int{}
	for _, h := range hung {
		if h.Verdict == nil {
			t.Fatalf("%s: no verdict: %s", h.Number, h.Why)
		}
		seen[h.Verdict.Condition]++
	}
	if len(seen) < 3 {
		t.Errorf("animals of 1 to 15 days all stand the same: %v", seen)
	}

	// The same animal, asked of the model by hand with the raw readings.
	h := hung[10]
	readings := readingsOf(t, s, h.Cooler)
	history, err := exposure.NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	deep, kept := *animalOf(t, s, h.Number).DeepC, *animalOf(t, s, h.Number).KeptC
	facts := ageing.Facts{Species: h.Species, Class: h.Class, Form: h.Form, Door: ageing.DoorClean, Killed: h.KilledAt, Received: h.ReceivedAt,
		Weight: *h.HangingKg, DeepAtDoor: &deep, KeptAt: &kept, Kept: ageing.Hung, Looks: looksOf(t, s, h.Number),
		Protocol: ageing.ProtocolFor(h.Species, h.Class, h.Form, false)}
	want, err := ageing.Judge(facts, []exposure.Stay{{From: h.ReceivedAt, In: history}}, now)
	if err != nil {
		t.Fatal(err)
	}
	if got := *h.Verdict; got.Condition != want.Condition || abs(got.Tender-want.Tender) > 0.001 || abs(got.Growth-want.Growth) > 0.001*want.Growth {
		t.Errorf("board: %s tender %.4f growth %.4f; model: %s tender %.4f growth %.4f",
			got.Condition, got.Tender, got.Growth, want.Condition, want.Tender, want.Growth)
	}
}

// A second asking within the minute remembers; a minute later it judges anew.
func TestHangingMovesWithTime(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.HangMany(t, 5)
	first, err := s.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	later, err := s.Hanging(ctx, now.Add(48*time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	for i := range first {
		if !(later[i].Verdict.Tender > first[i].Verdict.Tender) {
			t.Errorf("%s is no more tender after two days: %.4f, %.4f", first[i].Number, first[i].Verdict.Tender, later[i].Verdict.Tender)
		}
		if d := later[i].Verdict.DaysSinceKill - first[i].Verdict.DaysSinceKill; abs(d-2) > 1e-9 {
			t.Errorf("%s aged %.3f days in two", first[i].Number, d)
		}
	}
}

// The mark must change with an act on the rail and with a reading, and not else.
func TestBoardMark(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.HangMany(t, 3)
	mark := func() string {
		t.Helper()
		m, err := s.BoardMark(ctx, db.Holder{})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	was := mark()
	if again := mark(); again != was {
		t.Errorf("the mark moved by itself: %s, %s", was, again)
	}
	for _, change := range []string{
		`UPDATE animals SET revision = revision + 1 WHERE number = (SELECT min(number) FROM animals)`,
		`INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		 SELECT id, cooler_id, '2026-11-19T17:01:00Z', 2, '2', 'C', '', 'ok', 'hand' FROM sensors`,
		`UPDATE occupancies SET until = since + interval '1 hour' WHERE id = (SELECT min(id::text)::uuid FROM occupancies)`,
	} {
		if _, err := s.Pool().Exec(ctx, change); err != nil {
			t.Fatal(err)
		}
		now := mark()
		if now == was {
			t.Errorf("the mark did not move with: %s", change)
		}
		was = now
	}
}

// The look at who holds a tablet says by itself that the board is as it was, and asks
// for its mark where it may not be. A database beside this one may be written to
// meanwhile, which counts as a write here; so it is tried until none was.
func TestHolderKnowsTheBoardIsAsItWas(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.HangMany(t, 3)
	gone, leave := context.WithCancel(ctx) // nothing can be asked under it
	leave()
	look := func() (h db.Holder, mark string) {
		t.Helper()
		h, found, err := s.HolderOf(ctx, s.Device, s.Bob.ID, dbtest.Noon)
		if err != nil || !found {
			t.Fatal(h, found, err)
		}
		if mark, err = s.BoardMark(ctx, h); err != nil {
			t.Fatal(err)
		}
		return h, mark
	}
	unasked := func() (holder db.Holder, was string) {
		t.Helper()
		for range 200 {
			holder, was = look()
			if m, err := s.BoardMark(gone, holder); err == nil {
				if m != was {
					t.Fatalf("nothing was written: mark %q, want %q", m, was)
				}
				return holder, was
			}
		}
		t.Fatal("the mark is asked for each time")
		return holder, was
	}
	holder, was := unasked()
	if _, err := s.Pool().Exec(ctx, `UPDATE animals SET revision = revision + 1 WHERE number = (SELECT min(number) FROM animals)`); err != nil {
		t.Fatal(err)
	}
	if _, now := look(); now == was {
		t.Errorf("an act was done: mark %q as before", now)
	}
	if m, err := s.BoardMark(ctx, holder); err != nil || m == was {
		t.Errorf("by a look from before the act: %q, %v", m, err)
	}
	if _, err := s.BoardMark(gone, db.Holder{}); err == nil {
		t.Error("without a look the mark is given unasked")
	}
	holder, _ = unasked() // then every connection is cut, as by a crash
	if _, err := dbtest.Owner(t, s.DB).Exec(ctx, `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()`); err != nil {
		t.Fatal(err)
	}
	for range 20 { // each cut connection may fail one question
		if s.Ping(ctx) == nil {
			break
		}
	}
	if m, err := s.BoardMark(gone, holder); err == nil {
		t.Errorf("from before the connections were cut, %q is given unasked", m)
	}
}

// What was begun before a mark was read and is kept after it moves the mark all the
// same.
func TestBoardMarkSeesWhatWasUnderWay(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.HangMany(t, 3)
	tx, err := s.Pool().Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(ctx, `UPDATE animals SET revision = revision + 1 WHERE number = (SELECT min(number) FROM animals)`); err != nil {
		t.Fatal(err)
	}
	var marks []string
	read := func() {
		t.Helper()
		m, err := s.BoardMark(ctx, db.Holder{})
		if err != nil {
			t.Fatal(err)
		}
		marks = append(marks, m)
	}
	read()
	read()
	if err := tx.Commit(ctx); err != nil {
		t.Fatal(err)
	}
	read()
	if marks[0] != marks[1] || marks[1] == marks[2] {
		t.Errorf("before, again, after the commit: %q", marks)
	}
}

// What is remembered as of a mark is what hangs: after every act that a board shows,
// the mark has moved and the memory says the same as the table.
func TestBoardIsRememberedAsItIs(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.HangMany(t, 3)
	hung, err := s.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	one, two, three := hung[0].Number, hung[1].Number, hung[2].Number
	marks := map[string]string{}
	same := func(after string) {
		t.Helper()
		mark, err := s.BoardMark(ctx, db.Holder{})
		if err != nil {
			t.Fatal(err)
		}
		if before, seen := marks[mark]; seen {
			t.Errorf("the mark after %s is the one after %s", after, before)
		}
		marks[mark] = after
		for range 2 { // read, then remembered
			remembered, err := s.HangingAs(ctx, mark, now)
			if err != nil {
				t.Fatal(err)
			}
			read, err := s.Hanging(ctx, now)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(read, remembered) {
				t.Errorf("after %s: the table says %+v, the memory %+v", after, read, remembered)
			}
		}
	}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	same("hanging")
	must(s.OpenHold(ctx, s.Act(s.Ann, now), one, hold.Warden, "asked for it", time.Time{}))
	same("a hold")
	must(s.OpenHold(ctx, s.Act(s.Ann, now), two, hold.Payment, "owes for last year", time.Time{}))
	same("a hold on another")
	must(s.Promise(ctx, s.Act(s.Ann, now), three, now.AddDate(0, 0, 9)))
	same("a promise")
	free, err := s.FreePlaces(ctx)
	must(err)
	must(s.Move(ctx, s.Act(s.Ann, now), two, "", free[0].ID, ""))
	same("a move")
	_, err = dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE rails SET name = 'R9' WHERE name = 'R1'`)
	must(err)
	same("another name for a rail")
}

// A late file with readings between the old ones must change the verdicts too.
func TestLateReadingsCount(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	s.HangMany(t, 3)
	before, err := s.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Pool().Exec(ctx, `
		INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		SELECT id, cooler_id, at, 15, '15', 'C', '', 'ok', 'file' FROM sensors,
		  generate_series('2026-11-19T08:02:00Z'::timestamptz, '2026-11-19T12:00:00Z', interval '5 minutes') AS at WHERE name = 'big logger'`)
	if err != nil {
		t.Fatal(err)
	}
	after, err := s.Hanging(ctx, now)
	if err != nil {
		t.Fatal(err)
	}
	for i := range before {
		if !(after[i].Verdict.Growth > before[i].Verdict.Growth) {
			t.Errorf("%s: growth %.4f before and %.4f after a warm night came to light", before[i].Number, before[i].Verdict.Growth, after[i].Verdict.Growth)
		}
	}
}

func TestNoReadingsNoVerdict(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.HangMany(t, 1)
	owner := dbtest.Owner(t, s.DB)
	for _, sql := range []string{`DELETE FROM readings`, `UPDATE coolers SET readings_kept = 0`} {
		if _, err := owner.Exec(ctx, sql); err != nil {
			t.Fatal(err)
		}
	}
	hung, err := s.Hanging(ctx, dbtest.Noon)
	if err != nil {
		t.Fatal(err)
	}
	if hung[0].Verdict != nil || hung[0].Condition() != "look" || hung[0].Why.String() == "" {
		t.Errorf("without a reading: %+v", hung[0])
	}
}
