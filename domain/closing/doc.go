// Package closing is the end of the shop's day: the heads that came and went, the
// drawer counted against what was taken, the things looked at before the door is
// locked, and what stands open overnight (trade.md 4.5 and 7.2).
package closing
