package migrations_test

import (
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
)

// What was typed on lines of before migration 80 goes beside them, where it can be blanked,
// and back again; a hand-over with two texts has both in one.
func TestTypedTextLeavesOldLines(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	upgraded(t, url)
	dbtest.Fill(t, url)
	before := func() { t.Helper(); downBelow(t, url, 80) }
	before()
	lines := map[string][3]string{ // as it was, as it is beside, what is left
		"look":         {`{"smell": "clean", "note": "Wade smelled it"}`, "Wade smelled it", `{"smell": "clean"}`},
		"sign-weekly":  {`{"note": "dry, says Wade"}`, "dry, says Wade", `{}`},
		"decide":       {`{"decision": "carry-on", "reason": "Wade knows"}`, "Wade knows", `{"decision": "carry-on"}`},
		"start":        {`{"not the first": "Wade waits", "instead of": "26-0001-4"}`, "Wade waits", `{"instead of": "26-0001-4"}`},
		"rejudge":      {`{"why": "Wade asked", "to version": 2}`, "Wade asked", `{"to version": 2}`},
		"hand-over":    {`{"still to come": "sausage", "boxes": "1"}`, "sausage; Wade pays Friday", `{"boxes": "1", "still to come": true}`},
		"charge":       {`{"line": "Rush of Wade", "amount": "$5"}`, "Rush of Wade", `{"amount": "$5"}`},
		"give-line":    {`{"line": "Rush of Wade"}`, "Rush of Wade", `{}`},
		"take-back":    {`{"line": "stew", "kg": 1}`, "", `{"kg": 1, "line": "stew"}`},
		"rule-for-all": {`{"animals": 2, "why": "Wade asked"}`, "", `{"animals": 2}`},
	}
	exec(t, url, `DELETE FROM typed_reasons`)
	conn := connect(t, url)
	for what, l := range lines {
		if _, err := conn.Exec(ctx, `INSERT INTO time_line (act, animal_id, what, detail, at)
			SELECT gen_random_uuid(), CASE $1 WHEN 'rule-for-all' THEN NULL ELSE id END, $1, $2::jsonb, now() FROM animals LIMIT 1`, what, l[0]); err != nil {
			t.Fatal(err)
		}
	}
	exec(t, url, `INSERT INTO typed_reasons (act, animal_id, why) SELECT act, animal_id, 'Wade pays Friday' FROM time_line WHERE what = 'hand-over'`)
	stands := func(what, beside, detail string) {
		t.Helper()
		var why, left string
		var same bool
		if err := conn.QueryRow(ctx, `SELECT coalesce(r.why, ''), t.detail::text, t.detail = $2::jsonb FROM time_line t LEFT JOIN typed_reasons r ON r.act = t.act WHERE t.what = $1`,
			what, detail).Scan(&why, &left, &same); err != nil || why != beside || !same {
			t.Errorf("%s: %q beside %s, want %q beside %s, %v", what, why, left, beside, detail, err)
		}
	}
	upgraded(t, url)
	for what, l := range lines {
		stands(what, l[1], l[2])
	}
	before()
	for what, l := range lines {
		want := l[0]
		switch what {
		case "hand-over":
			want = `{"still to come": "sausage; Wade pays Friday", "boxes": "1"}`
		case "rule-for-all":
			want = l[2] // it stands on the line of each animal
		}
		stands(what, "", want)
	}
}

// The words of a visit leave the time line, and stand there again a step back.
func TestVisitsWordsLeaveTheLines(t *testing.T) {
	t.Parallel()
	ctx, url := t.Context(), dbtest.Bare(t)
	upgraded(t, url)
	dbtest.Fill(t, url)
	downBelow(t, url, 81)
	conn := connect(t, url)
	exec(t, url, `UPDATE visits SET asked = 'what Wade brought', findings = 'Wade owes a tag', ended_at = coalesce(ended_at, began_at), ended_by = coalesce(ended_by, by_staff)`)
	exec(t, url, `INSERT INTO time_line (act, what, detail, at, by_staff) SELECT id, 'visit', '{"agency": "DEC", "asked": "what Wade brought"}', began_at, by_staff FROM visits LIMIT 1`)
	exec(t, url, `INSERT INTO time_line (act, what, detail, at, by_staff) SELECT id, 'visit-shown', jsonb_build_object('shown', what), at, by_staff FROM visit_shown LIMIT 1`)
	exec(t, url, `INSERT INTO time_line (act, what, detail, at, by_staff) SELECT gen_random_uuid(), 'visit-ended', '{"found": "Wade owes a tag"}', ended_at, ended_by FROM visits LIMIT 1`)
	stand := func() (lines string) {
		t.Helper()
		if err := conn.QueryRow(ctx, `SELECT coalesce(string_agg(what || detail::text, ' ' ORDER BY what), '') FROM time_line WHERE what LIKE 'visit%'`).Scan(&lines); err != nil {
			t.Fatal(err)
		}
		return lines
	}
	before := stand()
	upgraded(t, url)
	if got, want := stand(), `visit{"agency": "DEC"} visit-ended{} visit-shown{}`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	downBelow(t, url, 81)
	if got := stand(); got != before || !strings.Contains(before, "Wade owes") {
		t.Errorf("%s, before it was %s", got, before)
	}
}

// downBelow takes the schema back to before a migration.
func downBelow(t *testing.T, url string, version int) {
	t.Helper()
	for {
		s, err := db.SchemaOf(t.Context(), url)
		if err != nil {
			t.Fatal(err)
		}
		if int(s.Version) < version {
			return
		}
		if err := db.MigrateDown(t.Context(), url); err != nil {
			t.Fatal(err)
		}
	}
}
