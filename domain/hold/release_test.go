package hold

import (
	"fmt"
	"testing"
	"time"

	"coldrail/domain"
)

func TestCheckClose(t *testing.T) {
	seen := Evidence{By: "AN", Result: NotDetected, ResultDay: now.AddDate(0, 0, -1), Source: AgencySite, SeenBy: "AN"}
	with := func(edit func(*Evidence)) Evidence { e := seen; edit(&e); return e }
	positive := with(func(e *Evidence) { e.Result, e.Note, e.Second, e.Surrenders = Detected, "agency hauls it", "BO", true })
	const pending = "trade.md 2.4: a written or seen result, not \"he says it's fine\""
	for _, tt := range []struct {
		name string
		kind Kind
		ev   Evidence
		want domain.Kind
		at   string // "" closes
		src  string
	}{
		{"result read on the site", TestPending, seen, 0, "", pending},
		{"owner says", TestPending, with(func(e *Evidence) { e.Source = OwnerSays }), domain.Refused, "hold", pending},
		{"no source", TestPending, with(func(e *Evidence) { e.Source = "" }), domain.Invalid, "source", pending},
		{"no date", TestPending, with(func(e *Evidence) { e.ResultDay = time.Time{} }), domain.Invalid, "result_day", pending},
		{"dated tomorrow", TestPending, with(func(e *Evidence) { e.ResultDay = now.AddDate(0, 0, 1) }), domain.Invalid, "result_day", pending},
		{"nobody read it", TestPending, with(func(e *Evidence) { e.SeenBy = " " }), domain.Invalid, "seen_by", pending},
		{"another word", TestPending, with(func(e *Evidence) { e.Result = "clear" }), domain.Invalid, "result", "trade.md 2.4, Minnesota's wording"},
		{"detected", TestPending, with(func(e *Evidence) { e.Result = Detected }), domain.Refused, "hold", "trade.md 2.5"},
		{"positive, given up", Positive, positive, 0, "", "trade.md 2.5, steps 3 and 4"},
		{"positive, owner not asked", Positive, with(func(e *Evidence) { e.Result, e.Note, e.Second = Detected, "n", "BO" }), domain.Invalid, "owner", "trade.md 2.5, step 3"},
		{"positive, one person", Positive, func() Evidence { e := positive; e.Second = "an"; return e }(), domain.Invalid, "second", "Annex B: lead and second person"},
		{"positive, agency not written down", Positive, func() Evidence { e := positive; e.Note = ""; return e }(), domain.Invalid, "note", "trade.md 2.5, step 4"},
		{"warden, no word", Warden, Evidence{By: "AN"}, domain.Invalid, "note", "Annex B: officer name, badge"},
		{"warden", Warden, Evidence{By: "AN", Note: "Officer 12 freed it"}, 0, "", "Annex B: officer name, badge"},
		{"identity, alone", Identity, Evidence{By: "AN", Note: "antlers match the photo"}, domain.Invalid, "second", "Annex C, 31: two signatures"},
		{"identity, two", Identity, Evidence{By: "AN", Second: "BO", Note: "antlers match the photo"}, 0, "", "Annex C, 31: two signatures"},
		{"payment without a word", Payment, Evidence{By: "AN"}, domain.Invalid, "note", "trade.md 7.2: unless owner says"},
		{"payment", Payment, Evidence{By: "AN", Note: "paid cash"}, 0, "", "trade.md 7.2"},
		{"by nobody", Payment, Evidence{Note: "paid cash"}, domain.Invalid, "by", "Annex A: closed, by whom"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := CheckClose(Hold{Kind: tt.kind, OpenedBy: "AN"}, tt.ev, now)
			switch {
			case tt.src == "":
				t.Fatal("every case needs a source")
			case tt.at == "" && err != nil:
				t.Errorf("stays open: %v (%s)", err, tt.src)
			case tt.at != "" && (domain.As(err).Kind != tt.want || domain.As(err).At != tt.at):
				t.Errorf("got %v at %q, want it at %q (%s)", err, domain.As(err).At, tt.at, tt.src)
			}
		})
	}
	if err := CheckClose(Hold{Kind: Payment, ClosedAt: now}, Evidence{By: "AN", Note: "x"}, now); domain.As(err).Kind != domain.Conflict {
		t.Errorf("closed twice: %v", err)
	}
}

// No hold of any kind closes on an empty form.
func TestNothingClosesOnNothing(t *testing.T) {
	for _, k := range Kinds {
		if CheckClose(Hold{Kind: k}, Evidence{By: "AN"}, now) == nil {
			t.Errorf("%s closes without evidence", k)
		}
	}
}

func ExampleCheckClose() {
	h := Hold{Kind: TestPending, OpenedBy: "AN"}
	fmt.Println(CheckClose(h, Evidence{By: "AN", Source: OwnerSays}, now))
	// Output: The owner's word does not end this hold. Read the result yourself: site, letter, laboratory or agency.
}
