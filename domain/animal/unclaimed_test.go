package animal

import (
	"testing"
	"time"
)

// The ladder of trade.md 8, 7 (notice, 7 second, 30 letter) and hard scenario 28 of
// its Annex E: ten days from the letter, though it came back undelivered.
func TestRung(t *testing.T) {
	l := Ladder{On: true, SecondDays: 7, LetterDays: 30, DecideDays: 45, AfterLetterDays: 10}
	day := func(n int) time.Time { return time.Date(2026, 10, 19, 12, 0, 0, 0, time.UTC).AddDate(0, 0, n) }
	first := day(0)
	for _, tt := range []struct {
		name string
		l    Ladder
		told Told
		now  time.Time
		want Rung
	}{
		{"nobody told", l, Told{}, day(90), NotTold},
		{"off", Ladder{}, Told{First: first, Tries: 9, Lately: 9}, day(90), Waits},
		{"day 3", l, Told{First: first, Tries: 1}, day(3), Waits},
		{"day 7", l, Told{First: first, Tries: 1}, day(7), TellAgain},
		{"day 7, told twice", l, Told{First: first, Tries: 2}, day(7), Waits},
		{"three tries in a week", l, Told{First: first, Tries: 3, Lately: 3}, day(5), WriteLetter},
		{"day 30", l, Told{First: first, Tries: 2}, day(30), WriteLetter},
		{"written", l, Told{First: first, Tries: 2, Drafted: true}, day(30), ApproveIt},
		{"approved", l, Told{First: first, Tries: 2, Approved: true}, day(31), SendIt},
		{"Dec 3 sent, Dec 12 returned, Dec 12", l, Told{First: first, Letters: 1, SentAt: day(45), BackAt: day(54)}, day(54), LetterOut},
		{"Dec 13", l, Told{First: first, Letters: 1, SentAt: day(45), BackAt: day(54)}, day(55), Decide},
	} {
		if got := tt.l.Rung(tt.told, tt.now); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
		if err := tt.l.MayGiveAway(tt.told, tt.now); (err == nil) != (tt.want == Decide) {
			t.Errorf("%s: given away: %v", tt.name, err)
		}
		may := tt.want == WriteLetter || tt.want == LetterOut || tt.want == Decide
		if err := tt.l.MayWrite(tt.told, tt.now); (err == nil) != may {
			t.Errorf("%s: letter: %v", tt.name, err)
		}
	}
	if on := l.DecideOn(Told{First: first, Letters: 1, SentAt: day(45)}); !on.Equal(day(55)) {
		t.Errorf("decides on %v", on)
	}
	for at, bad := range map[string]Ladder{"second": {}, "letter": {SecondDays: 7, LetterDays: 7}, "decide": {SecondDays: 7, LetterDays: 30, DecideDays: 20}, "after_letter": {SecondDays: 7, LetterDays: 30, DecideDays: 60, AfterLetterDays: -1}} {
		if err := bad.Check(); err == nil || err.Error() == "" {
			t.Errorf("%s passes", at)
		}
	}
}
