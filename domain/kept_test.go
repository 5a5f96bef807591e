package domain_test

import (
	"encoding/json"
	"testing"
	"time"

	"coldrail/domain"
)

// A sentence comes back from a record, by way of JSON, as it went in.
func TestKeptWords(t *testing.T) {
	for _, w := range []domain.Words{
		domain.Say("carry on"),
		domain.Say("%d of %d boxes", 2, 3),
		domain.Say("At worst its surface was above 41 °F for %.1f hours.", 2.0),
		domain.Say("%s, %v, %v, %v", "R1-7", domain.Celsius(3.25), domain.Kilogram(40), domain.Millimetre(1.8)),
		domain.Say("%s %v", domain.Say("inside the ribs"), time.Date(2026, 11, 7, 18, 0, 0, 0, time.UTC)),
	} {
		text, err := json.Marshal(w.Kept())
		if err != nil {
			t.Fatal(err)
		}
		var kept any
		if err := json.Unmarshal(text, &kept); err != nil {
			t.Fatal(err)
		}
		got, is := domain.KeptWords(kept)
		if !is || got.Format != w.Format || len(got.Args) != len(w.Args) || got.String() != w.String() {
			t.Errorf("%s came back as %#v", text, got)
		}
	}
	for _, other := range []any{"carry on", nil, 3.0, map[string]any{"kg": 3.0}} {
		if w, is := domain.KeptWords(other); is {
			t.Errorf("%v was taken for the sentence %q", other, w)
		}
	}
}
