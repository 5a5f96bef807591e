package dbtest

import (
	"testing"

	"coldrail/db"
	"coldrail/domain"
)

// HangMany puts n whitetails on rails of their own, each with twelve looks, in a
// room with 90 days of 5-minute readings, all as of Noon: the load that the
// speed targets name. It writes rows, not acts: no register, no time line.
func (s *Shop) HangMany(t testing.TB, n int) {
	t.Helper()
	ctx := t.Context()
	rails := make([]db.Rail, (n+49)/50)
	for i := range rails {
		rails[i] = db.Rail{Name: "B" + string(rune('A'+i)), Kind: "bare", LengthM: 20, Places: 50}
	}
	big, err := s.AddCooler(ctx, db.Cooler{Name: "big", Label: "Big cooler", Kind: "cooler", LengthM: 25, WidthM: 12, HeightM: 3.5,
		Panel: "polyurethane", Fans: 6, FanW: 900, OutsideC: 15}, rails)
	if err != nil {
		t.Fatal(err)
	}
	owner := Owner(t, s.DB)
	exec := func(sql string, args ...any) {
		t.Helper()
		if _, err := owner.Exec(ctx, sql, args...); err != nil {
			t.Fatal(err)
		}
	}
	numbers := make([]string, n)
	for i := range numbers {
		numbers[i] = string(domain.NewShopNumber(26, 5000+i))
	}
	exec(`
		INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, deep_c, kept_c, kept, hanging_kg,
		                     physical, legal, disease, order_state, money, protocol_id, price_list_id)
		SELECT gen_random_uuid(), number, 'whitetail', 'mature', 'whole', at - interval '5 hours', at, $2, 24, 6, 'hung', 30 + i % 30,
		       'hanging', 'verified', 'not-needed', 'complete', 'quoted', p.id, $3
		FROM (SELECT number, i, $4::timestamptz - make_interval(hours => 20 + (i * 7 % 360)::int) AS at
		      FROM unnest($1::text[]) WITH ORDINALITY AS u(number, i)) v, protocols p
		WHERE p.key = 'deer-mature'`, numbers, s.Bob.ID, s.Prices.ID, Noon)
	exec(`
		INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
		SELECT gen_random_uuid(), p.id, a.id, a.received_at, a.received_by
		FROM (SELECT id, received_at, received_by, row_number() OVER (ORDER BY number) AS n FROM animals WHERE number = ANY ($1)) a
		JOIN (SELECT p.id, row_number() OVER (ORDER BY r.ord, p.position) AS n FROM places p JOIN rails r ON r.id = p.rail_id
		      WHERE r.cooler_id = $2) p ON p.n = a.n`, numbers, big.ID)
	exec(`
		INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface, touched)
		SELECT gen_random_uuid(), a.id, a.received_at + make_interval(hours => 12 * n), a.received_at + make_interval(hours => 12 * n),
		       a.received_by, 'clean', CASE WHEN n < 2 THEN 'wet' WHEN n < 4 THEN 'drying' ELSE 'dry' END, true
		FROM animals a, generate_series(1, 12) AS n
		WHERE a.number = ANY ($1) AND a.received_at + make_interval(hours => 12 * n) < $2`, numbers, Noon)
	exec(`INSERT INTO sensors (cooler_id, name, kind) VALUES ($1, 'big logger', 'logger')`, big.ID)
	for month := range 4 {
		exec(`SELECT make_readings_month($1)`, Noon.AddDate(0, -month, 0))
	}
	exec(`
		INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		SELECT s.id, $1, at, c, c::text, 'C', at::text, 'ok', 'file'
		FROM sensors s, (SELECT at, round((1.7 + 0.8 * sin(extract(epoch FROM at) / 3000))::numeric, 1)::float8 AS c
		                 FROM generate_series($2::timestamptz - interval '90 days', $2::timestamptz, interval '5 minutes') AS at) r
		WHERE s.name = 'big logger'`, big.ID, Noon)
	exec(`ANALYZE`)
}
