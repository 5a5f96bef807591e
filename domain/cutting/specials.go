package cutting

// Specials are the treatments that go on after the table: they are mixed, cured,
// cooked or dried, and come back days later than the plain packs (trade.md 6.1,
// 6.5).
var Specials = []Treatment{Summer, Sticks, Bologna, JerkyGround, JerkySlices, DriedMuscle, Cured, Smoked, Bacon}
