package closing

import (
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/domain"
)

// Arithmetic by hand; the rule that a difference needs a reason is trade.md 7.2
// (cash drawer count), its sentence ours.
func TestDrawer(t *testing.T) {
	for _, tt := range []struct {
		name       string
		drawer     Drawer
		difference domain.Cents
		at         string // the field that is wrong; empty: it stands
		src        string
	}{
		{"even", Drawer{Float: 10000, Taken: 34550, Counted: 44550, Out: 34550}, 0, "", "by hand: 100.00 + 345.50 = 445.50"},
		{"short, unexplained", Drawer{Float: 10000, Taken: 34550, Counted: 43550}, -1000, "why", "by hand: 435.50 - 445.50 = -10.00"},
		{"over, unexplained", Drawer{Float: 10000, Taken: 0, Counted: 10025}, 25, "why", "by hand: 100.25 - 100.00"},
		{"spaces are no reason", Drawer{Float: 10000, Counted: 10025, Why: "  "}, 25, "why", "a reason has letters"},
		{"short, explained", Drawer{Float: 10000, Taken: 34550, Counted: 43550, Why: "stamps bought"}, -1000, "", "by hand"},
		{"more cash given back than taken", Drawer{Float: 10000, Taken: -4000, Counted: 6000}, 0, "", "by hand: 100.00 - 40.00"},
		{"more taken out than there is", Drawer{Float: 10000, Counted: 10000, Out: 10001}, 0, "out", "one cent more than was counted"},
		{"below nothing", Drawer{Counted: -1, Why: "x"}, -1, "counted", "a drawer does not hold less than nothing"},
		{"too much", Drawer{Counted: mostCash + 1, Why: "x"}, mostCash + 1, "counted", "the limit stated beside mostCash"},
	} {
		if got := tt.drawer.Difference(); got != tt.difference {
			t.Errorf("%s: difference %v, want %v (%s)", tt.name, got, tt.difference, tt.src)
		}
		err := tt.drawer.Check()
		if got := domain.As(err).At; (err != nil) != (tt.at != "") || err != nil && got != tt.at {
			t.Errorf("%s: %v, want a fault at %q (%s)", tt.name, err, tt.at, tt.src)
		}
	}
}

// What lies in the drawer in the morning and what was taken out are what was
// counted, whatever the numbers.
func TestNothingIsLostFromTheDrawer(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 5))
	for range 2000 {
		d := Drawer{Float: domain.Cents(random.IntN(50000)), Taken: domain.Cents(random.IntN(200000) - 20000), Counted: domain.Cents(random.IntN(250000))}
		d.Out = domain.Cents(random.Int64N(int64(d.Counted) + 1))
		if d.Left()+d.Out != d.Float+d.Taken+d.Difference() {
			t.Fatalf("%+v: left %v and out %v are not float, taken and difference", d, d.Left(), d.Out)
		}
	}
}

func TestPieces(t *testing.T) {
	// By hand: 2 x 100 + 3 x 20 + 7 x 1 + 3 x 0.25 + 4 x 0.01 = 267.79.
	total, err := Pieces{10000: 2, 2000: 3, 100: 7, 25: 3, 1: 4}.Total()
	if err != nil || total != 26779 {
		t.Errorf("%v, %v; want $267.79", total, err)
	}
	for name, p := range map[string]Pieces{"no such note": {3000: 1}, "below none": {100: -1}, "a slip": {1: mostPieces + 1}} {
		if _, err := p.Total(); domain.As(err).At != "counted" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// trade.md 4.5: animals in = animals out + hanging + freezer + refused + discarded.
func TestHeads(t *testing.T) {
	for _, tt := range []struct {
		heads Heads
		want  int
		src   string
	}{
		{Heads{Before: 60, In: 14, Out: 9, Now: 65}, 0, "by hand: 60 + 14 - 9 = 65"},
		{Heads{Before: 60, In: 14, Out: 9, Now: 64}, -1, "one is missing"},
		{Heads{Before: 60, In: 14, Out: 9, Now: 66}, 1, "one too many: it came in by no drop-off"},
	} {
		if got := tt.heads.Astray(); got != tt.want {
			t.Errorf("%+v: %d astray, want %d (%s)", tt.heads, got, tt.want, tt.src)
		}
	}
}

func TestChecksAreDoneOrExplained(t *testing.T) {
	if err := CheckDone(Checks, ""); err != nil {
		t.Error(err)
	}
	if err := CheckDone(Checks[:2], ""); domain.As(err).At != "note" || err.Error() != "Not ticked: Cooler and freezer doors are shut; The alarm is on. Do it and tick it, or write beneath why not." {
		t.Error(err)
	}
	if err := CheckDone(nil, "power is out"); err != nil {
		t.Error(err)
	}
}

func TestMayClose(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 11, d, 0, 0, 0, 0, time.UTC) }
	for _, tt := range []struct {
		name      string
		day, last time.Time
		want      domain.Kind
	}{
		{"today", day(19), day(18), domain.Internal},
		{"the first ever", day(19), time.Time{}, domain.Internal},
		{"yesterday, late", day(18), day(17), domain.Internal},
		{"tomorrow", day(20), day(18), domain.Refused},
		{"two days ago", day(17), day(16), domain.Refused},
		{"closed already", day(19), day(19), domain.Conflict},
		{"yesterday, after today", day(18), day(19), domain.Conflict},
	} {
		err := MayClose(tt.day, day(19), tt.last)
		if got := domain.As(err).Kind; (err == nil) != (tt.want == domain.Internal) || err != nil && got != tt.want {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// What is open comes in one order, kinds without any are left out, and a long list
// is cut while its count stays true.
func TestStanding(t *testing.T) {
	many := make([]string, 55)
	list := Standing(map[OpenKind][]string{Holds: {"26-0004-1"}, OnTable: many, Tubs: nil})
	if len(list) != 2 || list[0].Kind != OnTable || list[0].Count != 55 || len(list[0].Which) != 40 || list[1].Kind != Holds {
		t.Errorf("%+v", list)
	}
	for _, k := range OpenKinds {
		if k.Words().String() == "" {
			t.Errorf("%s has no words", k)
		}
	}
}
