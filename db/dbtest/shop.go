package dbtest

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/domain"

	"github.com/google/uuid"
)

// Noon is a fixed instant in the season that tests use as now.
var Noon = time.Date(2026, 11, 19, 17, 0, 0, 0, time.UTC)

// Shop is a small working shop in a database: two people, a device, a cooler
// with three rails, a freezer with one shelf and a price list.
type Shop struct {
	*db.DB
	Ann    db.Staff // owner and lead; PIN 4711, password "correct horse battery"
	Bob    db.Staff // counter, cooler and cutter; PIN 2222
	Device uuid.UUID
	Cooler db.Cooler // "main": R1 bare with 12 hooks, R2 bare with 12, R3 livestock with 6
	Prices db.PriceList
}

// OpenShop returns a database with a working shop in it.
func OpenShop(t testing.TB) *Shop {
	t.Helper()
	return Furnish(t, Open(t))
}

// Furnish sets the working shop up in an empty database of the caller's.
func Furnish(t testing.TB, d *db.DB) *Shop {
	t.Helper()
	s, ctx := &Shop{DB: d}, t.Context()
	var err error
	must := func() {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	since := Noon.AddDate(0, -2, 0)
	shop, err := s.DB.Shop(ctx)
	must()
	shop.Name, shop.Zone, shop.Season, shop.HomeState = "Hollow Creek Custom Meats", "America/New_York", 26, "NY"
	err = s.SaveShop(ctx, shop)
	must()
	s.Ann, err = s.AddStaff(ctx, db.NewStaff{Name: "Ann Kessler", Initials: "AK", Roles: []string{"owner", "lead"}, PIN: "4711", Password: "correct horse battery"}, since)
	must()
	s.Bob, err = s.AddStaff(ctx, db.NewStaff{Name: "Bob Tarrant", Initials: "BT", Roles: []string{"counter", "cooler", "cutter"}, PIN: "2222"}, since)
	must()
	s.Device, err = s.Enrol(ctx, "AK", "correct horse battery", "counter tablet", since)
	must()
	s.Cooler, err = s.AddCooler(ctx, db.Cooler{Name: "main", Label: "Main cooler", Kind: "cooler", LengthM: 6, WidthM: 4, HeightM: 3,
		Panel: "polyurethane", Fans: 3, FanW: 300, OutsideC: 15}, []db.Rail{
		{Name: "R1", Kind: "bare", LengthM: 5, Places: 12}, {Name: "R2", Kind: "bare", LengthM: 5, Places: 12}, {Name: "R3", Kind: "livestock", LengthM: 5, Places: 6}})
	must()
	_, err = s.AddCooler(ctx, db.Cooler{Name: "freezer", Label: "Freezer", Kind: "freezer", LengthM: 4, WidthM: 3, HeightM: 2.5,
		Panel: "polyurethane", Fans: 1, FanW: 100, OutsideC: 15}, []db.Rail{{Name: "F1", Kind: "shelf", LengthM: 3, Places: 8}})
	must()
	s.Prices, err = s.AddPriceList(ctx, "Season 2026", []db.PriceItem{
		{Code: "deer-whole", Label: "Deer, cut, grind and wrap", Basis: "animal", PriceCents: 12500, Taxable: true,
			Species: []domain.Species{domain.Whitetail, domain.MuleDeer, domain.OtherDeer}},
		{Code: "skinning", Label: "Skinning", Basis: "animal", PriceCents: 2500,
			Species: []domain.Species{domain.Whitetail, domain.MuleDeer, domain.OtherDeer}, Forms: []domain.Form{domain.WholeHideOn}},
		{Code: "beef-cut", Label: "Beef, cut and wrap", Basis: "lb-hanging", PriceCents: 110, MinimumCents: 20000, Species: []domain.Species{domain.Beef}},
		{Code: "summer-sausage", Label: "Summer sausage", Basis: "lb-finished", PriceCents: 550, Treatments: []string{"summer-sausage"}},
		{Code: "rush", Label: "Rush, front of the line", Basis: "each", PriceCents: 4000},
		{Code: "deposit", Label: "Deposit", Basis: "each", PriceCents: 5000},
	}, s.Ann.ID, since)
	must()
	return s
}

// Act is a fresh act of staff at now on the shop's device.
func (s *Shop) Act(by db.Staff, now time.Time) db.Act {
	return db.Act{ID: uuid.Must(uuid.NewV7()), At: now, Staff: by.ID, Device: s.Device}
}

// Tag is the shop number of the running-th roll tag of the season.
func Tag(running int) domain.ShopNumber { return domain.NewShopNumber(26, running) }
