package demo

import (
	"context"
	"fmt"
	"time"

	"coldrail/db"
	"coldrail/domain"

	"github.com/jackc/pgx/v5"
)

// What one past season leaves behind.
const (
	pastAnimals = 1500
	pastPeople  = 500
	pastDays    = 60 // from the first animal to the last
)

// past is a season of an earlier year.
type past struct {
	year    int
	opens   time.Time
	numbers []string
}

// Past tells earlier seasons, as of now, to a shop that stands already, has rooms
// and prices, and has sealed no line yet; by took everything in. The speed targets
// are held to it (make seasons).
func Past(ctx context.Context, d *db.DB, now time.Time, by db.Staff, e Earlier) error {
	shop, err := d.Shop(ctx)
	if err != nil {
		return err
	}
	return (&season{ctx: ctx, db: d, now: now, zone: shop.Location()}).tellPast(e, by)
}

// tellPast writes earlier seasons: every animal in them was received, hung, cut,
// boxed, paid for and handed over, with its time line and its sealed lines in the
// register. Unlike the season of this year they are told in sets of rows, not
// through the shop's verbs: 15,000 animals by verbs would take an hour.
func (s *season) tellPast(e Earlier, by db.Staff) error {
	for ago := e.Seasons; ago > 0; ago-- { // the oldest first: the register is a chain
		year := s.now.In(s.zone).Year() - ago
		p := past{year: year, opens: time.Date(year, time.November, 1, 8, 0, 0, 0, s.zone)}
		for i := range pastAnimals {
			p.numbers = append(p.numbers, string(domain.NewShopNumber(year%100, i+1)))
		}
		if err := s.tellSeason(p, by); err != nil {
			return fmt.Errorf("season of %d: %w", year, err)
		}
		if err := s.measurePast(p, e.Readings); err != nil {
			return fmt.Errorf("readings of %d: %w", year, err)
		}
	}
	return nil
}

// tellSeason writes one season's animals and all that hangs on them.
func (s *season) tellSeason(p past, by db.Staff) error {
	return pgx.BeginFunc(s.ctx, s.db.Pool(), func(tx pgx.Tx) error {
		if _, err := tx.Exec(s.ctx, `
			CREATE TEMPORARY TABLE told ON COMMIT DROP AS
			SELECT gen_random_uuid() AS id, number, i::int AS i, gen_random_uuid() AS person,
			       $2::timestamptz + make_interval(days => (i * $3 / $4)::int, mins => (i * 7 % 500)::int) AS at, 30 + i % 30 AS kg
			FROM unnest($1::text[]) WITH ORDINALITY AS u(number, i)`, p.numbers, p.opens, pastDays, pastAnimals); err != nil {
			return err
		}
		for n, sql := range pastRows {
			if _, err := tx.Exec(s.ctx, sql, pgx.NamedArgs{"by": by.ID, "year": p.year, "people": pastPeople}); err != nil {
				return fmt.Errorf("part %d: %w", n+1, err)
			}
		}
		return s.enterPast(tx, p, by)
	})
}

