package hunter

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
)

// Yours names the animal to its owner, such as "your deer".
func Yours(ctx context.Context, s domain.Species) string { return yours(ctx, s) }

// Window says between which days an animal is likely to be cut, in the words of its
// owner's page.
func Window(ctx context.Context, verdict *ageing.Verdict, now time.Time) string {
	return likely(ctx, verdict, now)
}
