package ageing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

func TestJudgeRefuses(t *testing.T) {
	for _, tt := range []struct {
		at     string
		change func(*Facts)
	}{
		{"species", func(f *Facts) { f.Species = "unicorn" }},
		{"class", func(f *Facts) { f.Class = domain.Bull }},
		{"form", func(f *Facts) { f.Form = "minced" }},
		{"door", func(f *Facts) { f.Door = "ajar" }},
		{"kept_before", func(f *Facts) { f.Kept = "thrown" }},
		{"hanging_weight_kg", func(f *Facts) { f.Weight = 0.5 }},
		{"hanging_weight_kg", func(f *Facts) { f.Weight = domain.Kilogram(math.NaN()) }},
		{"killed_at", func(f *Facts) { f.Killed = f.Received.Add(time.Minute) }},
		{"killed_at", func(f *Facts) { f.Killed = time.Time{} }},
		{"received_at", func(f *Facts) { f.Received = at(11) }},
		{"deep_c_at_door", func(f *Facts) { f.DeepAtDoor = celsius(61) }},
		{"kept_before_c", func(f *Facts) { f.KeptAt = celsius(domain.Celsius(math.NaN())) }},
		{"looks[1].mould[0].length_mm", func(f *Facts) { f.Looks[1].Mould = []Mould{{Ribs, -1, White}} }},
		{"protocol.target_fraction", func(f *Facts) { f.Protocol = Protocol{Key: "x", Target: 1.1, Ceiling: 9} }},
		{"protocol.ceiling_days", func(f *Facts) { f.Protocol = Protocol{Key: "x"} }},
		{"protocol.long_ceiling_days", func(f *Facts) { f.Protocol = Protocol{Key: "x", Ceiling: 9, LongCeiling: -1} }},
	} {
		f := deer(10, tt.change)
		_, err := Judge(f, steady(t, at(0), 1), at(10))
		if e := domain.As(err); e.Kind != domain.Invalid || e.At != tt.at {
			t.Errorf("got %v at %q, want Invalid at %q", e, e.At, tt.at)
		}
	}
	if _, err := Judge(deer(10, nil), nil, at(10)); domain.As(err).At != "readings" {
		t.Errorf("no stay: %v", err)
	}
}

// anyAnimal makes facts and a record out of a seed, and the same in a room that
// is warmer throughout by so many degrees.
func anyAnimal(seed uint64, warmer domain.Celsius) (Facts, []exposure.Reading) {
	r := rand.New(rand.NewPCG(seed, 7))
	f := Facts{Species: domain.AllSpecies[r.IntN(len(domain.AllSpecies))], Form: domain.Forms[r.IntN(len(domain.Forms))], Door: DoorClean,
		Killed: at(0), Received: at(r.Float64()), Weight: 20 + domain.Kilogram(r.Float64()*200)}
	f.Class = f.Species.Classes()[r.IntN(len(f.Species.Classes()))]
	deep := domain.Celsius(r.Float64()*30) + warmer
	f.DeepAtDoor = &deep
	for day := 1.0; day < 10; day += 1 + r.Float64() {
		f.Looks = append(f.Looks, Look{At: at(day), Smell: CleanSmell, Surface: Surfaces[r.IntN(len(Surfaces))]})
	}
	var readings []exposure.Reading
	for day := 0.0; day < 12; day += r.Float64() * 0.6 {
		readings = append(readings, exposure.Reading{At: at(day), C: domain.Celsius(-3+r.Float64()*12) + warmer})
	}
	return f, readings
}

func record(t *testing.T, f Facts, readings []exposure.Reading) []exposure.Stay {
	t.Helper()
	h, err := exposure.NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	return []exposure.Stay{{From: f.Received, In: h}}
}

