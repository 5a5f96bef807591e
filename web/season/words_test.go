package season

import (
	"testing"
	"time"

	"coldrail/domain/learn"
	"coldrail/web/ui"
)

// The chart ends now: today's animals do not stand at an evening that has not come.
func TestTheChartEndsNow(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 11, 19, 0, 0, 0, 0, time.UTC)
	v := view{This: figures{Year: 2026}, Until: day.Add(36 * time.Hour), Days: []learn.DayCount{{Day: day, House: 1}, {Day: day.AddDate(0, 0, 1), House: 2}}}
	all := v.house(ui.WithShop(t.Context(), ui.Shop{Zone: time.UTC})).Panels[0].Lines[0].Points
	if len(all) != 2 || !all[0].At.Equal(day.Add(20*time.Hour)) || !all[1].At.Equal(v.Until) {
		t.Errorf("the evenings stand at %+v", all)
	}
}
