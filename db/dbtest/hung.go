package dbtest

import (
	"testing"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
)

// Cold gives the main cooler a reading of 2 °C (35.6 °F) every hour of the three
// weeks before Noon, so that the models have something to say.
func (s *Shop) Cold(t testing.TB) {
	t.Helper()
	pool, ctx := s.Pool(), t.Context()
	since := Noon.AddDate(0, 0, -21)
	for _, sql := range []string{
		`SELECT make_readings_month($1)`, `SELECT make_readings_month($1::timestamptz + interval '21 days')`,
		`INSERT INTO sensors (cooler_id, name, kind) SELECT id, 'main air', 'logger' FROM coolers WHERE name = 'main' AND $1::timestamptz IS NOT NULL`,
		`INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		 SELECT s.id, s.cooler_id, at, 2, '2.0', 'C', at::text, 'ok', 'file'
		 FROM sensors s, generate_series($1::timestamptz, $1::timestamptz + interval '21 days', interval '1 hour') AS at WHERE s.name = 'main air'`,
	} {
		if _, err := pool.Exec(ctx, sql, since); err != nil {
			t.Fatal(err)
		}
	}
}

// HangDeer puts a young whitetail of 40 kg, killed three days before Noon, on
// place position of rail R1, its tag checked and nothing else done. It stands
// there as rows, so that a test of what comes later need not play the drop-off.
func (s *Shop) HangDeer(t testing.TB, running, position int) domain.ShopNumber {
	t.Helper()
	number, id := Tag(running), uuid.Must(uuid.NewV7())
	killed := Noon.AddDate(0, 0, -3)
	kept := killed.Add(6 * time.Hour)
	for _, do := range []struct {
		sql  string
		args []any
	}{
		{`INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, hanging_kg, physical, legal, disease,
		    order_state, money, protocol_id, price_list_id)
		  SELECT $1, $2, 'whitetail', 'young', 'whole', $3, $4, $5, 40, 'hanging', 'verified', 'not-needed', 'none', 'quoted', p.id, $6
		  FROM protocols p WHERE p.key LIKE 'deer%' AND NOT p.aged ORDER BY p.id LIMIT 1`,
			[]any{id, number, killed, kept, s.Bob.ID, s.Prices.ID}},
		{`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		  SELECT $1, p.id, $2, $3, $4 FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.name = 'R1' AND p.position = $5`,
			[]any{uuid.Must(uuid.NewV7()), id, kept, s.Bob.ID, position}},
	} {
		if tag, err := s.Pool().Exec(t.Context(), do.sql, do.args...); err != nil || tag.RowsAffected() != 1 {
			t.Fatalf("hang %s: %v, %v", number, tag, err)
		}
	}
	return number
}

// Own makes a person with the name of the animal's owner.
func (s *Shop) Own(t testing.TB, number domain.ShopNumber, name, phone string) uuid.UUID {
	t.Helper()
	id := uuid.Must(uuid.NewV7())
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO people (id, name, phone, known_since) VALUES ($1, $2, $3, $4)`, id, name, phone, Noon.AddDate(0, 0, -3)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pool().Exec(t.Context(), `
		INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $2, 'owner', $3 FROM animals WHERE number = $1`,
		number, id, Noon.AddDate(0, 0, -3)); err != nil {
		t.Fatal(err)
	}
	return id
}
