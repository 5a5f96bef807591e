package coolers

import (
	"context"

	"coldrail/domain/logger"
	"coldrail/web/ui"
)

// gapsNamed is how many gaps of a file are named one by one.
const gapsNamed = 20

func unitOptions(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "file", Label: ui.T(ctx, "The file says it")}, {Value: "F", Label: "°F"}, {Value: "C", Label: "°C"}}
}

func unitTicked(unit string) string {
	if unit == "" {
		return "file"
	}
	return unit
}

func unitSaid(ctx context.Context, v importView) string {
	switch {
	case v.Found.Unit != "":
		return ui.T(ctx, "°%s, from the header", string(v.Found.Unit))
	case v.Unit == string(logger.Fahrenheit) || v.Unit == string(logger.Celsius):
		return ui.T(ctx, "°%s, as you said", v.Unit)
	}
	return ui.T(ctx, "named in each row")
}

func zoneSaid(ctx context.Context, v importView) string {
	if v.Found.Zoned || v.Told == nil {
		return ui.T(ctx, "the times carry it")
	}
	return ui.T(ctx, "%s, as you said", v.Told.String())
}
