package animal

import (
	"time"

	"coldrail/domain"
)

// After-hours drops (trade.md 1.5, common practice, no source): whoever opens in
// the morning counts carcasses and cards and pairs them. What has no other half is
// called about by nine; without contact within a day the warden is called.
const (
	nightCallHour = 9
	nightWarden   = 24 * time.Hour
)

// CallBy is nine o'clock of the day it was found, or the moment itself where it
// was found later than that. loc is the shop's zone.
func CallBy(found time.Time, loc *time.Location) time.Time {
	y, m, d := found.In(loc).Date()
	nine := time.Date(y, m, d, nightCallHour, 0, 0, 0, loc)
	if nine.Before(found) {
		return found
	}
	return nine
}

// WardenBy is when the warden is called if nobody has been reached.
func WardenBy(found time.Time) time.Time { return found.Add(nightWarden) }

// Find is one carcass or one card of the bay as it was found.
type Find struct {
	Card    bool
	Number  domain.ShopNumber // the half of the pre-numbered tag; empty: none on it
	Reads   string            // card: the name as it reads; carcass: what marks it
	Phone   string
	Tag     string // the state's number
	Species domain.Species
	Deep    *domain.Celsius
	Note    string
}

// Check says whether the find may be written down.
func (f Find) Check() error {
	if f.Number != "" {
		if _, err := domain.ParseShopNumber("number", string(f.Number)); err != nil {
			return err
		}
	}
	switch {
	case f.Card && f.Number == "" && f.Reads == "" && f.Phone == "":
		return domain.Wrong("reads", "Write what can be read on the card: number, name or phone.")
	case !f.Card && f.Species == "":
		return domain.Wrong("species", "Say what kind of animal it is.")
	case f.Species != "" && !f.Species.Known():
		return domain.Wrong("species", "We do not know this species. Choose one from the list.")
	case f.Deep != nil && !(*f.Deep >= minTemp && *f.Deep <= maxTemp):
		return domain.Wrong("deep", "That temperature cannot be right. Measure again, from %v to %v.", minTemp, maxTemp)
	}
	return nil
}
