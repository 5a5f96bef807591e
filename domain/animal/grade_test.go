package animal

import (
	"testing"
	"time"

	"coldrail/domain"
)

func TestGradeTemperature(t *testing.T) {
	const src = "readiness.md section 10, last lines; common practice, no source"
	for _, tt := range []struct {
		name  string
		f     float64
		hours float64
		off   bool
		want  Grade
		src   string
	}{
		{"cold", 40, 30, false, Clean, src},
		{"fresh and hot", 98, 2, false, Clean, src},
		{"just under six hours", 90, 5.9, false, Clean, src},
		{"six hours", 80, 6, false, SmallFault, src},
		{"nearly twelve", 70, 11.9, false, SmallFault, src},
		{"cool but not cold", 41, 20, false, SmallFault, src},
		{"fifty, old", 50, 40, false, SmallFault, src},
		{"warm at twelve", 51, 12, false, BadFault, src},
		{"warm at twenty-four", 55, 24, false, BadFault, src},
		{"warm after twenty-four", 51, 24.1, false, RefuseGrade, src},
		{"off and above sixty", 61, 3, true, RefuseGrade, src},
		{"off at sixty", 60, 3, true, Clean, src + "; the smell is graded on its own line"},
		{"off and cold", 38, 30, true, Clean, src + "; the smell is graded on its own line"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := GradeTemperature(domain.Fahrenheit(tt.f), tt.hours, tt.off); got != tt.want {
				t.Errorf("%v °F after %v h: %s, want %s (%s)", tt.f, tt.hours, got, tt.want, tt.src)
			}
		})
	}
}

// A longer wait or a warmer ham never gives a better grade.
func TestGradeNeverImproves(t *testing.T) {
	for f := 30.0; f < 100; f++ {
		for h := 0.0; h < 48; h += 0.5 {
			here := GradeTemperature(domain.Fahrenheit(f), h, false).rank()
			if GradeTemperature(domain.Fahrenheit(f+1), h, false).rank() < here ||
				GradeTemperature(domain.Fahrenheit(f), h+0.5, false).rank() < here ||
				GradeTemperature(domain.Fahrenheit(f), h, true).rank() < here {
				t.Fatalf("the grade improves past %v °F, %v h", f, h)
			}
		}
	}
}

func TestDamagedAndWorst(t *testing.T) {
	for _, tt := range []struct {
		name    string
		door    map[DoorLine]Grade
		damaged bool
		worst   Grade
		src     string
	}{
		{"not graded", nil, false, Clean, "nothing said, nothing assumed"},
		{"shot through both shoulders", map[DoorLine]Grade{DoorShot: BadFault}, false, BadFault, "readiness.md 10: shot meat does not count"},
		{"gut over a quarter", map[DoorLine]Grade{DoorGut: BadFault, DoorDirt: SmallFault}, true, BadFault, "readiness.md 10"},
		{"larvae in muscle", map[DoorLine]Grade{DoorInsects: RefuseGrade}, true, RefuseGrade, "readiness.md 10"},
		{"wipe and go", map[DoorLine]Grade{DoorDirt: SmallFault}, false, SmallFault, "readiness.md 10"},
	} {
		d := Drop{Door: tt.door}
		if tt.src == "" || d.Damaged() != tt.damaged || d.Worst() != tt.worst {
			t.Errorf("%s: damaged %v, worst %s (%s)", tt.name, d.Damaged(), d.Worst(), tt.src)
		}
	}
}

// Common practice, no source: the table of GradeTemperature, asked with what the
// counter knows of the hour.
func TestWithTemperatureGrade(t *testing.T) {
	at := time.Date(2026, 11, 19, 23, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		name    string
		deepF   float64
		killed  time.Duration // before the door
		dayOnly bool
		door    map[DoorLine]Grade
		want    Grade // "" stays open
		ask     bool  // the hour decides whether it is refused
	}{
		{"fresh", 88, 3 * time.Hour, false, nil, Clean, false},
		{"warm half a day later", 58, 18 * time.Hour, false, nil, BadFault, false},
		{"cold, whatever the hour", 38, 20 * time.Hour, true, nil, Clean, false},
		{"warm, today, hour not told", 88, 18 * time.Hour, true, nil, "", false},
		{"warm, yesterday, hour not told", 61, 36 * time.Hour, true, nil, "", true},
		{"cool, yesterday, hour not told", 48, 36 * time.Hour, true, nil, SmallFault, false},
		{"warm, yesterday, and graded by a person", 61, 36 * time.Hour, true, map[DoorLine]Grade{DoorTemperature: BadFault}, BadFault, false},
		{"warm, three days old", 58, 72 * time.Hour, true, nil, RefuseGrade, false},
		{"warm and smells", 64, 3 * time.Hour, false, map[DoorLine]Grade{DoorSmell: SmallFault}, RefuseGrade, false},
		{"a person has graded it", 88, 18 * time.Hour, false, map[DoorLine]Grade{DoorTemperature: SmallFault}, SmallFault, false},
	} {
		deep := domain.Fahrenheit(tt.deepF)
		d := Drop{DeepTemp: &deep, ReceivedAt: at, KilledAt: at.Add(-tt.killed), KilledDayOnly: tt.dayOnly, Door: tt.door}
		if got := d.WithTemperatureGrade().Door[DoorTemperature]; got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.name, got, tt.want)
		}
		if got := d.WarmUnsure(); got != tt.ask {
			t.Errorf("%s: the hour is to be asked: %t", tt.name, got)
		}
	}
}

// Received at noon, 52 °F deep unless said (readiness.md section 10 for the grades).
func TestRegraded(t *testing.T) {
	noon := time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)
	deep := domain.Fahrenheit(52)
	for _, tt := range []struct {
		name, was string // hours before noon, "day": yesterday alone
		graded    Grade  // at the door; "by": by the thermometer
		now       time.Duration
		dayOnly   bool
		want      Grade
		changed   bool
	}{
		{"the hour asked for, 17 h", "day", "by", 17 * time.Hour, false, BadFault, true},
		{"the hour asked for, 30 h", "day", "by", 30 * time.Hour, false, RefuseGrade, true},
		{"today at first, yesterday in truth", "4h", "by", 28 * time.Hour, false, RefuseGrade, true},
		{"today at first, yesterday and no hour", "4h", "by", 36 * time.Hour, true, "", true},
		{"a fault is not taken back", "17h", "by", 4 * time.Hour, false, Clean, false},
		{"nor left open", "17h", "by", 36 * time.Hour, true, "", false},
		{"a person graded it", "day", SmallFault, 30 * time.Hour, false, SmallFault, false},
		{"the same hour", "4h", "by", 4 * time.Hour, false, Clean, false},
	} {
		d := Drop{DeepTemp: &deep, ReceivedAt: noon, KilledAt: noon.Add(-36 * time.Hour), KilledDayOnly: true}
		if tt.was != "day" {
			was, err := time.ParseDuration(tt.was)
			if err != nil {
				t.Fatal(err)
			}
			d.KilledAt, d.KilledDayOnly = noon.Add(-was), false
		}
		if d = d.WithTemperatureGrade(); tt.graded != "by" {
			d.Door = map[DoorLine]Grade{DoorTemperature: tt.graded}
		}
		if g, changed := d.Regraded(noon.Add(-tt.now), tt.dayOnly); g != tt.want || changed != tt.changed {
			t.Errorf("%s: %q, changed %v; want %q, %v", tt.name, g, changed, tt.want, tt.changed)
		}
	}
}
