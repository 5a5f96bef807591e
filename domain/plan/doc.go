// Package plan says which carcass is cut on which day by which cutter.
//
// A plan is judged in this order of importance (readiness.md section 11):
//
//	(0) jobs planned, as many as fit the listed days
//	(1) days past cut_by, summed over the planned jobs
//	(2) days past the promise, summed over the planned jobs
//	(3) days before ready_from, summed over the planned jobs
//	(4) nobody much later than the rest: the squares of the days past cut_by, then
//	    past the promise, summed
//	(5) earlier drop-off earlier, then id
//
// (4) is ours, before that section's own (4): where more hangs than can be cut in
// time, days late can only be shared, and of two alike the one whose last day is
// sooner goes first. Common practice, no source. It and (5) are sought by letting
// two change places until no change helps (settle.go), never at a cost to (0) to (3).
//
// Days are whole days of the calendar, minutes whole minutes. A job is cut by
// one cutter on one day, on or after its earliest day.
//
// Small shops get the best plan there is: up to about ten jobs are searched to
// the end (exact.go), (0) to (3) cannot be bettered. Larger ones are searched
// with a fixed number of steps (search.go): the plan is good, and its distance
// from the best is at most what lies between it and the bounds (bound.go), which
// come with every plan. Everything is counted in whole numbers and in steps,
// never in seconds, so one input gives one plan on any machine.
package plan
