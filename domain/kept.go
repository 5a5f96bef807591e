package domain

import (
	"fmt"
	"time"
)

// Kept is the sentence as a record keeps it: not said yet, so that whoever reads it
// has it in their own language and units. It holds only what JSON holds.
func (w Words) Kept() map[string]any {
	with := make([]any, len(w.Args))
	for i, arg := range w.Args {
		with[i] = keptValue(arg)
	}
	return map[string]any{"say": w.Format, "with": with}
}

func keptValue(arg any) any {
	switch v := arg.(type) {
	case Words:
		return v.Kept()
	case Celsius:
		return map[string]any{"c": float64(v)}
	case Kilogram:
		return map[string]any{"kg": float64(v)}
	case Millimetre:
		return map[string]any{"mm": float64(v)}
	case int:
		return map[string]any{"n": float64(v)}
	case time.Time:
		return map[string]any{"at": v.UTC().Format(time.RFC3339)}
	case float64:
		return v
	}
	return fmt.Sprint(arg)
}

// KeptWords reads a sentence that a record keeps; is is false for anything else.
func KeptWords(kept any) (w Words, is bool) {
	m, _ := kept.(map[string]any)
	if w.Format, is = m["say"].(string); !is {
		return w, false
	}
	with, _ := m["with"].([]any)
	for _, v := range with {
		w.Args = append(w.Args, keptArg(v))
	}
	return w, true
}

func keptArg(v any) any {
	m, _ := v.(map[string]any)
	for unit, n := range m {
		f, _ := n.(float64)
		switch unit {
		case "c":
			return Celsius(f)
		case "kg":
			return Kilogram(f)
		case "mm":
			return Millimetre(f)
		case "n":
			return int(f)
		case "at":
			at, _ := time.Parse(time.RFC3339, fmt.Sprint(n))
			return at
		}
	}
	if w, is := KeptWords(v); is {
		return w
	}
	return v
}
