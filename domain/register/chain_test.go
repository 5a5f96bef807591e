package register

import (
	"encoding/hex"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"coldrail/domain"
)

// randomLine makes a line with odd bytes in it: the chain must not care.
func randomLine(r *rand.Rand, seq int64) Line {
	l := Line{
		Seq: seq, Animal: domain.NewShopNumber(26, 1+r.IntN(9999)), Kind: Kinds[r.IntN(3)],
		At: time.UnixMicro(1.79e15 + r.Int64N(1e13)), By: randomText(r), Facts: map[string]string{}, Personal: map[string]string{},
	}
	for _, f := range Fields {
		switch {
		case r.IntN(3) == 0:
		case f.Personal:
			l.Personal[f.Name] = Digest([]byte(randomText(r)), f.Name, randomText(r))
		default:
			l.Facts[f.Name] = randomText(r)
		}
	}
	if l.Kind == Correction {
		l.Corrects, l.Why = 1+r.Int64N(seq), randomText(r)
	}
	return l
}

func randomText(r *rand.Rand) string {
	b := make([]byte, r.IntN(12))
	for i := range b {
		b[i] = byte(r.IntN(256))
	}
	return string(b)
}

func chain(lines ...Line) []Sealed {
	var prev [32]byte
	out := make([]Sealed, len(lines))
	for i, l := range lines {
		prev = Seal(prev, l)
		out[i] = Sealed{l, prev}
	}
	return out
}

func randomChain(r *rand.Rand, n int) []Sealed {
	lines := make([]Line, n)
	for i := range lines {
		lines[i] = randomLine(r, int64(i+1))
	}
	return chain(lines...)
}

// alterations returns the line with each single thing in it changed once: every
// byte of every text and key, every number, the microsecond, the seal itself.
func alterations(s Sealed) []Sealed {
	var out []Sealed
	with := func(edit func(*Sealed)) {
		c := s
		c.Facts, c.Personal = maps.Clone(s.Facts), maps.Clone(s.Personal)
		edit(&c)
		out = append(out, c)
	}
	flip := func(text string, set func(*Sealed, string)) {
		for i := range len(text) {
			b := []byte(text)
			b[i] ^= 1
			with(func(c *Sealed) { set(c, string(b)) })
		}
		with(func(c *Sealed) { set(c, text+"\x00") })
	}
	flip(string(s.Animal), func(c *Sealed, v string) { c.Animal = domain.ShopNumber(v) })
	flip(string(s.Kind), func(c *Sealed, v string) { c.Kind = Kind(v) })
	flip(s.By, func(c *Sealed, v string) { c.By = v })
	flip(s.Why, func(c *Sealed, v string) { c.Why = v })
	for _, which := range []func(*Sealed) map[string]string{
		func(c *Sealed) map[string]string { return c.Facts }, func(c *Sealed) map[string]string { return c.Personal },
	} {
		for key, value := range which(&s) {
			flip(value, func(c *Sealed, v string) { which(c)[key] = v })
			flip(key, func(c *Sealed, v string) { delete(which(c), key); which(c)[v] = value })
			with(func(c *Sealed) { delete(which(c), key) })
		}
		with(func(c *Sealed) { which(c)["added"] = "" })
	}
	with(func(c *Sealed) { c.At = c.At.Add(time.Microsecond) })
	with(func(c *Sealed) { c.Corrects++ })
	with(func(c *Sealed) { c.Seq++ })
	for i := range s.Seal {
		with(func(c *Sealed) { c.Seal[i] ^= 1 })
	}
	return out
}

// Whatever single thing is altered in whichever line, Verify points at that line.
func TestAnyAlterationIsFound(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	tried := 0
	for range 8 {
		lines := randomChain(r, 5)
		if bad, err := Verify(lines); bad != 0 || err != nil {
			t.Fatalf("a whole chain is called bad at %d: %v", bad, err)
		}
		for i := range lines {
			for _, altered := range alterations(lines[i]) {
				forged := slices.Clone(lines)
				forged[i] = altered
				tried++
				if bad, err := Verify(forged); bad != int64(i+1) || domain.As(err).Kind != domain.Refused {
					t.Fatalf("altered line %d: Verify says %d, %v\nwas %+v\nis  %+v", i+1, bad, err, lines[i], altered)
				}
			}
		}
	}
	if tried < 1000 {
		t.Fatalf("only %d alterations tried", tried)
	}
}

