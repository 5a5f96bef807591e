package db_test

import (
	"math"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/google/uuid"
)

// packsIn finds the line of packs of a cut in a box.
func packsIn(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, cut string, box int) (found db.PackLine) {
	t.Helper()
	list, err := s.Packs(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range list {
		if k.Cut == cut && k.Box == box {
			return k
		}
	}
	return found
}

// twoBoxes is a deer whose steaks and ground lie in box 1, its roasts in box 2.
func twoBoxes(t *testing.T, s *dbtest.Shop, running int) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, 2)
	for cut, kg := range map[string]domain.Kilogram{"steaks": 8, "ground": 6, "roasts": 4} {
		s.Packed(t, n, cut, kg)
	}
	exec(t, s, `UPDATE packs SET count = CASE cut WHEN 'ground' THEN 4 ELSE 1 END`)
	exec(t, s, `UPDATE packs p SET box_id = b.id FROM boxes b WHERE b.animal_id = p.animal_id AND b.n = CASE p.cut WHEN 'roasts' THEN 2 ELSE 1 END`)
	return n
}

// Packs that lie in the other box: some of a line with their part of the weight, then
// all the rest, and into one more box. What there is in all stays the same.
func TestMovePacks(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := twoBoxes(t, s, 1)
	ground := packsIn(t, s, n, "ground", 1)
	act, m := s.Act(s.Bob, dbtest.Noon), db.PackMove{Line: ground.ID, Count: 1, Box: 2, Why: "slid into it"}
	ok(t, s.MovePacks(ctx, act, n, m), s.MovePacks(ctx, act, n, m)) // sent twice
	here, there := packsIn(t, s, n, "ground", 1), packsIn(t, s, n, "ground", 2)
	if here.Count != 3 || there.Count != 1 || math.Abs(float64(there.NetKg-1.5)) > 1e-9 || math.Abs(float64(here.NetKg+there.NetKg-6)) > 1e-9 || there.By != here.By {
		t.Errorf("%+v and %+v; by hand a fourth of 6 kg is 1.5", here, there)
	}
	ok(t, s.MovePacks(ctx, s.Act(s.Bob, dbtest.Noon), n, db.PackMove{Line: ground.ID, Count: 3, Box: 3, Place: spotNamed(t, s, "F1-2"), Why: "box 1 was full"}))
	boxes, err := s.Boxes(ctx, n)
	if err != nil || len(boxes) != 3 || boxes[0].Packs != 1 || boxes[1].Packs != 2 || boxes[2].Packs != 3 || boxes[2].Place != "F1-2" {
		t.Errorf("%+v, %v", boxes, err)
	}
	steaks := packsIn(t, s, n, "steaks", 1)
	for name, tt := range map[string]struct {
		at string
		m  db.PackMove
	}{
		"no reason":         {"why", db.PackMove{Line: there.ID, Count: 1, Box: 1}},
		"more than it has":  {"packs", db.PackMove{Line: there.ID, Count: 2, Box: 1, Why: "x"}},
		"where they are":    {"to_box", db.PackMove{Line: there.ID, Count: 1, Box: 2, Why: "x"}},
		"no such box":       {"to_box", db.PackMove{Line: there.ID, Count: 1, Box: 9, Why: "x"}},
		"a box left empty":  {"packs", db.PackMove{Line: steaks.ID, Count: 1, Box: 2, Why: "x"}},
		"a new one nowhere": {"place", db.PackMove{Line: there.ID, Count: 1, Box: 4, Why: "x"}},
		"no such line":      {"", db.PackMove{Line: uuid.New(), Count: 1, Box: 1, Why: "x"}},
	} {
		refused(t, s.MovePacks(ctx, s.Act(s.Bob, dbtest.Noon), n, tt.m), tt.at, "")
		if t.Failed() {
			t.Fatal(name)
		}
	}
	if _, err := dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE packs SET portion = 'L' WHERE cut = 'roasts'`); err != nil {
		t.Fatal(err)
	}
	exec(t, s, `DELETE FROM packs WHERE cut = 'ground' AND count = 1`)
	refused(t, s.MovePacks(ctx, s.Act(s.Bob, dbtest.Noon), n, db.PackMove{Line: ground.ID, Count: 1, Box: 2, Why: "x"}), "to_box", "another owner's")
}

func spotNamed(t *testing.T, s *dbtest.Shop, name string) int {
	t.Helper()
	spots, err := s.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, spot := range spots {
		if spot.Name == name {
			return spot.ID
		}
	}
	t.Fatalf("no place %s", name)
	return 0
}

// A box on the wrong shelf is written where it stands; one that has gone home is not.
func TestMoveBox(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := boxed(t, s, 1, 2, true)
	act, to := s.Act(s.Bob, dbtest.Noon), spotNamed(t, s, "F1-3")
	ok(t, s.MoveBox(ctx, act, n, 2, to), s.MoveBox(ctx, act, n, 2, to))
	if p, err := s.Pickup(ctx, n); err != nil || p.Boxes[1].Place != "Freezer F1-3" || p.Boxes[0].Place != "Freezer F1-1" {
		t.Errorf("%+v, %v", p.Boxes, err)
	}
	refused(t, s.MoveBox(ctx, s.Act(s.Bob, dbtest.Noon), n, 2, 0), "place", "where box 2 stands")
	refused(t, s.MoveBox(ctx, s.Act(s.Bob, dbtest.Noon), n, 3, to), "", "no box 3")
	must(t, s.HandOver(ctx, s.Act(s.Bob, dbtest.Noon), n, takes(domain.BoxCode(n, 1))))
	refused(t, s.MoveBox(ctx, s.Act(s.Bob, dbtest.Noon), n, 1, to), "", "gone home")
}
