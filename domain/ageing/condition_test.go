package ageing

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// deer is a grown whitetail in a 34 °F room, looked at this morning and good.
func deer(day float64, change func(*Facts)) Facts {
	f := cold(domain.Whitetail, domain.Mature, 1.1)
	f.Looks = []Look{{At: at(1), Smell: CleanSmell, Surface: Dry}, {At: at(day - 0.5), Smell: CleanSmell, Surface: Dry}}
	if change != nil {
		change(&f)
	}
	return f
}

// last changes the last look.
func last(change func(*Look)) func(*Facts) {
	return func(f *Facts) { change(&f.Looks[len(f.Looks)-1]) }
}

func mould(site Site, mm domain.Millimetre, colour Colour) func(*Facts) {
	return last(func(l *Look) { l.Mould = append(l.Mould, Mould{site, mm, colour}) })
}

func all(changes ...func(*Facts)) func(*Facts) {
	return func(f *Facts) {
		for _, c := range changes {
			c(f)
		}
	}
}

func smell(s Smell) func(*Facts)     { return last(func(l *Look) { l.Smell = s }) }
func surface(s Surface) func(*Facts) { return last(func(l *Look) { l.Surface = s }) }
func damaged(f *Facts)               { f.Door = DoorDamaged }
func wait28(f *Facts)                { f.LongHang = true }
func measured(humidity, air, day float64) func(*Facts) {
	return func(f *Facts) { f.Measured, f.MeasuredAt = &RoomAir{Humidity: humidity, Air: air}, at(day) }
}
func form(to domain.Form) func(*Facts) {
	return func(f *Facts) { f.Form = to }
}

func animal(s domain.Species, c domain.Class) func(*Facts) {
	return func(f *Facts) { f.Species, f.Class = s, c }
}

func decided(daysBefore float64, r Ruling) func(*Facts) {
	return func(f *Facts) {
		end := f.Looks[len(f.Looks)-1].At.Add(12 * time.Hour)
		f.Decision = &Decision{daysAfter(end, -daysBefore), r}
	}
}

func asksSign(f *Facts) {
	f.Protocol, _ = ProtocolByKey("deer-mature")
	f.Protocol.Sign = SignRequired
}

// sourThenClean smells sour on one look and of nothing on the next; untilDecided is
// how the shop asks.
func sourThenClean(f *Facts) {
	f.Looks = []Look{{At: at(9.1), Smell: Sour, Surface: Dry}, {At: at(9.8), Smell: CleanSmell, Surface: Dry}}
}

// mouldThenClean is white growth on the meat, and the next look says nothing of it.
func mouldThenClean(f *Facts) {
	f.Looks = []Look{{At: at(9.1), Smell: CleanSmell, Surface: Dry, Mould: []Mould{{Site: Meat, Length: 2, Colour: White}}}, {At: at(9.8), Smell: CleanSmell, Surface: Dry}}
}

func untilDecided(f *Facts) { f.UntilDecided = true }

