package ageing

import (
	"time"

	"coldrail/domain"
)

// Brief says how an animal stands at now in at most five words, for the board
// and the cutter's list: "ready, tender 83 %, 2 days". A hold is not in it; it
// lies across the tag. The days are the shop's own: "today" is said of nothing that
// may wait until tomorrow.
func (v Verdict) Brief(now time.Time, zone *time.Location) domain.Words {
	days := v.DaysLeft(now, zone)
	switch v.Condition {
	case Stop:
		return domain.Say("stop, the lead decides")
	case LookAtIt:
		return domain.Say("look first, open folds")
	case FirstToCut:
		return domain.Say("cut first, trim")
	case Chilling:
		if v.Waiting && v.IsChilled {
			return domain.Say("weigh it first")
		}
		return domain.Say("chilling, %v deep", v.Deep)
	case Past:
		return domain.Say("past its day, cut")
	case Ready:
		return v.briefReady(days)
	case Nearly:
		return domain.Say("nearly, tender %d\u00a0%%", Percent(v.Tender))
	}
	if v.Tenders {
		return domain.Say("tender %d\u00a0%%, hanging", Percent(v.Tender))
	}
	return domain.Say("hanging")
}

// briefReady is Brief of what is ready, with days to spare.
func (v Verdict) briefReady(days int) domain.Words {
	switch {
	case days < 1 && v.Aged:
		return domain.Say("ready, tender %d\u00a0%%, today", Percent(v.Tender))
	case days < 1:
		return domain.Say("ready, cut today")
	case days == 1 && v.Aged:
		return domain.Say("ready, tender %d\u00a0%%, 1\u00a0day", Percent(v.Tender))
	case days == 1:
		return domain.Say("ready, cold, 1\u00a0day")
	case !v.Aged:
		return domain.Say("ready, cold, %d\u00a0days", days)
	}
	return domain.Say("ready, tender %d\u00a0%%, %d\u00a0days", Percent(v.Tender), days)
}

// Percent is a tenderness in whole hundredths, cut and not rounded: 79.9 is not yet
// 80, wherever it is said.
func Percent(tender float64) int { return int(100*tender + 1e-9) }

// DaysLeft counts the days of the shop's calendar until the last day to cut, as the
// cut plan does: 0 today, 1 tomorrow; below 0 it is gone.
func (v Verdict) DaysLeft(now time.Time, zone *time.Location) int {
	return domain.DaysUntil(now, v.CutBy, zone)
}
