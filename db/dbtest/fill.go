package dbtest

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// Fill puts at least one row into every table of the shop's at address that has
// none. It finds tables, references and checks by itself and draws values until
// Postgres takes the row, so that a new table is filled without a line here. What
// it writes makes no sense to the shop; it is for copies and upgrades.
func Fill(t testing.TB, address string) (filled int) {
	t.Helper()
	ctx := t.Context()
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	f := &filler{t: t, conn: conn, random: rand.New(rand.NewPCG(8, 3))}
	if _, err := conn.Exec(ctx, `DO $$ BEGIN IF to_regproc('make_readings_month') IS NOT NULL THEN PERFORM make_readings_month(now()); END IF; END $$`); err != nil {
		t.Fatal(err)
	}
	for before := -1; before != filled; { // a table waits for those it refers to
		before = filled
		for _, name := range f.empty() {
			if f.row(name) {
				filled++
				if name == "staff" {
					f.row(name) // a second: whoever signs is not whoever checks
				}
			}
		}
	}
	if left := f.empty(); len(left) > 0 {
		t.Fatalf("no row could be drawn for %v: %v", left, f.last)
	}
	return filled
}

type filler struct {
	t      testing.TB
	conn   *pgx.Conn
	random *rand.Rand
	last   error // why the last row was refused
	plain  bool  // the first try: numbers are 1, so that a version is the first
}

// Tables lists the shop's own tables, partitions counted with their parent.
func Tables(ctx context.Context, conn *pgx.Conn) ([]string, error) {
	rows, err := conn.Query(ctx, `
		SELECT relname::text FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p') AND NOT relispartition
		AND relname <> 'schema_migrations' AND relname NOT LIKE 'river\_%' ORDER BY 1`)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[string])
}

func (f *filler) empty() (list []string) {
	f.t.Helper()
	names, err := Tables(f.t.Context(), f.conn)
	if err != nil {
		f.t.Fatal(err)
	}
	for _, name := range names {
		var any bool
		if err := f.conn.QueryRow(f.t.Context(), "SELECT EXISTS (SELECT FROM "+quoted(name)+")").Scan(&any); err != nil {
			f.t.Fatal(err)
		}
		if !any {
			list = append(list, name)
		}
	}
	return list
}

func quoted(name string) string { return pgx.Identifier{name}.Sanitize() }

// column is what a value has to fit.
type column struct {
	Name, Kind string
	Nullable   bool
	Words      []string // that the table's checks speak of
}

// reference is a foreign key with the columns on both sides.
type reference struct {
	Columns, Theirs []string
	Other           string
}

// row draws a row for a table and mends it until it is taken: what a check
// refuses is drawn anew. It is false where a table it must refer to has none yet.
func (f *filler) row(name string) bool {
	f.t.Helper()
	columns, refs, checks := f.columns(name), f.references(name), f.checks(name)
	values, all := map[string]*string{}, []string{}
	for _, c := range columns {
		all = append(all, c.Name)
	}
	for again, tries := all, 0; tries < 3000; tries++ {
		f.plain = tries == 0
		f.draw(values, columns, again)
		if !f.refer(values, columns, refs) {
			return false
		}
		if again = f.insert(name, columns, values, checks); again == nil {
			return true
		}
		if len(again) == 0 {
			again = all
		}
	}
	return false
}

// insert tries the row; again are the columns of the check that refused it, none
// where it was something else.
func (f *filler) insert(name string, columns []column, values map[string]*string, checks map[string][]string) (again []string) {
	var names, cells []string
	var args []any
	for _, c := range columns {
		args = append(args, values[c.Name])
		names, cells = append(names, quoted(c.Name)), append(cells, fmt.Sprintf("$%d::text::%s", len(args), c.Kind))
	}
	_, err := f.conn.Exec(f.t.Context(), "INSERT INTO "+quoted(name)+" ("+strings.Join(names, ", ")+") VALUES ("+strings.Join(cells, ", ")+")", args...)
	if err == nil {
		return nil
	}
	f.last = fmt.Errorf("%s: %w", name, err)
	if e, ok := errors.AsType[*pgconn.PgError](err); ok && len(checks[e.ConstraintName]) > 0 {
		return checks[e.ConstraintName]
	}
	return []string{}
}

// checks are the columns that each check of a table is about.
func (f *filler) checks(name string) map[string][]string {
	f.t.Helper()
	rows, err := f.conn.Query(f.t.Context(), `
		SELECT k.conname::text, ARRAY(SELECT attname::text FROM pg_attribute WHERE attrelid = k.conrelid AND attnum = ANY (k.conkey))
		FROM pg_constraint k WHERE k.conrelid = $1::regclass AND k.contype IN ('c', 'u', 'p')`, quoted(name))
	if err != nil {
		f.t.Fatal(err)
	}
	list, check, columns := map[string][]string{}, "", []string{}
	if _, err := pgx.ForEachRow(rows, []any{&check, &columns}, func() error { list[check] = slices.Clone(columns); return nil }); err != nil {
		f.t.Fatal(err)
	}
	return list
}

