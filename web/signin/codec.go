package signin

import (
	"encoding/json"
	"time"

	"github.com/alexedwards/scs/v2"
)

// Codec writes what a session holds as JSON: each request reads it, and the library's
// own way takes four times as long. A device let in before that came about is still
// known; its session is written anew with the next tap on a name.
type Codec struct{ before scs.GobCodec }

// held is a session as it is written. Its values are texts.
type held struct {
	Deadline time.Time      `json:"deadline"`
	Values   map[string]any `json:"values"`
}

// Encode implements scs.Codec.
func (Codec) Encode(deadline time.Time, values map[string]any) ([]byte, error) {
	return json.Marshal(held{deadline, values})
}

// Decode implements scs.Codec.
func (c Codec) Decode(b []byte) (time.Time, map[string]any, error) {
	var h held
	if err := json.Unmarshal(b, &h); err != nil || h.Values == nil {
		return c.before.Decode(b)
	}
	return h.Deadline, h.Values, nil
}
