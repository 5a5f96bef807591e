package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/message"
)

// storageOn turns the fee on: 7 days free, then $2.00 a day.
func storageOn(t testing.TB, s *dbtest.Shop, at time.Time, seen int, taxed bool) {
	t.Helper()
	must(t, s.SetStorage(t.Context(), s.Act(s.Ann, at), seen, billing.StorageRule{On: true, AfterDays: 7, ADay: 200, Taxable: taxed}, "the invented state's page 4"))
}

// rest is what the bill of an animal lacks.
func rest(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, at time.Time) domain.Cents {
	t.Helper()
	lines, err := s.Unbilled(t.Context(), animalOf(t, s, n), at)
	must(t, err)
	return billing.Invoice{Lines: lines}.Total()
}

// Storage runs only once the owner of the shop has turned it on and approved it for the
// animal; it is a line of the bill, taxed as it is set; nothing leaves before it is on
// the bill; it is never billed twice; turned off, it ends.
func TestStorage(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	day := func(n int) time.Time { return now.AddDate(0, 0, n) }
	n := s.BoxDeer(t, 1, 1)
	taxed(t, s, billing.Rate{Name: "Sales tax", PerMillion: 60_000})
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	refused := func(name string, err error, says string) {
		t.Helper()
		if e := domain.As(err); e.Kind == domain.Internal || !strings.Contains(e.Error(), says) {
			t.Errorf("%s: %v, want %q", name, e, says)
		}
	}
	approve := func(by db.Staff, at int) error { return s.ApproveStorage(ctx, s.Act(by, day(at)), n, "told by phone") }
	must(t, s.LogCall(ctx, s.Act(s.Bob, now), n, "call", "busy", ""))
	refused("off", approve(s.Ann, 0), "Storage is off")
	refused("the counter turns it on", s.SetStorage(ctx, s.Act(s.Bob, now), 0, billing.StorageRule{On: true, AfterDays: 7, ADay: 200}, "x"), "Only the owner")
	refused("no reason", s.SetStorage(ctx, s.Act(s.Ann, now), 0, billing.StorageRule{On: true, AfterDays: 7, ADay: 200}, " "), "Say why")
	storageOn(t, s, now, 0, true)
	refused("one busy line is no notice", approve(s.Ann, 0), "not reached yet")
	must(t, s.LogCall(ctx, s.Act(s.Bob, day(1)), n, "call", "no answer", "")) // the second try: the clock starts
	refused("the counter approves", approve(s.Bob, 1), "Only the owner")
	if got := rest(t, s, n, day(30)); got != 0 {
		t.Errorf("it runs unapproved: %v", got)
	}
	oneWins(t, func(by db.Staff) error { return s.ApproveStorage(ctx, s.Act(by, day(2)), n, "told by phone") }, s.Ann, s.Ann)
	for at, want := range map[int]domain.Cents{8: 0, 9: 212, 12: 848} { // by hand: 4 days x 2.00 = 8.00, and 6 % of it
		if got := rest(t, s, n, day(at)); got != want {
			t.Errorf("day %d: %v, want %v", at, got, want)
		}
	}
	refused("it leaves unbilled", s.HandOver(ctx, s.Act(s.Bob, day(12)), n, db.Collection{Collector: "Dale Orrin", Authority: "owner", Seen: "license", Boxes: []string{domain.BoxCode(n, 1)}, TagReturned: true}), "Storage, by the day")
	oneWins(t, func(by db.Staff) error { return s.BillRest(ctx, s.Act(by, day(12)), n) }, s.Ann, s.Bob)
	_, inv := money(t, s, n)
	if l := inv.Lines[len(inv.Lines)-2]; l.Code != "storage" || l.Quantity != 4 || l.Total != 800 || !l.Taxable || inv.Total() != 15750+848 {
		t.Errorf("%+v of %v", inv.Lines, inv.Total())
	}
	if got := rest(t, s, n, day(12)) + rest(t, s, n, day(14))*1000; got != 424_000 { // nothing that day, two days later two more
		t.Errorf("after it was billed: %v", got)
	}
	must(t, s.SetStorage(ctx, s.Act(s.Ann, day(14)), 1, billing.StorageRule{AfterDays: 7, ADay: 200}, "the state says no"))
	if got := rest(t, s, n, day(20)); got != 0 {
		t.Errorf("it runs while it is off: %v", got)
	}
	storageOn(t, s, day(20), 2, false)
	if got := rest(t, s, n, day(25)); got != 0 {
		t.Errorf("turned on again it runs without a new word: %v", got)
	}
	must(t, approve(s.Ann, 25))
	if got := rest(t, s, n, day(27)); got != 400 {
		t.Errorf("two days, not taxed now: %v", got)
	}
	stop := s.Act(s.Ann, day(27))
	for range 2 {
		must(t, s.StopStorage(ctx, stop, n, "comes on Saturday"))
	}
	if got := rest(t, s, n, day(40)); got != 0 {
		t.Errorf("stopped: %v", got)
	}
	if rules, err := s.StorageRules(ctx); err != nil || len(rules) != 3 || rules[0].By != "AK" || rules[1].Running {
		t.Errorf("%+v, %v", rules, err)
	}
}

