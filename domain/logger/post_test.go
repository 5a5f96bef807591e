package logger

import (
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

// RFC 3339 section 5.8 for the times; 97.7 °F is 36.5 °C by definition.
func TestParsePost(t *testing.T) {
	now := time.Date(2026, 11, 8, 12, 0, 0, 0, time.UTC)
	rows, refused, err := ParsePost([]byte(`[{"at":"2026-11-07T19:10:00-05:00","f":97.7},{"at":"2026-11-08T00:10:00Z","c":36.5},{"at":"2026-11-08T00:15:00Z","c":null},
		{"at":"2026-11-08 00:10","c":1},{"at":"1970-01-01T00:00:10Z","c":1},{"at":"2026-11-09T12:00:01Z","c":1},{"at":"2026-11-08T00:10:00Z","c":1,"f":1},{"at":"2026-11-08T00:10:00Z"},7]`), now)
	if err != nil || len(rows) != 3 || len(refused) != 6 {
		t.Fatalf("%+v, %+v, %v", rows, refused, err)
	}
	if !rows[0].At.Equal(rows[1].At) || rows[0].C-36.5 > 1e-9 || 36.5-rows[0].C > 1e-9 || rows[0].Unit != Fahrenheit || rows[0].RawValue != "97.7" || rows[2].Read || rows[2].Line != 3 {
		t.Errorf("%+v", rows)
	}
	for i, says := range []string{"no time with a zone", "Set the sensor's clock", "Set the sensor's clock", "one of the two", "one of the two", "no reading"} {
		if refused[i].N != i+4 || !strings.Contains(refused[i].Why.String(), says) {
			t.Errorf("%d: %s", refused[i].N, refused[i].Why)
		}
	}
	for _, text := range []string{"", "{}", "[]", "[", "[" + strings.Repeat("1,", MostPosted) + "1]"} {
		if _, _, err := ParsePost([]byte(text), now); domain.As(err).At != "readings" {
			t.Errorf("%.20s: %v", text, err)
		}
	}
}

// Whatever a sensor posts, each reading becomes a row or a refusal.
func FuzzParsePost(f *testing.F) {
	now := time.Date(2026, 11, 8, 12, 0, 0, 0, time.UTC)
	f.Add([]byte(`[{"at":"2026-11-07T19:10:00-05:00","f":97.7},{"at":"2026-11-08T00:15:00Z","c":null},7]`))
	f.Add([]byte(`[{"at":"2026-11-07T19:10:00.123456789Z","c":"2,5"},{"AT":"2026-11-07T19:10:00Z","c":{}}]`))
	f.Fuzz(func(t *testing.T, text []byte) {
		rows, refused, err := ParsePost(text, now)
		if (err == nil) != (len(rows)+len(refused) > 0) {
			t.Fatalf("%d rows, %d refused, %v", len(rows), len(refused), err)
		}
		for i, flag := range Clean(rows, 0.1, now) {
			r := rows[i]
			if flag == OK && !(r.Read && r.C >= -40.1 && r.C <= 60.1) || r.At.After(now.Add(aheadPosted)) || strings.Contains(r.RawValue, "\x00") || r.RawAt == "" {
				t.Errorf("kept as %s: %+v", flag, r)
			}
		}
	})
}
