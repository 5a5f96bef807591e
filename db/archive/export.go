package archive

import (
	"bufio"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"coldrail/domain"

	"github.com/jackc/pgx/v5"
)

// hidden are tables and columns that are keys to the shop and none of its
// records: whoever reads an export must not be able to sign in with it.
var hidden = map[string][]string{
	"secrets": nil, "sessions": nil, "schema_migrations": nil, "sent_forms": nil, // nil: the whole table
	"staff": {"pin_hash", "password_hash"}, "shifts": {"token_hash"}, "scales": {"token_hash"}, "sensor_tokens": {"token_hash"},
	"photos": {"jpeg"}, // as a file of its own
}

// Export writes everything of the records in open formats into a new folder:
// each table as CSV and as JSON, each picture as a JPEG. All of it is of one
// moment. In CSV a text that a spreadsheet would run as a formula gets an
// apostrophe in front; JSON has it as it is.
func Export(ctx context.Context, address, dir string, now time.Time) (tables, rows int, err error) {
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		return 0, 0, domain.Refuse("export", "There is a %s already. It was left as it is; give another name.", dir)
	}
	conn, err := pgx.Connect(ctx, address)
	if err != nil {
		return 0, 0, fmt.Errorf("the database does not answer: %w", err)
	}
	defer conn.Close(ctx)
	if err := os.MkdirAll(filepath.Join(dir, "photos"), 0o700); err != nil {
		return 0, 0, err
	}
	about := &strings.Builder{}
	fmt.Fprintf(about, "Everything Coldrail keeps, of %s. Times are UTC, temperatures °C, weights kg.\n", now.UTC().Format(time.RFC3339))
	about.WriteString("Each table as .csv (UTF-8; a text beginning with = + - @ has an apostrophe in front) and as .json (as it is).\n")
	about.WriteString("PINs, passwords, sessions and keys are left out. Pictures are in photos, named by their id.\n\n")
	err = pgx.BeginTxFunc(ctx, conn, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SET LOCAL timezone = 'UTC'`); err != nil {
			return err
		}
		list, err := exported(ctx, tx)
		if err != nil {
			return err
		}
		for i, t := range list {
			tell(ctx, int64(i), int64(len(list)))
			n, err := t.write(ctx, tx, dir)
			if err != nil {
				return fmt.Errorf("export %s: %w", t.name, err)
			}
			fmt.Fprintf(about, "%-28s %d\n", t.name, n)
			tables, rows = tables+1, rows+n
		}
		return pictures(ctx, tx, filepath.Join(dir, "photos"))
	})
	if err != nil {
		return tables, rows, err
	}
	return tables, rows, os.WriteFile(filepath.Join(dir, "READ-ME.txt"), []byte(about.String()), 0o600)
}

// table is one table with the columns that are exported.
type table struct {
	name    string
	columns []string
	text    []bool // which of them a spreadsheet could take for a formula
}

// exported finds the tables by itself, so that a new one is never forgotten. The
// job queue's own are no records of the shop.
func exported(ctx context.Context, tx pgx.Tx) (list []table, err error) {
	rows, err := tx.Query(ctx, `
		SELECT c.relname::text, a.attname::text, a.atttypid::regtype::text NOT IN ('smallint', 'integer', 'bigint', 'double precision', 'numeric', 'real', 'boolean')
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
		WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND NOT c.relispartition AND c.relname NOT LIKE 'river\_%'
		ORDER BY 1, a.attnum`)
	if err != nil {
		return nil, err
	}
	var name, column string
	var text bool
	_, err = pgx.ForEachRow(rows, []any{&name, &column, &text}, func() error {
		left, listed := hidden[name]
		if listed && (left == nil || slices.Contains(left, column)) {
			return nil
		}
		if len(list) == 0 || list[len(list)-1].name != name {
			list = append(list, table{name: name})
		}
		t := &list[len(list)-1]
		t.columns, t.text = append(t.columns, column), append(t.text, text)
		return nil
	})
	return list, err
}

// write streams one table into its two files.
func (t table) write(ctx context.Context, tx pgx.Tx, dir string) (n int, err error) {
	sheet, err := os.OpenFile(filepath.Join(dir, t.name+".csv"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return 0, err
	}
	defer sheet.Close()
	object, err := os.OpenFile(filepath.Join(dir, t.name+".json"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return 0, err
	}
	defer object.Close()
	cells, json := csv.NewWriter(sheet), bufio.NewWriter(object)
	if err := errors.Join(cells.Write(t.columns), put(json, "[")); err != nil {
		return 0, err
	}
	rows, err := tx.Query(ctx, t.query())
	if err != nil {
		return 0, err
	}
	var whole string
	row := make([]string, len(t.columns))
	into := []any{&whole}
	for i := range row {
		into = append(into, &row[i])
	}
	_, err = pgx.ForEachRow(rows, into, func() error {
		for i, text := range t.text {
			if text {
				row[i] = Harmless(row[i])
			}
		}
		comma := ",\n"
		if n++; n == 1 {
			comma = "\n"
		}
		return errors.Join(cells.Write(row), put(json, comma+whole))
	})
	if err != nil {
		return n, err
	}
	cells.Flush()
	return n, errors.Join(cells.Error(), put(json, "\n]\n"), json.Flush())
}

// query reads each row once as JSON and once as texts; an absent value is an
// empty cell and null.
func (t table) query() string {
	var quoted, cells []string
	for _, c := range t.columns {
		q := pgx.Identifier{c}.Sanitize()
		quoted, cells = append(quoted, q), append(cells, "coalesce(x."+q+"::text, '')")
	}
	return "SELECT row_to_json(x)::text, " + strings.Join(cells, ", ") + " FROM (SELECT " + strings.Join(quoted, ", ") + " FROM " + pgx.Identifier{t.name}.Sanitize() + ") x"
}

func put(w *bufio.Writer, text string) error {
	_, err := w.WriteString(text)
	return err
}

// Harmless keeps a spreadsheet from running what somebody typed as a formula
// (OWASP, CSV Injection: the cells beginning with = + - @, their full-width forms, tab
// or a line end).
func Harmless(cell string) string {
	if first, _ := utf8.DecodeRuneInString(cell); cell != "" && strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", first) {
		return "'" + cell
	}
	return cell
}

// pictures writes each picture as the file it is.
func pictures(ctx context.Context, tx pgx.Tx, dir string) error {
	rows, err := tx.Query(ctx, `SELECT id::text, jpeg FROM photos`)
	if err != nil {
		return err
	}
	var id string
	var jpeg []byte
	_, err = pgx.ForEachRow(rows, []any{&id, &jpeg}, func() error {
		return os.WriteFile(filepath.Join(dir, id+".jpg"), jpeg, 0o600)
	})
	return err
}
