package register

import (
	"encoding/hex"
	"strings"
	"time"

	"coldrail/domain"
)

// Kind says what a line records.
type Kind string

// The kinds of line.
const (
	Receipt    Kind = "receipt"
	Correction Kind = "correction"
	Handover   Kind = "handover"
)

// Kinds lists every kind.
var Kinds = []Kind{Receipt, Correction, Handover}

// Line is one line of the register, without its seal.
type Line struct {
	Seq      int64 // 1, 2, 3 ... without a gap
	Animal   domain.ShopNumber
	Kind     Kind
	At       time.Time // whole microseconds count, which is what Postgres keeps
	By       string    // initials of who entered it
	Facts    map[string]string
	Personal map[string]string // field name to Digest of its value
	Corrects int64             // the line put right, 0 unless a correction
	Why      string            // the reason of a correction, in lines from before it stood beside them
}

// Check says whether the line may be added. A personal value among the facts
// would stand in the chain for ever, so a field in the wrong place is refused.
func (l Line) Check() error {
	switch {
	case l.Seq < 1 || l.Animal == "" || l.At.IsZero() || strings.TrimSpace(l.By) == "":
		return domain.Refuse("register", "A line of the register needs its number, the animal, the time and who wrote it.")
	case l.Kind != Receipt && l.Kind != Correction && l.Kind != Handover:
		return domain.Refuse("register", "A line of the register is a receipt, a correction or a hand-over.")
	case l.Kind == Correction && (l.Corrects < 1 || l.Corrects >= l.Seq):
		return domain.Refuse("register", "Say which earlier line this one corrects.")
	case l.Kind == Correction && strings.TrimSpace(l.Why) == "" && l.Personal[Reason.Name] == "":
		return domain.Wrong("why", "Say why the line is corrected.")
	case l.Kind != Correction && l.Corrects != 0:
		return domain.Refuse("register", "Only a correction can point at another line.")
	}
	return l.checkFields()
}

func (l Line) checkFields() error {
	for name := range l.Facts {
		if f, ok := FieldNamed(name); !ok || f.Personal {
			return domain.Refuse("register", "%s does not belong among the plain facts of the register.", name)
		}
	}
	for name, digest := range l.Personal {
		raw, err := hex.DecodeString(digest)
		if !IsPersonal(name) || err != nil || len(raw) != sealSize {
			return domain.Refuse("register", "%s does not belong among the personal fields of the register.", name)
		}
	}
	return nil
}
