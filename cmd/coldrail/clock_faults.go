//go:build faults

package main

import (
	"os"
	"strings"
	"time"
)

// clock is wrong by what the file named in COLDRAIL_CLOCK_FILE says, such as
// "-90m". Only the fault harness builds the program so: moving the machine's own
// clock would move everybody's, and Go asks the kernel without the C library that
// such tools stand in for.
func clock() time.Time {
	text, err := os.ReadFile(os.Getenv("COLDRAIL_CLOCK_FILE"))
	if err != nil {
		return time.Now()
	}
	off, err := time.ParseDuration(strings.TrimSpace(string(text)))
	if err != nil {
		panic(err)
	}
	return time.Now().Add(off)
}
