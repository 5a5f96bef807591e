package cutting

import (
	"testing"

	"coldrail/web/ui"
)

// The unit is the shop's; what was said with its own words stays as it was said.
func TestSized(t *testing.T) {
	us, metric := ui.WithShop(t.Context(), ui.Shop{}), ui.WithShop(t.Context(), ui.Shop{Metric: true})
	for _, tt := range [][4]string{
		{"trim", "1", "1 lb", "1 kg"}, {"hind", "2 1/2", "2 1/2 lb", "2 1/2 kg"}, {"hind", "3-4", "3-4 lb", "3-4 kg"}, {"trim", "1.5", "1.5 lb", "1.5 kg"},
		{"trim", "1 lb", "1 lb", "1 lb"}, {"trim", "2 to 3 lb", "2 to 3 lb", "2 to 3 lb"}, {"trim", "", "", ""}, {"hind", "4 people", "4 people", "4 people"},
		{"ham", "2", "2", "2"}, {"hind", "-", "-", "-"},
	} {
		if a, b := sized(us, tt[0], tt[1]), sized(metric, tt[0], tt[1]); a != tt[2] || b != tt[3] {
			t.Errorf("%s %q: %q and %q, want %q and %q", tt[0], tt[1], a, b, tt[2], tt[3])
		}
	}
}
