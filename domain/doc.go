// Package domain holds what every part of the shop's rules shares: units, the
// five kinds of error, the species, and the shop number.
//
// The parts are packages of their own, one noun each: exposure (the temperature
// an animal lived through and what it did), ageing (protocols and readiness),
// learn (the shop's own numbers), cooler (the room), rail, round, animal (states), cutting, yield, billing,
// hold and register. They import this package and the standard library, never
// a database, a clock, a file or the web: now is always an argument.
//
// Inside: °C, kg, mm, instants in UTC. The formulas and their sources stand
// beside each function.
package domain
