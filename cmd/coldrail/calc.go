package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"coldrail/domain"
)

// calculation turns one object into one result, or refuses it.
type calculation func(*object) (any, error)

// kinds are the calculations there are, by name.
var kinds = []struct {
	name string
	do   calculation
}{
	{"readiness", calcReadiness},
	{"yield", calcYield},
	{"warmup", calcWarmup},
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
	status := 0
	if wrong, ok := errors.AsType[*domain.Error](err); ok {
		r := refusal{}
		r.Error.Field, r.Error.Message = wrong.At, wrong.Error()
		result, status = r, 2
	} else if err != nil {
		return 1
	}
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	if encoder.Encode(result) != nil {
		return 1
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
