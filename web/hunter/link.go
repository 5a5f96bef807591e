// Package hunter is the private page of an animal's owner: where it is, when,
// how much meat, how much money, in plain words and without a sign-in. It names
// nobody but the shop.
package hunter

import (
	"crypto/hmac"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/binary"
	"slices"

	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// sealSize is how many bytes of the code a link carries: 128 bits, the least
// that RFC 2104 section 5 allows for SHA-256, and half as long to scan.
const sealSize = 16

// purpose keeps the codes of links apart from any other use of the secret.
const purpose = "coldrail link of an animal's owner"

// Token is what stands behind /s/ in an owner's link: the animal's id, so that
// the page is one look-up by primary key, and a code that only the servers can
// make.
//
//	token = base64url(id, HMAC-SHA256(secret, purpose, id, revision)[:16])
//
// HMAC: RFC 2104 and FIPS 198-1. base64url without padding: RFC 4648 section 5.
func Token(secret []byte, animal uuid.UUID, revision int) string {
	return base64.RawURLEncoding.EncodeToString(append(animal[:], seal(secret, animal, revision)...))
}

// Link is the whole address, as it is printed and sent. The same animal and
// revision give the same link, so that it can be printed again; a higher
// revision makes every earlier link worthless.
func Link(publicURL string, secret []byte, animal uuid.UUID, revision int) string {
	return publicURL + "/s/" + Token(secret, animal, revision)
}

// sharePurpose keeps the codes of the links of shares apart from those of whole
// animals.
const sharePurpose = "coldrail link of one share of an animal"

// ShareLink is the whole address of one owner's page of a shared animal. Its token
// carries the portion between id and code, and its code is over both:
//
//	token = base64url(id, n, HMAC-SHA256(secret, share purpose, id, n, revision)[:16])
//
// n is the place of the portion in cutting.AllPortions, one byte.
func ShareLink(publicURL string, secret []byte, animal uuid.UUID, portion cutting.Portion, revision int) string {
	return publicURL + "/s/" + shareToken(secret, animal, portion, revision)
}

func shareToken(secret []byte, animal uuid.UUID, portion cutting.Portion, revision int) string {
	n := byte(slices.Index(cutting.AllPortions, portion))
	raw := append(animal[:], n)
	return base64.RawURLEncoding.EncodeToString(append(raw, sealOf(secret, sharePurpose, raw, revision)...))
}

func seal(secret []byte, animal uuid.UUID, revision int) []byte {
	return sealOf(secret, purpose, animal[:], revision)
}

func sealOf(secret []byte, purpose string, over []byte, revision int) []byte {
	mac := hmac.New(sha256.New, secret)
	mac.Write([]byte(purpose))
	mac.Write(over)
	mac.Write(binary.BigEndian.AppendUint64(nil, uint64(revision)))
	return mac.Sum(nil)[:sealSize]
}

// opened is a token taken apart; whether its code is right shows only once the
// animal's revision is known.
type opened struct {
	animal  uuid.UUID
	portion cutting.Portion // of a shared animal; empty: the whole
	seal    []byte
}

// open takes a token apart; ok is false for one that no server ever made.
func open(token string) (o opened, ok bool) {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(token)
	if err != nil || len(raw) < len(o.animal)+sealSize || len(raw) > len(o.animal)+1+sealSize {
		return o, false
	}
	copy(o.animal[:], raw)
	rest := raw[len(o.animal):]
	if len(rest) > sealSize {
		if n := int(rest[0]); n > 0 && n < len(cutting.AllPortions) {
			o.portion, rest = cutting.AllPortions[n], rest[1:]
		} else {
			return o, false
		}
	}
	o.seal = rest
	return o, true
}

// fits compares the code in constant time.
func (o opened) fits(secret []byte, revision int) bool {
	right := seal(secret, o.animal, revision)
	if o.portion != cutting.WholeAnimal {
		right = sealOf(secret, sharePurpose, append(o.animal[:], byte(slices.Index(cutting.AllPortions, o.portion))), revision)
	}
	return subtle.ConstantTimeCompare(o.seal, right) == 1
}
