package ui

import (
	"context"
	"math"
	"strconv"
	"strings"

	"coldrail/domain"
)

// unknown stands where a number is missing.
const unknown = "–"

// Joint is the space between a number and its unit, and within "1 3/16": a line never
// ends there. It is for pages; files that a machine reads write numbers without us.
const Joint = "\u00a0"

// Temp writes a temperature in whole degrees, such as "38 °F". A metric shop
// gets one decimal, because a whole °C is too coarse for meat.
func Temp(ctx context.Context, c domain.Celsius) string {
	if ShopOf(ctx).Metric {
		return Temp1(ctx, c)
	}
	return number(c.F(), 0) + Joint + "°F"
}

// Temp1 writes a temperature with one decimal, such as "38.5 °F".
func Temp1(ctx context.Context, c domain.Celsius) string {
	if ShopOf(ctx).Metric {
		return number(float64(c), 1) + Joint + "°C"
	}
	return number(c.F(), 1) + Joint + "°F"
}

// Weight writes a weight with one decimal, such as "88.5 lb".
func Weight(ctx context.Context, k domain.Kilogram) string {
	return number(inWeightUnit(ctx, k), 1) + Joint + WeightUnit(ctx)
}

// Length writes a small length: inches in sixteenths ("1/8 in", "1 3/16 in"),
// or whole millimetres. Anything between zero and the smallest step is said to
// be less than that step, never zero.
func Length(ctx context.Context, m domain.Millimetre) string {
	if ShopOf(ctx).Metric {
		if m > 0 && m < 0.5 {
			return "<" + Joint + "1" + Joint + "mm"
		}
		return number(float64(m), 0) + Joint + "mm"
	}
	return sixteenths(m.In()) + Joint + "in"
}

// TempUnit returns "°F" or "°C", for labels.
func TempUnit(ctx context.Context) string {
	if ShopOf(ctx).Metric {
		return "°C"
	}
	return "°F"
}

// WeightUnit returns "lb" or "kg", for labels.
func WeightUnit(ctx context.Context) string {
	if ShopOf(ctx).Metric {
		return "kg"
	}
	return "lb"
}

// TypedTemp writes a temperature as a person would type it, for the value of
// a form field: "38.5".
func TypedTemp(ctx context.Context, c domain.Celsius) string {
	if ShopOf(ctx).Metric {
		return typed(float64(c))
	}
	return typed(c.F())
}

// TypedWeight writes a weight as a person would type it: "88.5".
func TypedWeight(ctx context.Context, k domain.Kilogram) string { return typed(inWeightUnit(ctx, k)) }

func inWeightUnit(ctx context.Context, k domain.Kilogram) float64 {
	if ShopOf(ctx).Metric {
		return float64(k)
	}
	return k.Lb()
}

// number rounds half away from zero, groups nothing, and uses the minus sign
// that is as wide as a digit.
func number(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return unknown
	}
	scale := math.Pow10(decimals)
	text := strconv.FormatFloat(math.Round(x*scale)/scale, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-") // no minus before a zero
	}
	return strings.Replace(text, "-", "−", 1)
}

func typed(x float64) string {
	return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64)
}

// sixteenths writes inches as a whole number and a fraction of 16 in lowest
// terms.
func sixteenths(in float64) string {
	if math.IsNaN(in) || math.IsInf(in, 0) || in < 0 {
		return unknown
	}
	n := int(math.Round(in * 16))
	if n == 0 && in > 0 {
		return "<" + Joint + "1/16"
	}
	whole, part := n/16, n%16
	if part == 0 {
		return strconv.Itoa(whole)
	}
	over := 16
	for part%2 == 0 {
		part, over = part/2, over/2
	}
	fraction := strconv.Itoa(part) + "/" + strconv.Itoa(over)
	if whole == 0 {
		return fraction
	}
	return strconv.Itoa(whole) + Joint + fraction
}
