package domain

import (
	"testing"
	"time"
)

// Who does whose work: design.md's five kinds of people, one row each. The lead
// does everything but what asks for the owner by name.
func TestMay(t *testing.T) {
	for _, tt := range []struct {
		roles  []string
		wanted []string
		may    bool
	}{
		{[]string{"cutter"}, []string{"cutter"}, true},
		{[]string{"cutter"}, []string{"counter"}, false},
		{[]string{"cooler", "counter"}, []string{"counter"}, true},
		{[]string{"cutter"}, []string{"lead", "owner"}, false},
		{[]string{"lead"}, []string{"counter"}, true},
		{[]string{"lead"}, []string{"lead", "owner"}, true},
		{[]string{"lead"}, []string{"owner"}, false},
		{[]string{"owner"}, []string{"owner"}, true},
		{[]string{"owner"}, []string{"cooler"}, true},
		{nil, []string{"counter"}, false},
	} {
		if got := May(tt.roles, tt.wanted...); got != tt.may {
			t.Errorf("May(%v, %v) = %v", tt.roles, tt.wanted, got)
		}
	}
}

func TestMayTakeOn(t *testing.T) {
	sunday := time.Date(2026, 11, 22, 0, 0, 0, 0, time.UTC)
	owner, lead, cutter := []string{"owner"}, []string{"lead"}, []string{"cutter"}
	for _, tt := range []struct {
		by, roles []string
		until     *time.Time
		at        string // field of the refusal; empty: allowed
	}{
		{owner, []string{"lead"}, nil, ""},
		{owner, []string{"owner"}, nil, ""},
		{lead, cutter, &sunday, ""},
		{lead, cutter, nil, "ends"},
		{lead, []string{"lead"}, &sunday, "roles"},
		{lead, []string{"cutter", "owner"}, &sunday, "roles"},
		{cutter, cutter, &sunday, "role"},
		{owner, nil, nil, "roles"},
		{owner, []string{"boss"}, nil, "roles"},
	} {
		err := MayTakeOn(tt.by, tt.roles, tt.until)
		if (err == nil) != (tt.at == "") || err != nil && As(err).At != tt.at {
			t.Errorf("MayTakeOn(%v, %v, %v) = %v, want a refusal at %q", tt.by, tt.roles, tt.until, err, tt.at)
		}
	}
}
