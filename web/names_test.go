package web_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
)

func noon() time.Time { return dbtest.Noon }

// A field called as a form's own property hides that property from the script
// that sends the form: the button then does nothing (seen with "form").
func TestNoFieldHidesItsForm(t *testing.T) {
	hides := regexp.MustCompile(`(?:Name: |name=|Hidden\()"(form|action|method|elements|submit|target|enctype)"`)
	views := 0
	err := filepath.WalkDir(".", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".templ") {
			return err
		}
		views++
		text, err := os.ReadFile(path)
		if m := hides.FindSubmatch(text); m != nil {
			t.Errorf("%s has a field called %q; give it another name", path, m[1])
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if views < 20 {
		t.Fatalf("only %d views were read: this test saw nothing", views)
	}
}
