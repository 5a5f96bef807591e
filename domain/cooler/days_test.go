package cooler

import (
	"math"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Two days every ten minutes at 2 °C, one of them with a straight rise to 8 °C
// and back, and six hours of silence: figures by hand.
func TestDays(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	start := time.Date(2026, 11, 17, 0, 0, 0, 0, zone)
	var readings []exposure.Reading
	for i := range 2*24*6 + 1 {
		at := start.Add(time.Duration(i) * 10 * time.Minute)
		if h := at.Sub(start).Hours(); h > 30 && h < 36 { // from 6 am to noon of the second day
			continue
		}
		c := 2.0
		if h := at.Sub(start).Hours(); h >= 10 && h <= 12 {
			c = 8 - 6*math.Abs(h-11)
		}
		readings = append(readings, exposure.Reading{At: at, C: domain.Celsius(c)})
	}
	h, err := exposure.NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	days := Days(h, start.AddDate(0, 0, -5), start.Add(48*time.Hour), zone)
	if len(days) != 2 {
		t.Fatalf("%d days: %+v", len(days), days)
	}
	second, first := days[0], days[1]
	if first.Readings != 144 || first.Low != 2 || math.Abs(float64(first.High-8)) > 1e-9 || first.Unseen != 0 {
		t.Errorf("first day %+v", first)
	}
	// The triangle is 2 h wide and 6 °C high: 6 °C·h over 24 h.
	if want := 2 + 6.0/24; math.Abs(float64(first.Mean)-want) > 1e-6 {
		t.Errorf("mean %v, want %v", first.Mean, want)
	}
	if second.Readings != 144-35 || second.Unseen.Round(time.Second) != 6*time.Hour {
		t.Errorf("second day: %d readings, %v unseen", second.Readings, second.Unseen)
	}
}
