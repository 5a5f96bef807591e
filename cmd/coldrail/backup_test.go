package main

import (
	"bytes"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"

	"github.com/google/uuid"
)

// told runs one command on the database at url.
func told(t *testing.T, url string, args ...string) (status int, said string) {
	t.Helper()
	env := func(name string) string {
		return map[string]string{"DATABASE_URL": url, "COLDRAIL_DATA": filepath.Join(t.TempDir(), "data")}[name]
	}
	var out, report bytes.Buffer
	status = run(t.Context(), args, env, strings.NewReader(""), &out, &report)
	return status, out.String() + report.String()
}

// The shop's records go out and come back by the command line, encrypted, and
// every way of asking wrongly is told.
func TestBackupAndRestore(t *testing.T) {
	t.Parallel()
	dir, from := t.TempDir(), dbtest.OpenShop(t)
	url := dbtest.Owner(t, from.DB).Config().ConnString()
	file, key, words, short := filepath.Join(dir, "copy"), filepath.Join(dir, "key"), filepath.Join(dir, "words"), filepath.Join(dir, "short")
	for name, text := range map[string]string{words: "first frost on the hill\n", short: "deer\n"} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	status, said := told(t, url, "backup", "--new-key", key)
	_, to, _ := strings.Cut(strings.TrimSpace(said), "encrypted for: ")
	if status != 0 || !strings.HasPrefix(to, "age1") {
		t.Fatalf("--new-key: %d, %s", status, said)
	}
	into := dbtest.Bare(t)
	for _, tt := range []struct {
		name, url string
		args      []string
		status    int
		says      string
	}{
		{"no file", url, []string{"backup"}, 2, "one file"},
		{"two files", url, []string{"backup", file, key}, 2, "one file"},
		{"both ways to encrypt", url, []string{"backup", file, "--for", to, "--passphrase", words}, 2, "not both"},
		{"no public key", url, []string{"backup", file, "--for", "deer"}, 2, "begins with age1"},
		{"a short passphrase", url, []string{"backup", file, "--passphrase", short}, 2, "12 letters"},
		{"nothing to back up", into, []string{"backup", file}, 1, "no records"},
		{"a key over another", url, []string{"backup", "--new-key", key}, 1, "exists"},
		{"encrypted", url, []string{"backup", file, "--for", to}, 0, "Backed up to"},
		{"over another", url, []string{"backup", file}, 1, "It was left as it is"},
		{"looked at", url, []string{"backup", "--look", file, "--key", key}, 0, "It is whole"},
		{"looked at without the key", url, []string{"backup", "--look", file}, 1, "--key FILE"},
		{"restored with the wrong words", into, []string{"restore", file, "--passphrase", words}, 1, "does not open"},
		{"restored over a shop", url, []string{"restore", file, "--key", key}, 1, "not empty"},
		{"a file that is not there", into, []string{"restore", "nowhere"}, 1, "cannot be read"},
		{"restored", into, []string{"restore", file, "--key", key}, 0, "the register is whole"},
		{"exported", into, []string{"export", filepath.Join(dir, "open")}, 0, "Everything is in"},
		{"exported over another", into, []string{"export", filepath.Join(dir, "open")}, 1, "It was left as it is"},
		{"exported to nowhere", into, []string{"export"}, 2, "name of a new folder"},
		{"checked", into, []string{"check"}, 0, "every line is as it was written"},
	} {
		if status, said := told(t, tt.url, tt.args...); status != tt.status || !strings.Contains(said, tt.says) {
			t.Errorf("%s: status %d, want %d: %s", tt.name, status, tt.status, said)
		}
	}
	d, err := db.Open(t.Context(), into)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if shop, err := d.Shop(t.Context()); err != nil || shop.Name != "Hollow Creek Custom Meats" {
		t.Errorf("the shop came back as %q, %v", shop.Name, err)
	}
}

