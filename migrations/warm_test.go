package migrations_test

import (
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
)

// A step back refuses while a room has two incidents nobody closed, and leaves both; a
// rule that came with the program says of its text that it was not checked.
func TestEachWarmTimeAnIncident(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	upgraded(t, url)
	conn := connect(t, url)
	cites := func(want string) {
		t.Helper()
		var got string
		err := conn.QueryRow(ctx, `SELECT cites FROM statutes WHERE key = 'any-register-livestock' AND until IS NULL`).Scan(&got)
		if err != nil || got != want {
			t.Errorf("%q, %v; want %q", got, err, want)
		}
	}
	cites("9 CFR 303.1 and 320.1, text not checked")
	exec(t, url, `INSERT INTO coolers (name, label, kind, length_m, width_m, height_m) VALUES ('main', 'Main', 'cooler', 3, 3, 2.4)`)
	exec(t, url, `INSERT INTO incidents (id, cooler_id, began_at, called_at, opened_at, ended_at)
		SELECT gen_random_uuid(), c.id, at, at, at, CASE WHEN at < now() THEN at END FROM coolers c, unnest(ARRAY[now() - interval '1 day', now()]) AS at`)
	if err := db.MigrateDown(ctx, url); err == nil {
		t.Fatal("it stepped back over two open incidents of one room")
	}
	upgraded(t, url)
	var n int
	if err := conn.QueryRow(ctx, `SELECT count(*) FROM incidents WHERE closed_at IS NULL`).Scan(&n); err != nil || n != 2 {
		t.Errorf("%d incidents are left, %v; want both", n, err)
	}
	exec(t, url, `DELETE FROM incidents WHERE ended_at IS NOT NULL`)
	downBelow(t, url, 82)
	cites("9 CFR 303.1 and 320.1, partly from memory")
}
