package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Statute is a rule of a state as a row has it: one version of it.
type Statute struct {
	ID      uuid.UUID
	Version int
	statute.Rule
	Since time.Time
	Until *time.Time // nil: in force
	By    string     // initials of who wrote this version; empty: it came with the program
}

const statuteColumns = `
	r.id, r.version, r.key, r.state, r.state_name, r.topic, r.covers, r.species, r.form, r.fields, r.trigger, r.starts, r.count, r.unit, r.tell,
	r.must, r.each_owner, r.pending, r.accepts, r.origin, r.mark, r.clean_between, r.custody, r.places, r.says, r.cites, r.text_date, r.checked_by, r.checked_on::timestamptz AS checked_on,
	r.review_on::timestamptz AS review_on, r.since, r.until`

// mostStatutes bounds the rules in force that are read at once.
const mostStatutes = 1000

// statutesHere are the rules in force that reach the shop: its own state's, the
// federal ones and the shop's defaults.
const statutesHere = `
	SELECT ` + statuteColumns + `, '' AS by FROM statutes r, shop
	WHERE r.until IS NULL AND (r.state IN ('*', 'US') OR r.state = upper(shop.home_state)) ORDER BY r.key LIMIT 1000`

// Statutes lists the rules in force that reach the shop: its home state's, the
// federal ones and the shop's own defaults.
func (db *DB) Statutes(ctx context.Context) ([]Statute, error) {
	return all[Statute](ctx, db.pool, statutesHere)
}

// StatutesOf lists the rules in force of one state, * and US among them.
func (db *DB) StatutesOf(ctx context.Context, state string) ([]Statute, error) {
	return all[Statute](ctx, db.pool, `
		SELECT `+statuteColumns+`, coalesce(s.initials, '') AS by FROM statutes r LEFT JOIN staff s ON s.id = r.by_staff
		WHERE r.until IS NULL AND (r.state = $1 OR lower(r.state_name) = lower($1)) ORDER BY r.topic, r.key LIMIT $2`, strings.TrimSpace(state), mostStatutes)
}

// StatuteStates lists the states of which a rule is in force, by their letters.
func (db *DB) StatuteStates(ctx context.Context) (states []string, err error) {
	err = db.pool.QueryRow(ctx, `SELECT coalesce(array_agg(DISTINCT state ORDER BY state), '{}') FROM statutes WHERE until IS NULL`).Scan(&states)
	return states, translate(err)
}

// StatuteVersions lists every version of one rule, the newest first.
func (db *DB) StatuteVersions(ctx context.Context, key string) ([]Statute, error) {
	list, err := all[Statute](ctx, db.pool, `
		SELECT `+statuteColumns+`, coalesce(s.initials, '') AS by FROM statutes r LEFT JOIN staff s ON s.id = r.by_staff
		WHERE r.key = $1 ORDER BY r.version DESC LIMIT 100`, key)
	if err == nil && len(list) == 0 {
		err = domain.Missing("There is no rule %s.", key)
	}
	return list, err
}

// rulesOf drops what only the rows know.
func rulesOf(list []Statute) []statute.Rule {
	rules := make([]statute.Rule, len(list))
	for i, s := range list {
		rules[i] = s.Rule
	}
	return rules
}

// rulesHere reads the rules that reach the shop.
func rulesHere(ctx context.Context, q querier) ([]statute.Rule, error) {
	list, err := all[Statute](ctx, q, statutesHere)
	return rulesOf(list), err
}

// WriteStatute writes a rule, or a new version of it: version is the latest the
// owner had before them, 0 for a rule of their own. Whoever changed it meanwhile wins.
func (db *DB) WriteStatute(ctx context.Context, act Act, version int, r statute.Rule) error {
	return db.act(ctx, act, "write rule", func(tx pgx.Tx) (line, error) {
		if err := r.Check(); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `UPDATE statutes SET until = coalesce(until, $3) WHERE key = $1 AND version = $2`, r.Key, version, act.At); err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `
			INSERT INTO statutes (key, version, state, state_name, topic, covers, species, form, fields, trigger, starts, count, unit, tell, must,
			  pending, places, says, cites, text_date, checked_by, checked_on, review_on, since, by_staff, each_owner,
			  accepts, origin, mark, clean_between, custody)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25, $26, $27, $28, $29, $30, $31)
			ON CONFLICT (key, version) DO NOTHING`,
			r.Key, version+1, r.State, r.StateName, r.Topic, r.Covers, listed(r.Species), r.Form, listed(r.Fields), r.Trigger, r.Starts, r.Count, r.Unit, r.Tell, r.Must,
			r.Pending, listed(r.Places), r.Says, r.Cites, r.TextDate, r.CheckedBy, r.CheckedOn, r.ReviewOn, act.At, act.Staff, r.EachOwner,
			listed(r.Accepts), r.Origin, r.Mark, r.CleanBetween, r.Custody)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("%s was written by somebody else meanwhile, or another rule has that name. Open it and look.", r.Key)
		}
		return line{What: "write-rule", Detail: map[string]any{"rule": r.Key, "version": version + 1}}, err
	})
}

// EndStatute takes a rule out of force. Its versions stay to be read.
func (db *DB) EndStatute(ctx context.Context, act Act, key string, version int) error {
	return db.act(ctx, act, "end rule", func(tx pgx.Tx) (line, error) {
		tag, err := tx.Exec(ctx, `UPDATE statutes SET until = $3 WHERE key = $1 AND version = $2 AND until IS NULL`, key, version, act.At)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("Somebody changed this rule meanwhile. Open it again and look.")
		}
		return line{What: "end-rule", Detail: map[string]any{"rule": key, "version": version}}, err
	})
}

// listed stores no list as an empty one.
func listed[T ~string](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
