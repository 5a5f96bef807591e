package logger

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

func newYork(t testing.TB) *time.Location {
	t.Helper()
	z, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func file(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("../../testdata/logger/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func times(rows []Row) []time.Time {
	at := make([]time.Time, len(rows))
	for i, r := range rows {
		at[i] = r.At
	}
	return at
}

// Each file was written row by row from the instants and values checked here;
// what it must say is in README.md of testdata/logger.
func TestParseFiles(t *testing.T) {
	zone := newYork(t)
	for _, tt := range []struct {
		name        string
		told        Told
		rows        int
		first, last string // UTC
		firstRaw    string
		gaps        int
	}{
		{"fahrenheit_gap.csv", Told{Zone: zone}, 103, "2026-11-17T23:00:00Z", "2026-11-18T22:50:00Z", "", 1},
		{"celsius_decimal_comma.csv", Told{Zone: zone}, 96, "2026-11-17T23:00:00Z", "2026-11-18T22:45:00Z", "", 0},
		{"clocks_back.csv", Told{Zone: zone}, 25, "2026-11-01T03:00:00Z", "2026-11-01T11:00:00Z", "", 0},
		{"clocks_forward.csv", Told{Zone: zone}, 16, "2026-03-08T05:00:00Z", "2026-03-08T10:00:00Z", "", 0},
		{"offsets_newest_first.txt", Told{}, 25, "2026-11-01T11:00:00Z", "2026-11-01T03:00:00Z", "", 0},
		{"utf16_tabs.txt", Told{Zone: zone}, 24, "2026-11-18T05:00:00Z", "2026-11-19T04:00:00Z", "", 0},
	} {
		rows, err := Parse(file(t, tt.name), tt.told)
		if err != nil || len(rows) != tt.rows {
			t.Errorf("%s: %d rows, %v", tt.name, len(rows), err)
			continue
		}
		first, last := rows[0].At.UTC().Format(time.RFC3339), rows[len(rows)-1].At.UTC().Format(time.RFC3339)
		if first != tt.first || last != tt.last {
			t.Errorf("%s: from %s to %s, want %s to %s", tt.name, first, last, tt.first, tt.last)
		}
		for _, r := range rows {
			if !r.Read || r.C < domain.Fahrenheit(33) || r.C > domain.Fahrenheit(39) { // all were written between 34.5 and 37.5 °F
				t.Errorf("%s line %d: %v °C read %v from %q", tt.name, r.Line, r.C, r.Read, r.RawValue)
			}
		}
		if gaps := Gaps(times(rows)); tt.name != "offsets_newest_first.txt" && len(gaps) != tt.gaps {
			t.Errorf("%s: gaps %v", tt.name, gaps)
		}
	}
}

// On both nights of the clock change every step stays 20 minutes (15 USC 260a:
// 8 March and 1 November 2026 at 2 o'clock).
func TestClockChangesKeepTheStep(t *testing.T) {
	for _, name := range []string{"clocks_back.csv", "clocks_forward.csv"} {
		rows, err := Parse(file(t, name), Told{Zone: newYork(t)})
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(rows); i++ {
			if step := rows[i].At.Sub(rows[i-1].At); step != 20*time.Minute {
				t.Errorf("%s line %d: %v after the row above", name, rows[i].Line, step)
			}
		}
	}
	hourly := "time,temp F\n2026-11-01 00:00,36\n2026-11-01 01:00,36\n2026-11-01 01:00,36\n2026-11-01 02:00,36\n"
	rows, err := Parse([]byte(hourly), Told{Zone: newYork(t)})
	if err != nil || rows[3].At.Sub(rows[0].At) != 3*time.Hour || rows[2].At.Sub(rows[1].At) != time.Hour {
		t.Errorf("an hourly logger: %v, %v", times(rows), err)
	}
}

// Forms in which the same instant and the same temperature are written. ISO 8601
// and RFC 3339 for the dashed ones, the customs of the United States and of
// central Europe for the others.
func TestParseForms(t *testing.T) {
	want := time.Date(2026, 11, 7, 19, 10, 0, 0, newYork(t))
	for _, text := range []string{
		"time,temp °F\n2026-11-07 19:10,38.5\n",
		"time,temp °F\r\n2026-11-07T19:10:00,38.5\r\n",
		"time,temp,unit\n2026-11-07 19:10:00-05:00,38.5,F\n",
		"time,temp\n2026-11-08T00:10:00Z,38.5 °F\n",
		"time,temp\n2026-11-08 01:10 +01,\"3,6111 C\"\n",
		"date,time,temp_f\n11/7/2026,7:10 PM,38.5\n",
		"date,time,temp_f\n11/07/26,7:10:00 p.m.,38.5\n",
		"no;date;time;deg C\n1;7.11.2026;19:10;3,6111\n",
		"\ufeffdate/time\tfahrenheit\n11/7/2026 19:10\t38.5\n",
		"Site: back room, two doors\nfirmware 1.2, °F display\n\ndate time;F\n2026-11-07 19:10;38.5\n",
	} {
		rows, err := Parse([]byte(text), Told{Zone: newYork(t)})
		if err != nil || len(rows) != 1 || !rows[0].At.Equal(want) || math.Abs(rows[0].C.F()-38.5) > 0.001 {
			t.Errorf("%q: %+v, %v", text, rows, err)
		}
	}
}

// A word in place of a number is no reading, whatever letter it ends in; a unit that
// stands alone beside it is its unit all the same.
func TestWordInPlaceOfReading(t *testing.T) {
	for _, text := range []string{
		"time,temp °F\n2026-11-07 19:10,abc\n",
		"time,temp °F\n2026-11-07 19:10,SYNC\n",
		"time,temp °C\n2026-11-07 19:10,off\n",
		"time,temp,unit\n2026-11-07 19:10,sync,F\n",
	} {
		rows, err := Parse([]byte(text), Told{Zone: newYork(t)})
		if err != nil || len(rows) != 1 || rows[0].Read {
			t.Errorf("%q: %+v, %v", text, rows, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	zone := newYork(t)
	for _, tt := range []struct {
		name, text string
		told       Told
		at, says   string
	}{
		{"nothing", "", Told{}, "file", "empty"},
		{"a picture", "\x89PNG\r\n\x00\x1a", Told{}, "file", "no text file"},
		{"no header", "2026-11-07 19:10,38.5\n", Told{Zone: zone}, "file", "No line of this file"},
		{"only a header", "time,temp F\n", Told{Zone: zone}, "file", "no reading below"},
		{"no unit", "time,temp\n2026-11-07 19:10,38.5\n", Told{Zone: zone}, "unit", "line 1"},
		{"the wrong unit", "time,temp °F\n2026-11-07 19:10,38.5\n", Told{Zone: zone, Unit: Celsius}, "unit", "Line 1 says °F"},
		{"two units", "time,temp °F\n2026-11-07 19:10,38.5\n2026-11-07 19:20,3.5 C\n", Told{Zone: zone}, "unit", "Line 3"},
		{"no zone", "time,temp F\n2026-11-07 19:10,38.5\n", Told{}, "zone", "Line 2"},
		{"no such day", "time,temp F\n2026-11-31 19:10,38.5\n", Told{Zone: zone}, "file", "Line 2"},
		{"day first with slashes", "time,temp F\n\n23/11/2026 19:10,38.5\n", Told{Zone: zone}, "file", "Line 3"},
		{"half a row", "time,temp F\n2026-11-07 19:10,38.5\n2026-1", Told{Zone: zone}, "file", "Line 3"},
		{"an hour the clocks jump over", "time,temp F\n2026-03-08 02:30,38.5\n", Told{Zone: zone}, "zone", "clocks go forward"},
	} {
		_, err := Parse([]byte(tt.text), tt.told)
		if e := domain.As(err); e.Kind != domain.Invalid || e.At != tt.at || !strings.Contains(e.Error(), tt.says) {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// readiness.md section 8.
func TestClean(t *testing.T) {
	now := time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
	count := func(name string, resolution float64) map[Flag]int {
		rows, err := Parse(file(t, name), Told{Zone: newYork(t)})
		if err != nil {
			t.Fatal(err)
		}
		n := map[Flag]int{}
		for _, f := range Clean(rows, resolution, now) {
			n[f]++
		}
		return n
	}
	if n := count("power_up.csv", 0.1); n[Junk] != 5 || n[Duplicate] != 1 || n[OK] != 5 {
		t.Errorf("power-up: %v; want 85 °C, -127 °C, no number, 212.5 °F and -41.2 °F out, and one row twice", n)
	}
	if n := count("stuck.csv", 0.1); n[Stuck] != 56 || n[OK] != 136 {
		t.Errorf("stuck: %v; want the whole run of 56", n)
	}
	if n := count("stuck.csv", 0.5); n[Stuck] != 0 {
		t.Errorf("a coarse sensor may repeat itself: %v", n)
	}
	row := func(after time.Duration, f float64) Row {
		return Row{At: now.Add(after), C: domain.Fahrenheit(f), Read: true}
	}
	for _, tt := range []struct {
		name string
		rows []Row
		want []Flag
	}{
		{"a clock 10 minutes ahead", []Row{row(10*time.Minute, 36)}, []Flag{OK}},
		{"a clock 11 minutes ahead", []Row{row(11*time.Minute, 36)}, []Flag{Future}},
		{"the first given counts", []Row{row(-time.Hour, 36), row(-2*time.Hour, 35), row(-time.Hour, 37)}, []Flag{OK, OK, Duplicate}},
		{"-40 °C is a temperature", []Row{row(-time.Hour, -40), row(0, 140)}, []Flag{OK, OK}},
		{"stuck for 12 h is not more than 12 h", []Row{row(-12*time.Hour, 36), row(-9*time.Hour, 36), row(-6*time.Hour, 36), row(-3*time.Hour, 36), row(0, 36)}, []Flag{OK, OK, OK, OK, OK}},
		{"alike before and after a silence", []Row{row(-20*time.Hour, 36), row(0, 36)}, []Flag{OK, OK}},
	} {
		got := Clean(tt.rows, 0.1, now)
		for i := range got {
			if got[i] != tt.want[i] {
				t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
				break
			}
		}
	}
}

// readiness.md section 2: longer than the larger of 60 min and three times the
// median, and anything longer than 14 h.
func TestGaps(t *testing.T) {
	start := time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)
	series := func(steps ...time.Duration) []time.Time {
		at := []time.Time{start}
		for _, s := range steps {
			at = append(at, at[len(at)-1].Add(s))
		}
		return at
	}
	h := time.Hour
	for _, tt := range []struct {
		name string
		at   []time.Time
		want int
	}{
		{"five minutes, one hour out", series(5*time.Minute, 5*time.Minute, h, 5*time.Minute), 0},
		{"five minutes, more than an hour", series(5*time.Minute, 5*time.Minute, h+time.Second, 5*time.Minute), 1},
		{"two rounds a day", series(12*h, 12*h, 12*h), 0},
		{"a round missed", series(12*h, 12*h, 24*h, 12*h), 1},
		{"one reading", series(), 0},
	} {
		if got := Gaps(tt.at); len(got) != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
}

// Whatever comes in, Parse answers with rows or with a sentence, and Clean with a
// flag a row; what is kept has a temperature a room can have.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"fahrenheit_gap.csv", "celsius_decimal_comma.csv", "clocks_back.csv", "offsets_newest_first.txt", "power_up.csv", "utf16_tabs.txt"} {
		text := file(f, name)
		f.Add(text[:min(len(text), 400)])
	}
	f.Add([]byte("\"date\ttime\";F\n\"2026-11-01 1:30\";+-1"))
	zone := newYork(f)
	now := time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text []byte) {
		rows, err := Parse(text, Told{Zone: zone})
		if err != nil {
			if e := domain.As(err); e.Kind != domain.Invalid || e.Error() == "" {
				t.Errorf("%v", err)
			}
			return
		}
		flags := Clean(rows, 0.1, now)
		if len(rows) == 0 || len(flags) != len(rows) {
			t.Fatalf("%d rows, %d flags", len(rows), len(flags))
		}
		for i, r := range rows {
			if flags[i] == OK && !(r.Read && r.C >= -40.1 && r.C <= 60.1) || r.Line < 2 || r.At.Year() < 1989 || r.At.Year() > 2201 {
				t.Errorf("kept %+v", r)
			}
		}
	})
}
