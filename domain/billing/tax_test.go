package billing

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"coldrail/domain"
)

// Reckoned by hand; half a cent goes up, on the sum and not line by line.
func TestTax(t *testing.T) {
	taxed := func(cents ...domain.Cents) (lines []Line) {
		for _, c := range cents {
			lines = append(lines, Line{Total: c, Taxable: true})
		}
		return lines
	}
	for _, tt := range []struct {
		name  string
		rate  int
		lines []Line
		want  domain.Cents
		why   string
		src   string
	}{
		{"six per cent", 60_000, taxed(12500, 2500), 900, "6 % of $150.00", "trade.md 7.2 names 6 % in one state in 2020; by hand 150.00 x 0.06 = 9.00"},
		{"three decimals", 88_750, taxed(14500), 1287, "8.875 % of $145.00", "by hand: 145.00 x 0.08875 = 12.86875"},
		{"half a cent up", 50_000, taxed(1010), 51, "5 % of $10.10", "by hand: 10.10 x 0.05 = 0.505"},
		{"on the sum", 60_000, taxed(108, 108, 108), 19, "6 % of $3.24", "by hand: 3.24 x 0.06 = 0.1944; line by line it were 0.18"},
		{"nothing taxed", 60_000, []Line{{Total: 12500}}, 0, "", "the line is not marked"},
		{"a credit", 50_000, taxed(-1010), -51, "5 % of −$10.10", "what the charge would have borne"},
		{"a credit within the bill", 60_000, taxed(12500, -2500), 600, "6 % of $100.00", "by hand: 100.00 x 0.06"},
		{"no rate", 0, taxed(12500), 0, "", "a rate of nothing ends the tax"},
	} {
		lines := Tax([]Rate{{Name: "Sales tax", PerMillion: tt.rate}}, tt.lines)
		if got := (Invoice{Lines: lines}).Total(); got != tt.want || tt.src == "" || (len(lines) == 1) != (tt.why != "") || len(lines) == 1 && (lines[0].Why != tt.why || lines[0].Taxable) {
			t.Errorf("%s: %+v, want %v (%s)", tt.name, lines, tt.want, tt.src)
		}
	}
}

// For any bill with any taxes the total is the sum of the printed lines, each tax
// line is the exact product to the nearest cent, and no tax bears tax.
func TestTotalWithTaxIsTheSumOfPrintedLines(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	for range 2000 {
		var lines []Line
		var untaxed, taxed int64
		for range r.IntN(12) {
			l := Line{Total: domain.Cents(r.Int64N(200_000) - 20_000), Taxable: r.IntN(2) == 0}
			l.Quantity, l.Price = 1, l.Total
			if lines = append(lines, l); l.Taxable {
				taxed += int64(l.Total)
			} else {
				untaxed += int64(l.Total)
			}
		}
		rates := []Rate{{"State", r.IntN(maxRate + 1)}, {"County", r.IntN(maxRate + 1)}}
		want := untaxed + taxed
		for _, rate := range rates {
			want += nearest(taxed, rate.PerMillion)
		}
		all := Invoice{Lines: append(lines, Tax(rates, lines)...)}
		var printed int64
		for _, l := range all.Lines {
			printed += cents(t, l.Total.String())
			if l.Code == "tax" && (l.Quantity != 1 || l.Price != l.Total || l.Total == 0) {
				t.Fatalf("%+v", l)
			}
		}
		if cents(t, all.Total().String()) != printed || printed != want || all.Taxable() != domain.Cents(taxed) {
			t.Fatalf("printed %d, total %v, want %d", printed, all.Total(), want)
		}
	}
}

// nearest is the exact product as a fraction, to the nearest cent, half a cent away
// from zero.
func nearest(sum int64, perMillion int) int64 {
	exact := new(big.Rat).Mul(big.NewRat(sum, 1), big.NewRat(int64(perMillion), 1_000_000))
	half := big.NewRat(1, 2)
	if exact.Sign() < 0 {
		return -nearest(-sum, perMillion)
	}
	exact.Add(exact, half)
	return new(big.Int).Quo(exact.Num(), exact.Denom()).Int64()
}

func TestReadRate(t *testing.T) {
	for typed, want := range map[string]int{"6": 60_000, "8.875": 88_750, " 7,25 % ": 72_500, "0": 0, "0.0001": 1} {
		got, err := ReadRate("rate", typed)
		if err != nil || got != want {
			t.Errorf("%q: %d, %v", typed, got, err)
		}
	}
	for _, typed := range []string{"", "six", "-1", "1.23456", ".5", "6.x"} {
		if _, err := ReadRate("rate", typed); domain.As(err).At != "rate" {
			t.Errorf("%q: %v", typed, err)
		}
	}
	for _, r := range []Rate{{"", 60_000}, {"Tax", -1}, {"Tax", maxRate + 1}} {
		if r.Check() == nil {
			t.Errorf("%+v was taken", r)
		}
	}
	if p := (Rate{PerMillion: 88_750}).Percent() + (Rate{PerMillion: 100_000}).Percent(); p != "8.875 %10 %" {
		t.Error(p)
	}
}
