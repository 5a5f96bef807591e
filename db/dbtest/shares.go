package dbtest

import (
	"testing"

	"coldrail/domain"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// SharedBeef is a beef in boxes on the freezer's shelf, not billed: the left half is
// Lena Ochoa's, the quarters of the right half Marv Tull's and Dot Quill's. Each has
// packs in a box of their own, numbers 1 to 3, stamped NOT FOR SALE: 60 kg of steaks; 30 and 10 of summer
// sausage; 20 of summer sausage.
func (s *Shop) SharedBeef(t testing.TB, running int) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, 3)
	s.put(t, `UPDATE animals SET species = 'beef', class = 'fat-cover', form = 'whole', hanging_kg = 300 WHERE number = $1`, n)
	s.put(t, `UPDATE orders SET void_at = $2 FROM animals a WHERE a.id = orders.animal_id AND a.number = $1`, n, Noon.AddDate(0, 0, -9))
	s.put(t, `INSERT INTO stamps (animal_id, quarter, at, by_staff, marks) SELECT id, q, $2, $3, '{NOT FOR SALE}' FROM animals, unnest(ARRAY['LF', 'LH', 'RF', 'RH']) AS q WHERE number = $1`, n, Noon.AddDate(0, 0, -3), s.Bob.ID)
	for i, share := range []struct {
		portion cutting.Portion
		whose   string
		cuts    map[string]domain.Kilogram
	}{
		{cutting.Left, "Lena Ochoa", map[string]domain.Kilogram{"Steaks": 60}},
		{cutting.RightOne, "Marv Tull", map[string]domain.Kilogram{"Steaks": 30, "Summer sausage": 10}},
		{cutting.RightTwo, "Dot Quill", map[string]domain.Kilogram{"Summer sausage": 20}},
	} {
		order, session := uuid.Must(uuid.NewV7()), uuid.Must(uuid.NewV7())
		s.put(t, `
			INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete, portion, for_whom)
			SELECT $1, id, $2, 'counter', $3, $4, true, $5, $6 FROM animals WHERE number = $7`, order, i+2, s.Bob.ID, Noon.AddDate(0, 0, -8), share.portion, share.whose, n)
		s.put(t, `
			INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, stopped_at, started_by)
			SELECT $1, id, $2, $3, $3, $4 FROM animals WHERE number = $5`, session, order, Noon.AddDate(0, 0, -3), s.Bob.ID, n)
		for cut, kg := range share.cuts {
			s.put(t, `
				INSERT INTO packs (id, animal_id, session_id, box_id, cut, count, net_kg, wrapped_at, by_staff, portion)
				SELECT $1, a.id, $2, b.id, $3, 5, $4, $5, $6, $7 FROM animals a JOIN boxes b ON b.animal_id = a.id AND b.n = $8 WHERE a.number = $9`,
				uuid.Must(uuid.NewV7()), session, cut, kg, Noon.AddDate(0, 0, -3), s.Bob.ID, share.portion, i+1, n)
		}
	}
	return n
}
