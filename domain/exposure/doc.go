// Package exposure answers what the temperature an animal lived through did to
// it: how warm it is inside and on its surface, how much growth its surface may
// carry, how far it has become tender, and for how long it was too warm.
//
//	History   the readings of one room or one probe, joined by straight lines
//	Room      the same, with running sums, so that many animals are judged at once
//	Live      carries one carcass through its stays and returns the Dose it took
//	Ahead     carries it on at a steady temperature, to forecast
//
// Formulas stand beside their sources: deep.go (heat), growth.go (spoilage),
// pathogen.go (screens), mould.go (rib mould), pace.go (tenderness, degree-days).
// Every integral is exact to 0.1 %: on the straight line between two readings
// the rates are integrated in closed form (walk.go), never in small time steps.
//
// Nothing here clears meat or condemns it. The nose and the hand outrank it.
package exposure
