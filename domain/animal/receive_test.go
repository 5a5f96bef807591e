package animal

import (
	"math"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

var now = time.Date(2026, 11, 7, 19, 0, 0, 0, time.UTC)

func drop() Drop {
	return Drop{
		Number: domain.NewShopNumber(26, 147), Species: domain.Whitetail, Class: domain.Mature, Form: domain.WholeHideOn,
		Sex: Male, Points: 8, KilledAt: now.Add(-4 * time.Hour), ReceivedAt: now,
	}
}

func celsius(c domain.Celsius) *domain.Celsius { return &c }
func pounds(lb float64) *domain.Kilogram       { k := domain.Pounds(lb); return &k }

func TestCheck(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   string // the field the error stands at, "" if the drop is taken
		edit func(*Drop)
		src  string
	}{
		{"as told", "", func(*Drop) {}, "an ordinary November deer"},
		{"all measured", "", func(d *Drop) {
			d.DeepTemp, d.KeptTemp, d.Kept, d.FieldWeight = celsius(14), celsius(6), KeptHung, pounds(125)
			d.Door = map[DoorLine]Grade{DoorShot: BadFault}
		}, "readiness.md section 14, the example"},
		{"unknown species", "species", func(d *Drop) { d.Species = "unicorn" }, "issue: unknown species"},
		{"bull deer", "class", func(d *Drop) { d.Class = domain.Bull }, "readiness.md 14: a class that does not fit"},
		{"no class", "", func(d *Drop) { d.Class = "" }, "readiness.md 14: class may be left out"},
		{"no form", "shape", func(d *Drop) { d.Form = "" }, "readiness.md 14"},
		{"wrong check digit", "number", func(d *Drop) { d.Number = "26-0147-0" }, "ISO/IEC 7064"},
		{"sex misspelt", "sex", func(d *Drop) { d.Sex = "m" }, "register field"},
		{"more points than any rack", "points", func(d *Drop) { d.Points = 61 }, "more than any record rack; common practice, no source"},
		{"minus points", "points", func(d *Drop) { d.Points = -1 }, "register field"},
		{"killed after drop-off", "killed", func(d *Drop) { d.ReceivedAt = now.Add(-5 * time.Hour) }, "issue: impossible date"},
		{"killed in the future", "killed", func(d *Drop) { d.KilledAt, d.ReceivedAt = now.Add(time.Minute), now.Add(5*time.Minute) }, "issue: impossible date"},
		{"no kill day", "killed", func(d *Drop) { d.KilledAt = time.Time{} }, "the ceiling counts from the kill"},
		{"clock nine minutes fast", "", func(d *Drop) { d.ReceivedAt = now.Add(9 * time.Minute) }, "readiness.md 8: 10 min"},
		{"clock eleven minutes fast", "received", func(d *Drop) { d.ReceivedAt = now.Add(11 * time.Minute) }, "readiness.md 8: 10 min"},
		{"too hot", "deep", func(d *Drop) { d.DeepTemp = celsius(60.1) }, "readiness.md 14: -40 to 60"},
		{"too cold", "deep", func(d *Drop) { d.DeepTemp = celsius(-40.1) }, "readiness.md 14: -40 to 60"},
		{"not a number", "deep", func(d *Drop) { d.DeepTemp = celsius(domain.Celsius(math.NaN())) }, "no NaN enters"},
		{"kept too hot", "kept", func(d *Drop) { d.KeptTemp = celsius(61) }, "readiness.md 14: -40 to 60"},
		{"kept how", "kept", func(d *Drop) { d.Kept = "trunk" }, "readiness.md 14: hung, covered"},
		{"too light for any scale", "weight", func(d *Drop) { d.HangingWeight = pounds(2); d.WeightConfirmed = true }, "readiness.md 14: 1 kg"},
		{"too heavy for any scale", "weight", func(d *Drop) { d.HangingWeight = pounds(3400); d.WeightConfirmed = true }, "readiness.md 14: 1,500 kg"},
		{"400 lb deer", "weight", func(d *Drop) { d.HangingWeight = pounds(400) }, "readiness.md 3: above three times 40 kg"},
		{"400 lb deer, yes", "", func(d *Drop) { d.HangingWeight, d.WeightConfirmed = pounds(400), true }, "readiness.md 3: asked, not refused"},
		{"20 lb deer", "weight", func(d *Drop) { d.HangingWeight = pounds(20) }, "readiness.md 3: below a quarter of 40 kg"},
		{"264 lb deer", "", func(d *Drop) { d.HangingWeight = pounds(264) }, "readiness.md 3: three times 40 kg is 264.6 lb"},
		{"grade misspelt", "gut", func(d *Drop) { d.Door = map[DoorLine]Grade{DoorGut: "D"} }, "readiness.md 10: four grades"},
		{"line misspelt", "door", func(d *Drop) { d.Door = map[DoorLine]Grade{"horns": Clean} }, "trade.md 1.7"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := drop()
			tt.edit(&d)
			err := Check(d, now)
			switch {
			case tt.src == "":
				t.Fatal("every case needs a source")
			case tt.at == "" && err != nil:
				t.Errorf("refused: %v (%s)", err, tt.src)
			case tt.at != "" && (domain.As(err).Kind != domain.Invalid || domain.As(err).At != tt.at):
				t.Errorf("got %v at %q, want Invalid at %q (%s)", err, domain.As(err).At, tt.at, tt.src)
			}
		})
	}
}

func TestOddWeightIsAQuestion(t *testing.T) {
	d := drop()
	d.HangingWeight = pounds(400)
	if err := Check(d, now); err == nil || !strings.HasPrefix(err.Error(), "Really 400 lb?") {
		t.Errorf("got %v", err)
	}
}

// A day alone is its midnight: a deer killed today and dropped off today passes.
func TestKilledToday(t *testing.T) {
	d := drop()
	d.KilledAt, d.KilledDayOnly = time.Date(2026, 11, 7, 0, 0, 0, 0, time.UTC), true
	if err := Check(d, now); err != nil {
		t.Error(err)
	}
}
