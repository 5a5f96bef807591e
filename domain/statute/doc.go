// Package statute is the shape of what a state asks of the shop: which fields the
// register owes, how long a record is kept, by when a report is due, what may be
// done while a test is out. The rules themselves are rows of the shop's database,
// each with its citation; nothing about any state stands in code (trade.md, Annex
// D, Shape of a state rule set).
//
// A rule here is a reminder of a text, not the text. Whoever relies on one asks
// the state first, and writes down who asked and when.
package statute
