package ui

import (
	"math"
	"strconv"

	"coldrail/domain"
)

// grid is the step of the rail drawing: one class of width per 5 cm.
const grid = domain.Metre(0.05)

// widest is the last width class of the stylesheet, 4 m.
const widest = 80

// RailWidth returns the class that draws a length along a rail to scale, in
// steps of 5 cm: "u9" for 0.45 m. Less than one step is one step, more than
// 4 m is 4 m.
func RailWidth(along domain.Metre) string {
	n := int(math.Round(float64(along / grid)))
	return "u" + strconv.Itoa(min(max(n, 1), widest))
}

// Hung is one carcass or piece as it hangs on the drawing of a rail.
type Hung struct {
	Number    domain.ShopNumber
	Along     domain.Metre // how much of the rail it takes
	Hook      string       // the hook's number; empty where the shop numbers none
	Days      int          // since the kill
	Condition string
	Held      bool
	Part      string // "left side", "fore quarter"; empty for a whole animal
}
