//go:build !faults

package main

import "time"

// clock is the program's clock. The fault harness builds the program with one it
// can move (clock_faults.go).
func clock() time.Time { return time.Now() }
