package signin

import (
	"bytes"
	"maps"
	"testing"
	"time"

	"github.com/alexedwards/scs/v2"
)

// A session reads as it was written, also one of a device that was let in when
// sessions were written in the library's own way.
func TestSessionsReadAsWritten(t *testing.T) {
	until := time.Date(2027, 9, 1, 6, 30, 0, 0, time.UTC)
	for name, values := range map[string]map[string]any{
		"nobody holds it": {"device": "0b0e7d4c-0000-7000-8000-000000000001"},
		"held":            {"device": "0b0e7d4c-0000-7000-8000-000000000001", "staff": "0b0e7d4c-0000-7000-8000-000000000002"},
		"empty":           {},
	} {
		for way, codec := range map[string]scs.Codec{"now": Codec{}, "before": scs.GobCodec{}} {
			b, err := codec.Encode(until, values)
			if err != nil {
				t.Fatal(err)
			}
			if plain := bytes.HasPrefix(b, []byte("{")); plain != (way == "now") {
				t.Errorf("%s, written %s: %.40q", name, way, b)
			}
			deadline, got, err := Codec{}.Decode(b)
			if err != nil || !deadline.Equal(until) || !maps.Equal(got, values) {
				t.Errorf("%s, written %s: until %v, %v, %v", name, way, deadline, got, err)
			}
		}
	}
	for _, damaged := range []string{"", "{", `{"deadline":"2027-09-01T06:30:00Z"}`, "no session"} {
		if _, got, err := (Codec{}).Decode([]byte(damaged)); err == nil {
			t.Errorf("%q is read as a session of %v", damaged, got)
		}
	}
}