func TestConditions(t *testing.T) {
	const (
		ten  = "readiness.md section 10"
		nine = "readiness.md section 9"
		uw   = "UW B-513R, readiness.md section 10"
		msu  = "Michigan State University Extension: 10 to 14 days"
	)
	noLook := func(f *Facts) { f.Looks = nil }
	for _, tt := range []struct {
		name   string
		day    float64
		change func(*Facts)
		want   Condition
		say    string // part of a reason
		src    string
	}{
		{"a good deer early", 4, nil, Hanging, "Tender", ten},
		{"two days before it is ready", 7, nil, Nearly, "Cut it between day 9 and day 14", ten},
		{"D5 day 8, near UW's 7", 8.5, nil, Nearly, "", uw},
		{"hung long enough", 10, nil, Ready, "Day 10 of 14", msu},
		{"D5 day 15, past UW's 14", 14.2, nil, Past, "Past its day", uw},
		{"a long hang was agreed", 15, wait28, Ready, "Day 15 of 28", ten},
		{"D4 pronghorn day 4", 3.5, animal(domain.Pronghorn, ""), Past, "Day 4 of 3", uw},
		{"pronghorn day 2", 2, animal(domain.Pronghorn, ""), Ready, "is not aged", uw},
		{"a fawn once cold", 2, animal(domain.Whitetail, domain.Young), Ready, "is not aged", ten},
		{"bull elk day 12", 12, animal(domain.Elk, domain.Bull), Ready, "Tender", ten},
		{"lamb day 4", 4, animal(domain.Lamb, ""), Nearly, "50 % is asked", ten},
		{"D2 beef day 34 of a long hang", 34, all(animal(domain.Beef, ""), wait28, measured(80, 0.3, 30)), Ready, "of 35", "EFSA 2023: 35 days under its conditions"},
		{"D2 beef day 36 of a long hang", 35.5, all(animal(domain.Beef, ""), wait28, measured(85, 0.5, 30)), Past, "of 35", "EFSA 2023: 35 days under its conditions"},
		{"beef day 29, nothing measured", 29, all(animal(domain.Beef, ""), wait28), Past, "measured within the week", "EFSA 2023: 35 days under its conditions"},
		{"beef day 29, measured long ago", 29, all(animal(domain.Beef, ""), wait28, measured(80, 0.3, 21)), Past, "measured within the week", "EFSA 2023: 35 days under its conditions"},
		{"beef day 29, too damp", 29, all(animal(domain.Beef, ""), wait28, measured(86, 0.3, 28)), Past, "The humidity is 86 %", "EFSA 2023: 35 days under its conditions"},
		{"beef day 29, still air", 29, all(animal(domain.Beef, ""), wait28, measured(80, 0.1, 28)), Past, "The air moves 0.1 m/s", "EFSA 2023: 35 days under its conditions"},
		{"beef day 27, nothing measured", 27, all(animal(domain.Beef, ""), wait28), Ready, "of 28", ten},
		{"smells sour", 10, smell(Sour), Stop, "smells sour", ten},
		{"smells gamey", 10, smell(Gamey), Ready, "", ten},
		{"slimy", 10, surface(Slimy), Stop, "slimy", ten},
		{"black mould, no length", 10, mould(Ribs, 0, Black), Stop, "black mold (ribs)", nine},
		{"blue-green mould on fat", 10, mould(Fat, 1, BlueGreen), Stop, "blue-green", nine},
		{"an incident stopped it", 10, func(f *Facts) { f.StoppedAt = at(9) }, Stop, "incident", ten},
		{"an incident, decided", 10, all(func(f *Facts) { f.StoppedAt = at(9) }, decided(0.1, CarryOn)), Ready, "", ten},
		{"sour, decided to carry on", 10, all(smell(Sour), decided(0.2, CarryOn)), Ready, "decision stands", ten},
		{"sour, decided to cut first", 10, all(smell(Sour), decided(0.2, CutFirst)), FirstToCut, "Decided: trim", ten},
		{"an incident, decided to cut first two days ago", 10, all(func(f *Facts) { f.StoppedAt = at(7.9) }, decided(2, CutFirst)), FirstToCut, "Decided: trim", ten},
		{"sour, a part condemned", 10, all(smell(Sour), decided(0.2, CondemnPart)), FirstToCut, "Decided: a part is condemned", ten},
		{"a decision is a day old", 10, all(smell(Sour), decided(1.1, CarryOn)), Stop, "sour", ten},
		{"slime after the decision", 10, all(surface(Slimy), decided(0.6, CarryOn)), Stop, "slimy", ten},
		{"sticky", 10, surface(Sticky), FirstToCut, "sticky", ten},
		{"white mould on the neck", 10, mould(Neck, 0.5, White), FirstToCut, "cut it off dry", nine},
		{"white mould at the ribs", 10, mould(Ribs, 2, White), Ready, "", nine},
		{"no mould on the meat", 10, mould(Meat, 0, White), Ready, "", nine},
		{"white mould at the ribs of quarters", 2, all(form(domain.Quarters), mould(Ribs, 2, White)), FirstToCut, "ribs", nine},
		{"the same on beef quarters, which hang as whole", 2, all(animal(domain.Beef, ""), form(domain.Quarters), mould(Ribs, 2, White)), Hanging, "", ten},
		{"damaged", 1, damaged, FirstToCut, "Damaged", ten},
		{"damaged and smelling", 2, all(damaged, smell(Putrid)), Stop, "putrid", ten},
		{"nobody looked after day 14", 15, all(wait28, func(f *Facts) { f.Looks = f.Looks[:1] }), LookAtIt, "every evening", ten},
		{"nobody looked ever, wet", 9, noLook, LookAtIt, "may smell by now", ten},
		{"looked since the evening round", 15, all(wait28, func(f *Facts) { f.EveningFrom = at(14.4) }), Ready, "", ten},
		{"not since the evening round", 15, all(wait28, func(f *Facts) { f.EveningFrom = at(14.6) }), LookAtIt, "every evening", ten},
		{"wet for eight days, but good this morning", 8.5, func(f *Facts) { f.Looks = []Look{{At: at(8), Smell: CleanSmell, Surface: Drying}} }, Nearly, "", ten},
		{"to be cut once cold", 3, func(f *Facts) { f.CutWhenCold = true }, Ready, "is not aged", ten},
		{"the sign is asked and there", 10, all(asksSign, mould(Ribs, 1.5, Grey)), Ready, "", nine},
		{"the sign is asked and too short", 10, all(asksSign, mould(Ribs, 1.4, White)), Hanging, "1.4 mm; 1.5 mm is asked", nine},
		{"a touch on the rail hides no smell", 10, func(f *Facts) {
			f.Looks = append(f.Looks[:1], Look{At: at(9.1), Smell: Sour, Surface: Dry}, Look{At: at(9.6), Surface: Dry, FromRail: true})
		}, Stop, "sour", "a touched neighbour says nothing of this animal's smell"},
		{"sour, and clean to the next nose", 10, all(sourThenClean, untilDecided), Stop, "A later one does not lift a stop", ten},
		{"the same in the calculator, which knows no decisions", 10, sourThenClean, Ready, "", ten},
		{"mould on meat, and nothing said of it by the next", 10, all(mouldThenClean, untilDecided), FirstToCut, "wiped off grows again sooner", nine},
		{"mould on meat, decided, and clean since", 10, all(mouldThenClean, untilDecided, decided(0.7, CarryOn)), Ready, "", nine},
		{"the calculator knows no decisions: the last look counts", 10, mouldThenClean, Ready, "", nine},
		{"sour, decided, and clean since", 10, all(sourThenClean, untilDecided, decided(0.7, CarryOn)), Ready, "", ten},
		{"sour again after the decision, then clean", 10, all(func(f *Facts) {
			f.Looks = []Look{{At: at(8), Smell: Sour, Surface: Dry}, {At: at(8.8), Smell: Sour, Surface: Dry}, {At: at(9.9), Smell: CleanSmell, Surface: Dry}}
		}, untilDecided, decided(2, CarryOn)), Ready, "", "readiness.md section 10: a decision stands until a worse look"},
		{"slimy after the decision, then clean", 10, all(func(f *Facts) {
			f.Looks = []Look{{At: at(8), Smell: Sour, Surface: Dry}, {At: at(8.8), Smell: Sour, Surface: Slimy}, {At: at(9.9), Smell: CleanSmell, Surface: Dry}}
		}, untilDecided, decided(2, CarryOn)), Stop, "slimy", "readiness.md section 10: a decision stands until a worse look"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected condition needs a source")
			}
			f := deer(tt.day, tt.change)
			v := judge(t, f, steady(t, at(0), 1.1), at(tt.day))
			if said := fmt.Sprint(v.Reasons); v.Condition != tt.want || !strings.Contains(said, tt.say) {
				t.Errorf("got %s %s, want %s saying %q (%s)", v.Condition, said, tt.want, tt.say, tt.src)
			}
			if len(v.Reasons) == 0 {
				t.Error("no result without its reasons")
			}
		})
	}
}

