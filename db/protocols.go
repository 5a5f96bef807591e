package db

import (
	"context"
	"fmt"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Protocol is one version of how a kind of animal hangs in this shop.
type Protocol struct {
	ID              int
	Key             string
	Version         int
	Label           string
	Aged            bool
	Target          *float64 // part of all that hanging can give, 0 to 1; nil: not aged
	MouldSign       string   // never, no, optional or required
	UsualDays       string
	CeilingDays     float64
	LongCeilingDays float64 // on the owner's signed wish; 0: not offered
	Cites           string
	Since           time.Time
}

const protocolColumns = `p.id, p.key, p.version, p.label, p.aged, p.target, p.mould_sign, p.usual_days, p.ceiling_days, p.long_ceiling_days, p.cites, p.since`

// Rule is the version as the models count with it.
func (p Protocol) Rule() ageing.Protocol {
	r := ageing.Protocol{Key: p.Key, Label: domain.Say(p.Label), Aged: p.Aged, Sign: ageing.Sign(p.MouldSign), Usual: daysOf(p.UsualDays),
		Ceiling: p.CeilingDays, LongCeiling: p.LongCeilingDays, Cites: strings.Split(p.Cites, "; ")}
	if p.Target != nil {
		r.Target = *p.Target
	}
	return r
}

// Protocols lists the newest version of each.
func (db *DB) Protocols(ctx context.Context) ([]Protocol, error) {
	return all[Protocol](ctx, db.pool, `SELECT DISTINCT ON (p.key) `+protocolColumns+` FROM protocols p ORDER BY p.key, p.version DESC`)
}

// ProtocolVersion is a version with who made it and why, and how many animals
// that are not cut yet hang by it.
type ProtocolVersion struct {
	Protocol
	Why  string
	By   string // initials; empty: the program's own table
	Hang int
}

// ProtocolVersions lists the versions of one kind, the newest first.
func (db *DB) ProtocolVersions(ctx context.Context, key string) ([]ProtocolVersion, error) {
	list, err := all[ProtocolVersion](ctx, db.pool, `
		SELECT `+protocolColumns+`, p.why, coalesce(s.initials, '') AS by,
		       (SELECT count(*) FROM animals a WHERE a.protocol_id = p.id AND a.physical = ANY ($2))::int AS hang
		FROM protocols p LEFT JOIN staff s ON s.id = p.made_by WHERE p.key = $1 ORDER BY p.version DESC LIMIT 200`, key, notCut)
	if err == nil && len(list) == 0 {
		err = domain.Missing("There is no kind %q to set a rule for.", key)
	}
	return list, err
}

// notCut are the states in which how long an animal hangs still matters.
var notCut = []animal.Physical{animal.Arrived, animal.Received, animal.Chilling, animal.Hanging}

// ByOlder is an animal that is not cut yet and hangs by an older version.
type ByOlder struct {
	Number     domain.ShopNumber
	Species    domain.Species
	ReceivedAt time.Time
	Version    int
}

// ByOlderRule lists the animals of a kind that hang by an older version than the
// newest, the oldest first.
func (db *DB) ByOlderRule(ctx context.Context, key string) ([]ByOlder, error) {
	return all[ByOlder](ctx, db.pool, `
		SELECT a.number, a.species, a.received_at, p.version FROM animals a JOIN protocols p ON p.id = a.protocol_id
		WHERE p.key = $1 AND a.physical = ANY ($2) AND p.version < (SELECT max(version) FROM protocols WHERE key = $1)
		ORDER BY a.received_at, a.number LIMIT $3`, key, notCut, mostWaiting)
}

// EditProtocol makes a new version of how a kind hangs, with the reason. It binds
// what comes in from now on; what hangs keeps the version it came under. Base is
// the version the form showed: whoever comes second is told.
func (db *DB) EditProtocol(ctx context.Context, act Act, base int, to ageing.Protocol, why string) error {
	return db.act(ctx, act, "edit protocol", func(tx pgx.Tx) (line, error) {
		if why = strings.TrimSpace(why); why == "" {
			return line{}, domain.Wrong("why", "Say why the rule changes. Whoever reads it later wants to know.")
		}
		if err := to.CheckEdit(); err != nil {
			return line{}, err
		}
		was, found, err := one[ProtocolVersion](ctx, tx, `
			SELECT `+protocolColumns+`, p.why, coalesce(s.initials, '') AS by, 0 AS hang
			FROM protocols p LEFT JOIN staff s ON s.id = p.made_by WHERE p.key = $1 ORDER BY p.version DESC LIMIT 1`, to.Key)
		switch {
		case err != nil:
			return line{}, err
		case !found:
			return line{}, domain.Missing("There is no kind %q to set a rule for.", to.Key)
		case was.Version != base:
			return line{}, domain.Taken("%s changed this rule %s. Look at it again before you change it.", was.By, was.Since)
		case was.Rule().Same(to):
			return line{}, domain.Wrong("why", "Nothing is different from the rule in force, so nothing was changed.")
		}
		_, err = tx.Exec(ctx, `
			INSERT INTO protocols (key, version, label, aged, target, mould_sign, usual_days, ceiling_days, long_ceiling_days, cites, since, made_by, why)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
			to.Key, base+1, was.Label, to.Aged, targetOf(to), string(to.Sign), usualDays(to.Usual), to.Ceiling, to.LongCeiling,
			strings.Join(to.Cites, "; "), act.At, act.Staff, why)
		return line{What: "rule", Detail: map[string]any{"kind": to.Key, "version": base + 1, "why": why}}, err
	})
}

// JudgeByNewRule puts animals that hang by an older version under the newest one:
// those named, or, with none named, all of the kind. It is an act of its own,
// with a reason, and stands on the time line of each.
func (db *DB) JudgeByNewRule(ctx context.Context, act Act, key string, numbers []domain.ShopNumber, why string) error {
	return db.act(ctx, act, "judge by new rule", func(tx pgx.Tx) (line, error) {
		if why = strings.TrimSpace(why); why == "" {
			return line{}, domain.Wrong("also_why", "Say why those hanging come under the new rule too.")
		}
		moved, err := byOlderRule(ctx, tx, key, numbers)
		if err != nil {
			return line{}, err
		}
		if len(moved) == 0 || len(numbers) > len(moved) {
			return line{}, domain.Taken("Some of these hang by the newest rule already, or hang no longer. Look again.")
		}
		for _, m := range moved {
			if err := m.rejudge(ctx, tx, act, why); err != nil {
				return line{}, err
			}
		}
		return line{What: "rule-for-all", Detail: map[string]any{"kind": key, "animals": len(moved)}}, nil // why stands beside each animal's line
	})
}

// movedRule is an animal on its way from one version to another.
type movedRule struct {
	ID                   uuid.UUID
	Number               domain.ShopNumber
	Was, ToID, ToVersion int
}

// byOlderRule locks the animals of a kind that are under an older version.
func byOlderRule(ctx context.Context, tx pgx.Tx, key string, numbers []domain.ShopNumber) ([]movedRule, error) {
	return all[movedRule](ctx, tx, `
		WITH newest AS (SELECT id, version FROM protocols WHERE key = $1 ORDER BY version DESC LIMIT 1)
		SELECT a.id, a.number, p.version AS was, n.id AS to_id, n.version AS to_version
		FROM animals a JOIN protocols p ON p.id = a.protocol_id CROSS JOIN newest n
		WHERE p.key = $1 AND p.version < n.version AND a.physical = ANY ($2) AND ($3::text[] IS NULL OR a.number = ANY ($3))
		ORDER BY a.number FOR UPDATE OF a`, key, notCut, namedOrAll(numbers))
}

// rejudge puts one animal under the newer version, with a line of its own.
func (m movedRule) rejudge(ctx context.Context, tx pgx.Tx, act Act, why string) error {
	if _, err := tx.Exec(ctx, `UPDATE animals SET protocol_id = $2, revision = revision + 1 WHERE id = $1`, m.ID, m.ToID); err != nil {
		return err
	}
	act.ID = uuid.NewSHA1(act.ID, m.ID[:])
	return addLine(ctx, tx, act, line{Animal: m.ID, What: "rejudge", Detail: map[string]any{"from version": m.Was, "to version": m.ToVersion}, Why: why})
}

// namedOrAll is nil, which SQL reads as NULL, where nobody was named.
func namedOrAll(numbers []domain.ShopNumber) (named []string) {
	for _, n := range numbers {
		named = append(named, string(n))
	}
	return named
}

func targetOf(p ageing.Protocol) *float64 {
	if !p.Aged {
		return nil
	}
	return &p.Target
}

// installProtocols writes the defaults as version 1 of each protocol the shop
// does not have yet. What the shop has made its own stays.
func installProtocols(ctx context.Context, pool *pgxpool.Pool) error {
	batch := &pgx.Batch{}
	for _, p := range ageing.Protocols {
		batch.Queue(`
			INSERT INTO protocols (key, version, label, aged, target, mould_sign, usual_days, ceiling_days, long_ceiling_days, cites, since)
			SELECT $1, 1, $2, $3, $4, $5, $6, $7, $8, $9, '2000-01-01Z'
			WHERE NOT EXISTS (SELECT FROM protocols WHERE key = $1)
			ON CONFLICT DO NOTHING`,
			p.Key, p.Label.String(), p.Aged, targetOf(p), string(p.Sign), usualDays(p.Usual), p.Ceiling, p.LongCeiling, strings.Join(p.Cites, "; "))
	}
	if err := pool.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("install protocols: %w", err)
	}
	return nil
}

func usualDays(d ageing.Days) string {
	if d.From == d.To {
		return fmt.Sprintf("%g", d.From)
	}
	return fmt.Sprintf("%g to %g", d.From, d.To)
}

// daysOf reads what usualDays wrote.
func daysOf(written string) (d ageing.Days) {
	if n, _ := fmt.Sscanf(written, "%g to %g", &d.From, &d.To); n < 2 {
		d.To = d.From
	}
	return d
}
