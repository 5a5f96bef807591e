package ageing

import (
	"time"

	"coldrail/domain/exposure"
)

// Stood is how an animal stood at one moment of its past.
type Stood struct {
	At time.Time
	Verdict
}

// Course returns how the animal stood at each of the instants, none before it was
// received: what Judge would have said then, from the looks and the readings up to
// that moment. Its last entry, taken at now, is Judge itself. Errors are those of
// Judge.
func Course(f Facts, stays []exposure.Stay, instants ...time.Time) ([]Stood, error) {
	list := make([]Stood, 0, len(instants))
	for _, at := range instants {
		v, err := Judge(f, stays, at)
		if err != nil {
			return nil, err
		}
		list = append(list, Stood{at, v})
	}
	return list, nil
}
