package statute

import (
	"testing"

	"coldrail/domain"
)

// Into how many shares an animal is sold is the rows' business; of two that speak the
// smaller counts. Minnesota's guide: beef to quarters, hogs, sheep and goats to halves
// (trade.md 3.2).
func TestShareLimit(t *testing.T) {
	rules := []Rule{
		{Key: "mn-shares-beef", Topic: Livestock, Covers: "livestock", Species: []string{"beef"}, Unit: Shares, Count: 4, Starts: FromKill},
		{Key: "mn-shares-small", Topic: Livestock, Covers: "livestock", Species: []string{"hog", "lamb", "goat"}, Unit: Shares, Count: 2, Starts: FromKill},
		{Key: "keep", Topic: Retention, Covers: "both", Unit: Years, Count: 1, Starts: FromReceipt},
	}
	own := Rule{Key: "ours", Topic: Livestock, Covers: "livestock", Unit: Shares, Count: 3, Starts: FromKill}
	for _, tt := range []struct {
		name    string
		rules   []Rule
		species domain.Species
		most    int
		by      string
		src     string
	}{
		{"beef", rules, domain.Beef, 4, "mn-shares-beef", "trade.md 3.2, the Minnesota guide"},
		{"goat", rules, domain.Goat, 2, "mn-shares-small", "trade.md 3.2, the Minnesota guide"},
		{"nobody speaks of bison", rules, domain.Bison, 0, "", "no row names it"},
		{"game is not sold", append(rules, own), domain.Whitetail, 0, "", "no row covers game"},
		{"the smaller counts", append(rules, own), domain.Beef, 3, "ours", "of two rules the harder one"},
	} {
		most, by := ShareLimit(tt.rules, tt.species)
		key := ""
		if by != nil {
			key = by.Key
		}
		if tt.src == "" || most != tt.most || key != tt.by {
			t.Errorf("%s: %d by %q, want %d by %q (%s)", tt.name, most, key, tt.most, tt.by, tt.src)
		}
	}
	for _, wrong := range []Rule{{Topic: Retention, Unit: Shares, Count: 2, Starts: FromKill}, {Topic: Livestock, Unit: Shares, Count: 2, Starts: FromReceipt}} {
		wrong.Key, wrong.State, wrong.Covers, wrong.Says, wrong.Cites = "mn-shares", "MN", "livestock", "Two.", "a letter"
		if err := wrong.Check(); err == nil {
			t.Errorf("%s, counted from %s, passes", wrong.Topic, wrong.Starts)
		}
	}
}
