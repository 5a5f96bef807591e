package hold

import (
	"testing"
	"time"

	"coldrail/domain"
)

var now = time.Date(2026, 11, 20, 9, 0, 0, 0, time.UTC)

func TestCheckOpen(t *testing.T) {
	standing := []Hold{
		{Kind: Quality, OpenedBy: "AN", OpenedAt: now.Add(-time.Hour)},
		{Kind: Payment, OpenedBy: "AN", OpenedAt: now.Add(-time.Hour), ClosedAt: now},
	}
	for _, tt := range []struct {
		name string
		hold Hold
		kind domain.Kind
		at   string
	}{
		{"test pending", Hold{Kind: TestPending, OpenedBy: "AN", Why: "sample sent"}, 0, ""},
		{"payment again after it was closed", Hold{Kind: Payment, OpenedBy: "AN", Why: "sausage not paid"}, 0, ""},
		{"a second of the same kind", Hold{Kind: Quality, OpenedBy: "BO", Why: "slime"}, domain.Refused, "hold"},
		{"unknown kind", Hold{Kind: "mood", OpenedBy: "AN", Why: "x"}, domain.Invalid, "kind"},
		{"no reason", Hold{Kind: Tag, OpenedBy: "AN", Why: " "}, domain.Invalid, "why"},
		{"nobody", Hold{Kind: Tag, Why: "x"}, domain.Invalid, "by"},
		{"look again yesterday", Hold{Kind: Tag, OpenedBy: "AN", Why: "x", ReviewBy: now.Add(-time.Hour)}, domain.Invalid, "review"},
	} {
		err := CheckOpen(tt.hold, standing, now)
		if tt.at == "" && err != nil || tt.at != "" && (domain.As(err).Kind != tt.kind || domain.As(err).At != tt.at) {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// The hardest hold is the one the refusal names; a closed hold forbids nothing.
func TestMay(t *testing.T) {
	holds := []Hold{{Kind: Payment}, {Kind: TestPending}, {Kind: Warden, ClosedAt: now}}
	for _, tt := range []struct {
		act  Act
		want string
	}{
		{Cut, "It is held: test result not in. Do not cut it."},
		{Pool, "It is held: test result not in. Keep its meat out of any batch."},
		{Release, "It is held: test result not in. Nothing of it leaves the shop."},
		{Move, ""},
	} {
		err := May(holds, tt.act)
		if tt.want == "" && err != nil || tt.want != "" && (err == nil || err.Error() != tt.want) {
			t.Errorf("%s: got %v, want %q", tt.act, err, tt.want)
		}
	}
	if n := len(Blocking(holds, Release)); n != 2 {
		t.Errorf("%d holds forbid release, want 2", n)
	}
	if err := May([]Hold{{Kind: Warden}}, Move); err == nil || err.Error() != "It is held: stopped by the warden. Nobody moves it." {
		t.Errorf("warden, move: %v", err)
	}
}
