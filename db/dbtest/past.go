package dbtest

import (
	"flag"
	"testing"

	"coldrail/db/demo"
)

// How much history lies under a benchmark's shop: ten seasons by `make seasons`.
var seasons = flag.Int("seasons", 0, "earlier seasons under a benchmark's shop, each of 1,500 animals and a million readings")

// Past tells the earlier seasons that were asked for, and lets PostgreSQL look at
// them as it would have over the years.
func (s *Shop) Past(b *testing.B) {
	b.Helper()
	if *seasons == 0 {
		return
	}
	if err := demo.Past(b.Context(), s.DB, Noon, s.Ann, demo.Earlier{Seasons: *seasons, Readings: 1_000_000}); err != nil {
		b.Fatal(err)
	}
	if _, err := Owner(b, s.DB).Exec(b.Context(), `VACUUM (ANALYZE)`); err != nil {
		b.Fatal(err)
	}
}
