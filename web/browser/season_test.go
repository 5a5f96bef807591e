package browser

import (
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/db/demo"
	"coldrail/web/webtest"
)

// Every screen of the demo season, at the size it is used at: it must open, fit
// and be kept as a picture to look at.
func TestScreensOfTheSeason(t *testing.T) {
	t.Parallel()
	now := time.Date(2026, 11, 25, 15, 30, 0, 0, time.UTC)
	d := dbtest.Open(t)
	if err := demo.Load(t.Context(), d, now); err != nil {
		t.Fatal(err)
	}
	site := webtest.Serve(t, d, now)
	devices := map[string]*screen{}
	for size := range sizes {
		devices[size] = open(t, site.URL, size)
		devices[size].at(now)
		devices[size].signIn(demo.OwnerInitials, demo.OwnerPassword, "June Halvorsen")
	}
	for _, tt := range []struct{ size, name, path, says string }{
		{tablet, "today", "/", "needs"},
		{desktop, "rail", "/rail", "Main cooler"},
		{tablet, "rail-tablet", "/rail", "Main cooler"},
		{tablet, "dropoff", "/dropoff", "Take it in"},
		{tablet, "skinning", "/skinning", "Hang"},
		{tablet, "round", "/round/main", "Next: walk the rails"},
		{tablet, "cutting", "/cutting", "Start cutting"},
		{tablet, "batches", "/batches", "jerky, whole slices"},
		{tablet, "machines", "/machines", "full clean-out"},
		{tablet, "pickup", "/pickup", "Find"},
		{tablet, "animal", "/find?q=0103", "Day"},
		{tablet, "cooler", "/coolers/back", "cooling"},
		{tablet, "cooler-month", "/coolers/main?span=month", "The air"},
		{desktop, "office", "/office", "Who works here"},
		{phone, "today-phone", "/", "needs"},
		{phone, "round-phone", "/round/main", "Next: walk the rails"},
		{phone, "dropoff-phone", "/dropoff", "Take it in"},
		{phone, "find-phone", "/find?q=0201", "555"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := *devices[tt.size]
			s.t = t
			s.goTo(tt.path)
			s.sees(tt.says)
			s.fits(tt.size)
			s.picture("season-" + tt.name)
		})
	}
	t.Run("for everyone", func(t *testing.T) {
		s := *devices[tablet]
		s.t = t
		s.forEveryone(t, site, d, now)
	})
	t.Run("with long names", func(t *testing.T) {
		lengthen(t, d, now)
		site.SetNow(now.Add(6 * time.Second)) // the site remembers the shop's name for five
		s := *devices[tablet]
		s.t = t
		s.everyPage(site, "long", append([]string{"/", "/rail", "/cutting", "/animals/26-0103-5/slip", "/office/prices"}, onlyWith(*everyLook,
			privateLink(t, d, now), "/find?q=0103", "/dropoff", "/round", "/pickup", "/batches", "/bookings", "/office", "/coolers", "/help", "/programmes", "/office/staff",
			"/animals/26-0103-5/money", "/animals/26-0103-5/tag", "/animals/26-0103-5/cutsheet", "/office/register/print?from=2026-11-01&until=2026-11-25")...)...)
	})
}
