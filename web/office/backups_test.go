package office_test

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// The owner turns the nightly copies on; the first page says when the last good
// one was made, and warns once it is older than 26 hours.
func TestBackups(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob, dir := s.As(t, s.Ann), s.As(t, s.Bob), t.TempDir()
	bob.Get("/office/backups").Wants(t, http.StatusForbidden)
	ann.Get("/office/backups").Wants(t, http.StatusOK, "No backup is made", "None was made yet.")
	for _, tt := range []struct {
		directory, hour, recipient, says string
	}{
		{"backups", "2", "", "Give the whole path"},
		{filepath.Join(dir, "gone"), "2", "", "Is the drive plugged in?"},
		{dir, "25", "", "from 0 to 23"},
		{dir, "two", "", "from 0 to 23"},
		{dir, "2", "ssh-ed25519 AAAA", "That is no public key."},
	} {
		set := url.Values{"directory": {tt.directory}, "hour": {tt.hour}, "recipient": {tt.recipient}}
		ann.Post("/office/backups", set).Wants(t, http.StatusUnprocessableEntity, tt.says, tt.directory, tt.hour)
	}
	if a := ann.Post("/office/backups", url.Values{"directory": {dir}, "hour": {"2"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("turning them on answers %d: %.600s", a.Status, a.Body)
	}
	if _, err := os.Stat(filepath.Join(dir, ".coldrail-backups")); err != nil {
		t.Errorf("the drive is not marked: %v", err)
	}
	ann.Get("/office/backups").Wants(t, http.StatusOK, dir, "within five minutes")

	made := dbtest.Noon.Add(-time.Hour)
	if err := s.BackupEnded(t.Context(), db.Backup{ID: uuid.New(), File: dir + "/coldrail-1.backup", BeganAt: made, EndedAt: made.Add(time.Minute), Bytes: 12_300_000, Thinned: 2}); err != nil {
		t.Fatal(err)
	}
	ann.Get("/office/backups").Wants(t, http.StatusOK, "coldrail-1.backup", "12.3 MB", "2 old ones taken away.")
	bob.Get("/").Wants(t, http.StatusOK, "Last good backup of the records: Thu Nov 19")
	s.SetNow(dbtest.Noon.Add(26*time.Hour + 2*time.Minute))
	bob.Get("/").Wants(t, http.StatusOK, "Tell the owner: the records are not backed up")
	ann.Get("/office/backups").Wants(t, http.StatusOK, "more than 26 hours old")
	if a := ann.Post("/office/backups", url.Values{"directory": {""}, "hour": {"2"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("turning them off answers %d: %.600s", a.Status, a.Body)
	}
	ann.Get("/office/backups").Wants(t, http.StatusOK, "No backup is made")
}
