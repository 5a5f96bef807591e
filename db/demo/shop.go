package demo

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	data "coldrail/testdata/season"
)

// Crew lists who works in the demo shop.
var Crew = []Sign{
	{"June Halvorsen", OwnerInitials, "owner,lead", "4711"},
	{"Marcus Tiede", "MT", "lead,cutter", "2468"},
	{"Priya Nandan", "PN", "counter", "1357"},
	{"Sully Brandt", "SB", "cooler,cutter", "8642"},
	{"Lottie Greer", "LG", "counter,cooler", "9753"},
}

// openShop sets the shop up as its owner would before the season.
func (s *season) openShop() error {
	opened := s.now.AddDate(0, -2, 0)
	shop, err := s.db.Shop(s.ctx)
	if err != nil {
		return err
	}
	shop.Name, shop.Address, shop.Phone = "Hollow Creek Custom Meats", "12 Mill Lane, Tamsin Falls, Wick County", "607-555-0142"
	shop.Zone, shop.HomeState, shop.WardenPhone = "America/New_York", "NY", "607-555-0190"
	shop.Season = s.now.Year() % 100
	if err := s.db.SaveShop(s.ctx, shop); err != nil {
		return err
	}
	s.zone = shop.Location()
	if err := s.hireCrew(opened); err != nil {
		return err
	}
	if s.device, err = s.db.Enrol(s.ctx, db.Enrolment{Initials: OwnerInitials, Password: OwnerPassword, Device: "demo's tablet"}, opened); err != nil {
		return err
	}
	if err := s.buildRooms(); err != nil {
		return err
	}
	if err := s.setPrices(opened); err != nil {
		return err
	}
	return s.setFees(opened)
}

// setFees taxes what the list marks as taxed, and charges storage after two weeks.
func (s *season) setFees(since time.Time) error {
	owner := func() db.Act { return s.act(OwnerInitials, since) }
	if err := s.db.SetTax(s.ctx, owner(), 0, billing.Rate{Name: "County sales tax", PerMillion: 40_000}, since, "the letter of Wick County, May 4"); err != nil {
		return err
	}
	return s.db.SetStorage(s.ctx, owner(), 0, billing.StorageRule{On: true, AfterDays: 14, ADay: 100, Taxable: true}, "the county clerk, by phone: as told at drop-off")
}

func (s *season) hireCrew(opened time.Time) error {
	for _, c := range Crew {
		n := db.NewStaff{Name: c.Name, Initials: c.Initials, Roles: split(c.Roles), PIN: c.PIN}
		if c.Initials == OwnerInitials {
			n.Password = OwnerPassword
		}
		staff, err := s.db.AddStaff(s.ctx, n, opened)
		if err != nil {
			return err
		}
		s.crew[c.Initials] = staff
	}
	return nil
}

// buildRooms builds two coolers and a freezer.
func (s *season) buildRooms() error {
	rails := func(kind string, length domain.Metre, places int, names ...string) []db.Rail {
		list := make([]db.Rail, len(names))
		for i, n := range names {
			list[i] = db.Rail{Name: n, Kind: kind, LengthM: length, Places: places}
		}
		return list
	}
	main := append(rails("bare", 6.4, 16, "R1", "R2", "R3", "R4", "R5"), rails("hide-on", 6.4, 12, "R6")...)
	main = append(main, rails("hold", 4, 6, "R7")...)
	back := append(rails("livestock", 6, 10, "B1"), rails("bare", 5, 12, "B2")...)
	back = append(back, rails("shelf", 3, 10, "B3")...)
	for _, room := range []struct {
		cooler db.Cooler
		rails  []db.Rail
	}{
		{db.Cooler{Name: "main", Label: "Main cooler", Kind: "cooler", LengthM: 8, WidthM: 6, HeightM: 3.2, Panel: "polyurethane", Fans: 4, FanW: 480, OutsideC: 12}, main},
		{db.Cooler{Name: "back", Label: "Back cooler", Kind: "cooler", LengthM: 6, WidthM: 4, HeightM: 3, Panel: "polystyrene", Fans: 2, FanW: 300, OutsideC: 14}, back},
		{db.Cooler{Name: "freezer", Label: "Freezer", Kind: "freezer", LengthM: 5, WidthM: 4, HeightM: 2.8, Panel: "polyurethane", Fans: 2, FanW: 240, OutsideC: 14},
			rails("shelf", 4.5, 16, "F1", "F2", "F3", "F4", "F5", "F6")},
	} {
		if _, err := s.db.AddCooler(s.ctx, room.cooler, room.rails); err != nil {
			return err
		}
	}
	return nil
}

// setPrices puts the season's price list in force.
func (s *season) setPrices(since time.Time) error {
	rows, err := table("prices.csv")
	if err != nil {
		return err
	}
	items := make([]db.PriceItem, len(rows))
	for i, row := range rows {
		items[i] = db.PriceItem{Code: row["code"], Label: row["label"], Basis: row["basis"], Taxable: row["taxable"] == "true", Treatments: strings.Fields(row["treatments"]),
			PriceCents: domain.Cents(number(row, "price_cents")), MinimumCents: domain.Cents(number(row, "minimum_cents"))}
		for _, species := range strings.Fields(row["species"]) {
			items[i].Species = append(items[i].Species, domain.Species(species))
		}
		for _, form := range strings.Fields(row["forms"]) {
			items[i].Forms = append(items[i].Forms, domain.Form(form))
		}
	}
	_, err = s.db.AddPriceList(s.ctx, fmt.Sprintf("Season %d", s.now.Year()), items, s.crew[OwnerInitials].ID, since)
	return err
}

// table reads one of the season's CSV files as rows by column name.
func table(name string) ([]map[string]string, error) {
	f, err := data.Files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	list := make([]map[string]string, 0, len(rows)-1)
	for _, row := range rows[1:] {
		m := make(map[string]string, len(row))
		for i, cell := range row {
			m[rows[0][i]] = cell
		}
		list = append(list, m)
	}
	return list, nil
}

// number reads a figure of our own files; a slip there stops the demo.
func number(row map[string]string, column string) float64 {
	n, err := strconv.ParseFloat(row[column], 64)
	if err != nil {
		panic(fmt.Sprintf("testdata/season: %s is %q, not a number", column, row[column]))
	}
	return n
}
