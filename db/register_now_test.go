package db_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"

	"github.com/google/uuid"
)

// The warden's sheet says of each animal every place it stands on, in the order of a
// walk, and of a place in another room which room that is.
func TestInNowSaysEveryPlace(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	_, err := s.AddCooler(ctx, db.Cooler{Name: "chest", Label: "Chest", Kind: "freezer", LengthM: 4, WidthM: 3, HeightM: 2.5, Panel: "polyurethane"},
		[]db.Rail{{Name: "C1", Kind: "shelf", LengthM: 3, Places: 12}})
	must(t, err)
	box := func(running, n int, rail string, position int) {
		t.Helper()
		exec(t, s, `
			INSERT INTO boxes (id, animal_id, n, place_id, placed_at) SELECT $1, a.id, $2, p.id, $3
			FROM animals a, places p JOIN rails r ON r.id = p.rail_id WHERE a.number = $4 AND r.name = $5 AND p.position = $6`,
			uuid.New(), n, now, dbtest.Tag(running), rail, position)
	}
	s.BoxDeer(t, 1, 2)
	box(1, 3, "C1", 10)
	box(1, 4, "C1", 2)
	s.HangDeer(t, 2, 5)
	side := uuid.New()
	exec(t, s, `INSERT INTO pieces (id, animal_id, mark, kind, made_at) SELECT $1, id, 'L', 'side', $2 FROM animals WHERE number = $3`, side, now, dbtest.Tag(2))
	exec(t, s, `INSERT INTO occupancies (id, place_id, animal_id, piece_id, since, by_staff)
		SELECT $1, p.id, a.id, $2, $3, $4 FROM animals a, places p JOIN rails r ON r.id = p.rail_id WHERE a.number = $5 AND r.name = 'R1' AND p.position = 3`,
		uuid.New(), side, now, s.Bob.ID, dbtest.Tag(2))
	s.HangDeer(t, 3, 4)
	in, err := s.InNow(ctx)
	must(t, err)
	var got []string
	for _, a := range in {
		got = append(got, a.Room+" "+a.Place)
	}
	if len(got) != 3 || got[0] != "Main cooler R1-3, R1-5" || got[1] != "Main cooler R1-4" || got[2] != "Freezer F1-1, Chest C1-2, Chest C1-10" {
		t.Errorf("%q", got)
	}
}
