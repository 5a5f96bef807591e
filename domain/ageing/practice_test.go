package ageing

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// What the trade knows from its own coolers must come out of the models. All of
// it is common practice, no source.
const practice = "common practice, no source"

func TestDeerFourWeeks(t *testing.T) {
	room := domain.Fahrenheit(35)
	f := Facts{Species: domain.Whitetail, Form: domain.Whole, Door: DoorClean, Killed: at(0), Received: at(4.0 / 24),
		DeepAtDoor: celsius(domain.Fahrenheit(86)), KeptAt: celsius(domain.Fahrenheit(41)), Kept: Hung, LongHang: true,
		Looks: []Look{{At: at(28.0 / 24), Smell: CleanSmell, Surface: Dry}}}
	f.Looks = append(f.Looks, Look{At: at(27.9), Smell: CleanSmell, Surface: Dry})
	v := judge(t, f, steady(t, f.Received, room), at(28))
	run(t, []check{{"log count after 28 days, dry since 24 h", v.LogCount, 6.8, 0.1, practice}})
	if v.LogCount >= odourLog || v.Condition != Ready {
		t.Errorf("log %.2f, %s: it should still be under the odour level and ready", v.LogCount, v.Condition)
	}
}

// daysToOdour returns the days from now until the surface is expected to smell.
func daysToOdour(t *testing.T, form domain.Form, surface Surface, c domain.Celsius) float64 {
	f := cold(domain.Whitetail, "", c)
	f.Form, f.Protocol = form, Protocol{Key: "test", Ceiling: 365}
	f.Looks = []Look{{At: at(0), Smell: CleanSmell, Surface: surface}}
	v := judge(t, f, steady(t, at(0), c), at(0))
	return v.CutBy.Sub(at(0)).Hours() / 24
}

func TestBonedCuts(t *testing.T) {
	room := domain.Fahrenheit(38)
	run(t, []check{
		{"wet, within a week", daysToOdour(t, domain.Boned, Wet, room), 5.2, 1.8, practice},
		{"kept drying by a fan, one to two weeks", daysToOdour(t, domain.Boned, Drying, room), 10.5, 3.5, practice},
	})
}

func TestRibMould(t *testing.T) {
	length := func(f, days float64) float64 {
		days *= exposure.MouldPace(domain.Fahrenheit(f)) // as many at 1.7 °C
		if days < priorFrom {
			return 0
		}
		return float64(priorLength) + priorPace*(days-priorFrom)
	}
	if got := length(domain.Celsius(1.7).F(), UsualMould.days()); math.Abs(got-float64(SignLength)) > 0.01 {
		t.Errorf("after the usual days the growth is %.2f mm, want the sign's %v", got, SignLength)
	}
	run(t, []check{
		{"35 °F, not yet after 13 days", length(35, 13), 0, 0, practice},
		{"35 °F, just visible after two weeks", length(35, 15), 1.5, 1, practice},
		{"35 °F, near half an inch after four", length(35, 28), 12.7, 1.5, practice},
	})
	for _, f := range []float64{37, 38, 40} {
		if length(f, 14) < length(35, 14)+2 {
			t.Errorf("at %v °F 14 days give %.1f mm, at 35 °F %.1f mm: it should be clearly sooner", f, length(f, 14), length(35, 14))
		}
	}
}

// Whenever in the day it was killed, the first morning on which a beef hung cold at
// 35 °F may be cut lies two to three weeks after that day. By the clock it is ready
// after 13.85 days: 24 h to rigor, then ln 10 at 0.179 a day.
func TestBeefAt35(t *testing.T) {
	const src = practice + ": two to three weeks"
	for hour := range 24 {
		killed := time.Date(2026, time.October, 5, hour, 0, 0, 0, at(0).Location())
		f := cold(domain.Beef, "", domain.Fahrenheit(35))
		f.Killed, f.Received = killed, killed
		v := judge(t, f, steady(t, killed, domain.Fahrenheit(35)), killed)
		days := 0
		for ; ; days++ {
			morning := time.Date(2026, time.October, 5+days, 7, 0, 0, 0, killed.Location())
			if !morning.Before(*v.ReadyFrom) {
				break
			}
		}
		if days < 14 || days > 21 {
			t.Errorf("killed at %d o'clock it is cut on day %d (%s)", hour, days, src)
		}
	}
}

