package ageing

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// D.2: forty degree-days reached three ways are three different things, which is
// why they are shown and decide nothing.
func TestEqualDegreeDaysAreNotEqual(t *testing.T) {
	const src = "Dransfield 1981 and 1992, Koutsoumanis 2006, derived (science.md D.2)"
	for _, way := range []struct{ days, c, tender, growth float64 }{{20, 2, 0.975, 14.6}, {10, 4, 0.884, 9.1}, {5, 8, 0.773, 7.0}} {
		f := cold(domain.Beef, "", 2)
		f.Killed = at(-1)
		v := judge(t, f, steps(t, way.days, way.c), at(way.days))
		run(t, []check{
			{"degree-days", v.DegreeDays, 40, 0.01, "definition"},
			{"tenderness", v.Tender, way.tender, 0.002, src},
			{"growth on a wet surface", way.days * exposure.KoutsoumanisRate(domain.Celsius(way.c), 5.7), way.growth, 0.05, src},
		})
	}
}

// Where sources disagree on hanging (science.md I.1, I.8), the window shown holds
// both and the ceiling is that of one.
func TestWhichHangingSourceCounts(t *testing.T) {
	deer := ProtocolFor(domain.Whitetail, domain.Mature, domain.Whole, false)
	bull := ProtocolFor(domain.Elk, domain.Bull, domain.Whole, false)
	horn := ProtocolFor(domain.Pronghorn, "", domain.Whole, false)
	run(t, []check{
		{"I.1 usual from", deer.Usual.From, 7, 0, "UW B-513R: 7 days"},
		{"I.1 usual to", deer.Usual.To, 14, 0, "Michigan State University Extension: 10 to 14 days"},
		{"I.1 ceiling", deer.Ceiling, 14, 0, "UW B-513R: at most two weeks"},
		{"A.2 bull elk", bull.Usual.To, 14, 0, "UW B-513R: 14 days"},
		{"D4 pronghorn", horn.Ceiling, 3, 0, "UW B-513R: 3 days"},
		{"A.2 veal tender after 5 d at 1 °C, share", tenderAfter(t, domain.Veal, "", 5, 1), 0.573, 0.002, "James & James 2002 p. 53 calls it acceptable; derived from 0.17 a day"},
		{"A.1 beef in about 10 d at 1 °C, share", tenderAfter(t, domain.Beef, "", 10, 1), 0.8, 0.03, "James & James 2002 p. 53: 80 % in about 10 days"},
		{"A.1 pork half tender at 1 °C, d", daysFor(0.40, 0.5), 2, 0.3, "Dransfield et al. 1981: 2 days reported, 1.73 by the constant"},
		{"I.6 odour level", odourLog, 7, 0, "James & James 2002 p. 209; 8.2 by Zhang et al. 2011 for beef: the earlier one warns"},
	})
}

// The rib mould of common practice, as the forecast has it: about two weeks at
// 35 °F, clearly sooner at 37 to 40 °F.
func TestRibMouldForecast(t *testing.T) {
	day := func(fahrenheit float64) float64 {
		c := domain.Fahrenheit(fahrenheit)
		v := judge(t, cold(domain.Whitetail, "", c), steady(t, at(0), c), at(1))
		if v.Mould.Forecast == nil {
			t.Fatalf("no forecast at %v °F", fahrenheit)
		}
		return v.Mould.Forecast.Sub(at(0)).Hours() / 24
	}
	run(t, []check{
		{"35 °F, the sign is reached after about two weeks, d", day(35), 14.7, 1, practice},
		{"37 °F, clearly sooner, d", day(37), 9.8, 1, practice + ": at least three days sooner"},
		{"40 °F, clearly sooner, d", day(40), 6.4, 1.5, practice + ": at least a week sooner"},
	})
}

// What may come in: facts out of range too.
func anyFacts(r *rand.Rand) Facts {
	f, _ := anyAnimal(r.Uint64(), 0)
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), -41, 61, 0, 1e308}
	pick := func() domain.Celsius { return domain.Celsius(odd[r.IntN(len(odd))]) }
	switch r.IntN(7) {
	case 0:
		f.Weight = domain.Kilogram(pick())
	case 1:
		c := pick()
		f.DeepAtDoor = &c
	case 2:
		c := pick()
		f.KeptAt = &c
	case 3:
		f.Looks = append(f.Looks, Look{At: at(3), Mould: []Mould{{Ribs, domain.Millimetre(pick()), White}}})
	case 4:
		f.Protocol = Protocol{Key: "x", Aged: true, Target: float64(pick()), Ceiling: float64(pick())}
	case 5:
		f.Protocol = Protocol{Key: "x", Aged: true, Target: 1, Ceiling: 365}
	}
	return f
}

// Whatever comes in, it is refused with its field named, or every number that
// goes out is one, with reasons beside it.
func TestNoVerdictWithoutNumbersAndReasons(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	judged, refused := 0, 0
	for range 2000 {
		f := anyFacts(r)
		_, readings := anyAnimal(r.Uint64(), 0)
		v, err := Judge(f, record(t, f, readings), at(11))
		if err != nil {
			refused++
			if e := domain.As(err); e.Kind != domain.Invalid || e.At == "" || e.Error() == "" {
				t.Fatalf("%+v is refused without its field: %v", f, err)
			}
			continue
		}
		judged++
		if len(v.Reasons) == 0 || v.Condition == "" {
			t.Fatalf("%+v: a verdict without a reason", f)
		}
		finite(t, reflect.ValueOf(v))
		if v.CutBy.Sub(at(0)).Abs() > 400*24*time.Hour {
			t.Fatalf("cut by %v", v.CutBy)
		}
	}
	if judged < 500 || refused < 300 {
		t.Fatalf("%d judged and %d refused: this test saw too little", judged, refused)
	}
}

// finite fails on any number in a value that is none.
func finite(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			t.Fatalf("%v leaves the package", v.Float())
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for i := range v.NumField() {
			finite(t, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finite(t, v.Index(i))
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			finite(t, v.Elem())
		}
	}
}
