package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/cutting"
)

// A cape that was ticked into a freezer by a slip and is laid on a hook after all has
// its clock back; frozen again, it is frozen since that day and not since the slip.
func TestFreezeClockComesBack(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.HangDeer(t, 1, 1)
	mark, err := s.CutOff(ctx, s.Act(s.Bob, dbtest.Noon), n, db.NewPiece{Kind: cutting.CapePiece, Instruction: "shoulder mount"})
	must(t, err)
	laid := func(hours int, place string, frozen bool) db.Piece {
		t.Helper()
		must(t, s.Lay(ctx, s.Act(s.Bob, dbtest.Noon.Add(time.Duration(hours)*time.Hour)), n, mark, place, frozen))
		p, err := s.PieceOf(ctx, n, mark)
		must(t, err)
		return p
	}
	var told string
	if err := s.Pool().QueryRow(ctx, `SELECT detail->>'piece' FROM time_line WHERE what = 'cut-off'`).Scan(&told); err != nil || told != string(n)+"-C" {
		t.Errorf("the time line calls it %q, %v: want it as on its label, %s-C", told, err, n)
	}
	clock, err := s.PieceOf(ctx, n, mark)
	if err != nil || clock.FreezeBy == nil {
		t.Fatalf("%+v, %v: want a clock from the knife on", clock, err)
	}
	if p := laid(1, "chest freezer 2", true); p.FreezeBy != nil || p.FrozenAt == nil {
		t.Errorf("frozen %v, due %v: want it frozen", p.FrozenAt, p.FreezeBy)
	}
	if p := laid(2, "hook by the door", false); p.FrozenAt != nil || p.FreezeBy == nil || !p.FreezeBy.Equal(*clock.FreezeBy) {
		t.Errorf("frozen %v, due %v: want it due as before, %s", p.FrozenAt, p.FreezeBy, clock.FreezeBy)
	}
	laid(3, "chest freezer 2", true)
	if p, since := laid(4, "chest freezer 1", true), dbtest.Noon.Add(3*time.Hour); p.FrozenAt == nil || !p.FrozenAt.Equal(since) {
		t.Errorf("frozen %v, want since %s: from one freezer to the next is no thaw", p.FrozenAt, since)
	}
}
