package billing

import (
	"strconv"
	"strings"

	"coldrail/domain"
)

// TaxCode marks the line of a tax: its rate and sum stand in its words, so that how much
// and at which price say nothing.
const TaxCode = "tax"

// Rate is a tax on the lines marked taxable, as the shop set it: no state's rate
// comes with the program.
type Rate struct {
	Name       string
	PerMillion int // of the taxed sum: 60000 is 6 %
}

// maxRate is far above any sales tax: 30 %.
const maxRate = 300_000

// Percent writes the rate as it is said, such as "8.875 %".
func (r Rate) Percent() string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(float64(r.PerMillion)/10_000, 'f', 4, 64), "0"), ".") + " %"
}

// Check says whether the rate can be set.
func (r Rate) Check() error {
	switch {
	case strings.TrimSpace(r.Name) == "":
		return domain.Wrong("called", "Give the tax the name that stands on the bill, such as State sales tax.")
	case r.PerMillion < 0 || r.PerMillion > maxRate:
		return domain.Wrong("rate", "A rate is from 0 to 30 percent. 0 ends the tax.")
	}
	return nil
}

// ReadRate reads a rate in per cent, to four decimals.
func ReadRate(field, typed string) (perMillion int, err error) {
	whole, part, _ := strings.Cut(strings.ReplaceAll(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(typed), "%")), ",", "."), ".")
	if len(part) > 4 || whole == "" || strings.ContainsAny(whole+part, "+-") {
		return 0, domain.Wrong(field, "Type the rate in percent, such as 6 or 8.875.")
	}
	n, err := strconv.Atoi(whole + part + strings.Repeat("0", 4-len(part)))
	if err != nil {
		return 0, domain.Wrong(field, "Type the rate in percent, such as 6 or 8.875.")
	}
	return n, nil
}

// Tax returns the line of each rate on the taxable lines of one bill, reckoned once
// on their sum:
//
//	tax = taxable sum × rate, to the nearest cent, half a cent up
//
// The sum of a credit is below zero; its tax is what the same charge would have
// borne, given back. A sum of nothing bears no line. That the rounding is done on
// the sum and not line by line is the shop's rule, stated on /office/tax; whether a
// state wants it otherwise the shop asks there.
func Tax(rates []Rate, lines []Line) (taxes []Line) {
	sum := Invoice{Lines: lines}.Taxable()
	for _, r := range rates {
		cents := onSum(sum, r.PerMillion)
		if cents == 0 {
			continue
		}
		taxes = append(taxes, Line{Code: TaxCode, Label: r.Name, Quantity: 1, Unit: UnitEach, Price: cents, Total: cents,
			Why: r.Percent() + " of " + sum.String()})
	}
	return taxes
}

// Taxed is a bill of these lines as a whole: with the line of each tax, if any.
func Taxed(rates []Rate, lines []Line) []Line {
	return append(lines[:len(lines):len(lines)], Tax(rates, lines)...)
}

func onSum(sum domain.Cents, perMillion int) domain.Cents {
	if sum < 0 {
		return -onSum(-sum, perMillion)
	}
	return (sum*domain.Cents(perMillion) + 500_000) / 1_000_000
}
