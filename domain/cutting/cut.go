package cutting

import (
	"slices"
	"strings"

	"coldrail/domain"
)

// TreatmentIn finds the treatment in the name that a cutter gave a cut, such as
// "Summer sausage" or "Hind roasts, boneless": the longest one it names, of two as
// long the first by letter. A name without any comes back as it is, in small letters.
func TreatmentIn(cut string) Treatment {
	cut = strings.ToLower(strings.TrimSpace(cut))
	best, longest := Treatment(cut), 0
	for t, words := range treatmentWords {
		for _, said := range []string{string(t), words} {
			longer := len(said) > longest || len(said) == longest && t < best
			if longer && strings.Contains(cut, said) {
				best, longest = t, len(said)
			}
		}
	}
	return best
}

// ToCome lists the specials that were ordered and of which nothing is packed
// yet: they come back from the grinder and the smokehouse after the rest.
func ToCome(ordered map[string]int, packed map[string]domain.Kilogram) []Treatment {
	var late []Treatment
	for t := range ordered {
		if Treatment(t).later() && packed[t] == 0 {
			late = append(late, Treatment(t))
		}
	}
	slices.Sort(late)
	return late
}
