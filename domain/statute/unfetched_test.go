package statute

import (
	"testing"
	"time"

	"coldrail/domain"
)

// The days of Wyoming and Iowa as trade.md 2.7 has them: 45 days, then a mailed
// notice and 10 days from its postmark; two months after a letter. South Carolina
// counts nothing, and a beef is no game.
func TestTermsOf(t *testing.T) {
	loc, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Fatal(err)
	}
	at := func(month time.Month, day, hour int) time.Time {
		return time.Date(2026, month, day, hour, 0, 0, 0, loc)
	}
	wy := []Rule{{Topic: Abandonment, Covers: "game", Starts: FromReceipt, Count: 45, Unit: Days},
		{Topic: Report, Covers: "game", Trigger: Abandoned, Starts: FromMailing, Count: 10, Unit: Days}}
	ia := []Rule{{Topic: Abandonment, Covers: "game", Starts: FromMailing, Count: 2, Unit: Months}}
	got := TermsOf(wy, at(10, 19, 15), at(12, 3, 16), loc)
	if !got.Letter.Equal(at(12, 3, 0)) || !got.Report.Equal(at(12, 13, 0)) || !got.Decide.Equal(at(12, 13, 23).Add(59*time.Minute)) {
		t.Errorf("Wyoming: %+v, want the letter on Dec 3, the report on Dec 13, the decision when that day is over", got)
	}
	if got = TermsOf(wy, at(10, 19, 15), time.Time{}, loc); !got.Decide.IsZero() || !got.FromMailing {
		t.Errorf("no letter is out: %+v", got)
	}
	if got = TermsOf(ia, at(10, 19, 15), at(12, 31, 16), loc); !got.Letter.IsZero() || !got.Decide.Equal(time.Date(2027, 2, 28, 23, 59, 0, 0, loc)) {
		t.Errorf("Iowa: %+v, want the end of February (two months, clamped)", got)
	}
	if got = TermsOf([]Rule{{Topic: Abandonment, Covers: "game"}, {Topic: Retention, Starts: FromReceipt, Count: 5, Unit: Years}}, at(10, 19, 15), at(12, 3, 16), loc); got.Counts() {
		t.Errorf("a rule without days counts: %+v", got)
	}
	if list := Unfetched(wy, domain.Beef, domain.Whole); len(list) != 0 {
		t.Errorf("beef: %+v", list)
	}
	if list := Unfetched(append(wy, Rule{Topic: Retention, Covers: "both"}), domain.Whitetail, domain.Whole); len(list) != 2 {
		t.Errorf("a deer: %+v", list)
	}
}
