package ui

import "context"

// conditionWords says a condition the way the shop does. The codes are those
// of the readiness contract; an unknown code is shown as it is, so that a
// mistake is seen.
func conditionWords(ctx context.Context, code string) string {
	switch code {
	case "stop":
		return T(ctx, "stop")
	case "look":
		return T(ctx, "look")
	case "cut-first":
		return T(ctx, "cut first")
	case "chilling":
		return T(ctx, "chilling")
	case "past":
		return T(ctx, "past its day")
	case "ready":
		return T(ctx, "ready to cut")
	case "nearly":
		return T(ctx, "nearly ready")
	case "hanging":
		return T(ctx, "hanging")
	}
	return code
}
