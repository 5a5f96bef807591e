package archive_test

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/db/cluster"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"filippo.io/age"
	"github.com/jackc/pgx/v5"
)

// A copy restored into an empty database has every row of every table, byte for
// byte, and every right: also encrypted. Into anything else it does not go.
func TestRestoredIsEqual(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	from := dbtest.URL(t)
	if n := dbtest.Fill(t, from); n < 40 {
		t.Fatalf("only %d tables were filled", n)
	}
	want, rights := content(t, from), grants(t, from)
	key, err := age.GenerateX25519Identity()
	if err != nil {
		t.Fatal(err)
	}
	words, err := age.NewScryptRecipient("first frost on the hill")
	if err != nil {
		t.Fatal(err)
	}
	words.SetWorkFactor(10) // a second less; the file says which it has
	open, err := age.NewScryptIdentity("first frost on the hill")
	if err != nil {
		t.Fatal(err)
	}
	newest, err := db.NewestSchema()
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		to   age.Recipient
		keys []age.Identity
	}{{"plain", nil, nil}, {"for a key", key.Recipient(), []age.Identity{key}}, {"under a passphrase", words, []age.Identity{open}}} {
		t.Run(tt.name, func(t *testing.T) {
			file, into := filepath.Join(dir, tt.name), dbtest.Bare(t)
			if _, err := archive.Write(ctx, from, file, tt.to, dbtest.Noon); err != nil {
				t.Fatal(err)
			}
			if tt.to != nil {
				if _, err := archive.Look(file); domain.As(err).Kind != domain.Refused {
					t.Errorf("an encrypted copy opens without its key: %v", err)
				}
			}
			s, err := archive.Restore(ctx, into, file, int(newest), tt.keys...)
			if err != nil {
				t.Fatal(err)
			}
			if !s.Made.Equal(dbtest.Noon) || s.Schema != int(newest) {
				t.Errorf("the seal says %+v", s)
			}
			for table, rows := range content(t, into) {
				if !slices.Equal(rows, want[table]) {
					t.Errorf("%s differs:\n%q\nwant\n%q", table, rows, want[table])
				}
			}
			if got := grants(t, into); !slices.Equal(got, rights) {
				t.Errorf("the rights differ:\n%v\nwant\n%v", got, rights)
			}
			holdsItsTimeLine(t, into)
			if _, err := archive.Restore(ctx, into, file, int(newest), tt.keys...); domain.As(err).Kind != domain.Refused {
				t.Errorf("restored into a database that was not empty: %v", err)
			}
		})
	}
}

