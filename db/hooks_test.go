package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/google/uuid"
)

// Somebody hangs another animal on the very hook that a drop-off has chosen and not
// yet taken: the drop-off takes the next one, and each hook holds one.
func TestNextHookGoesWhileItIsTaken(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Form, d.Place = domain.Whole, 0
	if err := s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d); err != nil {
		t.Fatal(err)
	}
	first := placesOf(t, s, dbtest.Tag(1))
	moved, err := s.Animal(ctx, dbtest.Tag(1))
	if err != nil {
		t.Fatal(err)
	}
	tx, err := s.Pool().Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	// The first animal is being moved to the hook beside its own, which is the next.
	for _, sql := range []string{
		`UPDATE occupancies SET until = since WHERE animal_id = $1 AND $2::int > 0 AND $3::uuid IS NOT NULL AND $4::uuid IS NOT NULL`,
		`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff) VALUES ($3, $2, $1, now(), $4)`,
	} {
		if _, err := tx.Exec(ctx, sql, moved.ID, first[0].ID+1, uuid.New(), s.Bob.ID); err != nil {
			t.Fatal(err)
		}
	}
	d = aDrop(2)
	d.Form, d.Place = domain.Whole, 0
	took := make(chan error)
	go func() { took <- s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d) }()
	waitForLock(t, s)
	if err := tx.Commit(ctx); err != nil {
		t.Fatal(err)
	}
	if err := <-took; err != nil {
		t.Fatalf("the drop-off is refused: %v", err)
	}
	one, other := placesOf(t, s, dbtest.Tag(1)), placesOf(t, s, dbtest.Tag(2))
	if len(one) != 1 || len(other) != 1 || one[0].ID != first[0].ID+1 || other[0].ID == one[0].ID {
		t.Errorf("they hang on %v and %v", one, other)
	}
}

func placesOf(t *testing.T, s *dbtest.Shop, number domain.ShopNumber) []db.Hangs {
	t.Helper()
	a, err := s.Animal(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	at, err := s.WhereHangs(t.Context(), a.ID)
	if err != nil || len(at) == 0 {
		t.Fatalf("%s hangs at %v, %v", number, at, err)
	}
	return at
}

// waitForLock returns once a transaction waits for another.
func waitForLock(t *testing.T, s *dbtest.Shop) {
	t.Helper()
	for range 500 {
		var waits bool
		if err := s.Pool().QueryRow(t.Context(), `
			SELECT EXISTS (SELECT FROM pg_locks l JOIN pg_stat_activity a USING (pid) WHERE NOT l.granted AND a.datname = current_database())`).Scan(&waits); err != nil {
			t.Fatal(err)
		}
		if waits {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("nobody waits")
}

// A new rail is proposed from at once, though the rails are remembered.
func TestNewRailIsUsedAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for n := 1; n <= 24; n++ { // R1 and R2 full
		d := aDrop(n)
		d.Form, d.Place = domain.Whole, 0
		if err := s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.AddCooler(ctx, db.Cooler{Name: "second", Label: "Second cooler", Kind: "cooler", LengthM: 4, WidthM: 3, HeightM: 3, Panel: "polyurethane", Fans: 1, FanW: 100, OutsideC: 15},
		[]db.Rail{{Name: "S1", Kind: "bare", LengthM: 3, Places: 4}}); err != nil {
		t.Fatal(err)
	}
	d := aDrop(25)
	d.Form, d.Place = domain.Whole, 0
	if err := s.Receive(ctx, s.Act(s.Bob, dbtest.Noon), d); err != nil {
		t.Fatal(err)
	}
	if at := placesOf(t, s, dbtest.Tag(25)); at[0].Rail != "S1" {
		t.Errorf("it hangs on %s, want the new rail", at[0].Rail)
	}
}
