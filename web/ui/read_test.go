package ui

import (
	"context"
	"math"
	"testing"
	"time"

	"coldrail/domain"
)

func TestReadTemp(t *testing.T) {
	ctx := shopContext(t)
	metric := WithShop(ctx, Shop{Metric: true})
	for _, tt := range []struct {
		ctx   context.Context
		typed string
		want  domain.Celsius // 999 means refused
		src   string
	}{
		{ctx, "40", 4.444444, "(40 − 32) / 1.8"},
		{ctx, " 38.5 ", 3.611111, "(38.5 − 32) / 1.8"},
		{ctx, "38,5", 3.611111, "a comma is a point"},
		{ctx, "3 C", 3, "the person wrote the unit"},
		{ctx, "3°C", 3, "the same"},
		{metric, "3", 3, "a metric shop"},
		{metric, "40 F", 4.444444, "°F in a metric shop"},
		{ctx, "−4", -20, "the long minus of a copied text"},
		{ctx, "400", 204.444444, "a smokehouse"},
		{ctx, "385", 196.111111, "too warm for meat is for the domain to say"},
		{ctx, "401", 999, "above any thermometer in the shop"},
		{ctx, "", 999, "nothing"},
		{ctx, "warm", 999, "not a number"},
		{ctx, "NaN", 999, "a number to the machine, not to a person"},
		{ctx, "Inf", 999, "the same"},
		{ctx, "1e400", 999, "too large for a float"},
	} {
		got, err := ReadTemp(tt.ctx, "deep", tt.typed)
		checkRead(t, "temperature", tt.typed, float64(got), float64(tt.want), err, tt.src)
	}
}

func TestReadWeight(t *testing.T) {
	ctx := shopContext(t)
	metric := WithShop(ctx, Shop{Metric: true})
	for _, tt := range []struct {
		ctx   context.Context
		typed string
		want  domain.Kilogram
		src   string
	}{
		{ctx, "88.5", 40.142925, "88.5 × 0.45359237"},
		{ctx, "88.5 lb", 40.142925, "with its unit"},
		{ctx, "88.5 LBS", 40.142925, "with its unit, loudly"},
		{ctx, "1,188", 538.867736, "1188 × 0.45359237; a comma before three digits groups"},
		{ctx, "40 kg", 40, "another unit"},
		{metric, "40,5", 40.5, "a comma is a point"},
		{ctx, "0", 999, "nothing weighs nothing"},
		{ctx, "-5", 999, "below nothing"},
		{ctx, "3001", 999, "heavier than any carcass"},
		{ctx, "88 or so", 999, "not a number"},
	} {
		got, err := ReadWeight(tt.ctx, "weight", tt.typed)
		checkRead(t, "weight", tt.typed, float64(got), float64(tt.want), err, tt.src)
	}
}

func TestReadLength(t *testing.T) {
	ctx := shopContext(t)
	for _, tt := range []struct {
		typed string
		want  domain.Millimetre
		src   string
	}{
		{"1/8", 3.175, "25.4 / 8"},
		{"1 3/16", 30.1625, "25.4 × 1.1875"},
		{".125", 3.175, "the same as an eighth"},
		{`2"`, 50.8, "two inches"},
		{"3 mm", 3, "another unit"},
		{"0", 0, "none seen"},
		{"1/0", 999, "no such fraction"},
		{"1 2", 999, "two whole numbers"},
		{"-1", 999, "below nothing"},
		{"13", 999, "mould a foot deep is a slip of the finger"},
	} {
		got, err := ReadLength(ctx, "mould", tt.typed)
		checkRead(t, "length", tt.typed, float64(got), float64(tt.want), err, tt.src)
	}
}

func TestReadMoney(t *testing.T) {
	ctx := shopContext(t)
	for _, tt := range []struct {
		typed string
		want  domain.Cents
		src   string
	}{
		{"188", 18800, "whole dollars"},
		{"$1,188.05", 118805, "as printed"},
		{".5", 50, "half a dollar"},
		{"100000", 10_000_000, "the most one field takes"},
		{"100000.01", 999, "a cent above it"},
		{"1.005", 999, "no half cents"},
		{"12,345", 1_234_500, "thousands without cents"},
		{"1,45", 999, "a comma for the point"},
		{"12,50", 999, "the same"},
		{"1,45.00", 999, "a comma in the wrong place"},
		{",188", 999, "a comma before everything"},
		{"-5", 999, "below nothing"},
		{"", 999, "nothing"},
		{".", 999, "nothing but a point"},
		{"99999999999999999999", 999, "more than an int64"},
	} {
		got, err := ReadMoney(ctx, "paid", tt.typed)
		checkRead(t, "money", tt.typed, float64(got), float64(tt.want), err, tt.src)
	}
}

// checkRead compares to a millionth: the expected values are written with six
// decimals. A want of 999 asks for a refusal with words about the field.
func checkRead(t *testing.T, what, typed string, got, want float64, err error, src string) {
	t.Helper()
	if want == 999 {
		if e := domain.As(err); err == nil || e.Kind != domain.Invalid || e.At == "" || e.Error() == "" {
			t.Errorf("%s %q: got %v, %v; want a refusal about the field (%s)", what, typed, got, err, src)
		}
		return
	}
	if err != nil || math.Abs(got-want) > 1e-6 {
		t.Errorf("%s %q: got %v, %v; want %v (%s)", what, typed, got, err, want, src)
	}
}

func TestRefusalsSayWhatToType(t *testing.T) {
	ctx := shopContext(t)
	_, empty := ReadTemp(ctx, "deep", " ")
	_, wrong := ReadWeight(ctx, "weight", "heavy")
	for _, tt := range []struct{ got, want string }{
		{Say(ctx, domain.As(empty).Msg), "Type a temperature in °F, such as 38."},
		{Say(ctx, domain.As(wrong).Msg), `"heavy" cannot be read. Type a weight in lb, such as 88.5.`},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}

func TestReadWhen(t *testing.T) {
	ctx := shopContext(t)
	got, err := ReadWhen(ctx, "killed", "2026-11-07T19:10")
	if err != nil || !got.Equal(evening) {
		t.Errorf("got %v, %v; want %v: the form speaks the shop's zone", got, err, evening)
	}
	day, err := ReadDay(ctx, "killed", "2026-11-07")
	if want := time.Date(2026, 11, 7, 5, 0, 0, 0, time.UTC); err != nil || !day.Equal(want) {
		t.Errorf("got %v, %v; want midnight in New York, %v", day, err, want)
	}
	for _, typed := range []string{"", "yesterday", "2026-13-01", "0026-11-07"} {
		if _, err := ReadDay(ctx, "killed", typed); domain.As(err).At != "killed" {
			t.Errorf("ReadDay(%q): %v, want a refusal about the field", typed, err)
		}
	}
}
