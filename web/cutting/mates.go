package cutting

import (
	"context"

	"coldrail/db"
	"coldrail/web/ui"
)

func mateRole(ctx context.Context, m db.Mate) string {
	if m.Farmer {
		return ui.T(ctx, "Farmer")
	}
	return ui.Say(ctx, m.Portion.Words())
}
