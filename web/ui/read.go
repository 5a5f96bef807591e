package ui

import (
	"context"
	"math"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
)

// What a thermometer, a scale and a ruler in a meat shop can show. A number
// outside is a slip of the finger. The limits are wide on purpose; the domain
// judges by species. Common practice, no source.
var (
	coldest  = domain.Fahrenheit(-60)
	hottest  = domain.Fahrenheit(400) // the smokehouse
	heaviest = domain.Pounds(3000)
	longest  = domain.Inches(12)
)

// most is the largest amount of money one field takes, in cents.
const most = 10_000_000

// ReadTemp reads a temperature as typed, in the shop's unit unless the person
// wrote another: "38", "38.5", "3 C". Where the field may stay empty, ask
// first; an empty one is refused here.
func ReadTemp(ctx context.Context, field, typed string) (domain.Celsius, error) {
	rest, unit := splitUnit(typed, "f", "c")
	n, err := strconv.ParseFloat(rest, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, notANumber(field, typed, domain.Say("a temperature in %s, such as %s", TempUnit(ctx), TypedTemp(ctx, domain.Fahrenheit(38))))
	}
	c := domain.Fahrenheit(n)
	if unit == "c" || unit == "" && ShopOf(ctx).Metric {
		c = domain.Celsius(n)
	}
	if c < coldest || c > hottest {
		return 0, domain.Wrong(field, "%s cannot be right for a temperature. Read the thermometer again.", strings.TrimSpace(typed))
	}
	return c, nil
}

// ReadWeight reads a weight above zero, in the shop's unit unless the person
// wrote another: "88.5", "88.5 lb", "40 kg".
func ReadWeight(ctx context.Context, field, typed string) (domain.Kilogram, error) {
	rest, unit := splitUnit(typed, "lbs", "lb", "kg")
	n, err := strconv.ParseFloat(rest, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, notANumber(field, typed, domain.Say("a weight in %s, such as %s", WeightUnit(ctx), TypedWeight(ctx, domain.Pounds(88.5))))
	}
	k := domain.Pounds(n)
	if unit == "kg" || unit == "" && ShopOf(ctx).Metric {
		k = domain.Kilogram(n)
	}
	if k <= 0 || k > heaviest {
		return 0, domain.Wrong(field, "%s cannot be right for a weight. Read the scale again.", strings.TrimSpace(typed))
	}
	return k, nil
}

// ReadLength reads a small length: inches as "1/8", "1 3/16", ".125", or
// millimetres in a metric shop or after "mm".
func ReadLength(ctx context.Context, field, typed string) (domain.Millimetre, error) {
	rest, unit := splitUnit(typed, "in", `"`, "mm")
	n, ok := readFraction(rest)
	if !ok {
		return 0, notANumber(field, typed, domain.Say("a length, such as 1/8 or 3 mm"))
	}
	m := domain.Inches(n)
	if unit == "mm" || unit == "" && ShopOf(ctx).Metric {
		m = domain.Millimetre(n)
	}
	if m < 0 || m > longest {
		return 0, domain.Wrong(field, "%s cannot be right for a length. Measure again.", strings.TrimSpace(typed))
	}
	return m, nil
}

// readFraction reads "3", ".5", "1/8" and "1 3/16".
func readFraction(text string) (float64, bool) {
	var sum float64
	words := strings.Fields(text)
	if len(words) == 0 || len(words) > 2 {
		return 0, false
	}
	for i, word := range words {
		over, under, isFraction := strings.Cut(word, "/")
		if i == 1 && !isFraction {
			return 0, false
		}
		n, err := strconv.ParseFloat(over, 64)
		if isFraction && err == nil {
			var d float64
			d, err = strconv.ParseFloat(under, 64)
			n /= d
		}
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return 0, false
		}
		sum += n
	}
	return sum, true
}

// ReadMoney reads an amount of dollars and cents, such as "188", "$188.00" or
// "1,188.5". It never goes through a float. A comma stands before three digits: "1,45"
// may mean a dollar and 45 cents, which nobody is to be charged 145 dollars for.
func ReadMoney(ctx context.Context, field, typed string) (domain.Cents, error) {
	text := strings.NewReplacer("$", "", " ", "").Replace(typed)
	dollars, cents, _ := strings.Cut(text, ".")
	thousands := strings.Split(dollars, ",")
	for _, group := range thousands[1:] {
		if len(group) != 3 || thousands[0] == "" {
			text = "" // refused below
		}
	}
	dollars = strings.Join(thousands, "")
	for len(cents) < 2 {
		cents += "0"
	}
	n, err := strconv.ParseInt(dollars+cents, 10, 64)
	if err != nil || len(cents) != 2 || strings.ContainsAny(text, "+-") || text == "" || text == "." {
		return 0, notANumber(field, typed, domain.Say("an amount in dollars, such as 188.00"))
	}
	if n > most {
		return 0, domain.Wrong(field, "%s is more than one payment can be. Type it again.", strings.TrimSpace(typed))
	}
	return domain.Cents(n), nil
}

// ReadWhen reads a datetime-local field in the shop's zone.
func ReadWhen(ctx context.Context, field, typed string) (time.Time, error) {
	return readTime(ctx, field, typed, whenForm, "Choose the day and the time.")
}

// ReadDay reads a date field; the instant is midnight in the shop's zone.
func ReadDay(ctx context.Context, field, typed string) (time.Time, error) {
	return readTime(ctx, field, typed, time.DateOnly, "Choose the day.")
}

func readTime(ctx context.Context, field, typed, form, ask string) (time.Time, error) {
	t, err := time.ParseInLocation(form, strings.TrimSpace(typed), ShopOf(ctx).Zone)
	if err != nil || t.Year() < 2000 || t.Year() > 2200 {
		return time.Time{}, domain.Wrong(field, ask)
	}
	return t, nil
}

// splitUnit cuts one of the units off the end of what was typed and returns
// which it was. A comma before exactly three last digits groups thousands
// ("1,188 lb"); any other comma is a decimal point.
func splitUnit(typed string, units ...string) (rest, unit string) {
	text := strings.ToLower(strings.TrimSpace(typed))
	text = strings.NewReplacer("°", "", "−", "-").Replace(text)
	defer func() {
		if whole, part, found := strings.Cut(rest, ","); found && len(part) == 3 {
			rest = whole + part
		} else if found {
			rest = whole + "." + part
		}
	}()
	for _, u := range units {
		if cut, ok := strings.CutSuffix(text, u); ok {
			return strings.TrimSpace(cut), u
		}
	}
	return text, ""
}

func notANumber(field, typed string, want domain.Words) *domain.Error {
	if typed = strings.TrimSpace(typed); typed == "" {
		return domain.Wrong(field, "Type %s.", want)
	}
	return domain.Wrong(field, "%q cannot be read. Type %s.", typed, want)
}
