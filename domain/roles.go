package domain

import (
	"slices"
	"time"
)

// Roles are the kinds of work in the shop, as a person is taken on for them. One
// person may hold several. Lead does all work but the owner's; the owner does all.
var Roles = []string{"counter", "cooler", "cutter", "lead", "owner"}

// May reports whether somebody taken on for roles may do work that is done by
// those who hold one of wanted.
func May(roles []string, wanted ...string) bool {
	for _, have := range roles {
		if have == "owner" || slices.Contains(wanted, have) {
			return true
		}
		if have == "lead" && slices.ContainsFunc(wanted, func(w string) bool { return w != "owner" }) {
			return true
		}
	}
	return false
}

// MayTakeOn reports whether somebody who holds by may take a person on for roles,
// until a day or for good (nil). The lead takes on helpers, for work other than
// the lead's or the owner's, and names the last day.
func MayTakeOn(by, roles []string, until *time.Time) error {
	if len(roles) == 0 {
		return Wrong("roles", "Give at least one kind of work.")
	}
	for _, r := range roles {
		if !slices.Contains(Roles, r) {
			return Wrong("roles", "There is no work called %s.", r)
		}
	}
	switch {
	case May(by, "owner"):
		return nil
	case !May(by, "lead"):
		return Refuse("role", "The owner takes people on, or the lead a helper.")
	case May(roles, "lead"):
		return Refuse("roles", "Only the owner makes somebody lead or owner.")
	case until == nil:
		return Wrong("ends", "Give the helper's last day. The owner can take on for good.")
	}
	return nil
}
