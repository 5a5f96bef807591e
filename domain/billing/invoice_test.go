package billing

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"coldrail/domain"
)

var list = []Item{
	{Code: "deer", Label: "Deer, cut and wrapped", Basis: PerAnimal, Price: 12500},
	{Code: "beef-cut", Label: "Beef, cut and wrapped", Basis: LbHanging, Price: 95, Minimum: 20000},
	{Code: "summer", Label: "Summer sausage", Basis: LbFinished, Price: 525, Taxable: true},
	{Code: "cape", Label: "Cape for a mount", Basis: Each, Price: 5000},
}

func TestLines(t *testing.T) {
	hanging := domain.Pounds(590)
	lines, err := Lines(list, []Done{{Code: "summer", Finished: domain.Pounds(13.2)}, {Code: "beef-cut"}, {Code: "cape"}}, &hanging)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 590 x 0.95 = 560.50 (the 590-lb carcass of trade.md 6.9); 13.2 x 5.25 = 69.30; 50.00.
	i := Invoice{Lines: lines}
	if len(lines) != 3 || lines[0].Total != 56050 || lines[1].Total != 6930 || lines[2].Total != 5000 || i.Total() != 67980 || i.Taxable() != 6930 {
		t.Errorf("%+v, total %v, taxable %v", lines, i.Total(), i.Taxable())
	}
	if _, err := Lines(list, []Done{{Code: "beef-cut"}}, nil); domain.As(err).Kind != domain.Refused {
		t.Errorf("billed by a weight nobody took: %v", err)
	}
	if _, err := Lines(list, []Done{{Code: "goat"}}, nil); domain.As(err).Kind != domain.Invalid {
		t.Errorf("a price nobody wrote: %v", err)
	}
}

// For any list, any work and any weights, what the customer adds up from the
// printed lines is the total, and each line is printed quantity times price.
func TestTotalIsTheSumOfPrintedLines(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 2000 {
		var items []Item
		var done []Done
		for n := range 1 + r.IntN(12) {
			code := fmt.Sprint("c", n)
			items = append(items, Item{Code: code, Label: code, Basis: Bases[r.IntN(4)], Price: domain.Cents(r.Int64N(100_000)), Minimum: domain.Cents(r.Int64N(3) * r.Int64N(5000))})
			done = append(done, Done{Code: code, Count: r.IntN(9), Finished: domain.Kilogram(r.Float64() * 200)})
		}
		hanging := domain.Kilogram(r.Float64() * 400)
		lines, err := Lines(items, done, &hanging)
		if err != nil || len(lines) != len(items) {
			t.Fatalf("%d lines of %d: %v", len(lines), len(items), err)
		}
		if r.IntN(3) == 0 {
			credit, err := Credit(domain.Cents(1+r.Int64N(5000)), "a pack short")
			if err != nil {
				t.Fatal(err)
			}
			lines = append(lines, credit)
		}
		var sum int64
		for _, l := range lines {
			sum += cents(t, l.Total.String())
			if want := tenths(l); !l.Minimum && int64(l.Total) != want {
				t.Fatalf("%+v: printed quantity times price is %d cents", l, want)
			}
		}
		i := Invoice{Lines: lines}
		if cents(t, i.Total().String()) != sum {
			t.Fatalf("the lines add up to %d cents, the bill says %v", sum, i.Total())
		}
	}
}

// cents reads an amount back as a person does, from the print.
func cents(t *testing.T, printed string) int64 {
	t.Helper()
	var dollars, rest int64
	if _, err := fmt.Sscanf(strings.ReplaceAll(strings.TrimPrefix(printed, "−"), ",", ""), "$%d.%02d", &dollars, &rest); err != nil {
		t.Fatalf("%q: %v", printed, err)
	}
	if strings.HasPrefix(printed, "−") {
		return -(dollars*100 + rest)
	}
	return dollars*100 + rest
}

// tenths multiplies the printed quantity (in tenths) by the price in integers,
// half a cent away from zero: no float comes near it.
func tenths(l Line) int64 {
	var whole, tenth int64
	fmt.Sscanf(fmt.Sprintf("%.1f", l.Quantity), "%d.%d", &whole, &tenth)
	product := (whole*10 + tenth) * int64(l.Price)
	if product < 0 {
		return -((-product + 5) / 10)
	}
	return (product + 5) / 10
}

func TestBalance(t *testing.T) {
	i := Invoice{Lines: []Line{{Total: 18800}}, Payments: []Payment{{Deposit, 5000}}}
	for _, tt := range []struct {
		name    string
		payment Payment
		at      string
		balance domain.Cents
	}{
		{"part", Payment{Paid, 10000}, "", 3800},
		{"too much", Payment{Paid, 3801}, "amount", 3800},
		{"the rest", Payment{Paid, 3800}, "", 0},
		{"nothing", Payment{Paid, 0}, "amount", 0},
		{"a refund of more than came", Payment{Refund, -18801}, "amount", 0},
		{"a refund", Payment{Refund, -1000}, "", 1000},
		{"a refund the wrong way round", Payment{Refund, 1000}, "amount", 1000},
		{"a tip", Payment{"tip", 1000}, "purpose", 1000},
	} {
		err := i.CheckPayment(tt.payment)
		if err == nil {
			i.Payments = append(i.Payments, tt.payment)
		}
		if (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at || i.Balance() != tt.balance {
			t.Errorf("%s: %v, balance %v, want %v", tt.name, err, i.Balance(), tt.balance)
		}
	}
	if i.paid(Deposit) != 5000 || i.Received() != 17800 {
		t.Errorf("deposits %v, received %v", i.paid(Deposit), i.Received())
	}
	if err := (Invoice{}).CheckPayment(Payment{Deposit, 5000}); err != nil {
		t.Errorf("a deposit before the bill: %v", err)
	}
}

func TestCreditNeedsAReason(t *testing.T) {
	if _, err := Credit(1000, " "); domain.As(err).At != "why" {
		t.Errorf("got %v", err)
	}
	if _, err := Credit(-1000, "a pack short"); domain.As(err).At != "amount" {
		t.Errorf("got %v", err)
	}
}

func ExampleInvoice_MayRelease() {
	i := Invoice{Lines: []Line{{Total: 18800}}, Payments: []Payment{{Deposit, 5000}}}
	fmt.Println(i.MayRelease(false))
	fmt.Println(i.MayRelease(true))
	// Output:
	// $138.00 is still owed. Take the payment, or ask the owner of the shop.
	// <nil>
}
