package ui

import (
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/domain"

	"golang.org/x/text/language"
)

func TestWords(t *testing.T) {
	ctx := shopContext(t)
	metric := WithShop(ctx, Shop{Zone: ShopOf(ctx).Zone, Metric: true})
	for _, tt := range []struct {
		name, got, want string
	}{
		{"no verbs", T(ctx, "Hang it"), "Hang it"},
		{"a percent sign that is text", T(ctx, "100 %% full"), "100 % full"},
		{"plain domain sentence keeps its %", Say(ctx, domain.Say("tender 83 % of it")), "tender 83 % of it"},
		{"numbers are grouped", T(ctx, "%d days", 10000), "10,000 days"},
		{"names are not", T(ctx, "Season %s", "2026"), "Season 2026"},
		{"one", T(ctx, "%d days", 1), "1 day"},
		{"none", T(ctx, "%d days", 0), "0 days"},
		{"many", T(ctx, "%d days", 14), "14 days"},
		{"money", T(ctx, "The balance is %s.", domain.Cents(18800)), "The balance is $188.00."},
		{"nested", Say(ctx, domain.Say("%s; %s", domain.Say("%d days", 1), domain.Say("ribs dry"))), "1 day; ribs dry"},
		{"temperature in the shop's unit", Say(ctx, domain.Say("The hip is %s.", domain.Fahrenheit(41.5))), "The hip is 41.5\u00a0°F."},
		{"temperature, metric shop", Say(metric, domain.Say("The hip is %s.", domain.Celsius(5.25))), "The hip is 5.3\u00a0°C."},
		{"a number stays a number", Say(ctx, domain.Say("%.2f °C", domain.Celsius(4.444))), "4.44 °C"},
		{"weight and mould", T(ctx, "%s, ribs %s", domain.Pounds(88.5), domain.Inches(0.125)), "88.5\u00a0lb, ribs 1/8\u00a0in"},
		{"a letter with an accent begins a sentence", Capital("óptima"), "Óptima"},
		{"nothing begins none", Capital(""), ""},
		{"an instant", T(ctx, "since %s", evening), "since Sat Nov 7, 7:10\u00a0pm"},
	} {
		if tt.got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, tt.got, tt.want)
		}
	}
}

// A word typed at the counter, or said in Spanish, may begin with a letter of two bytes.
func TestCapital(t *testing.T) {
	for word, want := range map[string]string{"": "", "deer": "Deer", "último día": "Último día", "élan": "Élan", "2 boxes": "2 boxes", "ñ": "Ñ"} {
		if got := Capital(word); got != want {
			t.Errorf("Capital(%q) is %q, want %q", word, got, want)
		}
	}
}

func TestArgumentsAreLeftAlone(t *testing.T) {
	args := []any{domain.Celsius(4), "x"}
	T(shopContext(t), "%s %s", args...)
	if args[0] != domain.Celsius(4) {
		t.Errorf("the caller's argument became %v", args[0])
	}
}

// Another language must be reachable through the catalogue, and two requests
// may speak at once (run with -race).
func TestManyRequestsSpeakAtOnce(t *testing.T) {
	en, de := shopContext(t), WithShop(t.Context(), Shop{Lang: language.German})
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 200 {
				if got := T(en, "%d animals", 1188); got != "1,188 animals" {
					t.Errorf("English says %q", got)
				}
				if got := T(de, "%d animals", 1188); got != "1.188 animals" {
					t.Errorf("German numbers are grouped by points (CLDR), got %q", got)
				}
			}
		})
	}
	wg.Wait()
}

// No line may end between a number and its unit, or within "1 3/16".
func TestUnits(t *testing.T) {
	ctx := shopContext(t)
	metric := WithShop(ctx, Shop{Metric: true})
	for _, tt := range []struct {
		got, want, src string
	}{
		{Temp(ctx, 4.4), "40 °F", "4.4 °C is 39.92 °F"},
		{Temp1(ctx, 4.4), "39.9 °F", "the same, one decimal"},
		{Temp(ctx, -17.7), "0 °F", "0.14 °F; no minus before a zero"},
		{Temp(ctx, -18), "0 °F", "−0.4 °F rounds to zero: no minus"},
		{Temp(ctx, -40), "−40 °F", "the two scales meet at −40"},
		{Temp(metric, 4.44), "4.4 °C", "metric shops always get a decimal"},
		{Weight(ctx, 40), "88.2 lb", "40 / 0.45359237 = 88.18"},
		{Weight(metric, 40.14), "40.1 kg", "rounded"},
		{Length(ctx, 3.175), "1/8 in", "3.175 mm is an eighth by definition"},
		{Length(ctx, 30.1625), "1 3/16 in", "30.1625 / 25.4 = 1.1875"},
		{Length(ctx, 50.8), "2 in", "two inches"},
		{Length(ctx, 0), "0 in", "nothing is nothing"},
		{Length(ctx, 0.5), "< 1/16 in", "something is not nothing"},
		{Length(metric, 0.3), "< 1 mm", "something is not nothing"},
		{Length(metric, 2.6), "3 mm", "rounded"},
		{Span(ctx, 50*time.Minute), "50 min", "below two hours in minutes"},
		{Span(ctx, 210*time.Minute), "3.5 h", "half hours"},
		{Span(ctx, 4*time.Hour), "4 h", "whole hours without a decimal"},
		{Span(ctx, 72*time.Hour), "3 days", "days from two days on"},
		{TypedTemp(ctx, 4.4), "39.9", "as typed"},
		{TypedWeight(ctx, domain.Pounds(88)), "88", "as typed"},
	} {
		if want := strings.ReplaceAll(tt.want, " ", Joint); tt.got != want {
			t.Errorf("%q, want %q (%s)", tt.got, want, tt.src)
		}
	}
}

func TestDates(t *testing.T) {
	ctx := shopContext(t)
	for _, tt := range []struct {
		got, want, src string
	}{
		{Day(ctx, evening), "Sat Nov 7", "0:10 UTC is still the evening before in New York"},
		{Date(ctx, evening), "Nov 7, 2026", "with its year"},
		{Day(ctx, Calendar(ctx, time.Date(2026, 12, 4, 0, 0, 0, 0, time.UTC))), "Fri Dec 4", "a bare date stays that date west of Greenwich (Dec 4, 2026 is a Friday)"},
		{Clock(ctx, evening), "7:10\u00a0pm", "EST is UTC−5"},
		{Clock(ctx, time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)), "8:00\u00a0am", "EDT is UTC−4"},
		{TypedDay(ctx, evening), "2026-11-07", "as a date field wants it"},
		{Ago(ctx, evening, evening.Add(59*time.Second)), "just now", "below a minute"},
		{Ago(ctx, evening, evening.Add(time.Minute)), "1 minute ago", "one of a thing"},
		{Ago(ctx, evening, evening.Add(119*time.Minute)), "1 hour ago", "cut, not rounded"},
		{Ago(ctx, evening, evening.Add(47*time.Hour)), "1 day ago", "cut, not rounded"},
		{Ago(ctx, evening.Add(50*time.Hour), evening), "in 2 days", "ahead"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q (%s)", tt.got, tt.want, tt.src)
		}
	}
}
