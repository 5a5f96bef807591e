package dbtest

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

const bareDigest = "0f0e0d0c0b0a09080706050403020100f0e0d0c0b0a090807060504030201000"

// InsertBare writes as many rows as a drop-off does into each table, in one batch,
// and nothing else: no rule is asked and nothing is sealed. It is what a drop-off
// is measured against.
func (s *Shop) InsertBare(ctx context.Context, n int, at time.Time) error {
	id, person := uuid.Must(uuid.NewV7()), uuid.Must(uuid.NewV7())
	batch := &pgx.Batch{}
	batch.Queue(`INSERT INTO people (id, name, phone, known_since) VALUES ($1, 'Bare Batch', $2, $3)`, person, fmt.Sprintf("607-555-%04d", n), at)
	batch.Queue(`INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, physical, legal, disease, order_state, money, protocol_id, price_list_id)
		VALUES ($1, $2, 'whitetail', 'mature', 'whole', $3, $3, $4, 'chilling', 'unchecked', 'not-needed', 'none', 'quoted', (SELECT min(id) FROM protocols), $5)`,
		id, domain.NewShopNumber(26, n), at, s.Bob.ID, s.Prices.ID)
	batch.Queue(`INSERT INTO animal_people (animal_id, person_id, role, since) VALUES ($1, $2, 'owner', $3), ($1, $2, 'taker', $3), ($1, $2, 'deliverer', $3)`, id, person, at)
	batch.Queue(`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) VALUES ($1, $1, 'carcass-tag', $2, 'NY', 'on-carcass', $3, $4)`,
		id, fmt.Sprintf("B-%d", n), at, s.Bob.ID)
	batch.Queue(`INSERT INTO occupancies (id, place_id, animal_id, since, by_staff) VALUES ($1, (SELECT p.id FROM places p WHERE NOT EXISTS
		(SELECT FROM occupancies o WHERE o.place_id = p.id AND o.until IS NULL) ORDER BY p.id DESC LIMIT 1), $1, $2, $3)`, id, at, s.Bob.ID)
	batch.Queue(`INSERT INTO time_line (act, animal_id, what, at, by_staff) VALUES ($1, $1, 'receive', $2, $3)`, id, at, s.Bob.ID)
	batch.Queue(`INSERT INTO register (seq, animal_id, kind, at, by_staff, initials, facts, digests, why, previous, hash)
		SELECT coalesce(max(seq), 0) + 1, $1::uuid, 'receipt', $2, $3, 'BT', $4, $5, '', sha256($1::text::bytea), sha256($1::text::bytea) FROM register`,
		id, at, s.Bob.ID, map[string]string{"received": at.String(), "species": "whitetail", "sex": "male", "form": "whole", "tag": "B", "tag_state": "NY", "killed": at.String()},
		map[string]string{"owner": bareDigest, "taker": bareDigest, "deliverer": bareDigest, "phone": bareDigest})
	batch.Queue(`INSERT INTO register_personal (seq, field, value, salt)
		SELECT (SELECT max(seq) FROM register), field, 'Bare Batch', sha256('salt') FROM unnest(ARRAY['owner', 'taker', 'deliverer', 'phone']) field`)
	batch.Queue(`INSERT INTO sent_forms (act, salt, code, at) VALUES ($1, sha256('salt'), sha256('form'), $2)`, id, at)
	return pgx.BeginFunc(ctx, s.Pool(), func(tx pgx.Tx) error { return tx.SendBatch(ctx, batch).Close() })
}