// The fee of the drop-off binds; a hold that keeps the meat here costs nothing; of two
// who set it at once the second is told; the owner hears from which day it costs how
// much.
func TestStorageBinds(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	storageOn(t, s, now.AddDate(0, 0, -20), 0, false)
	oneWins(t, func(by db.Staff) error {
		return s.SetStorage(ctx, s.Act(by, now), 1, billing.StorageRule{On: true, AfterDays: 3, ADay: 900}, "dearer")
	}, s.Ann, s.Ann)
	n := s.BoxDeer(t, 1, 1) // came in nine days before noon
	s.TellOwners(t, db.AlarmSettings{})
	s.OwnedBy(t, n, "Dale Orrin", "607-555-0142", "call", "")
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	must(t, s.LogCall(ctx, s.Act(s.Bob, now), n, "call", "left word", ""))
	must(t, s.ApproveStorage(ctx, s.Act(s.Ann, now), n, "signed at drop-off"))
	if got := rest(t, s, n, now.AddDate(0, 0, 10)); got != 600 { // days 8, 9 and 10
		t.Errorf("ten days after the call: %v, want 3 days at $2.00", got)
	}
	said, err := s.MessagesAbout(ctx, n)
	if err != nil || len(said) == 0 || said[0].Kind != message.Storage || said[0].About != "2026-11-27 200" {
		t.Errorf("%+v, %v", said, err)
	}
	if news, ok := db.ReadStorageNews(said[0].About); !ok || news.ADay != 200 || news.From.Day() != 27 {
		t.Errorf("%+v, %v", news, ok)
	}
	must(t, s.OpenHold(ctx, s.Act(s.Bob, now.AddDate(0, 0, 9)), n, hold.Warden, "asked to keep it", time.Time{}))
	if got := rest(t, s, n, now.AddDate(0, 0, 30)); got != 200 {
		t.Errorf("held from the ninth day on: %v, want one day", got)
	}
}

// Of a shared animal only those pay storage whose boxes still wait.
func TestStorageOfShares(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	n := s.SharedBeef(t, 1)
	storageOn(t, s, now, 0, false)
	must(t, s.LogCall(ctx, s.Act(s.Bob, now.AddDate(0, 0, -2)), n, "call", "left word", "")) // one owner of three
	must(t, s.LogCall(ctx, s.Act(s.Bob, now), n, "call", "left word", ""))
	must(t, s.ApproveStorage(ctx, s.Act(s.Ann, now), n, "told by phone"))
	must(t, s.Bill(ctx, s.Act(s.Bob, now), n, billing.Done{Code: "skinning"}))
	must(t, s.HandOver(ctx, s.Act(s.Ann, now), n, db.Collection{Collector: "Lena Ochoa", Authority: "owner", Seen: "license", Boxes: []string{domain.BoxCode(n, 1)}, LetOwe: "pays on Friday"}))
	a := animalOf(t, s, n)
	mark, _, err := s.MarkOf(ctx, a.ID)
	must(t, err)
	for portion, want := range map[cutting.Portion]domain.Cents{cutting.Left: 0, cutting.RightOne: 300} {
		o, err := s.Owned(ctx, a.ID, mark)
		must(t, err)
		o, _, err = s.OwnedShare(ctx, o, portion)
		must(t, err)
		later, err := s.OwingNow(ctx, o, portion, now.AddDate(0, 0, 10))
		must(t, err)
		if got := later.Invoice.Balance() - o.Invoice.Balance(); got != want {
			t.Errorf("the owner of %s reads %v of storage, want %v", portion, got, want)
		}
	}
	must(t, s.BillRest(ctx, s.Act(s.Bob, now.AddDate(0, 0, 10)), n))
	if got := storageOfShares(t, s, n); len(got) != 3 || got[0] != 0 || got[1] != 300 || got[2] != 300 { // 3 days x 2.00, two equal quarters
		t.Errorf("%v", got)
	}
	// Once a box that waits names nobody, nobody knows whose it is: by size, 4.00 in 2, 1, 1.
	exec(t, s, `INSERT INTO boxes (id, animal_id, n, place_id, placed_at) SELECT gen_random_uuid(), animal_id, 9, place_id, placed_at FROM boxes WHERE n = 2`)
	must(t, s.BillRest(ctx, s.Act(s.Bob, now.AddDate(0, 0, 12)), n))
	if got := storageOfShares(t, s, n); got[0] != 200 || got[1] != 400 || got[2] != 400 {
		t.Errorf("%v", got)
	}
}

