package domain

import (
	"fmt"
	"math"
)

// Celsius is a temperature in °C, the unit inside the program. Screens show
// the shop's own unit; only package ui converts.
type Celsius float64

// Kilogram is a mass in kg.
type Kilogram float64

// Millimetre is a length in mm; it measures mould.
type Millimetre float64

// Metre is a length in m; it measures rooms and rails.
type Metre float64

// Cents is money in whole US cents. No float ever holds money.
type Cents int64

// Exact by definition: NIST SP 811 (2008), Appendix B.8 (pound, inch) and B.9
// (degree Fahrenheit).
const (
	kgPerPound = 0.45359237
	mmPerInch  = 25.4
)

// Fahrenheit converts a temperature in °F.
func Fahrenheit(f float64) Celsius { return Celsius((f - 32) / 1.8) }

// F returns the temperature in °F.
func (c Celsius) F() float64 { return float64(c)*1.8 + 32 }

// Pounds converts a mass in avoirdupois pounds.
func Pounds(lb float64) Kilogram { return Kilogram(lb * kgPerPound) }

// Lb returns the mass in avoirdupois pounds.
func (k Kilogram) Lb() float64 { return float64(k) / kgPerPound }

// Inches converts a length in international inches.
func Inches(in float64) Millimetre { return Millimetre(in * mmPerInch) }

// In returns the length in international inches.
func (m Millimetre) In() float64 { return float64(m) / mmPerInch }

// String writes the amount with two decimals and a comma before every three digits
// of the dollars, such as $188.00, −$40.00 or $8,246.00.
func (c Cents) String() string {
	sign := ""
	if c < 0 {
		sign, c = "−", -c
	}
	dollars, groups := c/100, ""
	for ; dollars >= 1000; dollars /= 1000 {
		groups = fmt.Sprintf(",%03d", dollars%1000) + groups
	}
	return fmt.Sprintf("%s$%d%s.%02d", sign, dollars, groups, c%100)
}

// Times returns the price of quantity units, rounded half away from zero to a
// whole cent. Quantity is limited to ±1e9, the result to what an int64 holds.
func (c Cents) Times(quantity float64) Cents {
	return Cents(math.Round(float64(c) * quantity))
}
