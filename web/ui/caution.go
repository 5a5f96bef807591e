package ui

import (
	"context"

	"coldrail/domain"
)

// ReadinessCaution stands wherever a page says ready, nearly or cut by.
func ReadinessCaution(ctx context.Context) string {
	return T(ctx, "“Ready” means it has hung long enough. It does not say the meat is fit to eat. Look, smell and probe every carcass before the knife. Local code and the licensed person in charge have the last word.")
}

// RoomCaution stands wherever a page shows a cooler or freezer.
func RoomCaution(ctx context.Context) string {
	return T(ctx, "Coldrail is a record and a second pair of eyes, not the alarm. Each cooler and freezer needs its own battery-backed temperature alarm that phones two people.")
}

// WarmRoomCaution stands beside what a warm night may have done to meat.
func WarmRoomCaution(ctx context.Context) string {
	return T(ctx, "These figures come from a model of an average carcass. A probe in the meat, your nose and your inspector count for more. When in doubt, throw it out.")
}

// RuleCaution stands wherever a rule of a state is shown where work meets it.
func RuleCaution(ctx context.Context) string {
	return T(ctx, "Confirm with your state before relying on it.")
}

// TestCaution stands wherever a page speaks of a disease test.
func TestCaution(ctx context.Context) string {
	return T(ctx, "“Not detected” means the test found nothing in that sample. It is not a promise about the meat. Follow your state's wildlife agency and health department.")
}

// MouldCaution stands wherever a page speaks of mould.
func MouldCaution(ctx context.Context) string {
	return T(ctx, "Dry white threads on fat or inside the ribs are a sign of time. Black, green, pink or slimy growth, or any growth on meat, is a fault: trim it off well beyond what you see, and do not breathe the dust. If unsure, do not use it.")
}

// ModelCaution stands under the sums that show how a figure was found.
func ModelCaution(ctx context.Context) string {
	return T(ctx, "A figure from a formula, given with its range. It helps to choose which carcass to look at first. It never replaces looking.")
}

// CureCaution stands wherever a page reckons a cure.
func CureCaution(ctx context.Context) string {
	return T(ctx, "Too much nitrite poisons people; too little lets worse things grow. Weigh the cure on a gram scale, read the percent on the bag, and have a second person look. Your inspector and your tested process have the last word.")
}

// CookCaution stands wherever a page holds cooking or cooling against a table.
func CookCaution(ctx context.Context) string {
	return T(ctx, "The tables are a record's yardstick, no promise about the meat. They suppose a humid house and a true probe. Local code and the licensed person in charge decide; bear and wild hog are cooked to %s.", domain.Fahrenheit(165))
}
