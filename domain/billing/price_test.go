package billing

import (
	"math"
	"testing"

	"coldrail/domain"
)

func TestCharge(t *testing.T) {
	for _, tt := range []struct {
		name     string
		item     Item
		quantity float64
		printed  float64
		want     domain.Cents
		minimum  bool
		src      string
	}{
		{"flat deer", Item{Basis: PerAnimal, Price: 12500}, 1, 1, 12500, false, "trade.md 7.1: $95-185"},
		{"beef by the hanging pound", Item{Basis: LbHanging, Price: 95}, 62.35, 62.4, 5928, false, "by hand: 62.4 x 0.95 = 59.28"},
		{"half a cent goes up", Item{Basis: LbFinished, Price: 325}, 4.1, 4.1, 1333, false, "by hand: 4.1 x 3.25 = 13.325"},
		{"below the minimum", Item{Basis: LbFinished, Price: 450, Minimum: 2500}, 3, 3, 2500, true, "by hand: 13.50 is less than 25.00"},
		{"at the minimum", Item{Basis: LbFinished, Price: 500, Minimum: 2500}, 5, 5, 2500, false, "by hand: 5 x 5.00"},
		{"nothing done", Item{Basis: LbFinished, Price: 450, Minimum: 2500}, 0.04, 0, 0, false, "prints as 0.0 lb"},
		{"three capes", Item{Basis: Each, Price: 2500}, 3, 3, 7500, false, "by hand"},
	} {
		line, err := tt.item.Charge(tt.quantity)
		if tt.src == "" || err != nil || line.Total != tt.want || line.Minimum != tt.minimum || line.Quantity != tt.printed {
			t.Errorf("%s: %+v, %v; want %v for %v (%s)", tt.name, line, err, tt.want, tt.printed, tt.src)
		}
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1), 10001} {
		if _, err := (Item{Basis: Each, Price: 1}).Charge(bad); domain.As(err).Kind != domain.Invalid {
			t.Errorf("quantity %v: %v", bad, err)
		}
	}
}

func TestItemCheck(t *testing.T) {
	for _, tt := range []struct {
		name string
		edit func(*Item)
		at   string
	}{
		{"good", func(*Item) {}, ""},
		{"free", func(i *Item) { i.Price = 0 }, ""},
		{"no name", func(i *Item) { i.Label = "" }, "label"},
		{"by the mile", func(i *Item) { i.Basis = "mile" }, "basis"},
		{"below nothing", func(i *Item) { i.Price = -1 }, "price"},
		{"a fortune", func(i *Item) { i.Price = 100_000_01 }, "price"},
		{"minimum below nothing", func(i *Item) { i.Minimum = -1 }, "minimum"},
	} {
		i := Item{Code: "deer", Label: "Deer, cut and wrapped", Basis: PerAnimal, Price: 12500}
		tt.edit(&i)
		if err := i.Check(); (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}