func TestChilling(t *testing.T) {
	f := cold(domain.Beef, "", 1)
	f.DeepAtDoor = celsius(35)
	hide := f
	hide.Form = domain.WholeHideOn
	for _, tt := range []struct {
		name  string
		f     Facts
		hours float64
		want  Condition
		open  bool
	}{
		{"beef at 20 h", f, 20, Chilling, false},
		{"beef hide on at 40 h", hide, 40, Chilling, false},
		{"beef hide on at 50 h", hide, 50, Chilling, true},
		{"beef at 5 d", f, 120, Hanging, false},
	} {
		v := judge(t, tt.f, steady(t, at(0), 1), at(tt.hours/24))
		if open := strings.Contains(fmt.Sprint(v.Reasons), "open the hip"); v.Condition != tt.want || open != tt.open || v.IsChilled != (tt.want != Chilling) {
			t.Errorf("%s: %s %v, want %s, open the hip %v", tt.name, v.Condition, v.Reasons, tt.want, tt.open)
		}
	}
}

func TestConditionWords(t *testing.T) {
	want := "stop|look|cut first|chilling|past its day|ready to cut|nearly ready|hanging"
	var words []string
	for _, c := range Conditions {
		words = append(words, c.Words().String())
	}
	if got := strings.Join(words, "|"); got != want {
		t.Errorf("got %s, want %s (readiness.md section 10)", got, want)
	}
}

