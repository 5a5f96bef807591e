package exposure

import (
	"testing"
	"time"
)

// The two-hourly record below is silent once for six hours; three times its
// median interval is six hours, so five would pass and seven do not
// (readiness.md section 2).
func TestSilences(t *testing.T) {
	start := time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)
	at := func(h int) time.Time { return start.Add(time.Duration(h) * time.Hour) }
	var readings []Reading
	for _, h := range []int{0, 2, 4, 6, 13, 15, 17} {
		readings = append(readings, Reading{at(h), 2})
	}
	h, err := NewHistory(readings)
	if err != nil {
		t.Fatal(err)
	}
	got := h.Silences(at(0), at(20))
	if len(got) != 1 || !got[0].From.Equal(at(6)) || !got[0].To.Equal(at(13)) {
		t.Errorf("silences %v, want 6 to 13 h", got)
	}
	if got = h.Silences(at(8), at(10)); len(got) != 1 || !got[0].From.Equal(at(8)) || !got[0].To.Equal(at(10)) {
		t.Errorf("silences %v, want them cut to 8 to 10 h", got)
	}
	if got = h.Silences(at(13), at(20)); len(got) != 0 {
		t.Errorf("silences %v after the gap, want none", got)
	}
	if in := h.Within(at(2), at(13)); len(in) != 4 || in[0].At != at(2) || in[3].At != at(13) {
		t.Errorf("within 2 to 13 h: %v", in)
	}
}
