package statute

import (
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

// Deadlines over weekends, the ends of months and the nights the clocks change.
// In 2026 the United States change clocks on Sunday March 8 (2:00 to 3:00) and
// Sunday November 1 (2:00 to 1:00): 15 USC 260a, second Sunday of March and first
// of November. Weekdays: November 25, 2026 is a Wednesday.
func TestDue(t *testing.T) {
	for _, tt := range []struct {
		name string
		rule Rule
		zone string
		from string
		want string
		src  string
	}{
		{"48 hours over a weekend", Rule{Count: 48, Unit: Hours}, "America/Kentucky/Louisville", "2026-11-14T17:00", "2026-11-16T17:00", "Annex E 7: Saturday 5 pm to Monday 5 pm"},
		{"48 hours over the end of summer time", Rule{Count: 48, Unit: Hours}, "America/Kentucky/Louisville", "2026-10-31T17:00", "2026-11-02T16:00", "301 KAR 2:095 says hours; 25 hours on November 1"},
		{"48 hours over the start of summer time", Rule{Count: 48, Unit: Hours}, "America/Chicago", "2026-03-07T17:00", "2026-03-09T18:00", "23 hours on March 8"},
		{"48 hours where clocks never change", Rule{Count: 48, Unit: Hours}, "America/Phoenix", "2026-10-31T17:00", "2026-11-02T17:00", "Arizona keeps standard time"},
		{"72 hours", Rule{Count: 72, Unit: Hours}, "America/Chicago", "2026-11-20T06:30", "2026-11-23T06:30", "Wisconsin DNR: within 72 hours"},
		{"two business days from Friday", Rule{Count: 2, Unit: BusinessDays}, "America/Detroit", "2026-11-20T16:00", "2026-11-24T23:59", "MSU protocol: two business days; Monday, Tuesday"},
		{"two business days from Saturday", Rule{Count: 2, Unit: BusinessDays}, "America/Detroit", "2026-11-21T09:00", "2026-11-24T23:59", "MSU protocol"},
		{"two business days from Wednesday", Rule{Count: 2, Unit: BusinessDays}, "America/Detroit", "2026-11-25T09:00", "2026-11-27T23:59", "MSU protocol; Thanksgiving is counted, so that we are early"},
		{"business days over the end of summer time", Rule{Count: 2, Unit: BusinessDays}, "America/Detroit", "2026-10-30T23:30", "2026-11-03T23:59", "MSU protocol"},
		{"by the 10th of the next month", Rule{Count: 10, Unit: DayOfMonth, Starts: FromMonthEnd}, "America/Denver", "2026-11-03T12:00", "2026-12-10T23:59", "Utah R58-12"},
		{"by the 10th, over new year", Rule{Count: 10, Unit: DayOfMonth, Starts: FromMonthEnd}, "America/Denver", "2026-12-31T12:00", "2027-01-10T23:59", "Utah R58-12"},
		{"10 days after the season", Rule{Count: 10, Unit: Days, Starts: FromSeasonEnd}, "America/Chicago", "2027-01-31T17:00", "2027-02-10T23:59", "La. RS 56:120"},
		{"10 days after a postmark", Rule{Count: 10, Unit: Days, Starts: FromMailing}, "America/Denver", "2026-12-03T10:00", "2026-12-13T23:59", "Annex E 28: December 3 to 13"},
		{"10 days over the start of summer time", Rule{Count: 10, Unit: Days}, "America/Denver", "2026-03-01T10:00", "2026-03-11T23:59", "a day of the calendar stays a day"},
		{"two months after New Year's Eve", Rule{Count: 2, Unit: Months, Starts: FromMailing}, "America/Chicago", "2026-12-31T10:00", "2027-02-28T23:59", "Iowa ch. 556H: two months; February has 28 days"},
		{"18 months", Rule{Count: 18, Unit: Months, Starts: FromPreparation}, "America/Indiana/Indianapolis", "2026-11-25T10:00", "2028-05-25T23:59", "312 IAC 9-3-10"},
		{"a year from a leap day", Rule{Count: 1, Unit: Years}, "America/Chicago", "2028-02-29T10:00", "2029-02-28T23:59", "the calendar"},
		{"two years after the year's end", Rule{Count: 2, Unit: Years, Starts: FromYearEnd}, "America/New_York", "2026-11-25T10:00", "2028-12-31T23:59", "trade.md 2.2, federal part 320"},
		{"90 days", Rule{Count: 90, Unit: Days, Starts: FromReceipt}, "America/Detroit", "2026-11-25T10:00", "2027-02-23T23:59", "Michigan WCO 4.4"},
		{"June 1 after the season", Rule{Count: 601, Unit: OnDate}, "America/New_York", "2026-11-25T10:00", "2027-06-01T23:59", "N.J.S.A. 23:4-43"},
		{"June 1 in spring", Rule{Count: 601, Unit: OnDate}, "America/New_York", "2027-02-25T10:00", "2027-06-01T23:59", "N.J.S.A. 23:4-43"},
		{"1 March, counted on it", Rule{Count: 301, Unit: OnDate}, "America/Indiana/Indianapolis", "2027-03-01T10:00", "2028-03-01T23:59", "312 IAC 9-3-10: each year"},
	} {
		loc, err := time.LoadLocation(tt.zone)
		if err != nil {
			t.Fatal(err)
		}
		from, err := time.ParseInLocation("2006-01-02T15:04", tt.from, loc)
		if err != nil {
			t.Fatal(err)
		}
		due, ok := tt.rule.Due(from, loc)
		if got := due.In(loc).Format("2006-01-02T15:04"); !ok || got != tt.want || tt.src == "" {
			t.Errorf("%s: due %s, want %s (%s)", tt.name, got, tt.want, tt.src)
		}
	}
	if _, ok := (Rule{}).Due(time.Now(), time.UTC); ok {
		t.Error("a rule that counts nothing has a deadline")
	}
}

// The longest rule wins; what has not begun has no end (trade.md 2.2).
func TestKeepUntil(t *testing.T) {
	received := time.Date(2026, 11, 14, 12, 0, 0, 0, time.UTC)
	short := Rule{Key: "short", Topic: Retention, Starts: FromReceipt, Count: 90, Unit: Days}
	long := Rule{Key: "long", Topic: Retention, Starts: FromReceipt, Count: 5, Unit: Years}
	released := Rule{Key: "released", Topic: Retention, Starts: FromRelease, Count: 1, Unit: Years}
	other := Rule{Key: "other", Topic: Report, Starts: FromReceipt, Count: 9, Unit: Years}
	until, by, open := KeepUntil([]Rule{short, long, other}, map[Start]time.Time{FromReceipt: received}, time.UTC)
	if open || by == nil || by.Key != "long" || until.Format(time.DateOnly) != "2031-11-14" {
		t.Errorf("kept until %v by %v, open %v", until, by, open)
	}
	if _, by, open := KeepUntil([]Rule{short, released}, map[Start]time.Time{FromReceipt: received}, time.UTC); !open || by.Key != "released" {
		t.Errorf("not released, but kept by %v, open %v", by, open)
	}
}

func TestForAndAt(t *testing.T) {
	game := Rule{Covers: "game", State: "WI", StateName: "Wisconsin", Places: []string{"Alder"}}
	cattle := Rule{Covers: "livestock", Species: []string{"beef"}}
	if !game.For(domain.Whitetail, domain.Whole) || game.For(domain.Beef, domain.Whole) || cattle.For(domain.Lamb, domain.Whole) || !cattle.For(domain.Beef, domain.Quarters) {
		t.Error("a rule reaches animals it is not about, or misses its own")
	}
	whole := Rule{Covers: "both", Form: "whole"}
	if !whole.For(domain.Elk, domain.WholeHideOn) || whole.For(domain.Elk, domain.Boned) {
		t.Error("whole is with hide and without, and not boned")
	}
	for _, tt := range []struct {
		state, county, unit string
		want                bool
	}{{"wi", "alder", "", true}, {"Wisconsin", "", "ALDER", true}, {"WI", "Birch", "", false}, {"MO", "Alder", "", false}, {"", "Alder", "", false}} {
		if got := game.At(tt.state, tt.county, tt.unit); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}

// trade.md, Annex D: a stale rule, older than 12 months, is shown as stale.
func TestStale(t *testing.T) {
	now := time.Date(2026, 11, 14, 12, 0, 0, 0, time.UTC)
	day := func(ago int) *time.Time { d := now.AddDate(0, 0, -ago); return &d }
	for _, tt := range []struct {
		rule  Rule
		stale bool
	}{
		{Rule{}, true}, {Rule{CheckedBy: "AK", CheckedOn: day(10)}, false}, {Rule{CheckedBy: "AK", CheckedOn: day(366)}, true},
		{Rule{CheckedBy: "AK", CheckedOn: day(10), ReviewOn: day(1)}, true}, {Rule{CheckedBy: "AK", CheckedOn: day(10), ReviewOn: day(-1)}, false},
	} {
		if got := tt.rule.Stale(now).Format != ""; got != tt.stale {
			t.Errorf("%+v: stale %v", tt.rule, got)
		}
	}
}

func TestCheck(t *testing.T) {
	good := Rule{Key: "oh-report", State: "OH", Topic: Report, Covers: "game", Trigger: Positive, Starts: FromKnowledge, Count: 2, Unit: BusinessDays, Tell: "the agency", Says: "s", Cites: "c"}
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	for at, edit := range map[string]func(*Rule){
		"rule": func(r *Rule) { r.Key = "OH rule" }, "state": func(r *Rule) { r.State = "Ohio" }, "topic": func(r *Rule) { r.Topic = "mood" },
		"covers": func(r *Rule) { r.Covers = "" }, "says": func(r *Rule) { r.Says = " " }, "cites": func(r *Rule) { r.Cites = "" },
		"checked_by": func(r *Rule) { r.CheckedOn = &day }, "count": func(r *Rule) { r.Count = 0 }, "starts": func(r *Rule) { r.Starts = "" },
		"trigger": func(r *Rule) { r.Tell = "" }, "fields": func(r *Rule) { r.Fields = []string{"shoe_size"} },
	} {
		r := good
		edit(&r)
		if err := r.Check(); err == nil || domain.As(err).At != at {
			t.Errorf("%s: %v", at, err)
		}
	}
	february := good
	february.Unit, february.Count = OnDate, 230
	if domain.As(february.Check()).At != "count" {
		t.Error("February 30 passes as a day")
	}
}

// MSU: do not cut; Minnesota: three ways (trade.md 2.4). The hardest counts.
func TestMayWhilePending(t *testing.T) {
	no, bone := Rule{Key: "no", Topic: Test, Covers: "game", Pending: "no"}, Rule{Key: "bone", Topic: Test, Covers: "game", Pending: "bone-and-hold"}
	elk := no
	elk.Species = []string{"elk"}
	if may, by := MayWhilePending([]Rule{bone, no}, domain.Whitetail, domain.Whole); may || by.Key != "no" {
		t.Errorf("%v by %v", may, by)
	}
	if may, by := MayWhilePending([]Rule{bone, elk}, domain.Whitetail, domain.Whole); !may || by.Key != "bone" {
		t.Errorf("%v by %v", may, by)
	}
	if may, by := MayWhilePending(nil, domain.Whitetail, domain.Whole); !may || by != nil {
		t.Errorf("%v by %v", may, by)
	}
}

// A rule with accepted kinds of proof asks until one of them was shown; one about kills
// elsewhere leaves those at home alone; who does not know the state is asked (Annex D:
// Illinois permit or written certification; Colorado tag or donation certificate).
func TestOwedProof(t *testing.T) {
	il := Rule{State: "IL", StateName: "Illinois", Topic: Proof, Covers: "game", Accepts: []Evidence{Permit, Certification}}
	away := Rule{State: "IL", StateName: "Illinois", Topic: Proof, Covers: "game", Accepts: []Evidence{Seal}, Origin: Outside}
	home := Rule{State: "IL", StateName: "Illinois", Topic: Proof, Covers: "game", Accepts: []Evidence{CarcassTag}, Origin: Inside}
	receipt := Rule{Topic: Receipt, Covers: "game", Trigger: ComesIn}
	for _, tt := range []struct {
		name  string
		rules []Rule
		s     domain.Species
		given map[string]string
		owed  string
	}{
		{"nothing shown", []Rule{il}, domain.Whitetail, nil, "proof"},
		{"a kind it does not accept", []Rule{il}, domain.Whitetail, map[string]string{"proof": "carcass-tag"}, "proof"},
		{"one of the two", []Rule{il}, domain.Whitetail, map[string]string{"proof": "certification"}, ""},
		{"livestock", []Rule{il}, domain.Hog, nil, ""},
		{"at home, by its letters", []Rule{away}, domain.Whitetail, map[string]string{"kill_state": "il"}, ""},
		{"at home, by its name", []Rule{home}, domain.Whitetail, map[string]string{"kill_state": "Illinois"}, "proof"},
		{"from elsewhere", []Rule{away, home}, domain.Whitetail, map[string]string{"kill_state": "MO", "proof": "carcass-tag"}, "proof"},
		{"nobody knows from where", []Rule{away}, domain.Whitetail, nil, "proof"},
		{"two rules, one kind for each", []Rule{il, away}, domain.Whitetail, map[string]string{"kill_state": "MO", "proof": "permit, seal"}, ""},
		{"two rules, one kind", []Rule{il, away}, domain.Whitetail, map[string]string{"kill_state": "MO", "proof": "permit"}, "proof"},
		{"the receipt", []Rule{receipt}, domain.Whitetail, nil, "receipt"},
		{"the receipt given", []Rule{receipt}, domain.Whitetail, map[string]string{"receipt": "given"}, ""},
	} {
		var names []string
		for _, f := range Owed(tt.rules, tt.s, domain.Whole, tt.given) {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, " "); got != tt.owed {
			t.Errorf("%s: owed %q, want %q", tt.name, got, tt.owed)
		}
	}
	if got := WriteProof(ReadProof("seal, mud, permit, seal")); got != "permit, seal" {
		t.Errorf("read and written again: %q", got)
	}
}

// The earliest day counts, to its last minute (N.J.S.A. 23:4-43, June 1).
func TestHeldUntil(t *testing.T) {
	june := Rule{Key: "june", Topic: Possession, Covers: "game", Starts: FromReceipt, Count: 601, Unit: OnDate}
	days := Rule{Key: "days", Topic: Possession, Covers: "game", Starts: FromReceipt, Count: 90, Unit: Days}
	received := time.Date(2026, 11, 19, 17, 0, 0, 0, time.UTC)
	if until, by := HeldUntil([]Rule{june}, domain.Whitetail, domain.Whole, received, time.UTC); by == nil || until.Format("2006-01-02T15:04") != "2027-06-01T23:59" {
		t.Errorf("%s by %v", until, by)
	}
	if until, by := HeldUntil([]Rule{june, days}, domain.Whitetail, domain.Whole, received, time.UTC); by == nil || by.Key != "days" || until.Format(time.DateOnly) != "2027-02-17" {
		t.Errorf("%s by %v: 90 days come first", until, by)
	}
	if _, by := HeldUntil([]Rule{june}, domain.Beef, domain.Whole, received, time.UTC); by != nil {
		t.Error("livestock has no such day")
	}
}

// What a rule may not say.
func TestCheckDuties(t *testing.T) {
	whole := Rule{Key: "xx-one", State: "XX", Topic: Proof, Covers: "game", Says: "s", Cites: "c"}
	for at, change := range map[string]func(*Rule){
		"accepts":       func(r *Rule) { r.Accepts = []Evidence{"mud"} },
		"origin":        func(r *Rule) { r.State, r.Origin = AnyState, Outside },
		"mark":          func(r *Rule) { r.Mark = "NOT FOR SALE" },
		"clean_between": func(r *Rule) { r.CleanBetween = true },
		"custody":       func(r *Rule) { r.Custody = GoesBack },
		"trigger":       func(r *Rule) { r.Topic = Receipt },
	} {
		r := whole
		change(&r)
		if err := r.Check(); err == nil || domain.As(err).At != at {
			t.Errorf("%s: %v", at, err)
		}
	}
	if err := whole.Check(); err != nil {
		t.Error(err)
	}
}
