package domain

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

func TestUnits(t *testing.T) {
	for _, tt := range []struct {
		name      string
		got, want float64
		src       string
	}{
		{"34 °F", math.Round(float64(Fahrenheit(34))*100) / 100, 1.11, "science.md section 0, conversions"},
		{"37 °F", math.Round(float64(Fahrenheit(37))*100) / 100, 2.78, "science.md section 0, conversions"},
		{"38 °F", math.Round(float64(Fahrenheit(38))*100) / 100, 3.33, "science.md section 0, conversions"},
		{"41 °F", float64(Fahrenheit(41)), 5, "science.md section 0, conversions"},
		{"44.6 °F", float64(Fahrenheit(44.6)), 7, "science.md section 0, conversions"},
		{"50 °F", float64(Fahrenheit(50)), 10, "science.md section 0, conversions"},
		{"40 °F", float64(Fahrenheit(40)), 4.4444444, "science.md section 0, conversions"},
		{"45 °F", float64(Fahrenheit(45)), 7.2222222, "science.md section 0, conversions"},
		{"70 °F", float64(Fahrenheit(70)), 21.1111111, "science.md section 0, conversions"},
		{"freezing", Celsius(0).F(), 32, "definition of the Fahrenheit scale, NIST SP 811 B.9"},
		{"one pound", float64(Pounds(1)), 0.45359237, "NIST SP 811 B.8, exact"},
		{"back to pounds", Kilogram(45.359237).Lb(), 100, "NIST SP 811 B.8, exact"},
		{"1/16 in", float64(Inches(1.0 / 16)), 1.5875, "NIST SP 811 B.8: 25.4 mm, exact"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if tt.src == "" {
				t.Fatal("every expected number needs a source")
			}
			if math.Abs(tt.got-tt.want) > 1e-6 {
				t.Errorf("got %v, want %v (%s)", tt.got, tt.want, tt.src)
			}
		})
	}
}

func TestCheckDigit(t *testing.T) {
	for _, tt := range []struct {
		digits string
		want   int
		src    string
	}{
		{"0794", 5, "the standard's own example for MOD 11,10 is 0794 -> 07945 (ISO/IEC 7064, from memory)"},
		{"8609574271", 9, "German tax number 86095742719, which ends in a MOD 11,10 digit (published specimen, from memory)"},
	} {
		if got := checkDigit(tt.digits); got != tt.want {
			t.Errorf("checkDigit(%s) = %d, want %d (%s)", tt.digits, got, tt.want, tt.src)
		}
	}
}

// Any one wrong digit on any tag of a season must be caught.
func TestParseShopNumberFindsEveryWrongDigit(t *testing.T) {
	for running := 1; running <= 9999; running += 37 {
		good := NewShopNumber(26, running)
		if got, err := ParseShopNumber("tag", good.Digits()); err != nil || got != good {
			t.Fatalf("ParseShopNumber(%s) = %s, %v", good.Digits(), got, err)
		}
		for i := range 7 {
			for d := byte('0'); d <= '9'; d++ {
				typed := []byte(good.Digits())
				if typed[i] == d {
					continue
				}
				typed[i] = d
				if n, err := ParseShopNumber("tag", string(typed)); err == nil {
					t.Fatalf("%s read as %s, with one digit wrong", good, n)
				}
			}
		}
	}
}

func TestShopNumberParts(t *testing.T) {
	n, err := ParseShopNumber("tag", " 26 0147-"+string(NewShopNumber(26, 147)[8]))
	if err != nil {
		t.Fatal(err)
	}
	if n.Short() != "0147" || n.Season() != 26 || n != NewShopNumber(26, 147) {
		t.Errorf("got %s: short %s, season %d", n, n.Short(), n.Season())
	}
	for _, bad := range []string{"", "147", "26-0147", "26-0000-1", "abcdefg", "26-01471-3"} {
		if _, err := ParseShopNumber("tag", bad); As(err).Kind != Invalid || As(err).At != "tag" {
			t.Errorf("ParseShopNumber(%q): %v, want Invalid at tag", bad, err)
		}
	}
	if NewShopNumber(26, 10000) != "" || NewShopNumber(100, 1) != "" || NewShopNumber(26, 0) != "" {
		t.Error("a number outside the roll must come back empty")
	}
}

func TestErrorsKeepTheirKindAndHideTheRest(t *testing.T) {
	wrapped := fmt.Errorf("step hang: %w", Taken("Hook %s is taken.", "R2-7"))
	if e := As(wrapped); e.Kind != Conflict || e.Error() != "Hook R2-7 is taken." {
		t.Errorf("got %v %q", e.Kind, e.Error())
	}
	if e := As(errors.New("pq: secret detail")); e.Kind != Internal || e.Error() == "pq: secret detail" {
		t.Errorf("an inner error leaked: %q", e.Error())
	}
}

func TestWordsSayMeasuresInShopUnits(t *testing.T) {
	w := Say("%v, %s, %v; %.1f, %d, %s", Fahrenheit(40), Pounds(88.5), Millimetre(1.8), Celsius(4.44), 7, Say("cold"))
	if got, want := w.String(), "40 °F, 88.5 lb, 1.8 mm; 4.4, 7, cold"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestSpecies(t *testing.T) {
	for _, s := range AllSpecies {
		if !s.Fits(Mature) {
			t.Errorf("%s does not take mature, which is accepted for every species", s)
		}
		if s.HangingDefault() <= 0 {
			t.Errorf("%s has no default weight", s)
		}
	}
	if Whitetail.Fits(Bull) || !Elk.Fits(Bull) || Species("unicorn").Known() {
		t.Error("classes or species mixed up")
	}
	if !WildHog.Game() || Beef.Game() || Species("").Game() {
		t.Error("game ends with the wild hog; beef is livestock")
	}
}

func TestCents(t *testing.T) {
	if got := Cents(18800).String() + " " + Cents(-4005).String(); got != "$188.00 −$40.05" {
		t.Error(got)
	}
	if got := Cents(95).Times(62.35); got != 5923 { // 0.95 * 62.35 = 59.2325
		t.Error(got)
	}
}
