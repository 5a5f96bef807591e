package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// The program's own role can add to the records and do nothing else, nor to the log of looks.
func TestTheRecordsAreAppendOnly(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	owner := dbtest.Owner(t, s.DB)
	for table, column := range map[string]string{"register": "why", "register_personal": "field", "time_line": "what", "private_looks": "page"} {
		for _, sql := range []string{"UPDATE " + table + " SET " + column + " = 'x'", "DELETE FROM " + table, "TRUNCATE " + table + " CASCADE"} {
			if _, err := s.Pool().Exec(ctx, sql); err == nil || !strings.Contains(err.Error(), "42501") {
				t.Errorf("the program: %s: %v, want insufficient privilege", sql, err)
			}
			if _, err := owner.Exec(ctx, sql); err == nil || !strings.Contains(err.Error(), "append-only") {
				t.Errorf("the owner of the tables: %s: %v, want the trigger's refusal", sql, err)
			}
		}
	}
}

// changePlaces puts line 3 where line 2 was, and line 2 after it.
const changePlaces = `UPDATE register SET seq = -seq WHERE seq > 1; UPDATE register SET seq = 5 + seq WHERE seq < 0`

// tampered has a change for each column of the register's two tables, and what else may be
// done to a line. Only by_staff is under no seal: what a line shows and seals of who wrote
// it are the initials, as they were then.
var tampered = map[string][]string{
	"register.seq":       {`UPDATE register SET seq = 9 WHERE seq = 2; UPDATE register_personal SET seq = 9 WHERE seq = 2`, changePlaces},
	"register.animal_id": {`UPDATE register SET animal_id = (SELECT animal_id FROM register WHERE seq = 1) WHERE seq = 2`},
	"register.kind":      {`UPDATE register SET kind = 'handover' WHERE seq = 2`},
	"register.at":        {`UPDATE register SET at = at + interval '1 microsecond' WHERE seq = 2`},
	"register.by_staff":  nil,
	"register.initials":  {`UPDATE register SET initials = 'AK' WHERE seq = 2`},
	"register.facts":     {`UPDATE register SET facts = facts || '{"county": "Ulster"}' WHERE seq = 2`, `UPDATE register SET facts = facts - 'county' WHERE seq = 2`, `UPDATE register SET facts = facts || '{"unit": "8A"}' WHERE seq = 2`},
	"register.digests":   {`UPDATE register SET digests = jsonb_set(digests, '{taker}', to_jsonb(repeat('a', 64))) WHERE seq = 2`, `UPDATE register SET digests = digests - 'taker' WHERE seq = 2`},
	"register.corrects":  {`UPDATE register SET corrects = 1 WHERE seq = 2`},
	"register.why":       {`UPDATE register SET why = 'x' WHERE seq = 2`},
	"register.previous":  {`UPDATE register SET previous = set_byte(previous, 31, get_byte(previous, 31) # 1) WHERE seq = 2`},
	"register.hash":      {`UPDATE register SET hash = set_byte(hash, 0, get_byte(hash, 0) # 1) WHERE seq = 2`},

	"register_personal.seq":        {`UPDATE register_personal SET seq = 1, field = 'x' WHERE seq = 2 AND field = 'taker'`},
	"register_personal.field":      {`UPDATE register_personal SET field = 'x' WHERE seq = 2 AND field = 'taker'`},
	"register_personal.value":      {`UPDATE register_personal SET value = 'Orrin Beck' WHERE seq = 2 AND field = 'taker'`},
	"register_personal.salt":       {`UPDATE register_personal SET salt = set_byte(salt, 0, get_byte(salt, 0) # 1) WHERE seq = 2 AND field = 'taker'`},
	"register_personal.blanked_at": {`UPDATE register_personal SET value = NULL, salt = NULL, blanked_at = now() WHERE seq = 2 AND field = 'taker'`},

	"a number":       {`UPDATE animals SET number = '26-0900-6' WHERE number LIKE '26-0002-%'`},
	"a missing line": {`DELETE FROM register_personal WHERE seq = 2; DELETE FROM register WHERE seq = 2`},
	"a missing name": {`DELETE FROM register_personal WHERE seq = 2 AND field = 'taker'`},
	"an added name":  {`INSERT INTO register_personal (seq, field, value, salt) VALUES (2, 'x', 'Orrin Beck', decode(repeat('00', 16), 'hex'))`},
}