// By night the job makes one copy and no second; a drive that is gone is written
// down, shown by check, and tried again an hour later.
func TestNightlyBackup(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	url := dbtest.Owner(t, s.DB).Config().ConnString()
	w := &nightlyWorker{db: s.DB, address: url, log: slog.New(slog.DiscardHandler)}
	work := func() []db.Backup {
		t.Helper()
		must(t, w.Work(ctx, nil))
		list, err := s.Backups(ctx)
		must(t, err)
		return list
	}
	if list := work(); len(list) != 0 {
		t.Fatalf("never turned on, and there is %+v", list)
	}
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, ".coldrail-backups"), nil, 0o600))
	act := db.Act{ID: uuid.Must(uuid.NewV7()), At: time.Now(), Staff: s.Ann.ID}
	must(t, s.SetBackups(ctx, act, db.BackupSettings{Directory: dir, Hour: 2}))
	if list := work(); len(list) != 1 || list[0].Wrong != "" || list[0].Bytes == 0 {
		t.Fatalf("the first copy: %+v", list)
	}
	if list := work(); len(list) != 1 {
		t.Fatalf("a second copy the same night: %+v", list)
	}
	must(t, os.Remove(filepath.Join(dir, ".coldrail-backups")))
	_, err := dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE backups SET began_at = began_at - interval '3 days', ended_at = ended_at - interval '3 days'`)
	must(t, err)
	_, err = dbtest.Owner(t, s.DB).Exec(ctx, `UPDATE backup_settings SET on_since = on_since - interval '9 days'`)
	must(t, err)
	for range 2 { // the second finds that the last try is not an hour old
		if list := work(); len(list) != 2 || !strings.Contains(list[0].Wrong, "The drive is not there") {
			t.Fatalf("the drive is gone: %+v", list)
		}
	}
	status, said := told(t, url, "check")
	if status != statusFailed || !strings.Contains(said, "the last good one is 72h") || !strings.Contains(said, "The drive is not there") {
		t.Errorf("check: %d, %s", status, said)
	}
}

// The register is walked once a night by the program itself, and check says how that
// ended.
func TestRegisterIsWalkedByNight(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	must(t, s.Receive(ctx, db.Act{ID: uuid.Must(uuid.NewV7()), At: dbtest.Noon, Staff: s.Bob.ID}, db.Drop{Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142"},
		Drop: animal.Drop{Number: dbtest.Tag(1), Species: domain.Whitetail, Form: domain.Whole, KilledAt: dbtest.Noon.AddDate(0, 0, -1), Kept: animal.KeptHung}}))
	url := dbtest.Owner(t, s.DB).Config().ConnString()
	w := &registerWorker{db: s.DB, log: slog.New(slog.DiscardHandler)}
	if _, said := told(t, url, "check"); !strings.Contains(said, "has not walked it yet") {
		t.Errorf("check: %s", said)
	}
	work := func() (n int) {
		t.Helper()
		must(t, w.Work(ctx, nil))
		must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM register_checks`).Scan(&n))
		return n
	}
	if first, second := work(), work(); first != 1 || second != 1 {
		t.Fatalf("walked %d and %d times, want once a night", first, second)
	}
	if _, said := told(t, url, "check"); !strings.Contains(said, "1 lines whole") || lastWalk(s.DB) != 1 {
		t.Errorf("check: %s, metric %g", said, lastWalk(s.DB))
	}
	_, err := dbtest.Owner(t, s.DB).Exec(ctx, `ALTER TABLE register DISABLE TRIGGER append_only; UPDATE register SET initials = 'AK';
		UPDATE register_checks SET began_at = began_at - interval '1 day', ended_at = ended_at - interval '1 day'`)
	must(t, err)
	if n := work(); n != 2 || lastWalk(s.DB) != -1 {
		t.Errorf("walked %d times, metric %g", n, lastWalk(s.DB))
	}
	if status, said := told(t, url, "check"); status != statusFailed || !strings.Contains(said, "register, night TROUBLE") {
		t.Errorf("check: %d %s", status, said)
	}
}
