// Package round holds the twice-daily round of the cooler: when it is due, what
// is looked at in the room, and what is said of one carcass.
//
// Windows are times of day in the shop's zone, every day, closed days too. A
// round walked in its window is done, however late the tablet sends it. One
// walked after the window is late and the window stays missed for ever; nobody
// can enter yesterday's. Work done on paper in an outage shows as such.
//
// Sources: trade.md 4.1 to 4.3 and 5.6, readiness.md sections 7 and 14. The
// round is a record and a pair of eyes. It is not the room's alarm, and a clean
// round does not say that meat may be eaten.
package round
