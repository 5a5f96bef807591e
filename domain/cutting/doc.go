// Package cutting answers the cutter's three questions: which one next and why,
// how its owner wants it, and whether what came off the table adds up.
//
// Next shuts out what may not be cut (the gates) and ranks the rest, each with
// its reasons in words; the lead may pick another. An order is checked against
// what a carcass has and against itself. The closure of weights is shown only
// where every part was weighed.
//
// Sources: trade.md 6.1, 6.2 and 6.9; readiness.md sections 10 to 12. Of the
// gates of 6.1, cutter, machine and packaging are left to the eyes of whoever
// stands there: the shop keeps no record of them.
package cutting