func TestMovedMissingAndAddedLines(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	lines := randomChain(r, 6)
	swapped := slices.Clone(lines)
	swapped[2], swapped[3] = swapped[3], swapped[2]
	resealed := slices.Clone(lines) // the forger seals his own line anew, not those after it
	resealed[2].Facts = map[string]string{"species": "elk"}
	resealed[2].Seal = Seal(resealed[1].Seal, resealed[2].Line)
	for _, tt := range []struct {
		name  string
		lines []Sealed
		bad   int64
	}{
		{"two swapped", swapped, 3},
		{"one taken out", slices.Delete(slices.Clone(lines), 1, 2), 2},
		{"first taken out", lines[1:], 1},
		{"one twice", slices.Insert(slices.Clone(lines), 4, lines[3]), 5},
		{"one sealed anew", resealed, 4},
	} {
		if bad, err := Verify(tt.lines); bad != tt.bad || err == nil {
			t.Errorf("%s: Verify says %d, %v; want %d", tt.name, bad, err, tt.bad)
		}
	}
}

// A letter pushed from one field into its neighbour must not leave the bytes alike.
func TestNeighboursDoNotRunTogether(t *testing.T) {
	a := Line{Seq: 1, Facts: map[string]string{"county": "ab", "unit": "c"}}
	b := Line{Seq: 1, Facts: map[string]string{"county": "a", "unit": "bc"}}
	if Seal([32]byte{}, a) == Seal([32]byte{}, b) || Digest([]byte("ab"), "c", "d") == Digest([]byte("a"), "bc", "d") {
		t.Error("two different lines share a seal")
	}
}

// Blanking a person's data deletes value and salt. The line keeps the digest.
func TestBlankingLeavesTheChainWhole(t *testing.T) {
	type kept struct{ salt, value string }
	side := map[string]kept{"phone": {"0123456789abcdef", "555-0134"}}
	l := Line{Seq: 1, Kind: Receipt, Personal: map[string]string{"phone": Digest([]byte(side["phone"].salt), "phone", side["phone"].value)}}
	lines := chain(l, Line{Seq: 2, Kind: Handover})
	if !l.Matches([]byte("0123456789abcdef"), "phone", "555-0134") || l.Matches([]byte("0123456789abcdef"), "phone", "555-0135") {
		t.Error("Matches does not tell the value from another")
	}
	delete(side, "phone")
	if bad, err := Verify(lines); bad != 0 || err != nil {
		t.Errorf("blanked: Verify says %d, %v", bad, err)
	}
	if l.Matches(nil, "phone", "") || l.Matches(nil, "owner", "") {
		t.Error("a blank matches")
	}
}

// Postgres gives instants back in another zone and without nanoseconds.
func TestSealSurvivesTheDatabase(t *testing.T) {
	at := time.Date(2026, 11, 7, 19, 10, 0, 123456789, time.FixedZone("", -5*3600))
	back := at.UTC().Truncate(time.Microsecond)
	if Seal([32]byte{}, Line{Seq: 1, At: at}) != Seal([32]byte{}, Line{Seq: 1, At: back}) {
		t.Error("the seal changes on the way through timestamptz")
	}
	if Seal([32]byte{}, Line{Seq: 1, Facts: nil}) != Seal([32]byte{}, Line{Seq: 1, Facts: map[string]string{}}) {
		t.Error("no facts and an empty list of facts must seal alike")
	}
}

// The digest by hand: printf of the three lengths and texts through sha256sum,
// GNU coreutils 9.1.
func ExampleDigest() {
	fmt.Println(Digest([]byte("0123456789abcdef"), "phone", "555-0134"))
	// Output: 1f90b9971c43bb86c2e8e137e88d6927f24127232389a08a2e2774a33a25ea3c
}

func TestDigestIsHex(t *testing.T) {
	raw, err := hex.DecodeString(Digest([]byte("s"), "phone", ""))
	if err != nil || len(raw) != 32 {
		t.Errorf("%d bytes, %v", len(raw), err)
	}
}