// storageOfShares is the storage on the bill of each share.
func storageOfShares(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) (got []domain.Cents) {
	t.Helper()
	accounts, err := s.ShareAccounts(t.Context(), animalOf(t, s, n))
	must(t, err)
	for _, a := range accounts {
		sum := domain.Cents(0)
		for _, l := range a.Lines {
			if l.Code == "storage" {
				sum += l.Cents
			}
		}
		got = append(got, sum)
	}
	return got
}

// A letter and the fee stand side by side among what its owner is told; a try made while
// a hold keeps the meat, or to tell of a laboratory's result, starts no days; and while a
// hold lasts nothing is approved.
func TestStorageCountsFromWhatCouldBeFetched(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	day := func(n int) time.Time { return now.AddDate(0, 0, n) }
	storageOn(t, s, day(-1), 0, false)
	n := s.BoxDeer(t, 1, 1)
	s.TellOwners(t, db.AlarmSettings{})
	s.OwnedBy(t, n, "Dale Orrin", "607-555-0142", "call", "")
	must(t, s.BillPart(ctx, s.Act(s.Bob, now), n))
	must(t, s.OpenHold(ctx, s.Act(s.Bob, now), n, hold.Warden, "asked to keep it", time.Time{}))
	must(t, s.LogCall(ctx, s.Act(s.Bob, day(1)), n, "call", "spoke", "a warden has it held"))
	approve := func(at int) error { return s.ApproveStorage(ctx, s.Act(s.Ann, day(at)), n, "told by phone") }
	if err := approve(2); err == nil || !strings.Contains(err.Error(), "A hold keeps it here") {
		t.Errorf("held: %v", err)
	}
	lift(t, s, n, day(3))
	if err := approve(3); err == nil || !strings.Contains(err.Error(), "not reached yet since it can be fetched") {
		t.Errorf("told only while it was held: %v", err)
	}
	must(t, s.LogCall(ctx, s.Act(s.Bob, day(4)), n, "call", "spoke", ""))
	must(t, approve(4))
	must(t, s.OpenHold(ctx, s.Act(s.Bob, day(5)), n, hold.Warden, "asked again", time.Time{}))
	lift(t, s, n, day(7))
	// By hand: told on day 4, 7 days free, days 5 to 7 held: 8 to 14 are free, 15 costs.
	for at, want := range map[int]domain.Cents{14: 0, 15: 200, 17: 600} {
		if got := rest(t, s, n, day(at)); got != want {
			t.Errorf("day %d: %v, want %v", at, got, want)
		}
	}
	if storing, err := s.Storing(ctx); err != nil || !storing[n] {
		t.Errorf("%v, %v: it waits here, and storage runs", storing, err)
	}
	must(t, s.SetFetching(ctx, s.Act(s.Ann, day(40)), db.Fetching{Ladder: animal.Ladder{On: true, SecondDays: 7, LetterDays: 14, DecideDays: 14, AfterLetterDays: 10}}))
	must(t, s.WriteLetter(ctx, s.Act(s.Bob, day(40)), n, []string{"It waits."}))
	must(t, s.ApproveLetter(ctx, s.Act(s.Ann, day(40)), n))
	said, err := s.MessagesAbout(ctx, n)
	must(t, err)
	waits := 0
	for _, m := range said {
		if m.Kind == message.Storage && m.State == db.MessageToCall {
			waits++
		}
	}
	if waits != 2 {
		t.Errorf("%+v: want the letter and the fee, both still to be told", said)
	}
	exec(t, s, `UPDATE animals SET physical = 'released' WHERE number = $1`, n)
	if storing, err := s.Storing(ctx); err != nil || storing[n] {
		t.Errorf("%v, %v: it left", storing, err)
	}
}

// lift closes the one hold that stands.
func lift(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, at time.Time) {
	t.Helper()
	holds, err := s.Holds(t.Context(), n)
	must(t, err)
	for _, h := range holds {
		if h.ClosedAt.IsZero() {
			must(t, s.CloseHold(t.Context(), s.Act(s.Ann, at), h.ID, hold.Evidence{Note: "officer 14 called"}))
		}
	}
}
