// Package animal holds one animal's life in the shop: five tracks that run side
// by side, and what is said of it at the door.
//
// Where it is and in what shape (Physical), whether its paper is in order
// (Legal), its disease test (Disease), its cut order (OrderTrack) and its bill
// (Money) each move by themselves. Mixing them into one list is the classic
// error: a deer can hang, wait for a test and be half paid at the same moment.
//
// Each track is a written-out table of allowed moves; a pair that is absent is
// forbidden. The tables follow trade.md Annex B, and stand as text a butcher
// can check in testdata/golden/animal_moves.txt. "Ready to cut" is in none of
// them: it is computed from the cooler's record each time it is asked.
package animal
