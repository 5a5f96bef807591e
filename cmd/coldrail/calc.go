package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"coldrail/domain"
)

var calcCommand = command{
	use:  "KIND < input.json",
	does: "Calculate one thing from a JSON object: readiness, yield, cure, warmup or plan.",
	help: "Reads one JSON object on standard input and writes one on standard output.\n" +
		"Needs no database and no clock. Bad input ends with status 2 and an object\n" +
		"that names the field and says why. Nothing it says clears or condemns meat.",
	run: func(_ context.Context, c call) error {
		if len(c.args) != 1 {
			return usage("calc takes one kind: readiness, yield, cure, warmup or plan")
		}
		if status := calc(c.args[0], c.in, c.out); status != statusOK {
			return silent(status)
		}
		return nil
	},
}

// calculation turns one object into one result, or refuses it.
type calculation func(*object) (any, error)

// kinds are the calculations there are, by name.
var kinds = []struct {
	name string
	do   calculation
}{
	{"readiness", calcReadiness},
	{"yield", calcYield},
	{"cure", calcCure},
	{"warmup", calcWarmup},
	{"plan", calcPlan},
}

// refusal is what bad input gets.
type refusal struct {
	Error struct {
		Field   string `json:"field"`
		Message string `json:"message"`
	} `json:"error"`
}

// calc reads one JSON object, calculates, and writes one JSON object. It needs no
// database and no clock: the time comes in the object. It returns the exit
// status: 0, 1 where reading or writing failed, or 2 for bad input, whose field
// and reason are then what is written.
func calc(kind string, in io.Reader, out io.Writer) int {
	result, err := calculate(kind, in)
	status := statusOK
	if wrong, ok := errors.AsType[*domain.Error](err); ok {
		r := refusal{}
		r.Error.Field, r.Error.Message = wrong.At, wrong.Error()
		result, status = r, statusUsage
	} else if err != nil {
		return statusFailed
	}
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	if encoder.Encode(result) != nil {
		return statusFailed
	}
	return status
}

func calculate(kind string, in io.Reader) (any, error) {
	var names []string
	for _, k := range kinds {
		if k.name != kind {
			names = append(names, k.name)
			continue
		}
		o, err := readObject(in)
		if err != nil {
			return nil, err
		}
		result, err := k.do(o)
		if err != nil {
			return nil, fmt.Errorf("calc %s: %w", kind, err)
		}
		return result, nil
	}
	return nil, domain.Wrong("", "There is no calculation %q. There are: %s.", shorten(kind), strings.Join(names, ", "))
}
