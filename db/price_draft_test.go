package db_test

import (
	"slices"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
)

// draft reads the list being prepared, which must be there.
func draft(t testing.TB, s *dbtest.Shop) []db.DraftItem {
	t.Helper()
	_, items, found, err := s.PriceDraft(t.Context())
	if err != nil || !found {
		t.Fatalf("no list is being prepared: %v", err)
	}
	return items
}

func draftItem(t testing.TB, s *dbtest.Shop, code string) (db.DraftItem, billing.Item) {
	t.Helper()
	items := draft(t, s)
	i := slices.IndexFunc(items, func(i db.DraftItem) bool { return i.Code == code })
	if i < 0 {
		t.Fatalf("%s is not on the list", code)
	}
	return items[i], db.Items([]db.PriceItem{items[i].PriceItem})[0]
}

// A new list begins as a copy, is altered line by line, and binds what comes in from
// its day on; what came in before keeps the one it came under.
func TestNewPrices(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	early := s.CutDeer(t, 1, animal.Stored)
	must(t, s.BeginPrices(ctx, s.Act(s.Ann, now)))
	if got := draft(t, s); len(got) != 6 {
		t.Fatalf("%d lines copied: %+v", len(got), got)
	}
	row, deer := draftItem(t, s, "deer-whole")
	deer.Price = 14500
	must(t, s.SetPrice(ctx, s.Act(s.Ann, now), "deer-whole", row.Revision, deer))
	must(t, s.SetPrice(ctx, s.Act(s.Ann, now), "", 0, billing.Item{Label: "The least for a deer", Basis: billing.AtLeast, Price: 18000,
		Applies: billing.Applies{Species: []domain.Species{domain.Whitetail}}}))
	must(t, s.DropPrice(ctx, s.Act(s.Ann, now), "rush"))
	ahead := now.AddDate(0, 0, 10)
	must(t, s.PutInForce(ctx, s.Act(s.Ann, now), "Season 2026, second", ahead, "power costs more"))
	if _, _, found, err := s.PriceDraft(ctx); found || err != nil {
		t.Errorf("the draft stands still: %v", err)
	}
	for _, tt := range []struct {
		at      time.Time
		version int
	}{{now, 1}, {ahead.Add(-time.Second), 1}, {ahead, 2}} {
		if p, found, err := s.PricesInForce(ctx, tt.at); err != nil || !found || p.Version != tt.version {
			t.Errorf("at %v: version %d, %v; want %d", tt.at, p.Version, err, tt.version)
		}
	}
	p, err := s.PriceVersion(ctx, 2)
	if err != nil || p.Why != "power costs more" || p.By != "AK" || !p.Since.Equal(ahead) || p.MadeAt == nil || !p.MadeAt.Equal(now) {
		t.Errorf("%+v, %v", p, err)
	}
	items, err := s.PriceItems(ctx, p.ID)
	if err != nil || len(items) != 6 || items[0].PriceCents != 14500 || items[5].Code != "the-least-for-a-deer" {
		t.Errorf("%+v, %v", items, err)
	}
	// By the list of its own drop-off day: 125.00 + 25.00 skinning, and no least.
	must(t, s.BillPart(ctx, s.Act(s.Bob, ahead.AddDate(0, 0, 1)), early)) // its sausage is still to come
	if _, inv := money(t, s, early); inv.Total() != 15000 {
		t.Errorf("the later list altered an earlier animal's bill: %v", inv.Total())
	}
	// By hand: 145.00 + 25.00 skinning + 0.9 lb of sausage at 5.50 = 4.95 are 174.95, and 5.05 up to 180.00.
	late := s.CutDeer(t, 2, animal.Stored)
	exec(t, s, `UPDATE animals SET price_list_id = $2 WHERE number = $1`, late, p.ID)
	s.Packed(t, late, "Summer sausage", 0.4)
	must(t, s.Bill(ctx, s.Act(s.Bob, ahead.AddDate(0, 0, 1)), late))
	if _, inv := money(t, s, late); inv.Total() != 18000 || len(inv.Lines) != 4 || inv.Lines[3].Why != "up to $180.00" {
		t.Errorf("total %v of %+v", inv.Total(), inv.Lines)
	}
}

// The list that binds is the one in force at the moment of the drop-off itself.
func TestPricesBindAtDropoff(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	must(t, s.BeginPrices(ctx, s.Act(s.Ann, now)))
	must(t, s.DropPrice(ctx, s.Act(s.Ann, now), "rush"))
	must(t, s.PutInForce(ctx, s.Act(s.Ann, now), "From tomorrow", now.AddDate(0, 0, 1), "no more rushes"))
	for i, at := range []time.Time{now, now.AddDate(0, 0, 1)} {
		d := aDrop(i + 1)
		d.KilledAt = at.Add(-5 * time.Hour)
		must(t, s.Receive(ctx, s.Act(s.Bob, at), d))
		a := animalOf(t, s, d.Number)
		if list, err := s.PriceVersion(ctx, i+1); err != nil || a.PriceListID != list.ID {
			t.Errorf("taken in %v: list %d, want version %d (%v)", at, a.PriceListID, i+1, err)
		}
	}
}

