package cooler

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
	"coldrail/domain/round"
)

// Frozen returns the band of a freezer at now, by its last reading alone: at or
// below 0 °F it is fine, above 10 °F somebody has to act (trade.md 4.1; the
// second is common practice, no source). No meat ages in it, so how long it has
// been warm is for whoever looks.
func Frozen(h *exposure.History, now time.Time) Finding {
	last := h.Last()
	f := Finding{Band: Fine, Since: last.At, Air: last.C, Say: domain.Say("The air is where it should be.")}
	switch verdict, say := round.JudgeFreezerAir(last.C); verdict {
	case round.Act:
		f.Band, f.Say = Incident, say
	case round.Watch:
		f.Band, f.Say = Watch, say
	}
	return f
}
