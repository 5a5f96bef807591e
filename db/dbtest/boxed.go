package dbtest

import (
	"testing"

	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
)

// CutDeer puts a whitetail in the books at a later stage of its way, with an
// order for steaks and summer sausage, hide on when it came: as rows, so that a
// test of what comes later need not play all that leads there.
func (s *Shop) CutDeer(t testing.TB, running int, physical animal.Physical) domain.ShopNumber {
	t.Helper()
	id, order := uuid.Must(uuid.NewV7()), uuid.Must(uuid.NewV7())
	s.put(t, `
		INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, hanging_kg,
		       physical, legal, disease, order_state, money, protocol_id, price_list_id)
		VALUES ($1, $2, 'whitetail', 'mature', 'whole-hide-on', $3, $3, $4, 40, $5, 'tag-held', 'not-needed', 'done', 'quoted',
		       (SELECT min(id) FROM protocols), $6)`,
		id, Tag(running), Noon.AddDate(0, 0, -9), s.Bob.ID, physical, s.Prices.ID)
	s.put(t, `INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete) VALUES ($1, $2, 1, 'counter', $3, $4, true)`,
		order, id, s.Bob.ID, Noon.AddDate(0, 0, -9))
	s.put(t, `INSERT INTO order_lines (order_id, ord, part, treatment) VALUES ($1, 1, 'hind', 'steaks'), ($1, 2, 'trim', 'summer-sausage')`, order)
	return Tag(running)
}

// Packed adds five packs of one cut to an animal, in no box.
func (s *Shop) Packed(t testing.TB, number domain.ShopNumber, cut string, kg domain.Kilogram) {
	t.Helper()
	session := uuid.Must(uuid.NewV7())
	s.put(t, `
		INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, stopped_at, started_by)
		SELECT $1, a.id, o.id, $2, $2, $3 FROM animals a JOIN orders o ON o.animal_id = a.id WHERE a.number = $4`, session, Noon, s.Bob.ID, number)
	s.put(t, `
		INSERT INTO packs (id, animal_id, session_id, cut, count, net_kg, wrapped_at, by_staff)
		SELECT $1, id, $2, $3, 5, $4, $5, $6 FROM animals WHERE number = $7`, uuid.Must(uuid.NewV7()), session, cut, kg, Noon, s.Bob.ID, number)
}

// BoxDeer is a deer in boxes on the freezer's shelf at the place of its running
// number, not billed.
func (s *Shop) BoxDeer(t testing.TB, running, boxes int) domain.ShopNumber {
	t.Helper()
	n := s.CutDeer(t, running, animal.Stored)
	for i := range boxes {
		s.put(t, `
			INSERT INTO boxes (id, animal_id, n, place_id, placed_at)
			SELECT $1, a.id, $2, p.id, $3 FROM animals a, places p JOIN rails r ON r.id = p.rail_id WHERE a.number = $4 AND r.name = 'F1' AND p.position = $5`,
			uuid.Must(uuid.NewV7()), i+1, Noon.AddDate(0, 0, -2), n, running)
	}
	return n
}

// put writes rows under the program's own role.
func (s *Shop) put(t testing.TB, sql string, args ...any) {
	t.Helper()
	if tag, err := s.Pool().Exec(t.Context(), sql, args...); err != nil || tag.RowsAffected() == 0 {
		t.Fatalf("%s: %v, %v", sql, tag, err)
	}
}