// holdsItsTimeLine: neither the program nor its owner may change what was done.
func holdsItsTimeLine(t *testing.T, address string) {
	t.Helper()
	if err := db.Migrate(t.Context(), address); err != nil {
		t.Fatal(err)
	}
	d, err := db.Open(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for _, sql := range []string{"UPDATE time_line SET what = 'x'", "DELETE FROM time_line", "DELETE FROM register", "TRUNCATE time_line"} {
		if _, err := d.Pool().Exec(t.Context(), sql); err == nil || !strings.Contains(err.Error(), "permission denied") {
			t.Errorf("%s as the program: %v", sql, err)
		}
	}
	if _, err := connect(t, address).Exec(t.Context(), "UPDATE time_line SET what = 'x'"); err == nil || !strings.Contains(err.Error(), "append-only") {
		t.Errorf("the trigger of the time line is gone: %v", err)
	}
}

// What is not whole is refused before anything is written, and says so.
func TestDamagedCopies(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	from, file := dbtest.URL(t), filepath.Join(dir, "good")
	if _, err := archive.Write(ctx, from, file, nil, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	flipped := slices.Clone(good)
	flipped[len(good)/2] ^= 1
	for name, bytes := range map[string][]byte{
		"cut short": good[:len(good)-1000], "one bit changed": flipped, "something added": append(slices.Clone(good), "more"...),
		"empty": nil, "another file": []byte(strings.Repeat("deer ", 200)),
	} {
		t.Run(name, func(t *testing.T) {
			bad, into := filepath.Join(dir, name), dbtest.Bare(t)
			if err := os.WriteFile(bad, bytes, 0o600); err != nil {
				t.Fatal(err)
			}
			if _, err := archive.Restore(ctx, into, bad, 1000); domain.As(err).Kind != domain.Refused {
				t.Errorf("it is not refused in words: %v", err)
			}
			if c := content(t, into); len(c) != 0 {
				t.Errorf("something was written: %v", c)
			}
		})
	}
	if _, err := archive.Restore(ctx, dbtest.Bare(t), file, 1); domain.As(err).Kind != domain.Refused {
		t.Errorf("a copy of a newer program: %v", err)
	}
	if _, err := archive.Write(ctx, from, file, nil, dbtest.Noon); domain.As(err).Kind != domain.Refused {
		t.Errorf("a copy over another: %v", err)
	}
	if now, err := os.ReadFile(file); err != nil || !slices.Equal(now, good) {
		t.Errorf("the copy that was there is not as it was (%v)", err)
	}
}

// PostgreSQL's own program reads the file without us.
func TestReadByPostgresItself(t *testing.T) {
	from, file := dbtest.URL(t), filepath.Join(t.TempDir(), "copy")
	if _, err := archive.Write(t.Context(), from, file, nil, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	path, err := cluster.Tool("pg_restore", 15)
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), path, "--file=-", file).CombinedOutput()
	if err != nil || !strings.Contains(string(out), "COPY public.shop") {
		t.Errorf("pg_restore: %v, %.300s", err, out)
	}
}

// A night's copy goes to the chosen drive and nowhere else; old ones are thinned,
// other files stay.
func TestFolder(t *testing.T) {
	ctx, from := t.Context(), dbtest.URL(t)
	f := archive.Folder(t.TempDir())
	if _, _, _, err := f.Keep(ctx, from, nil, dbtest.Noon, time.UTC); domain.As(err).Kind != domain.Refused {
		t.Errorf("a drive that nobody chose takes a copy: %v", err)
	}
	if err := f.Choose(); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(string(f), "coldrail-notes.backup")
	if err := os.WriteFile(other, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for ago := 40; ago > 0; ago-- {
		name := dbtest.Noon.AddDate(0, 0, -ago).Format("coldrail-20060102-150405.backup")
		if err := os.WriteFile(filepath.Join(string(f), name), []byte("old"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	file, bytes, thinned, err := f.Keep(ctx, from, nil, dbtest.Noon, time.UTC)
	if err != nil || bytes == 0 || thinned < 25 {
		t.Fatalf("%s, %d bytes, %d thinned, %v", file, bytes, thinned, err)
	}
	if _, err := archive.Look(file); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(other); err != nil {
		t.Errorf("a file that is no copy was taken away: %v", err)
	}
	for _, bad := range []archive.Folder{"backups", "/nowhere/at/all"} {
		if err := bad.Choose(); domain.As(err).At != "directory" {
			t.Errorf("%s may be chosen: %v", bad, err)
		}
	}
}

// Everything in open formats: every table, no key to the shop, no formula.
func TestExport(t *testing.T) {
	ctx, from, dir := t.Context(), dbtest.URL(t), filepath.Join(t.TempDir(), "out")
	dbtest.Fill(t, from)
	conn := connect(t, from)
	if _, err := conn.Exec(ctx, `UPDATE shop SET name = '=HYPERLINK("http://example.com")', address = '-12'`); err != nil {
		t.Fatal(err)
	}
	tables, rows, err := archive.Export(ctx, from, dir, dbtest.Noon)
	if err != nil || tables < 40 || rows < tables {
		t.Fatalf("%d tables, %d rows, %v", tables, rows, err)
	}
	names, err := dbtest.Tables(ctx, conn)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(dir, name+".json"))
		if hidden := name == "secrets" || name == "sessions" || name == "sent_forms"; hidden != (err != nil) {
			t.Errorf("%s: exported %t", name, err == nil)
			continue
		}
		var list []map[string]any
		if err := json.Unmarshal(text, &list); text != nil && (err != nil || len(list) == 0) {
			t.Errorf("%s.json: %v, %d rows", name, err, len(list))
		}
		for key := range list0(list) {
			if strings.HasSuffix(key, "_hash") {
				t.Errorf("%s.json shows %s", name, key)
			}
		}
	}
	f, err := os.Open(filepath.Join(dir, "shop.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cells, err := csv.NewReader(f).ReadAll()
	if err != nil || len(cells) != 2 || !slices.Contains(cells[1], `'=HYPERLINK("http://example.com")`) || !slices.Contains(cells[1], "'-12") {
		t.Errorf("shop.csv: %v, %q", err, cells)
	}
	if shots, err := os.ReadDir(filepath.Join(dir, "photos")); err != nil || len(shots) == 0 {
		t.Errorf("pictures: %d, %v", len(shots), err)
	}
	if _, _, err := archive.Export(ctx, from, dir, dbtest.Noon); domain.As(err).Kind != domain.Refused {
		t.Errorf("an export over another: %v", err)
	}
}

// OWASP, CSV Injection: what a cell may not begin with.
func TestHarmless(t *testing.T) {
	t.Parallel()
	for _, cell := range []string{"=1+1", "+1", "-1", "@SUM(1)", "\t=1", "\r=1", "\n=1", "＝1+1", "＋1", "－1", "＠SUM(1)"} {
		if got := archive.Harmless(cell); got != "'"+cell {
			t.Errorf("%q is written %q", cell, got)
		}
	}
	for _, cell := range []string{"", "Dale Orrin", "26-0147-3", "é", "a=1", "'=1"} {
		if got := archive.Harmless(cell); got != cell {
			t.Errorf("%q is written %q", cell, got)
		}
	}
}

func list0(list []map[string]any) map[string]any {
	if len(list) == 0 {
		return nil
	}
	return list[0]
}

func connect(t *testing.T, address string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close(context.WithoutCancel(t.Context())) })
	return conn
}

// content is every row of every table as text, those of the libraries too.
func content(t *testing.T, address string) map[string][]string {
	t.Helper()
	conn, all := connect(t, address), map[string][]string{}
	rows, err := conn.Query(t.Context(), `SELECT relname::text FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p')`)
	if err != nil {
		t.Fatal(err)
	}
	names, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		rows, err := conn.Query(t.Context(), "SELECT x::text FROM "+pgx.Identifier{name}.Sanitize()+" x ORDER BY 1")
		if err != nil {
			t.Fatal(err)
		}
		if all[name], err = pgx.CollectRows(rows, pgx.RowTo[string]); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// grants is what the program may do to each table and column.
func grants(t *testing.T, address string) []string {
	t.Helper()
	rows, err := connect(t, address).Query(t.Context(), `
		SELECT format('%s %s', table_name, privilege_type) FROM information_schema.role_table_grants WHERE grantee = 'coldrail_app' AND table_schema = 'public'
		UNION ALL SELECT format('%s.%s %s', table_name, column_name, privilege_type) FROM information_schema.role_column_grants
		WHERE grantee = 'coldrail_app' AND table_schema = 'public'
		UNION ALL SELECT format('%s %s', oid::regprocedure, proacl) FROM pg_proc WHERE pronamespace = 'public'::regnamespace
		UNION ALL SELECT format('trigger %s on %s', tgname, tgrelid::regclass) FROM pg_trigger WHERE NOT tgisinternal ORDER BY 1`)
	if err != nil {
		t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 50 {
		t.Fatalf("only %d rights", len(list))
	}
	return list
}
