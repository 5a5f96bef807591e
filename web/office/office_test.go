package office_test

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/ui"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

func TestOfficeShowsTheShop(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.As(t, s.Ann).Get("/office").Wants(t, http.StatusOK, "The register", "Rooms and rails", "/office/protocols", "/office/prices")
}

// The office holds money and people: counter and cooler have no business there.
func TestOfficeIsTheOwners(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.As(t, s.Bob).Get("/office").Wants(t, http.StatusForbidden, "not in Bob Tarrant&#39;s work")
}

// The register says whether it is whole, and goes out as a file with the lines
// of the days asked for, to the owner alone.
func TestOfficeRegister(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	first, ann := dbtest.Tag(1), s.As(t, s.Ann)
	came := s.As(t, s.Bob).Post("/dropoff", url.Values{"number": {string(first)}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-1"}, "state": {"NY"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}})
	if came.Status != http.StatusSeeOther {
		t.Fatalf("drop-off answers %d: %.600s", came.Status, came.Body)
	}
	ann.Get("/office").Wants(t, http.StatusOK, "Check every line now")
	ann.Get("/office?check=register").Wants(t, http.StatusOK, "Whole: every line is as it was written.")
	file := ann.Get("/office/register.csv?from=2026-11-01&until=2026-11-30")
	rows, err := csv.NewReader(strings.NewReader(file.Body)).ReadAll()
	if err != nil || len(rows) != 2 || rows[0][0] != "line" || rows[1][1] != string(first) {
		t.Errorf("%v, %v: want a head and one line of %s", rows, err, first)
	}
	if strings.Contains(file.Body, ui.Joint) {
		t.Error("the file holds a space that is none")
	}
	formula := s.As(t, s.Bob).Post("/dropoff", url.Values{"number": {string(dbtest.Tag(2))}, "phone": {"555-0143"}, "name": {"=HYPERLINK(1)"}, "tag": {"T-2"}, "state": {"NY"},
		"species": {"whitetail"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "killed": {"today"}, "place": {"next"}, "tag_kind": {"carcass-tag"}})
	if formula.Status != http.StatusSeeOther {
		t.Fatalf("drop-off answers %d: %.600s", formula.Status, formula.Body)
	}
	if file := ann.Get("/office/register.csv?from=2026-11-01&until=2026-11-30"); !strings.Contains(file.Body, "'=HYPERLINK(1)") || strings.Contains(file.Body, ",=HYPERLINK") {
		t.Errorf("a name that a spreadsheet would run: %q", file.Body) // OWASP, CSV Injection
	}
	none := ann.Get("/office/register.csv?from=2026-01-01&until=2026-01-31")
	if strings.Count(none.Body, "\n") != 1 {
		t.Errorf("January has lines: %q", none.Body)
	}
	ann.Get("/office/register/print?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusOK, "2 lines, printed", string(first), "Brought by, killed by, owner: <b>Dell Hargrove</b>", "Whole, quarters or boned: <b>whole, hide on</b>", "Seal of the last line above: ")
	ann.Get("/office/register/print?from=2026-11-01&until=2026-11-30&tag=t-2").Wants(t, http.StatusOK, "1 line, printed", "Official tag: t-2", "HYPERLINK")
	ann.Get("/office/register/print?from=2026-11-01&until=2026-11-30&species=elk").Wants(t, http.StatusOK, "The register has no such line.", "Species: elk")
	s.As(t, s.Bob).Get("/office/register/print?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusForbidden)
	walk := func(age time.Duration) {
		t.Helper()
		at := dbtest.Noon.Add(-age)
		if _, err := s.CheckRegister(t.Context(), uuid.New(), at, func() time.Time { return at }); err != nil {
			t.Fatal(err)
		}
	}
	walk(72 * time.Hour)
	ann.Get("/").Wants(t, http.StatusOK, "the register was not checked by night")
	walk(14 * time.Hour)
	ann.Get("/office").Wants(t, http.StatusOK, "Walked by the program Wed Nov 18, 10:00 pm: 2 lines, each as it was written.")
	if page := ann.Get("/"); strings.Contains(page.Body, "The register") {
		t.Error("a register that is whole needs nobody")
	}
	ann.Get("/office/register.csv?from=soon&until=later").Wants(t, http.StatusUnprocessableEntity, "Choose the day.")
	s.As(t, s.Bob).Get("/office/register.csv?from=2026-11-01&until=2026-11-30").Wants(t, http.StatusForbidden)

	owner := dbtest.Owner(t, s.DB)
	for _, change := range []string{`ALTER TABLE register DISABLE TRIGGER append_only`, `UPDATE register SET facts = facts || '{"county": "elsewhere"}'`} {
		if _, err := owner.Exec(t.Context(), change); err != nil {
			t.Fatal(err)
		}
	}
	walk(0)
	ann.Get("/").Wants(t, http.StatusOK, "the register is not as it was written")
	page := ann.Get("/office?check=register")
	page.Wants(t, http.StatusOK, "Change nothing")
	if strings.Contains(page.Body, "Whole:") {
		t.Error("a changed register is called whole")
	}
}
