package dbtest

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// The constants that CutSeason is made with.
const (
	TrueYield   = 0.61 // boneless of hanging; the table has 0.469 to 0.573
	TrueLoss    = 1.6  // times the table's
	TrueMinutes = 62.0 // the table has 40
)

// CutSeason puts so many finished whitetails into the books, made with the
// constants and a spread: as rows, so that forty do not take forty drop-offs.
func (s *Shop) CutSeason(t testing.TB, animals int) {
	t.Helper()
	random := rand.New(rand.NewPCG(4, 2))
	owner := Owner(t, s.DB)
	for i := range animals {
		received := Noon.AddDate(0, 0, -20).Add(time.Duration(i) * time.Hour)
		started := received.AddDate(0, 0, 8)
		kg := 36 + 8*random.Float64()
		packed := kg * (TrueYield + 0.02*random.NormFloat64())
		// The table's loss from the door to day 8, game skinned (readiness.md section 12):
		// 2 (1-exp(-8/0.7)) + 0.5*4 + 0.3*4 %.
		loss := kg * (2*(1-math.Exp(-8/0.7)) + 2 + 1.2) / 100 * (TrueLoss + 0.2*random.NormFloat64())
		minutes := TrueMinutes + 6*random.NormFloat64()
		_, err := owner.Exec(t.Context(), `
			WITH a AS (
			  INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, hanging_kg, physical, legal, disease,
			         order_state, money, protocol_id, price_list_id)
			  VALUES (gen_random_uuid(), $1, 'whitetail', 'mature', 'whole', $2, $2, $3, $4, 'stored', 'tag-held', 'not-needed', 'done', 'quoted',
			         (SELECT id FROM protocols WHERE key = 'deer-mature' AND version = 1), $5) RETURNING id
			), o AS (
			  INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete, added_meat)
			  SELECT gen_random_uuid(), a.id, 1, 'counter', $3, $2, true, 'none' FROM a RETURNING id, animal_id
			), s AS (
			  INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, stopped_at, started_by, all_weighed)
			  SELECT gen_random_uuid(), animal_id, id, $6, $7, $3, true FROM o RETURNING id, animal_id
			), l AS (
			  INSERT INTO time_line (act, animal_id, what, at, by_staff) SELECT gen_random_uuid(), animal_id, 'finish', $7, $3 FROM s
			), t AS (
			  INSERT INTO trim (id, animal_id, kind, kg, at, by_staff) SELECT gen_random_uuid(), animal_id, 'bone', $8, $7, $3 FROM s
			)
			INSERT INTO packs (id, animal_id, session_id, cut, count, net_kg, wrapped_at, by_staff)
			SELECT gen_random_uuid(), animal_id, id, 'steaks', 20, $9, $7, $3 FROM s`,
			Tag(500+i), received, s.Bob.ID, kg, s.Prices.ID, started, started.Add(time.Duration(minutes*float64(time.Minute))), kg-loss-packed, packed)
		if err != nil {
			t.Fatal(err)
		}
	}
}
