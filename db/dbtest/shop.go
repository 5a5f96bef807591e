package dbtest

import (
	"context"
	"encoding/json"
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
	*db.DB `json:"-"`
	Ann    db.Staff // owner and lead; PIN 4711, password "correct horse battery"
	Bob    db.Staff // counter, cooler and cutter; PIN 2222
	Device uuid.UUID
	Cooler db.Cooler // "main": R1 bare with 12 hooks, R2 bare with 12, R3 livestock with 6
	Prices db.PriceList
}

// OpenShop returns a database with a working shop in it: a copy of one that was
// set up once for all tests, since its PINs alone take a tenth of a second to hash.
func OpenShop(t testing.TB) *Shop {
	t.Helper()
	server := serverFor(t)
	name, made, err := server.copyOf(t.Context(), furnished)
	if err != nil {
		t.Fatal(err)
	}
	shop := &Shop{}
	if err := json.Unmarshal([]byte(made.note), shop); err != nil {
		t.Fatal(err)
	}
	if shop.DB, err = db.Open(t.Context(), server.lend(t, name)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(shop.DB.Close)
	return shop
}

// Furnish sets the working shop up in an empty database of the caller's.
func Furnish(t testing.TB, d *db.DB) *Shop {
	t.Helper()
	shop, err := furnish(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	return shop
}

// furnished has the working shop in it; its note is the Shop as JSON.
var furnished = &mould{kind: "furnished", from: migrated, fill: func(ctx context.Context, address string) (string, error) {
	d, err := db.Open(ctx, address)
	if err != nil {
		return "", err
	}
	defer d.Close()
	shop, err := furnish(ctx, d)
	if err != nil {
		return "", err
	}
	note, err := json.Marshal(shop)
	return string(note), err
}}

func furnish(ctx context.Context, d *db.DB) (s *Shop, err error) {
	s = &Shop{DB: d}
	since := Noon.AddDate(0, -2, 0)
	shop, err := d.Shop(ctx)
	if err != nil {
		return s, err
	}
	shop.Name, shop.Zone, shop.Season, shop.HomeState = "Hollow Creek Custom Meats", "America/New_York", 26, "NY"
	if err = d.SaveShop(ctx, shop); err != nil {
		return s, err
	}
	if s.Ann, err = d.AddStaff(ctx, db.NewStaff{Name: "Ann Kessler", Initials: "AK", Roles: []string{"owner", "lead"}, PIN: "4711", Password: "correct horse battery"}, since); err != nil {
		return s, err
	}
	if s.Bob, err = d.AddStaff(ctx, db.NewStaff{Name: "Bob Tarrant", Initials: "BT", Roles: []string{"counter", "cooler", "cutter"}, PIN: "2222"}, since); err != nil {
		return s, err
	}
	if s.Device, err = d.Enrol(ctx, db.Enrolment{Initials: "AK", Password: "correct horse battery", Device: "counter tablet"}, since); err != nil {
		return s, err
	}
	if s.Cooler, err = d.AddCooler(ctx, mainCooler, mainRails); err != nil {
		return s, err
	}
	if _, err = d.AddCooler(ctx, freezer, []db.Rail{{Name: "F1", Kind: "shelf", LengthM: 3, Places: 8}}); err != nil {
		return s, err
	}
	s.Prices, err = d.AddPriceList(ctx, "Season 2026", priceItems, s.Ann.ID, since)
	return s, err
}

var (
	mainCooler = db.Cooler{Name: "main", Label: "Main cooler", Kind: "cooler", LengthM: 6, WidthM: 4, HeightM: 3,
		Panel: "polyurethane", Fans: 3, FanW: 300, OutsideC: 15}
	mainRails = []db.Rail{{Name: "R1", Kind: "bare", LengthM: 5, Places: 12}, {Name: "R2", Kind: "bare", LengthM: 5, Places: 12},
		{Name: "R3", Kind: "livestock", LengthM: 5, Places: 6}}
	freezer = db.Cooler{Name: "freezer", Label: "Freezer", Kind: "freezer", LengthM: 4, WidthM: 3, HeightM: 2.5,
		Panel: "polyurethane", Fans: 1, FanW: 100, OutsideC: 15}
	priceItems = []db.PriceItem{
		{Code: "deer-whole", Label: "Deer, cut, grind and wrap", Basis: "animal", PriceCents: 12500, Taxable: true,
			Species: []domain.Species{domain.Whitetail, domain.MuleDeer, domain.OtherDeer}},
		{Code: "skinning", Label: "Skinning", Basis: "animal", PriceCents: 2500,
			Species: []domain.Species{domain.Whitetail, domain.MuleDeer, domain.OtherDeer}, Forms: []domain.Form{domain.WholeHideOn}},
		{Code: "beef-cut", Label: "Beef, cut and wrap", Basis: "lb-hanging", PriceCents: 110, MinimumCents: 20000, Species: []domain.Species{domain.Beef}},
		{Code: "summer-sausage", Label: "Summer sausage", Basis: "lb-finished", PriceCents: 550, Treatments: []string{"summer-sausage"}},
		{Code: "rush", Label: "Rush, front of the line", Basis: "each", PriceCents: 4000},
		{Code: "deposit", Label: "Deposit", Basis: "each", PriceCents: 5000},
	}
)

// Act is a fresh act of staff at now on the shop's device.
func (s *Shop) Act(by db.Staff, now time.Time) db.Act {
	return db.Act{ID: uuid.Must(uuid.NewV7()), At: now, Staff: by.ID, Device: s.Device}
}

// Tag is the shop number of the running-th roll tag of the season.
func Tag(running int) domain.ShopNumber { return domain.NewShopNumber(26, running) }