// Whoever owns the tables can switch the triggers off; the walk shows it and names the
// line, whichever column of it was altered. A new column without a case here fails.
func TestTamperingIsFound(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for i := range 3 {
		receive(t, s, aDrop(i+1))
	}
	owner, err := dbtest.Owner(t, s.DB).Acquire(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer owner.Release()
	do := func(sql string) {
		t.Helper()
		if _, err := owner.Exec(ctx, sql); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
	rows, err := owner.Query(ctx, `SELECT table_name || '.' || column_name FROM information_schema.columns WHERE table_name IN ('register', 'register_personal')`)
	columns, err2 := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil || err2 != nil || len(columns) != 17 {
		t.Fatal(columns, err, err2)
	}
	for _, c := range columns {
		if _, tried := tampered[c]; !tried {
			t.Errorf("nobody tries to alter %s", c)
		}
	}
	do(`SET session_replication_role = replica; CREATE TEMPORARY TABLE r AS TABLE register; CREATE TEMPORARY TABLE p AS TABLE register_personal; CREATE TEMPORARY TABLE n AS SELECT id, number FROM animals;
		ALTER TABLE register DROP CONSTRAINT register_check, DROP CONSTRAINT correction_has_its_reason, DROP CONSTRAINT register_seq_check`) // they would refuse some of what is tried
	for name, tries := range tampered {
		for _, tamper := range tries {
			if err := s.VerifyRegister(ctx); err != nil {
				t.Fatalf("untouched: %v", err)
			}
			do(tamper)
			if err := s.VerifyRegister(ctx); domain.As(err).Kind != domain.Refused || !strings.Contains(err.Error(), " 2 ") && name != "register_personal.seq" {
				t.Errorf("%s: got %v, want a sentence that names line 2", name, err)
			}
			do(`DELETE FROM register_personal; DELETE FROM register; INSERT INTO register SELECT * FROM r; INSERT INTO register_personal SELECT * FROM p; UPDATE animals a SET number = n.number FROM n WHERE n.id = a.id`)
		}
	}
}

// Blanking a person in their time leaves the chain whole, and a renamed member
// of staff does not break what they signed.
func TestBlankingKeepsTheChain(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	owner := dbtest.Owner(t, s.DB)
	_, err := owner.Exec(ctx, `ALTER TABLE register_personal DISABLE TRIGGER append_only;
		INSERT INTO blankings (id, at, by_staff) SELECT id, now(), received_by FROM animals;
		INSERT INTO blanked (animal_id, blanking_id, kept_until, rule) SELECT id, id, now(), 'any-keep' FROM animals;
		UPDATE register_personal SET value = NULL, salt = NULL, blanked_at = now() WHERE field = 'taker';
		UPDATE staff SET initials = 'ZZ' WHERE initials = 'BT'`)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.VerifyRegister(ctx); err != nil {
		t.Error(err)
	}
	lines, err := s.RegisterOf(ctx, dbtest.Tag(1))
	if err != nil {
		t.Fatal(err)
	}
	taker, _ := register.FieldNamed("taker")
	if got := lines[0].Value(taker); got != "blanked" {
		t.Errorf("a blanked name reads %q", got)
	}
	row, head := lines[0].Row(time.UTC), db.RegisterHeader()
	if len(row) != len(head) || row[1] != string(dbtest.Tag(1)) || row[4] != "BT" {
		t.Errorf("row %v under %v", row, head)
	}
}

// The licence and the county are told by phone: the receipt stays as it was, a
// second line says what, who and why, and the paper counts as checked.
func TestTellPaysWhatWasOwed(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	d := aDrop(1)
	d.Owner, d.County, d.Sex = db.Person{Phone: "555-0142"}, "", ""
	receive(t, s, d)
	receive(t, s, aDrop(2))
	owed, err := s.Owed(ctx)
	if err != nil || len(owed) != 1 || owed[0].Phone != "555-0142" || owed[0].Name != db.NoName {
		t.Fatalf("owed: %+v, %v", owed, err)
	}
	var names []string
	for _, f := range owed[0].Fields() {
		names = append(names, f.Name)
	}
	if got := strings.Join(names, " "); got != "deliverer taker taker_address licence owner sex county" {
		t.Errorf("owed fields: %s", got)
	}
	act := s.Act(s.Bob, dbtest.Noon.Add(time.Hour))
	told := db.Told{Why: "told by phone", Fields: map[string]string{"deliverer": "Dell Hargrove", "taker": "Dell Hargrove", "owner": "Dell Hargrove",
		"taker_address": "9 Mill Lane", "licence": "H-77310", "sex": "male", "county": "Delaware"}}
	for range 2 { // sent twice
		if err := s.Tell(ctx, act, d.Number, told); err != nil {
			t.Fatal(err)
		}
	}
	lines, err := s.RegisterOf(ctx, d.Number)
	if err != nil || len(lines) != 2 || lines[0].Facts["county"] != "" || lines[1].Facts["county"] != "Delaware" || lines[1].Reason() != "told by phone" || lines[1].Why != "" || lines[1].Corrects != 1 {
		t.Errorf("lines %+v, %v", lines, err)
	}
	if owed, err = s.Owed(ctx); err != nil || len(owed) != 0 {
		t.Errorf("still owed: %+v, %v", owed, err)
	}
	if a, err := s.Animal(ctx, d.Number); err != nil || a.Legal != "verified" || a.Sex != "male" {
		t.Errorf("%s %s, %v", a.Legal, a.Sex, err)
	}
	dell, err := s.FindPeople(ctx, "0142") // animal 2 knows him by the same phone and name
	if err != nil || len(dell) != 2 || dell[0].Name+dell[1].Name != "Dell Hargrove"+db.NoName && dell[1].Name+dell[0].Name != "Dell Hargrove"+db.NoName {
		t.Errorf("people: %+v, %v", dell, err)
	}
	if err := s.VerifyRegister(ctx); err != nil {
		t.Error(err)
	}
}

func TestTellRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	receive(t, s, aDrop(1))
	d := aDrop(2)
	d.Tag = db.OfficialTag{}
	receive(t, s, d)
	for _, tt := range []struct {
		fields map[string]string
		why    string
		kind   domain.Kind
		at     string
	}{
		{map[string]string{"county": "Ulster"}, "", domain.Invalid, "why"},
		{map[string]string{"county": "  "}, "told", domain.Invalid, "why"},
		{map[string]string{"received": "yesterday"}, "told", domain.Invalid, "received"},
		{map[string]string{"colour": "red"}, "told", domain.Invalid, "colour"},
		{map[string]string{"sex": "both"}, "told", domain.Invalid, "sex"},
		{map[string]string{"phone": "12"}, "told", domain.Invalid, "phone"},
		{map[string]string{"tag": aDrop(1).Tag.Number}, "told", domain.Invalid, "tag_state"},
		{map[string]string{"tag": aDrop(1).Tag.Number, "tag_state": "NY"}, "told", domain.Conflict, "tag"},
	} {
		err := s.Tell(ctx, s.Act(s.Bob, dbtest.Noon), d.Number, db.Told{Fields: tt.fields, Why: tt.why})
		if e := domain.As(err); e.Kind != tt.kind || e.At != tt.at {
			t.Errorf("%v %q: got %v at %q", tt.fields, tt.why, err, e.At)
		}
	}
	if lines, err := s.RegisterOf(ctx, d.Number); err != nil || len(lines) != 1 {
		t.Errorf("something refused left a line: %d, %v", len(lines), err)
	}
}

// The walk by night keeps what it met. Lines cut off at the end leave the chain whole;
// the count of the night before shows it.
func TestRegisterIsWalked(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	if _, found, err := s.LastRegisterCheck(ctx); found || err != nil {
		t.Errorf("never walked, and found %v, %v", found, err)
	}
	for i := range 3 {
		receive(t, s, aDrop(i+1))
	}
	walk := func(day int) db.RegisterCheck {
		t.Helper()
		id, began := uuid.Must(uuid.NewV7()), dbtest.Noon.AddDate(0, 0, day)
		for range 2 { // a job that is tried again keeps one line
			if _, err := s.CheckRegister(ctx, id, began, func() time.Time { return began.Add(time.Minute) }); err != nil {
				t.Fatal(err)
			}
		}
		c, found, err := s.LastRegisterCheck(ctx)
		if err != nil || !found || !c.BeganAt.Equal(began) || !c.EndedAt.Equal(began.Add(time.Minute)) {
			t.Fatalf("kept %+v, %v", c, err)
		}
		return c
	}
	if c := walk(0); c.Lines != 3 || c.Wrong != "" {
		t.Errorf("walked %+v, want 3 whole lines", c)
	}
	owner := dbtest.Owner(t, s.DB)
	change := func(sql string) {
		t.Helper()
		if _, err := owner.Exec(ctx, sql); err != nil {
			t.Fatal(err)
		}
	}
	change(`ALTER TABLE register DISABLE TRIGGER append_only; ALTER TABLE register_personal DISABLE TRIGGER append_only;
		DELETE FROM register_personal WHERE seq = 3; DELETE FROM register WHERE seq = 3`)
	if c := walk(1); c.Lines != 2 || !strings.Contains(c.Wrong, "The register has 2 lines; there were 3 on 2026-11-19") {
		t.Errorf("cut short: %+v", c)
	}
	change(`UPDATE register SET initials = 'AK' WHERE seq = 1`)
	if c := walk(2); c.Lines != 0 || !strings.Contains(c.Wrong, " 1 ") {
		t.Errorf("changed: %+v", c)
	}
}

// Lines are found by species, county and tag as they are known now, whenever that was
// told (issue: any date range, species, county, tag).
func TestRegisterAbout(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	first, second := aDrop(1), aDrop(2)
	second.Species, second.County = domain.Elk, ""
	receive(t, s, first)
	receive(t, s, second)
	later := s.Act(s.Bob, dbtest.Noon.AddDate(0, 0, 5))
	if err := s.Tell(ctx, later, dbtest.Tag(2), db.Told{Fields: map[string]string{"county": "Ulster"}, Why: "told by phone"}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		about db.About
		want  int
	}{
		{db.About{}, 2}, {db.About{Species: "Elk"}, 1}, {db.About{County: "ulster"}, 1}, {db.About{County: "Delaware"}, 1}, {db.About{Tag: first.Tag.Number}, 1},
		{db.About{Species: "elk", County: "Delaware"}, 0}, {db.About{Tag: "nobody's"}, 0},
	} {
		lines, err := s.RegisterAbout(ctx, dbtest.Noon, dbtest.Noon.Add(time.Hour), 0, tt.about)
		if err != nil || len(lines) != tt.want {
			t.Errorf("%+v: %d lines, want %d, %v", tt.about, len(lines), tt.want, err)
		}
	}
}
