package web_test

import (
	"net/http"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"

	"github.com/jackc/pgx/v5"
)

// When the database goes away, every page says so plainly, and works again by
// itself once it is back.
func TestLostDatabase(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Ann)
	b.Get("/office").Wants(t, http.StatusOK)

	// From another database of the same server, since none can lock itself out.
	elsewhere := dbtest.Owner(t, dbtest.Open(t))
	name := s.Pool().Config().ConnConfig.Database
	exec := func(sql string, args ...any) {
		t.Helper()
		if _, err := elsewhere.Exec(t.Context(), sql, args...); err != nil {
			t.Fatal(err)
		}
	}
	exec(`ALTER DATABASE ` + pgx.Identifier{name}.Sanitize() + ` ALLOW_CONNECTIONS false`)
	exec(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1`, name)

	for range 3 {
		b.Get("/office").Wants(t, http.StatusInternalServerError, "cannot be reached just now", "Nothing was changed")
	}
	if a := s.Nobody(t).Get("/readyz"); a.Status != http.StatusServiceUnavailable {
		t.Errorf("readyz answers %d while the database is away", a.Status)
	}
	if a := s.Nobody(t).Get("/healthz"); a.Status != http.StatusOK {
		t.Errorf("healthz answers %d; the process itself lives", a.Status)
	}

	exec(`ALTER DATABASE ` + pgx.Identifier{name}.Sanitize() + ` ALLOW_CONNECTIONS true`)
	b.Get("/office/prices").Wants(t, http.StatusOK, "Season 2026")
	s.Nobody(t).Get("/readyz").Wants(t, http.StatusOK, "ready")
}

func TestNoPageHere(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	a := s.As(t, s.Ann).Get("/no/such/page")
	a.Wants(t, http.StatusNotFound, "no page at this address")
	if a.Header.Get("Content-Security-Policy") == "" {
		t.Error("the content policy is missing")
	}
}
