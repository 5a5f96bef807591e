package hunter

import (
	"bytes"
	"testing"

	"github.com/google/uuid"
)

func TestTokenOpens(t *testing.T) {
	secret, id := bytes.Repeat([]byte{7}, 32), uuid.MustParse("0192f0c1-2345-7abc-8def-0123456789ab")
	token := Token(secret, id, 3)
	o, ok := open(token)
	if !ok || o.animal != id || !o.fits(secret, 3) || len(token) != 43 {
		t.Fatalf("%q opens as %v, %v", token, o, ok)
	}
	if Token(secret, id, 3) != token {
		t.Error("the link cannot be printed again")
	}
	for _, revision := range []int{0, 2, 4} {
		if o.fits(secret, revision) {
			t.Errorf("fits revision %d", revision)
		}
	}
	if o.fits(bytes.Repeat([]byte{8}, 32), 3) {
		t.Error("fits another secret")
	}
	// Every single changed letter is refused.
	for i := range token {
		for _, letter := range []byte("Az09-_=+/ ") {
			bad := []byte(token)
			if bad[i] == letter {
				continue
			}
			bad[i] = letter
			if o, ok := open(string(bad)); ok && o.fits(secret, 3) {
				t.Fatalf("%s passes", bad)
			}
		}
	}
}

// RFC 4231, test case 2, checks that the code is HMAC-SHA256: with the key
// "Jefe" our code is the first half of the HMAC over purpose, id and revision,
// which the same library gives; here only that it is that long and depends on
// the key.
func TestSealLength(t *testing.T) {
	a, b := seal([]byte("Jefe"), uuid.Nil, 1), seal([]byte("jefe"), uuid.Nil, 1)
	if len(a) != sealSize || bytes.Equal(a, b) {
		t.Errorf("%x and %x", a, b)
	}
}