// pastRows follow each other: what a row refers to stands before it.
var pastRows = []string{
	`UPDATE told SET person = f.person FROM (SELECT i, person FROM told WHERE i <= @people) f WHERE f.i = (told.i - 1) % @people + 1`,
	`INSERT INTO people (id, name, phone, address, licence, known_since)
	 SELECT person, (ARRAY['Wendell', 'Dell', 'June', 'Otis', 'Marla', 'Hank', 'Ida', 'Roy'])[1 + i % 8] || ' ' ||
	        (ARRAY['Ostrander', 'Hargrove', 'Pell', 'Sutter', 'Wray', 'Kimball', 'Teague', 'Lund', 'Marsh'])[1 + i % 9],
	        '607-555-' || lpad(((@year * 500 + i) % 10000)::text, 4, '0'), 'Tamsin Falls', 'L' || @year || lpad(i::text, 4, '0'), at
	 FROM told WHERE i <= @people`,
	`INSERT INTO animals (id, number, species, class, form, sex, killed_at, received_at, received_by, entered_at, deep_c, kept_c, kept, hanging_kg,
	                      physical, legal, disease, order_state, money, protocol_id, price_list_id)
	 SELECT told.id, number, 'whitetail', 'mature', 'whole', 'male', at - interval '5 hours', at, @by, at, 24, 6, 'hung', kg,
	        'released', 'tag-returned', 'not-needed', 'done', 'settled', (SELECT id FROM protocols WHERE key = 'deer-mature' ORDER BY version LIMIT 1),
	        (SELECT min(id) FROM price_lists) FROM told`,
	`INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, person, role, at FROM told, unnest(ARRAY['owner', 'taker', 'deliverer']) role`,
	`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by)
	 SELECT gen_random_uuid(), id, 'carcass-tag', 'T-' || number, 'NY', 'returned', at, @by FROM told`,
	`INSERT INTO weigh_ins (id, animal_id, purpose, gross_kg, at, by_staff) SELECT gen_random_uuid(), id, 'hanging', kg, at + interval '20 minutes', @by FROM told`,
	`INSERT INTO occupancies (id, place_id, animal_id, since, until, by_staff)
	 SELECT gen_random_uuid(), p.id, told.id, at + interval '20 minutes', at + interval '9 days', @by
	 FROM told JOIN (SELECT p.id, row_number() OVER (ORDER BY p.id) - 1 AS n, count(*) OVER () AS of FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.kind = 'bare') p
	   ON p.n = told.i % p.of`,
	`INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface, touched)
	 SELECT gen_random_uuid(), id, at + make_interval(hours => 12 * n), at + make_interval(hours => 12 * n), @by, 'clean',
	        CASE WHEN n < 2 THEN 'wet' WHEN n < 4 THEN 'drying' ELSE 'dry' END, true FROM told, generate_series(1, 17) n`,
	`INSERT INTO orders (id, animal_id, version, source, written_by, written_at, complete, added_meat)
	 SELECT gen_random_uuid(), id, 1, 'counter', @by, at, true, 'none' FROM told`,
	`INSERT INTO sessions_at_table (id, animal_id, order_id, started_at, stopped_at, started_by, all_weighed)
	 SELECT gen_random_uuid(), o.animal_id, o.id, at + interval '9 days', at + make_interval(days => 9, mins => 45 + i % 40), @by, true FROM told JOIN orders o ON o.animal_id = told.id`,
	`INSERT INTO boxes (id, animal_id, n, place_id, placed_at)
	 SELECT gen_random_uuid(), told.id, n, p.id, at + interval '10 days'
	 FROM told, generate_series(1, 2) n, LATERAL (SELECT p.id FROM places p JOIN rails r ON r.id = p.rail_id WHERE r.kind = 'shelf' ORDER BY p.id LIMIT 1) p`,
	`INSERT INTO packs (id, animal_id, session_id, box_id, cut, count, net_kg, wrapped_at, by_staff)
	 SELECT gen_random_uuid(), t.id, s.id, b.id, cut, 8, t.kg * share, s.stopped_at, @by
	 FROM told t JOIN sessions_at_table s ON s.animal_id = t.id JOIN boxes b ON b.animal_id = t.id AND b.n = 1,
	      (VALUES ('steaks', 0.12), ('roasts', 0.15), ('ground', 0.22)) c(cut, share)`,
	`INSERT INTO trim (id, animal_id, kind, kg, at, by_staff) SELECT gen_random_uuid(), id, 'bone', kg * 0.4, at + interval '9 days', @by FROM told`,
	`INSERT INTO charges (id, animal_id, code, label, quantity, unit, price_cents, total_cents, taxable, at, by_staff)
	 SELECT gen_random_uuid(), id, 'deer-whole', 'Deer, cut, grind and wrap', 1, 'animal', 12500, 12500, true, at + interval '10 days', @by FROM told`,
	`INSERT INTO payments (id, receipt, animal_id, purpose, way, cents, at, by_staff)
	 SELECT gen_random_uuid(), (SELECT coalesce(max(receipt), 0) FROM payments) + i, id, 'payment', 'cash', 12500, at + interval '12 days', @by FROM told`,
	`INSERT INTO handovers (id, animal_id, collector, authority, tag_returned, balance_cents, at, by_staff)
	 SELECT gen_random_uuid(), told.id, p.name, 'owner', true, 0, at + interval '12 days', @by FROM told JOIN people p ON p.id = told.person`,
	`UPDATE boxes SET released_at = h.at, handover_id = h.id FROM handovers h JOIN told ON told.id = h.animal_id WHERE boxes.animal_id = h.animal_id`,
	`INSERT INTO time_line (act, animal_id, what, detail, at, entered_at, by_staff)
	 SELECT gen_random_uuid(), id, what, '{}', at + after, at + after, @by FROM told,
	        (VALUES ('receive', interval '0'), ('hang', interval '20 minutes'), ('order', interval '1 day'), ('start', interval '9 days'),
	                ('finish', interval '9 days 1 hour'), ('box', interval '10 days'), ('bill', interval '10 days'), ('pay', interval '12 days'), ('hand-over', interval '12 days')) v(what, after)
	 ORDER BY at, after`,
}

// measurePast gives the rooms so many readings through the season and the months after.
func (s *season) measurePast(p past, readings int) error {
	rooms, err := s.db.Coolers(s.ctx)
	if err != nil {
		return err
	}
	until := p.opens.AddDate(0, 10, 0) // the next season's own sensors begin after that
	each := readings / len(rooms)
	step := until.Sub(p.opens) / time.Duration(each)
	for _, room := range rooms {
		if err := s.measureRoom(room, p, step, each); err != nil {
			return err
		}
	}
	return nil
}

func (s *season) measureRoom(room db.Cooler, p past, step time.Duration, readings int) error {
	mean := 1.6
	if room.Kind == "freezer" {
		mean = -20.5
	}
	return pgx.BeginFunc(s.ctx, s.db.Pool(), func(tx pgx.Tx) error {
		for month := range 12 {
			if _, err := tx.Exec(s.ctx, `SELECT make_readings_month($1)`, p.opens.AddDate(0, month, 0)); err != nil {
				return err
			}
		}
		_, err := tx.Exec(s.ctx, `
			WITH s AS (INSERT INTO sensors (cooler_id, name, kind) VALUES ($1, $2, 'logger') RETURNING id)
			INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
			SELECT s.id, $1, at, c, round(c::numeric, 1)::text, 'C', to_char(at, 'YYYY-MM-DD HH24:MI:SS'), 'ok', 'file'
			FROM s, (SELECT $3::timestamptz + n * $4::interval AS at, $5 + 0.4 * sin(n / 7.0) + 0.1 * sin(n) AS c FROM generate_series(0, $6 - 1) n) r`,
			room.ID, fmt.Sprintf("%s logger of %d", room.Label, p.year), p.opens, step, mean, readings)
		return err
	})
}