func TestPick(t *testing.T) {
	for _, tt := range []struct {
		species domain.Species
		class   domain.Class
		form    domain.Form
		damaged bool
		key     string
		ceiling float64
	}{
		{domain.Whitetail, "", domain.Whole, false, "deer-mature", 14},
		{domain.Caribou, domain.Mature, domain.WholeHideOn, false, "deer-mature", 14},
		{domain.MuleDeer, domain.Thin, domain.Whole, false, "deer-young", 5},
		{domain.Elk, "", domain.Whole, false, "cow", 14}, {domain.Moose, domain.Bull, domain.Whole, false, "bull", 14},
		{domain.Pronghorn, "", domain.Quarters, false, "quarters", 3},
		{domain.Beef, domain.Mature, domain.Quarters, false, "beef-fat", 28}, {domain.Bison, domain.Lean, domain.Whole, false, "beef-lean", 10},
		{domain.Beef, "", domain.Boned, false, "boned", 3}, {domain.Veal, "", domain.Whole, false, "veal", 7},
		{domain.Goat, "", domain.Whole, false, "lamb-goat", 10}, {domain.Hog, "", domain.Quarters, false, "quarters", 5},
		{domain.Bear, "", domain.Quarters, false, "quarters", 4}, {domain.WildHog, "", domain.Whole, true, "damaged", 3},
		{domain.Hog, "", domain.Whole, false, "hog", 7}, {domain.WildHog, "", domain.Whole, false, "wild-hog-bear", 4},
	} {
		p := ProtocolFor(tt.species, tt.class, tt.form, tt.damaged)
		if p.Key != tt.key || p.Ceiling != tt.ceiling {
			t.Errorf("%s %s %s: %s with %v days, want %s with %v (readiness.md section 10)", tt.species, tt.class, tt.form, p.Key, p.Ceiling, tt.key, tt.ceiling)
		}
	}
	for _, p := range Protocols {
		if len(p.Cites) == 0 || p.Label.String() == "" || p.check() != nil || p.Aged != (p.Target > 0) || p.Usual.To > p.Ceiling {
			t.Errorf("%s: %+v", p.Key, p)
		}
	}
	if _, ok := ProtocolByKey("unicorn"); ok {
		t.Error("a protocol nobody wrote")
	}
}

func TestDoorTemperature(t *testing.T) {
	for _, tt := range []struct {
		f, hours float64
		off      bool
		want     Grade
	}{
		{40, 30, false, Clean}, {95, 5, false, Clean}, {41, 13, false, SmallFault}, {50, 23, false, SmallFault},
		{80, 8, false, SmallFault}, {51, 13, false, BadFault}, {51, 25, false, RefuseIt}, {50, 25, false, SmallFault},
		{61, 3, true, RefuseIt}, {60, 3, true, Clean}, {39, 40, true, Clean},
	} {
		got := DoorTemperature(domain.Fahrenheit(tt.f), time.Duration(tt.hours*float64(time.Hour)), tt.off)
		if got != tt.want {
			t.Errorf("%v °F after %v h, off smell %v: %s, want %s (readiness.md section 10, common practice, no source)",
				tt.f, tt.hours, tt.off, got.Words(), tt.want.Words())
		}
	}
}