func (f *filler) columns(name string) []column {
	f.t.Helper()
	rows, err := f.conn.Query(f.t.Context(), `
		SELECT a.attname::text AS name, format_type(a.atttypid, a.atttypmod) AS kind, NOT a.attnotnull AS nullable,
		       coalesce((SELECT array_agg(pg_get_constraintdef(k.oid)) FROM pg_constraint k
		                 WHERE k.conrelid = a.attrelid AND k.contype = 'c' AND a.attnum = ANY (k.conkey)), '{}') AS words
		FROM pg_attribute a WHERE a.attrelid = $1::regclass AND a.attnum > 0 AND NOT a.attisdropped AND a.attidentity = '' AND a.attgenerated = ''
		ORDER BY a.attnum`, quoted(name))
	if err != nil {
		f.t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[column])
	if err != nil {
		f.t.Fatal(err)
	}
	for i, c := range list {
		list[i].Words = nil
		for _, check := range c.Words {
			for _, m := range literal.FindAllStringSubmatch(check, -1) {
				list[i].Words = append(list[i].Words, m[1])
			}
		}
	}
	return list
}

var literal = regexp.MustCompile(`'([^']*)'::text`)

func (f *filler) references(name string) []reference {
	f.t.Helper()
	rows, err := f.conn.Query(f.t.Context(), `
		SELECT ARRAY(SELECT attname::text FROM unnest(k.conkey) WITH ORDINALITY u(n, i) JOIN pg_attribute ON attrelid = k.conrelid AND attnum = n ORDER BY i) AS columns,
		       ARRAY(SELECT attname::text FROM unnest(k.confkey) WITH ORDINALITY u(n, i) JOIN pg_attribute ON attrelid = k.confrelid AND attnum = n ORDER BY i) AS theirs,
		       (SELECT relname::text FROM pg_class WHERE oid = k.confrelid) AS other
		FROM pg_constraint k WHERE k.contype = 'f' AND k.conrelid = $1::regclass AND k.conparentid = 0 ORDER BY cardinality(k.conkey)`, quoted(name))
	if err != nil {
		f.t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[reference])
	if err != nil {
		f.t.Fatal(err)
	}
	return list
}

// draw makes up the values of the columns named, texts for every type.
func (f *filler) draw(values map[string]*string, columns []column, again []string) {
	for _, c := range columns {
		if !slices.Contains(again, c.Name) {
			continue
		}
		if c.Nullable && f.random.IntN(2) == 0 {
			values[c.Name] = nil
			continue
		}
		v := f.value(c)
		values[c.Name] = &v
	}
}

// refer puts the keys of real rows into the row; false where one is missing.
func (f *filler) refer(values map[string]*string, columns []column, refs []reference) bool {
	nullable := map[string]bool{}
	for _, c := range columns {
		nullable[c.Name] = c.Nullable
	}
	for _, r := range refs {
		their := f.theirs(r)
		for i, name := range r.Columns {
			switch {
			case their == nil && !nullable[name]:
				return false
			case their == nil:
				values[name] = nil
			case values[name] != nil || !nullable[name]:
				values[name] = their[i]
			}
		}
	}
	return true
}

// theirs is one row that a reference may name; nil where there is none.
func (f *filler) theirs(r reference) (row []*string) {
	f.t.Helper()
	var cells []string
	for _, c := range r.Theirs {
		cells = append(cells, quoted(c)+"::text")
	}
	rows, err := f.conn.Query(f.t.Context(), "SELECT ARRAY["+strings.Join(cells, ", ")+"] FROM "+quoted(r.Other)+" ORDER BY random() LIMIT 1")
	if err != nil {
		f.t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[[]*string])
	if err != nil {
		f.t.Fatal(err)
	}
	if len(list) == 0 {
		return nil
	}
	return list[0]
}

func (f *filler) value(c column) string {
	one := func(of ...string) string { return of[f.random.IntN(len(of))] }
	switch kind := c.Kind; {
	case kind == "uuid":
		return fmt.Sprintf("%08x-0000-4000-8000-%012x", f.random.Uint32(), f.random.Uint32())
	case strings.HasPrefix(kind, "timestamp"):
		return one("now", "2026-11-19 17:00Z", "2026-11-19 18:00Z", "2026-11-20 18:00Z")
	case kind == "date":
		return one("2026-11-19", "2026-11-20", "today")
	case strings.HasPrefix(kind, "time"), kind == "interval":
		return one("07:00", "19:00")
	case kind == "boolean":
		return one("true", "false")
	case kind == "jsonb":
		return one("{}", "{}", "[]", `["x"]`)
	case kind == "bytea":
		return `\x` + strings.Repeat(fmt.Sprintf("%02x", f.random.IntN(256)), one32(f.random))
	case kind == "text[]":
		return "{" + one(append(slices.Clone(c.Words), "x")...) + "}"
	case strings.HasSuffix(kind, "[]"):
		return one("{}", "{1}")
	case kind == "text":
		return one(append(slices.Clone(c.Words), "", "A", "=1+1", "é \"x\", y", "26-0147-3", strings.Repeat("ab", 32))...)
	}
	if f.plain {
		return "1"
	}
	return one("1", "2", "0", "0.1", "0.5", "7", "37", "100", "500")
}

// one32 is the length of a hash or of a small picture.
func one32(random *rand.Rand) int { return []int{32, 128}[random.IntN(2)] }
