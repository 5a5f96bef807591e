package cutting

import (
	"strings"

	"coldrail/domain"
)

// Takes is what of a cut animal a programme that gives meat away takes.
type Takes struct {
	WholeCuts  bool // no ground meat
	GroundOnly bool // nothing but ground meat
}

// Check says whether the rule leaves anything to be given.
func (t Takes) Check() error {
	if t.WholeCuts && t.GroundOnly {
		return domain.Wrong("whole", "Whole cuts alone and ground meat alone leave nothing to give. Tick one of the two, or neither.")
	}
	return nil
}

// Accepts reports whether packs of a cut go to the programme. What a cutter named
// without any treatment the sheets know counts as a whole cut.
func (t Takes) Accepts(cut string) bool {
	ground := TreatmentIn(cut).ground() || strings.Contains(strings.ToLower(cut), "ground")
	return !(t.WholeCuts && ground) && !(t.GroundOnly && !ground)
}

// Refuses says why packs of a cut do not go to the programme of that name, and what to
// do; nil where they do.
func (t Takes) Refuses(cut, programme string) error {
	switch {
	case t.Accepts(cut):
		return nil
	case t.WholeCuts:
		return domain.Refuse("programme", "%s takes whole cuts only, and %s is ground. Wrap it as whole cuts, or ask the food program first.", programme, cut)
	}
	return domain.Refuse("programme", "%s takes ground meat only, and %s is not ground. Grind it, or ask the food program first.", programme, cut)
}
