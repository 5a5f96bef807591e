// Package register holds the legal register of what came in and what went out:
// lines that are only ever added, each sealed over the one before it.
//
// One line stands for one receipt; a hand-over adds a second, and a mistake is
// put right by a further line that says which one it corrects, and why. The
// seal is SHA-256 (FIPS 180-4) over the seal before and the line's own bytes in
// a fixed order, so that a changed, moved, added or missing line shows.
//
// What names a person is not in the line itself but as a salted digest. When
// its time is over, value and salt are deleted and the chain stays whole.
//
// A chain cannot show that lines were cut off its end. The last seal is
// therefore printed on every register handed to a visitor: a later copy must
// still contain it.
//
// The fields are the union of the state rules in trade.md 2.1 and Annex D. The
// state's own rule and its officer have the last word on what is owed.
package register
