// Package hold says what stops an animal, what a stop forbids, and what has to
// be seen before it ends.
//
// A hold is a stripe across the animal, never a condition of the meat: it keeps
// chilling, ageing and growing older under it. Each kind forbids some of four
// acts (cutting, pooling, releasing, moving) and names the evidence that closes
// it. A disease hold never closes on "the owner says it is fine": it takes the
// result itself, where it was read, its date, and who of the shop saw it.
//
// Sources: trade.md 2.4, 2.5, 5.4, 6.1 and Annex A (Hold). The program does not
// judge meat; the state's agency and the laboratory have the last word.
package hold
