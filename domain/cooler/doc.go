// Package cooler watches one room: which band its air is in and what to do about
// it (bands.go), and how fast everything warms when the cooling stops
// (warmup.go).
//
// A room without a sensor says so: between rounds nobody is watching it.
package cooler
