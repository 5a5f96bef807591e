package exposure

import (
	"math"

	"coldrail/domain"
)

// On a straight stretch from T0 to T1 the mean of a rate r is
//
//	(R(T1) - R(T0)) / (T1 - T0),   R the integral of r over temperature,
//
// whatever jumps r makes on the way. R is kept for every rate on a grid of
// 0.05 °C, between whose points the rate is a straight line: its error is below
// 0.01 %. Every temperature at which a rate jumps lies on the grid.
const (
	gridStep  = 0.05
	gridCells = 2000 // -40 to 60 °C
)

// cell is one step of the grid: the integral up to its lower end, and the rate
// in it as rate + slope x.
type cell [rateCount]struct{ area, rate, slope float64 }

var grid = layGrid()

func layGrid() *[gridCells]cell {
	var cells [gridCells]cell
	for r, rate := range rates {
		area := 0.0
		for i := range cells {
			low := float64(MinCelsius) + gridStep*float64(i)
			// Just inside the ends, so that a jump on the grid stays between cells.
			a, b := rate(domain.Celsius(low+1e-9)), rate(domain.Celsius(low+gridStep-1e-9))
			cells[i][r].area, cells[i][r].rate, cells[i][r].slope = area, a, (b-a)/gridStep
			area += gridStep * (a + b) / 2
		}
	}
	return &cells
}

// place returns the cell t lies in and how far into it.
func place(t float64) (i int, x float64) {
	i = min(max(int((t-float64(MinCelsius))/gridStep), 0), gridCells-1)
	return i, t - float64(MinCelsius) - gridStep*float64(i)
}

// addMean adds to sum[from:to] the mean of each rate between t0 and t1 times
// days. At one temperature the formula itself is asked, so that a limit counts
// exactly as its function says.
func addMean(sum *[rateCount]float64, from, to int, t0, t1, days float64) {
	if math.Abs(t1-t0) < 1e-12 {
		for r := from; r < to; r++ {
			sum[r] += rates[r](domain.Celsius(t1)) * days
		}
		return
	}
	i, x := place(t0)
	j, y := place(t1)
	a, b := &grid[i], &grid[j]
	if i == j {
		mid := (x + y) / 2
		for r := from; r < to; r++ {
			sum[r] += (a[r].rate + a[r].slope*mid) * days
		}
		return
	}
	per := days / (t1 - t0)
	for r := from; r < to; r++ {
		low := a[r].area + x*(a[r].rate+a[r].slope*x/2)
		high := b[r].area + y*(b[r].rate+b[r].slope*y/2)
		sum[r] += (high - low) * per
	}
}
