package db_test

import (
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/closing"
)

// noonDay is the shop's date at dbtest.Noon.
var noonDay = time.Date(2026, 11, 19, 0, 0, 0, 0, time.UTC)

// dayEnd is a close of the day in which everything was done and the drawer is even.
func dayEnd(t testing.TB, s *dbtest.Shop, day, now time.Time, float domain.Cents) db.NewClose {
	t.Helper()
	c, err := s.DayToClose(t.Context(), day, now)
	if err != nil {
		t.Fatal(err)
	}
	if c.Before != nil {
		float = c.FloatCents
	}
	return db.NewClose{Day: day, Seen: c.CashCents, Done: closing.Checks, Drawer: closing.Drawer{Float: float, Counted: float + c.CashCents}}
}

// One evening: money in three ways, a refund in cash, a short drawer. What is
// written down adds up, and stays although the shop goes on.
func TestCloseDay(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	first, second := s.BoxDeer(t, 1, 2), s.CutDeer(t, 2, animal.Hanging)
	s.CutDeer(t, 3, animal.Received) // in the bay: on no rail
	take := func(number domain.ShopNumber, cents domain.Cents, way string) {
		t.Helper()
		if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), number, cents, way); err != nil {
			t.Fatal(err)
		}
	}
	take(first, 5000, "cash")
	take(second, 4000, "card")
	take(second, 3000, "check")
	if _, err := s.Refund(ctx, s.Act(s.Ann, now), first, 1000, "cash", "too much taken"); err != nil {
		t.Fatal(err)
	}
	end := dayEnd(t, s, noonDay, now, 10000)
	if end.Drawer.Counted != 14000 {
		t.Fatalf("the drawer should hold %v; by hand 100 + 50 - 10 = 140", end.Drawer.Counted)
	}
	end.Drawer.Counted = 13900
	if err := s.CloseDay(ctx, s.Act(s.Ann, now), end); domain.As(err).At != "why" {
		t.Errorf("a dollar is missing without a word: %v", err)
	}
	end.Drawer.Why, end.Drawer.Out = "a dollar rolled under the freezer", 3900
	act := s.Act(s.Ann, now)
	for range 2 { // the form is sent twice
		if err := s.CloseDay(ctx, act, end); err != nil {
			t.Fatal(err)
		}
	}
	c, err := s.DayClosed(ctx, noonDay)
	if err != nil || c.Takings.Total() != 11000 || c.CashCents != 4000 || c.CardCents != 4000 || c.CheckCents != 3000 || c.ReceiptsTo-c.ReceiptsAfter != 4 {
		t.Errorf("%+v, %v; by hand: cash 50 - 10, card 40, check 30, four receipts", c.Takings, err)
	}
	if d := c.Drawer(); d.Difference() != -100 || d.Left() != 10000 || c.By != "AK" {
		t.Errorf("drawer %+v by %s", d, c.By)
	}
	if c.Work.Heads().Astray() != 0 || c.Work.InHouse != 3 || c.Work.InBoxes != 1 || c.Work.OnRail != 1 || c.Work.NotHung != 1 {
		t.Errorf("%+v", c.Work)
	}
	kinds := map[closing.OpenKind][]string{}
	for _, o := range c.Standing {
		kinds[o.Kind] = o.Which
	}
	if !slices.Contains(kinds[closing.NotBilled], string(first)) {
		t.Errorf("%s is in boxes and not billed: %+v", first, c.Standing)
	}
	// The next day begins with what was left, and with the receipts after these.
	take(second, 2000, "cash")
	next, err := s.DayToClose(ctx, noonDay.AddDate(0, 0, 1), now.AddDate(0, 0, 1))
	if err != nil || next.FloatCents != 10000 || next.CashCents != 2000 || next.ReceiptsAfter != c.ReceiptsTo || next.Work.Before != 3 {
		t.Errorf("%+v, %v", next, err)
	}
}

// Two leads press at once: one closes the day, the other is told who did.
func TestCloseDayTwoAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	end := dayEnd(t, s, noonDay, now, 5000)
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { errs[i] = s.CloseDay(ctx, s.Act(s.Ann, now), end) })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want one winner: %v, %v", errs[0], errs[1])
	}
	for _, err := range errs {
		if err != nil && (domain.As(err).Kind != domain.Conflict || !strings.Contains(err.Error(), "AK has closed this day")) {
			t.Errorf("%v", err)
		}
	}
}

