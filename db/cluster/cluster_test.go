package cluster

import (
	"log/slog"
	"testing"

	"github.com/jackc/pgx/v5"
)

func TestFirst(t *testing.T) {
	dir := t.TempDir()
	c, err := Start(t.Context(), dir, slog.Default())
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []string{Owner, App} {
		conn, err := pgx.Connect(t.Context(), c.URL(r, Database))
		if err != nil {
			t.Fatal(err)
		}
		var who string
		if err := conn.QueryRow(t.Context(), "SELECT current_user").Scan(&who); err != nil || who != r {
			t.Error(who, err)
		}
		conn.Close(t.Context())
	}
	if err := c.Stop(); err != nil {
		t.Fatal(err)
	}
}
