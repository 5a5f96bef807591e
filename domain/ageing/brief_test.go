package ageing

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

// Every way an animal can stand, in at most five words, as a butcher reads it.
func TestBrief(t *testing.T) {
	now := at(12)
	var got strings.Builder
	for _, v := range []Verdict{
		{Condition: Stop}, {Condition: LookAtIt}, {Condition: FirstToCut},
		{Condition: Chilling, Deep: domain.Fahrenheit(52)}, {Condition: Chilling, Waiting: true, IsChilled: true},
		{Condition: Past},
		{Condition: Ready, Aged: true, Tenders: true, Tender: 0.83, CutBy: now.Add(50 * time.Hour)},
		{Condition: Ready, Aged: true, Tenders: true, Tender: 0.83, CutBy: now.Add(time.Minute)},
		{Condition: Ready, Aged: true, Tenders: true, Tender: 0.9, CutBy: now.Add(-5 * time.Hour)},
		{Condition: Ready, Aged: true, Tenders: true, Tender: 0.83, CutBy: now.Add(24 * time.Hour)}, {Condition: Ready, CutBy: now.Add(24 * time.Hour)},
		{Condition: Ready, CutBy: now.Add(50 * time.Hour)}, {Condition: Ready, CutBy: now},
		{Condition: Nearly, Tenders: true, Tender: 0.799}, {Condition: Hanging, Tenders: true, Tender: 0.29}, {Condition: Hanging},
	} {
		said := v.Brief(now, time.UTC).String()
		words := 0
		for _, w := range strings.Fields(said) {
			if w != "%" && w != "%," && w != "°F" && w != "°F," { // a unit belongs to its number
				words++
			}
		}
		if words > 5 {
			t.Errorf("%q has %d words", said, words)
		}
		fmt.Fprintf(&got, "%-10s %s\n", v.Condition, said)
	}
	want, err := os.ReadFile("../../testdata/golden/brief.txt")
	if err != nil || got.String() != string(want) {
		t.Errorf("testdata/golden/brief.txt differs (%v); now:\n%s", err, got.String())
	}
}

// "today" is said of nothing that may wait until tomorrow by the shop's calendar, and of
// all that may not: the plan counts the same days. At 8 pm in New York it is the next day
// in UTC.
func TestBriefCountsTheShopsDays(t *testing.T) {
	ny, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 11, 19, 20, 0, 0, 0, ny)
	for hours, want := range map[int]string{-19: "today", 3: "today", 5: "1\u00a0day", 27: "1\u00a0day", 29: "2\u00a0days"} {
		v := Verdict{Condition: Ready, Aged: true, Tenders: true, Tender: 0.83, CutBy: now.Add(time.Duration(hours) * time.Hour)}
		if got := v.Brief(now.UTC(), ny).String(); got != "ready, tender 83\u00a0%, "+want {
			t.Errorf("its last moment in %d hours: %q, want %s", hours, got, want)
		}
	}
}

// An animal not yet weighed and hung for good is chilling, by its track; the
// condition never says that it is ready to cut (trade.md Annex B: hanging, then
// the table).
func TestWaitingIsNeverReady(t *testing.T) {
	f := cold(domain.Whitetail, domain.Young, 2)
	if v := judge(t, f, steady(t, at(0), 2), at(2)); v.Condition != Ready {
		t.Fatalf("%s, want ready: this test would see nothing", v.Condition)
	}
	f.Waiting = true
	v := judge(t, f, steady(t, at(0), 2), at(2))
	if v.Condition != Chilling || v.Reasons[0].String() != "Not weighed and hung for good yet: do that first." {
		t.Errorf("%s, %v", v.Condition, v.Reasons)
	}
	f.Looks = []Look{{At: at(1), Smell: CleanSmell, Surface: Dry}}
	if v := judge(t, f, steady(t, at(0), 2), at(9)); v.Condition != Past {
		t.Errorf("%s after its day, want past", v.Condition)
	}
}
