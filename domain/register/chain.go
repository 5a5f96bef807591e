package register

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/binary"
	"encoding/hex"
	"maps"
	"slices"

	"coldrail/domain"
)

const (
	sealSize = sha256.Size

	// layout names the order of bytes below. A new order needs a new name, so
	// that old lines keep their seals.
	layout = "coldrail register line 1"
)

// Sealed is a line with its seal, as the register keeps it.
type Sealed struct {
	Line
	Seal [sealSize]byte
}

// Seal returns the seal of line after a line sealed prev; the first line of a
// register follows the zero seal.
//
//	seal = SHA-256(layout, prev, seq, animal, kind, at, by, facts, personal, corrects, why)
//
// Every text is preceded by its length and every list by its count, eight bytes
// big-endian, so that no two lines share their bytes. Maps go in order of key,
// the time as microseconds since 1970 UTC. SHA-256: FIPS 180-4.
func Seal(prev [sealSize]byte, line Line) [sealSize]byte {
	return sha256.Sum256(canonical(prev, line))
}

func canonical(prev [sealSize]byte, l Line) []byte {
	b := text(nil, layout)
	b = append(b, prev[:]...)
	b = number(b, l.Seq)
	b = text(b, string(l.Animal))
	b = text(b, string(l.Kind))
	b = number(b, l.At.UnixMicro())
	b = text(b, l.By)
	b = pairs(b, l.Facts)
	b = pairs(b, l.Personal)
	b = number(b, l.Corrects)
	return text(b, l.Why)
}

func number(b []byte, n int64) []byte { return binary.BigEndian.AppendUint64(b, uint64(n)) }

func text(b []byte, s string) []byte { return append(number(b, int64(len(s))), s...) }

func pairs(b []byte, m map[string]string) []byte {
	b = number(b, int64(len(m)))
	for _, key := range slices.Sorted(maps.Keys(m)) {
		b = text(text(b, key), m[key])
	}
	return b
}

// Digest returns, in hexadecimal, what stands in the chain for a personal value.
// The salt is random, at least 16 bytes (NIST SP 800-132 asks 128 bits), one for
// each value: without it a phone number could be found by trying them all.
func Digest(salt []byte, field, value string) string {
	sum := sha256.Sum256(text(text(text(nil, string(salt)), field), value))
	return hex.EncodeToString(sum[:])
}

// Matches reports whether a value and salt still kept are those the line was
// sealed with.
func (l Line) Matches(salt []byte, field, value string) bool {
	kept, ok := l.Personal[field]
	return ok && subtle.ConstantTimeCompare([]byte(kept), []byte(Digest(salt, field, value))) == 1
}

// Verify walks a register from its first line. It returns the number of the
// first line that does not fit and a sentence saying so, or 0 and nil.
func Verify(lines []Sealed) (firstBad int64, err error) { return VerifyAfter(Sealed{}, lines) }

// VerifyAfter goes on where an earlier walk ended: last is the last line found
// to fit, or the zero Sealed before the first.
func VerifyAfter(last Sealed, lines []Sealed) (firstBad int64, err error) {
	for _, l := range lines {
		want := last.Seq + 1
		if l.Seq != want {
			return want, domain.Refuse("register", "Line %d of the register is missing or out of its place.", want)
		}
		if Seal(last.Seal, l.Line) != l.Seal {
			return want, domain.Refuse("register", "Line %d of the register is not as it was written.", want)
		}
		last = l
	}
	return 0, nil
}
