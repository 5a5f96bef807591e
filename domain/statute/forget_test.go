package statute_test

import (
	"testing"

	"coldrail/domain/statute"
)

// trade.md 2.2, design rule: nothing is deleted while a hold, a dispute or an
// inspection is open. That a bill and a notice keep it too is the shop's own caution.
func TestWhatIsOpenKeepsARecord(t *testing.T) {
	for _, o := range []statute.Open{{InHouse: true}, {Holds: 1}, {Visits: 1}, {Notices: 2}, {Unpaid: true}, {Unending: true}} {
		if o.Keeps().Format == "" {
			t.Errorf("%+v keeps nothing", o)
		}
	}
	if w := (statute.Open{}).Keeps(); w.Format != "" {
		t.Errorf("nothing is open, and still %s", w)
	}
}
