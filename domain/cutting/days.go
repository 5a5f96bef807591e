package cutting

import "coldrail/domain"

// Days is how many days from the kill the owner wants the animal to hang, and what
// came of it.
type Days struct {
	Wanted  int    // by the owner; 0: as the shop does
	Settled int    // what stands: Wanted, or fewer where it was shortened and the owner told
	Why     string // of the lead, where Settled is more than its kind allows
}

// Settle says what stands of a wish. ceiling is the most days from the kill for the
// animal's kind, 0 for no rule; told says that the owner knows it was shortened; leads,
// that whoever writes is a lead or the owner of the shop.
//
// Above the ceiling there are two ways and no third: shorten it and tell the owner, or
// the lead gives a reason (Annex E 17). The warnings of the ceiling stay on either way.
func (d Days) Settle(ceiling int, told, leads bool) (Days, error) {
	switch {
	case d.Wanted < 0 || d.Wanted > 60:
		return d, domain.Wrong("days", "Write the days from the kill, from 1 to 60, or leave it empty.")
	case d.Wanted <= ceiling || ceiling == 0:
		return Days{Wanted: d.Wanted, Settled: d.Wanted}, nil
	case told:
		return Days{Wanted: d.Wanted, Settled: ceiling}, nil
	case d.Why == "":
		return d, domain.Wrong("days", "%d days are too many: this kind hangs %d days from the kill at the most. Shorten it and tell the owner, or the lead says why longer.", d.Wanted, ceiling)
	case !leads:
		return d, domain.Refuse("days", "Only the lead or the owner of the shop lets it hang longer than %d days. Hand the tablet over, or shorten it and tell the owner.", ceiling)
	}
	return Days{Wanted: d.Wanted, Settled: d.Wanted, Why: d.Why}, nil
}

// Words says what stands; no format where nothing was wished.
func (d Days) Words() domain.Words {
	switch {
	case d.Wanted == 0:
		return domain.Words{}
	case d.Settled < d.Wanted:
		return domain.Say("Hang %d days from the kill. The owner wanted %d; shortened, and the owner was told.", d.Settled, d.Wanted)
	case d.Why != "":
		return domain.Say("Hang %d days from the kill, longer than its kind allows, by the lead: %s", d.Settled, d.Why)
	}
	return domain.Say("Hang %d days from the kill.", d.Settled)
}