// Storage times published for wet meat: the model, with the lag its paper gives,
// must come near what was seen (science.md B4).
func TestWetStorageLife(t *testing.T) {
	const seen = "Kröckel & Hechelmann, Kulmbacher Reihe 15 (IIR abstract): changes above 10^7"
	lag := map[float64]float64{0: 40.2, 5: 23.3, 10: 13.8, 20: 5.1} // h, Koutsoumanis et al. 2006, derived (science.md B.1)
	for c, want := range map[float64]struct{ model, seen, tol float64 }{
		0: {10.2, 11, 0.15}, 5: {5.9, 6, 0.15}, 10: {3.5, 4, 0.15}, 20: {1.3, 2, 0.40},
	} {
		days := lag[c]/24 + 5/exposure.KoutsoumanisRate(domain.Celsius(c), 5.7)
		run(t, []check{
			{"B4 model", days, want.model, 0.06, "Koutsoumanis et al. 2006, derived"},
			{"B4 seen", days, want.seen, want.tol * want.seen, seen},
		})
	}
}

// Beef sides at 0 °C and 5 °C: odour after 14.5 and 8 days, slime after 20 and
// 13. The dry-to-wet range shown must hold what was seen.
func TestBeefSides(t *testing.T) {
	const src = "James & James 2002 Fig. 10.1 p. 209, after Ingram & Roberts"
	for c, odour := range map[domain.Celsius]float64{0: 14.5, 5: 8} {
		f := cold(domain.Beef, "", c)
		f.Protocol = Protocol{Key: "test", Ceiling: 365}
		days := func(s Surface) float64 {
			f.Looks = []Look{{At: at(0), Smell: CleanSmell, Surface: s}}
			return judge(t, f, steady(t, at(0), c), at(0)).CutBy.Sub(at(0)).Hours() / 24
		}
		if wet, dry := days(Wet), days(Dry); !(wet < odour && odour < dry) {
			t.Errorf("at %v °C: wet %.1f d, dry %.1f d; %v d was seen (%s)", c, wet, dry, odour, src)
		}
	}
}

// B5, B6: a bad night in the middle of a week, from log 3, always wet.
func TestABadNight(t *testing.T) {
	const src = "Koutsoumanis et al. 2006, derived (science.md B5, B6)"
	sum := func(pairs ...float64) (logs float64) {
		for i := 0; i < len(pairs); i += 2 {
			logs += pairs[i] * exposure.KoutsoumanisRate(domain.Celsius(pairs[i+1]), 5.7)
		}
		return logs
	}
	run(t, []check{
		{"B5 by the one model", 3 + sum(5, 2, 0.5, 10, 2, 2), 8.96, 0.02, src},
		{"B6 the night's own part", sum(0.5, 10) - sum(0.5, 2), 0.494, 0.01, src},
		{"B6 in days at 2 °C", (sum(0.5, 10) - sum(0.5, 2)) / sum(1, 2), 0.68, 0.01, src},
	})
	// The program warns earlier: at 10 °C it counts by the faster model.
	f := cold(domain.Whitetail, "", 2)
	v := judge(t, f, steps(t, 5, 2, 0.5, 10, 2, 2), at(7.5))
	run(t, []check{{"B5 as the program counts it", v.Growth, sum(7, 2) + exposure.GillJonesRate(10)/2, 0.01,
		"science.md B.1: the fastest above 3 °C; Gill & Jones 1992"}})
}

// B7: a dry surface stays within what EFSA allows.
func TestDrySurface(t *testing.T) {
	const src = "EFSA 2023, EFSA Journal 21(1):7745, Table F.1"
	growth := func(days float64, c domain.Celsius) float64 {
		f := cold(domain.Beef, "", c)
		f.Looks = []Look{{At: at(0), Smell: CleanSmell, Surface: Dry}}
		return judge(t, f, steps(t, days, float64(c)), at(days)).Growth
	}
	run(t, []check{
		{"31 d at 0 °C", growth(31, 0), 1.98, 0.005, src}, {"22 d at 5 °C", growth(22, 5), 3.87, 0.01, src},
		{"15 d at 0 °C", growth(15, 0), 0.96, 0.01, src + ": at most 1"}, {"16 d at 3 °C", growth(16, 3), 1.99, 0.01, src + ": at most 2"},
		{"46 d at 0 °C", growth(46, 0), 2.94, 0.01, src + ": at most 3"}, {"62 d at 0 °C", growth(62, 0), 3.97, 0.01, src + ": at most 4"},
	})
}