// For any animal: nothing is NaN, ranges are ranges, and a warmer room is never
// slower in growth or tenderness.
func TestWarmerIsNeverSlower(t *testing.T) {
	for seed := range uint64(300) {
		f, readings := anyAnimal(seed, 0)
		hot, hotter := anyAnimal(seed, 1.5)
		v, w := judge(t, f, record(t, f, readings), at(11)), judge(t, hot, record(t, hot, hotter), at(11))
		for i, p := range [][2]float64{
			{v.Growth, w.Growth}, {v.GrowthLow, w.GrowthLow}, {v.GrowthHigh, w.GrowthHigh}, {v.LogCount, w.LogCount},
			{v.Tender, w.Tender}, {v.DegreeDays, w.DegreeDays}, {v.EColi, w.EColi}, {v.Salmonella, w.Salmonella},
			{v.Above[0].Hours(), w.Above[0].Hours()}, {float64(v.Deep), float64(w.Deep)},
			{v.GrowthLow, v.Growth}, {v.Growth, v.GrowthHigh},
		} {
			if !(p[0] <= p[1]+1e-9) {
				t.Errorf("seed %d, pair %d: %v is not at most %v", seed, i, p[0], p[1])
			}
		}
		if v.CutByLow.After(v.CutBy) || v.CutBy.After(v.CutByHigh) {
			t.Errorf("seed %d: cut by %v, %v, %v is no range", seed, v.CutByLow, v.CutBy, v.CutByHigh)
		}
		if v.ReadyFrom != nil && v.ReadyFrom.Before(at(11)) {
			t.Errorf("seed %d: ready from %v, before now", seed, v.ReadyFrom)
		}
		if v.Condition == Ready && (v.ReadyFrom == nil || !v.ReadyFrom.Equal(at(11))) {
			t.Errorf("seed %d: ready, but from %v", seed, v.ReadyFrom)
		}
	}
}

// More readings on the same line, in any order, change nothing.
func TestSplittingChangesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for seed := range uint64(60) {
		f, readings := anyAnimal(seed, 0)
		h := record(t, f, readings)[0].In.History()
		more := append([]exposure.Reading{}, readings...)
		for day := 0.05; day < 11; day += 0.37 {
			more = append(more, exposure.Reading{At: at(day), C: h.At(at(day))})
		}
		r.Shuffle(len(more), func(i, j int) { more[i], more[j] = more[j], more[i] })
		v, w := judge(t, f, record(t, f, readings), at(11)), judge(t, f, record(t, f, more), at(11))
		for i, p := range [][2]float64{{v.Growth, w.Growth}, {v.Tender, w.Tender}, {v.DegreeDays, w.DegreeDays},
			{v.EColi, w.EColi}, {v.Above[1].Hours(), w.Above[1].Hours()}, {v.Chilled.Hours(), w.Chilled.Hours()}, {float64(v.Deep), float64(w.Deep)}} {
			if !(math.Abs(p[0]-p[1]) <= 0.001*math.Abs(p[0])+2e-4) {
				t.Errorf("seed %d, pair %d: %v in one piece, %v in many", seed, i, p[0], p[1])
			}
		}
	}
}

// A board's running sums say what the single sum says.
func TestRoomJudgesAlike(t *testing.T) {
	for seed := range uint64(100) {
		f, readings := anyAnimal(seed, 0)
		f.Looks = f.Looks[:len(f.Looks)/2]
		stays := record(t, f, readings)
		rooms := []exposure.Stay{{From: f.Received, In: exposure.NewRoom(stays[0].In.History())}}
		v, w := judge(t, f, stays, at(14)), judge(t, f, rooms, at(14))
		if v.Condition != w.Condition || fmt.Sprint(v.Reasons) != fmt.Sprint(w.Reasons) || math.Abs(v.Growth-w.Growth) > 0.001*v.Growth {
			t.Errorf("seed %d: %s %v %v by walking, %s %v %v by the sums", seed, v.Condition, v.Growth, v.Reasons, w.Condition, w.Growth, w.Reasons)
		}
	}
}

// What is assumed is said; what is known is not assumed.
func TestAssumed(t *testing.T) {
	f := Facts{Species: domain.Whitetail, Form: domain.Whole, Door: DoorClean, Killed: at(0), Received: at(0.5)}
	v := judge(t, f, steady(t, at(0), 2), at(1))
	if len(v.Assumed) != 4 || v.Unknown != 12*time.Hour {
		t.Errorf("assumed %v, unknown %v", v.Assumed, v.Unknown)
	}
	growth := exposure.WetRate(10) / 2 * 0.5
	run(t, []check{
		{"before the door, 10 °C assumed, hung", judge(t, f, steady(t, at(0.5), 2), at(0.5)).Growth, growth, 1e-9, "readiness.md section 5, common practice, no source"},
		{"the same covered", func() float64 { f.Kept = Covered; return judge(t, f, steady(t, at(0.5), 2), at(0.5)).Growth }(), 2 * growth, 1e-9, "readiness.md section 5, common practice, no source"},
	})
	known := cold(domain.Whitetail, "", 2)
	known.Weight = 41
	if v := judge(t, known, steady(t, at(0), 2), at(1)); len(v.Assumed) != 0 {
		t.Errorf("assumed %v of an animal that is known", v.Assumed)
	}
}
