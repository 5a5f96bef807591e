package statute

import "coldrail/domain"

// Shares counts into how many parts an animal may be sold before its kill.
const Shares Unit = "shares"

// ShareLimit finds into how many shares the rules let an animal of species s be sold,
// the fewest of them, and by which rule; nil: none speaks of it.
func ShareLimit(rules []Rule, s domain.Species) (most int, by *Rule) {
	for i, r := range rules {
		if r.Topic == Livestock && r.Unit == Shares && r.For(s, "") && (by == nil || r.Count < most) {
			most, by = r.Count, &rules[i]
		}
	}
	return most, by
}

// checkShares holds a rule that counts shares against what it can be about.
func (r Rule) checkShares() error {
	switch {
	case r.Unit != Shares:
		return nil
	case r.Topic != Livestock:
		return domain.Wrong("topic", "Shares are counted by a rule about livestock.")
	case r.Starts != FromKill:
		return domain.Wrong("starts", "A part can be sold only before the kill: count shares from the kill.")
	}
	return nil
}
