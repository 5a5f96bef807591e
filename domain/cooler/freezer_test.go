package cooler

import (
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

func TestFrozen(t *testing.T) {
	at := time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		f    float64
		want Band
		src  string
	}{
		{-10, Fine, "trade.md 4.1: at or below 0 °F"},
		{0, Fine, "trade.md 4.1: at or below 0 °F"},
		{5, Watch, "between 0 and 10 °F"},
		{10, Watch, "trade.md 4.1: act above 10 °F [C]"},
		{11, Incident, "trade.md 4.1: act above 10 °F [C]"},
	} {
		h, err := exposure.NewHistory([]exposure.Reading{{At: at, C: domain.Fahrenheit(tt.f)}})
		if err != nil {
			t.Fatal(err)
		}
		if got := Frozen(h, at.Add(time.Hour)); got.Band != tt.want || tt.src == "" || got.Say.String() == "" || !got.Since.Equal(at) {
			t.Errorf("%v °F: %+v, want %s (%s)", tt.f, got, tt.want, tt.src)
		}
	}
}
