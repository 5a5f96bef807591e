package incident

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Rule is one published rule for meat that was warm: more than Most above an edge.
// They are written for other foods than a hanging carcass and lie far apart, so
// they are shown side by side and none of them decides.
type Rule struct {
	Words  domain.Words
	Source string
	Main   bool // shown beside the model; the others stand under the sums
	edge   int  // of exposure.Edges
	most   time.Duration
}

// The places in exposure.Edges: 4.4, 5, 7, 10 and 21.1 °C.
const (
	above40F = iota
	above41F
	above7C
	above50F
)

// Rules are the published rules, the strictest first.
var Rules = []Rule{
	{domain.Say("2 hours above 40 °F"), "USDA and FoodSafety.gov, power cuts", true, above40F, 2 * time.Hour},
	{domain.Say("4 hours above 40 °F"), "Transylvania County health department's variant", true, above40F, 4 * time.Hour},
	{domain.Say("4 hours above 41 °F"), "Food Code, time as control (section not checked)", true, above41F, 4 * time.Hour},
	{domain.Say("2 hours above 50 °F"), "IIR 1988, chilled meat in transit", false, above50F, 2 * time.Hour},
	{domain.Say("10 hours above 7 °C"), "IIR 1988, chilled meat in transit", false, above7C, 10 * time.Hour},
	{domain.Say("5 hours above 50 °F"), "FDA Appendix 4, Salmonella and E. coli, text not checked; for food eaten raw", false, above50F, 5 * time.Hour},
	{domain.Say("2 days above 41 °F"), "FDA Appendix 4, Salmonella and E. coli, text not checked; for food eaten raw", false, above41F, 48 * time.Hour},
}

// Passed reports whether the time above each of exposure.Edges is more than the
// rule gives.
func (r Rule) Passed(above [len(exposure.Edges)]time.Duration) bool { return above[r.edge] > r.most }