func TestCloseDayRefusals(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	number := s.CutDeer(t, 1, animal.Hanging)
	end := dayEnd(t, s, noonDay, now, 5000)
	if err := s.CloseDay(ctx, s.Act(s.Bob, now), end); domain.As(err).At != "lead" {
		t.Errorf("Bob is no lead: %v", err)
	}
	undone := end
	undone.Done = closing.Checks[:1]
	if err := s.CloseDay(ctx, s.Act(s.Ann, now), undone); domain.As(err).At != "note" {
		t.Errorf("doors were not looked at: %v", err)
	}
	// Money comes in while the drawer is being counted.
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), number, 700, "cash"); err != nil {
		t.Fatal(err)
	}
	if err := s.CloseDay(ctx, s.Act(s.Ann, now), end); domain.As(err).Kind != domain.Conflict || !strings.Contains(err.Error(), "$7.00") {
		t.Errorf("the count is off by seven dollars: %v", err)
	}
	for name, day := range map[string]time.Time{"tomorrow": noonDay.AddDate(0, 0, 1), "two days ago": noonDay.AddDate(0, 0, -2)} {
		if _, err := s.DayToClose(ctx, day, now); domain.As(err).Kind != domain.Refused {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.DayClosed(ctx, noonDay); domain.As(err).Kind != domain.NotFound {
		t.Errorf("nothing was closed: %v", err)
	}
}

// The lines of a close cannot be changed by anybody, the tables' owner included; a
// second count stands beside the first until a later day begins with it.
func TestAClosedDayStands(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	if err := s.CloseDay(ctx, s.Act(s.Ann, now), dayEnd(t, s, noonDay, now, 5000)); err != nil {
		t.Fatal(err)
	}
	owner := dbtest.Owner(t, s.DB)
	for _, sql := range []string{`UPDATE day_closes SET counted_cents = 1`, `DELETE FROM day_closes`, `TRUNCATE day_closes CASCADE`} {
		if _, err := owner.Exec(ctx, sql); err == nil || !strings.Contains(err.Error(), "append-only") {
			t.Errorf("%s: %v", sql, err)
		}
	}
	if err := s.RecountDrawer(ctx, s.Act(s.Ann, now), noonDay, 4900, 0, " "); domain.As(err).At != "why" {
		t.Error(err)
	}
	if err := s.RecountDrawer(ctx, s.Act(s.Bob, now), noonDay, 4900, 0, "a coin"); domain.As(err).At != "lead" {
		t.Error(err)
	}
	act := s.Act(s.Ann, now)
	for range 2 {
		if err := s.RecountDrawer(ctx, act, noonDay, 4900, 900, "a coin was stuck"); err != nil {
			t.Fatal(err)
		}
	}
	c, err := s.DayClosed(ctx, noonDay)
	if err != nil || len(c.Recounts) != 1 || c.CountedCents != 5000 || c.Drawer().Left() != 4000 {
		t.Errorf("%+v, %v", c, err)
	}
	tomorrow := noonDay.AddDate(0, 0, 1)
	if err := s.CloseDay(ctx, s.Act(s.Ann, now.AddDate(0, 0, 1)), dayEnd(t, s, tomorrow, now.AddDate(0, 0, 1), 0)); err != nil {
		t.Fatal(err)
	}
	if err := s.RecountDrawer(ctx, s.Act(s.Ann, now), noonDay, 5000, 0, "found it"); domain.As(err).Kind != domain.Conflict {
		t.Errorf("the next day has begun with the drawer: %v", err)
	}
}

// Ten counters take cash while the day is closed again and again in other days:
// each receipt is in one close, and the closes' cash is all the cash there is.
func TestEachReceiptIsInOneClose(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	var wg sync.WaitGroup
	for i := range 10 {
		number := s.CutDeer(t, i+1, animal.Hanging)
		wg.Go(func() {
			for range 4 {
				if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now), number, 100, "cash"); err != nil {
					t.Error(err)
				}
			}
		})
	}
	days := 0
	closeOne := func() {
		at := now.AddDate(0, 0, days)
		c, err := s.DayToClose(ctx, noonDay.AddDate(0, 0, days), at)
		if err != nil {
			t.Fatal(err)
		}
		end := db.NewClose{Day: c.Day, Seen: c.CashCents, Done: closing.Checks, Drawer: closing.Drawer{Float: c.FloatCents, Counted: c.FloatCents + c.CashCents}}
		switch err := s.CloseDay(ctx, s.Act(s.Ann, at), end); {
		case err == nil:
			days++
		case domain.As(err).Kind != domain.Conflict: // money came in between: counted again
			t.Fatal(err)
		}
	}
	for range 12 {
		closeOne()
	}
	wg.Wait()
	closeOne()
	list, err := s.DaysClosed(ctx, 50)
	if err != nil {
		t.Fatal(err)
	}
	var cash domain.Cents
	at := int64(0)
	slices.Reverse(list)
	for _, c := range list {
		if c.ReceiptsAfter != at {
			t.Errorf("a close begins after receipt %d, the one before ended at %d", c.ReceiptsAfter, at)
		}
		at, cash = c.ReceiptsTo, cash+c.CashCents
	}
	if at != 40 || cash != 4000 {
		t.Errorf("the closes end at receipt %d with %v; 40 payments of a dollar were taken", at, cash)
	}
}

// Yesterday asks to be closed only where something was done on it, until a close
// covers it.
func TestYesterdayAsksToBeClosed(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	number := s.CutDeer(t, 1, animal.Hanging)
	if day, err := s.DayNotClosed(ctx, now); err != nil || !day.IsZero() {
		t.Errorf("%v, %v: nothing was done yesterday", day, err)
	}
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, now.AddDate(0, 0, -1)), number, 5000, "cash"); err != nil {
		t.Fatal(err)
	}
	yesterday := noonDay.AddDate(0, 0, -1)
	if day, err := s.DayNotClosed(ctx, now); err != nil || !day.Equal(yesterday) {
		t.Errorf("%v, %v: money was taken yesterday", day, err)
	}
	if err := s.CloseDay(ctx, s.Act(s.Ann, now), dayEnd(t, s, yesterday, now, 0)); err != nil {
		t.Fatal(err)
	}
	if day, err := s.DayNotClosed(ctx, now); err != nil || !day.IsZero() {
		t.Errorf("%v, %v: it is closed", day, err)
	}
}