// Each refusal with its sentence; what is refused changes nothing.
func TestNewPricesRefused(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	ann := func() db.Act { return s.Act(s.Ann, now) }
	if e := domain.As(s.SetPrice(ctx, ann(), "", 0, billing.Item{Label: "Cape", Basis: billing.Each})); e.Kind != domain.Conflict {
		t.Errorf("a line on no list: %v", e)
	}
	if e := domain.As(s.BeginPrices(ctx, s.Act(s.Bob, now))); e.At != "owner" {
		t.Errorf("the counter begins a list: %v", e)
	}
	must(t, s.BeginPrices(ctx, ann()))
	row, rush := draftItem(t, s, "rush")
	for name, tt := range map[string]struct {
		do func() error
		at string
	}{
		"nothing altered": {func() error { return s.PutInForce(ctx, ann(), "Same", time.Time{}, "why not") }, "why"},
		"no name":         {func() error { return s.PutInForce(ctx, ann(), " ", time.Time{}, "because") }, "name"},
		"no reason":       {func() error { return s.PutInForce(ctx, ann(), "New", time.Time{}, "") }, "why"},
		"in the past":     {func() error { return s.PutInForce(ctx, ann(), "New", now.Add(-time.Minute), "because") }, "since"},
		"far ahead":       {func() error { return s.PutInForce(ctx, ann(), "New", now.AddDate(3, 0, 0), "because") }, "since"},
		"same name": {func() error {
			return s.SetPrice(ctx, ann(), "", 0, billing.Item{Label: "RUSH, front of the line", Basis: billing.Each})
		}, "label"},
		"no name of line": {func() error { return s.SetPrice(ctx, ann(), "rush", row.Revision, billing.Item{Basis: billing.Each}) }, "label"},
		"not the owner":   {func() error { return s.DropPrice(ctx, s.Act(s.Bob, now), "rush") }, "owner"},
	} {
		if e := domain.As(tt.do()); e.At != tt.at {
			t.Errorf("%s: %v at %q", name, e, e.At)
		}
	}
	if got, same := draftItem(t, s, "rush"); got.Revision != row.Revision || same.Price != rush.Price {
		t.Errorf("a refusal changed the line: %+v", got)
	}
	must(t, s.LeavePrices(ctx, ann()))
	if lists, err := s.PriceLists(ctx); err != nil || len(lists) != 1 {
		t.Errorf("%+v, %v", lists, err)
	}
}

// Sent twice, each act is done once.
func TestPriceActsTwice(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	acts := [4]db.Act{}
	for i := range acts {
		acts[i] = s.Act(s.Ann, now)
	}
	cape := billing.Item{Label: "Cape", Basis: billing.Each, Price: 4500}
	for range 2 {
		must(t, s.BeginPrices(ctx, acts[0]))
		must(t, s.SetPrice(ctx, acts[1], "", 0, cape))
		must(t, s.DropPrice(ctx, acts[2], "deposit"))
	}
	if got := draft(t, s); len(got) != 6 {
		t.Errorf("%d lines: %+v", len(got), got)
	}
	for range 2 {
		must(t, s.PutInForce(ctx, acts[3], "New", time.Time{}, "capes"))
	}
	if lists, err := s.PriceLists(ctx); err != nil || len(lists) != 2 {
		t.Errorf("%+v, %v", lists, err)
	}
}

// Two owners at once: one begins the list, one changes the line, one puts it in
// force; the other is told.
func TestPricesTwoOwners(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	exec(t, s, `UPDATE staff SET roles = roles || '{owner}' WHERE id = $1`, s.Bob.ID)
	oneWins(t, func(by db.Staff) error { return s.BeginPrices(ctx, s.Act(by, now)) }, s.Ann, s.Bob)
	row, rush := draftItem(t, s, "rush")
	rush.Price = 6000
	oneWins(t, func(by db.Staff) error { return s.SetPrice(ctx, s.Act(by, now), "rush", row.Revision, rush) }, s.Ann, s.Bob)
	oneWins(t, func(by db.Staff) error {
		return s.PutInForce(ctx, s.Act(by, now), "New", time.Time{}, "rushes cost more")
	}, s.Ann, s.Bob)
	if lists, err := s.PriceLists(ctx); err != nil || len(lists) != 2 {
		t.Errorf("%+v, %v", lists, err)
	}
}