func TestMouldForecast(t *testing.T) {
	looks := func(pairs ...float64) (l []Look) {
		for i := 0; i < len(pairs); i += 2 {
			l = append(l, Look{At: at(pairs[i]), Smell: CleanSmell, Surface: Dry, Mould: []Mould{{Ribs, domain.Millimetre(pairs[i+1]), White}}})
		}
		return l
	}
	const line, prior = "least squares by hand", "readiness.md section 9, common practice, no source"
	for _, tt := range []struct {
		name string
		l    []Look
		want float64 // days after the kill; -1: none
		src  string
	}{
		{"two looks", looks(8, 0.5, 9, 0.75), 12, line + ": 0.25 mm a day"},
		{"three looks", looks(6, 0.3, 8, 0.9, 9.5, 1), 11.566, line},
		{"an empty look does not count", looks(4, 0, 8, 0.5, 9, 0.75), 12, line},
		{"it shrinks", looks(8, 0.8, 9, 0.6), -1, line + ": a slope below 0 gives none"},
		{"both at once", looks(9, 0.5, 9, 0.75), -1, line + ": no slope"},
		{"it should be there by now", looks(5, 1.3, 6, 1.45, 9.9, 1.49), 10, "never before now"},
		{"one look only", looks(9, 1), 14.625, prior},
		{"no look", nil, 14.625, prior},
		{"reached", looks(9, 1.5), -1, prior},
	} {
		if tt.src == "" {
			t.Fatal("every expected number needs a source")
		}
		f := cold(domain.Whitetail, "", 1.7)
		f.Looks = tt.l
		got, days := judge(t, f, steady(t, at(0), 1.7), at(10)).Mould.Forecast, -1.0
		if got != nil {
			days = got.Sub(at(0)).Hours() / 24
		}
		if days < tt.want-0.02 || days > tt.want+0.02 {
			t.Errorf("%s: day %.3f, want %.3f (%s)", tt.name, days, tt.want, tt.src)
		}
	}
	for _, s := range []domain.Species{domain.Lamb, domain.Hog, domain.Bear} {
		f := cold(s, "", 1.7)
		f.Looks = looks(5, 3)
		if m := judge(t, f, steady(t, at(0), 1.7), at(5)).Mould; m.Reached || m.Forecast != nil || m.Length != 3 {
			t.Errorf("%s: %+v: never a sign", s, m)
		}
	}
	warm := cold(domain.Whitetail, "", 3.5)
	asksSign(&warm)
	warm.Looks = looks(6, 0.1, 7, 1.3)
	if said := fmt.Sprint(judge(t, warm, steady(t, at(0), 3.5), at(7)).Reasons); !strings.Contains(said, "quick: 1.2 mm") || !strings.Contains(said, "above 37 °F") {
		t.Errorf("no warning of pace or warmth: %s", said)
	}
}

// The window: ready from, cut by and its range.
func TestWindow(t *testing.T) {
	f := cold(domain.Whitetail, "", 2)
	f.Looks = []Look{{At: at(0.1), Smell: CleanSmell, Surface: Wet}}
	v := judge(t, f, steady(t, at(0), 2), at(1))
	growth := float64(exposure.WetRate(2))
	run(t, []check{
		{"ready from", v.ReadyFrom.Sub(at(0)).Hours() / 24, 1 + 7.08, 0.02, "A10, Dransfield et al. 1981, derived; 24 h to rigor"},
		{"cut by", v.CutBy.Sub(at(0)).Hours() / 24, 4 / growth, 0.01, "log 3 to 7 at 2 °C by hand"},
		{"cut by, low", v.CutByLow.Sub(at(0)).Hours() / 24, 4 / exposure.MostRate(2), 0.01, "the fastest of three"},
		{"cut by, high", v.CutByHigh.Sub(at(0)).Hours() / 24, 4 / exposure.LeastRate(2), 0.01, "the slowest of three"},
	})
	if !v.TooLate() || !strings.Contains(fmt.Sprint(v.Reasons), "will not be ready in time") {
		t.Errorf("wet meat at 2 °C is not ready in time: %v", v.Reasons)
	}
	warm := judge(t, f, steady(t, at(0), 6), at(1))
	if warm.ReadyFrom != nil {
		t.Errorf("never cold, yet ready from %v", warm.ReadyFrom)
	}
	// Bad count, good nose: the ceiling alone.
	f.Looks = []Look{{At: at(9.9), Smell: CleanSmell, Surface: Dry}}
	ruled := judge(t, f, steady(t, at(0), 2), at(10))
	if ruled.LogCount < odourLog || !ruled.CutBy.Equal(at(14)) || !ruled.CutByLow.Equal(at(14)) {
		t.Errorf("log %.1f, cut by %v: a good look leaves the ceiling alone", ruled.LogCount, ruled.CutBy)
	}
	f.Looks = nil
	if now := judge(t, f, steady(t, at(0), 2), at(10)); !now.CutBy.Equal(at(10)) {
		t.Errorf("cut by %v, want now", now.CutBy)
	}
}
