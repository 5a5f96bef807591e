package learn

// Spot is one look at mould: the scaled days of growth the surface had had by
// then, and the longest growth seen.
type Spot struct {
	Days   float64 // at 1.7 °C
	Length float64 // mm
}

// FirstLength is the length mould has when it is first seen, mm. Common practice,
// no source (readiness.md section 9).
const FirstLength = 1.0

// Growth fits one animal's mould: the straight line through its spots by least
// squares,
//
//	length = 1 mm + pace (days - from)
//
// pace in mm a scaled day, from the scaled day at which it was 1 mm long. Spots
// without growth do not count. Fewer than two, or none that grows, fit nothing.
func Growth(spots []Spot) (pace, from float64, ok bool) {
	var n, days, length float64
	for _, s := range spots {
		if s.Length > 0 {
			n, days, length = n+1, days+s.Days, length+s.Length
		}
	}
	if n < 2 {
		return 0, 0, false
	}
	days, length = days/n, length/n
	var across, spread float64
	for _, s := range spots {
		if s.Length > 0 {
			across += (s.Days - days) * (s.Length - length)
			spread += (s.Days - days) * (s.Days - days)
		}
	}
	if spread <= 0 || across <= 0 {
		return 0, 0, false
	}
	pace = across / spread
	return pace, days - (length-FirstLength)/pace, true
}
