package logger

import (
	"bytes"
	"encoding/json"
	"strings"
	"time"

	"coldrail/domain"
)

// MostPosted is the most readings one post may carry: a reading a minute for
// more than three days, which a sensor may have kept while the network was away.
const MostPosted = 5000

// The times a posted reading may carry. A sensor whose clock was never set says
// 1970 or 2000, and each month of those would be kept as one.
const (
	oldestPosted = 400 * 24 * time.Hour
	aheadPosted  = 24 * time.Hour
)

// Refused is a posted reading that cannot be kept, and why.
type Refused struct {
	N   int // its place in the post, from 1
	Why domain.Words
}

// posted is a reading as a sensor sends it.
type posted struct {
	At string          `json:"at"`
	C  json.RawMessage `json:"c"`
	F  json.RawMessage `json:"f"`
}

// ParsePost reads what a sensor posts: a JSON list of readings, each with its
// time (RFC 3339, with an offset or Z) and its temperature as c or as f. A value
// that is no number is a row all the same, for Clean to leave out; one without a
// time or a unit is refused by itself. Line is the row's place in the list.
func ParsePost(text []byte, now time.Time) (rows []Row, refused []Refused, err error) {
	var list []json.RawMessage
	if err := json.Unmarshal(text, &list); err != nil {
		return nil, nil, domain.Wrong("readings", `This is no list of readings. Send JSON like [{"at":"2026-11-07T19:10:00-05:00","f":36.5}].`)
	}
	switch {
	case len(list) == 0:
		return nil, nil, domain.Wrong("readings", "There is no reading in the list.")
	case len(list) > MostPosted:
		return nil, nil, domain.Wrong("readings", "There are %d readings in the list, and one post takes %d. Send them in pieces.", len(list), MostPosted)
	}
	for i, one := range list {
		r, why := readPosted(one, now)
		if why.Format != "" {
			refused = append(refused, Refused{i + 1, why})
			continue
		}
		r.Line = i + 1
		rows = append(rows, r)
	}
	return rows, refused, nil
}

// readPosted reads one reading, or says why it cannot be kept.
func readPosted(text json.RawMessage, now time.Time) (r Row, why domain.Words) {
	var p posted
	if err := json.Unmarshal(text, &p); err != nil {
		return r, domain.Say("This is no reading. It has the fields at, and c or f.")
	}
	at, err := time.Parse(time.RFC3339Nano, p.At)
	switch {
	case err != nil:
		return r, domain.Say("at is no time with a zone. Write it like 2026-11-07T19:10:00-05:00 or 2026-11-08T00:10:00Z.")
	case at.After(now.Add(aheadPosted)) || at.Before(now.Add(-oldestPosted)):
		return r, domain.Say("at is more than a day ahead or more than 400 days ago. Set the sensor's clock.")
	case (p.C == nil) == (p.F == nil):
		return r, domain.Say("Give the temperature as c or as f, one of the two.")
	}
	r = Row{At: at.UTC().Truncate(time.Millisecond), RawAt: p.At, Unit: Celsius}
	value := p.C
	if p.F != nil {
		r.Unit, value = Fahrenheit, p.F
	}
	r.RawValue = short(strings.ToValidUTF8(string(bytes.Trim(value, `"`)), ""))
	r.C, r.Read = readNumber(r.RawValue, r.Unit)
	return r, domain.Words{}
}
