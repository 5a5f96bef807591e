// Package billing turns a price list and what was done into the lines of a bill
// in whole cents, and says what is still owed.
//
// The total is always the sum of the lines as printed, and each line is the
// printed quantity times the printed price: what a customer adds up on the
// tailgate is what the bill says. The price list in force at drop-off binds the
// order. Sources: trade.md 7.1 and 7.2 (common practice). Whether a line is
// taxed is the shop's own setting per price; the program gives no tax advice.
package billing
