package cooler

import (
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

var noon = time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)

// fahrenheit is a room with a reading every ten minutes, the last one now.
func fahrenheit(t *testing.T, air ...float64) (*exposure.History, time.Time) {
	t.Helper()
	var readings []exposure.Reading
	for i, f := range air {
		readings = append(readings, exposure.Reading{At: noon.Add(time.Duration(i) * 10 * time.Minute), C: domain.Fahrenheit(f)})
	}
	h, err := exposure.NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	return h, readings[len(readings)-1].At
}

func times(n int, f float64) []float64 {
	air := []float64{35}
	for range n {
		air = append(air, f)
	}
	return air
}

func TestBands(t *testing.T) {
	const src = "readiness.md section 7, common practice, no source; 40 °F and 2 h: USDA"
	defrost := []Window{{noon.Add(5 * time.Minute), noon.Add(55 * time.Minute), true}}
	loading := []Window{{noon.Add(5 * time.Minute), noon.Add(55 * time.Minute), false}}
	endless := []Window{{noon, noon.Add(9 * time.Hour), false}}
	for _, tt := range []struct {
		name    string
		air     []float64
		windows []Window
		want    Band
		src     string
	}{
		{"usual", times(9, 35), nil, Fine, src},
		{"at 38 °F for long", times(30, 38), nil, Fine, src},
		{"above 38 °F, half an hour", times(3, 39), nil, Fine, src},
		{"above 38 °F, 70 min and the way up", times(8, 39), nil, Watch, src},
		{"at 40 °F for three hours", times(18, 40), nil, Watch, src},
		{"above 40 °F, 110 min", times(11, 41), nil, Watch, src},
		{"above 40 °F, over 2 h", times(14, 41), nil, Incident, src},
		{"above 45 °F at all", times(1, 45.5), nil, Incident, src},
		{"at 45 °F", times(1, 45), nil, Fine, src},
		{"32 °F", times(3, 32), nil, Fine, src},
		{"31 °F", times(3, 31), nil, Watch, src},
		{"29 °F", times(3, 29), nil, Watch, src},
		{"28.5 °F", times(3, 28.5), nil, Freezing, src},
		{"defrost at 45.8 °F", times(4, 45.8), defrost, Fine, src},
		{"defrost at 47 °F is none", times(4, 47), defrost, Incident, src},
		{"loading at 50 °F", times(4, 50), loading, Fine, src},
		{"a loading of nine hours excuses nothing", times(4, 50), endless, Incident, src},
		{"it came down again", append(times(30, 41), 35), nil, Fine, src},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected band needs a source")
			}
			h, now := fahrenheit(t, tt.air...)
			got := Usual.At(h, tt.windows, now)
			if got.Band != tt.want || got.Say.String() == "" {
				t.Errorf("got %s (%s), want %s (%s)", got.Band, got.Say, tt.want, tt.src)
			}
		})
	}
}

// The warm time begins where the line crosses the limit, not at the reading before.
func TestBandSince(t *testing.T) {
	h, now := fahrenheit(t, append([]float64{35, 45}, times(14, 44)[1:]...)...)
	got := Usual.At(h, nil, now)
	want := noon.Add(5 * time.Minute) // 35 to 45 °F in ten minutes passes 40 °F halfway
	if off := got.Since.Sub(want).Abs(); got.Band != Incident || off > 10*time.Second {
		t.Errorf("%s since %v, want incident since %v", got.Band, got.Since, want)
	}
}

func TestWatched(t *testing.T) {
	h, now := fahrenheit(t, 35, 35)
	for _, tt := range []struct {
		name   string
		sensor bool
		later  time.Duration
		want   string
	}{
		{"sensor", true, 0, ""},
		{"no sensor", false, 0, "Between rounds nobody is watching."},
		{"silent sensor", true, 3 * time.Hour, "The sensor has been silent for 3.0 hours: nobody is watching."},
	} {
		say, ok := Watched(h, tt.sensor, time.Hour, now.Add(tt.later))
		if say.String() != tt.want || ok != (tt.want == "") {
			t.Errorf("%s: %q %v, want %q", tt.name, say, ok, tt.want)
		}
	}
}
