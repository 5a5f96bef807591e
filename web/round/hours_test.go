package round_test

import (
	"net/http"
	"net/url"
	"testing"
)

// The owner sets the times; who and what before stands beneath.
func TestHours(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	if a := bob.Get("/office/rounds"); a.Status != http.StatusForbidden {
		t.Errorf("the cutter sets the times: %d", a.Status)
	}
	ann.Get("/office/rounds").Wants(t, http.StatusOK, "Morning round", "07:00", "Nobody has changed the times yet", "closed days too")
	seen := url.Values{"seen_morning": {"07:00"}, "seen_evening": {"19:00"}, "seen_half": {"120"}}
	for _, tt := range []struct{ morning, evening, half, says string }{
		{"7ish", "18:00", "90", "Give a time of day"}, {"07:00", "06:00", "90", "within one day"}, {"07:00", "18:00", "x", "Type how many"}, {"07:00", "18:00", "400", "run into each other"},
	} {
		f := url.Values{"morning": {tt.morning}, "evening": {tt.evening}, "half": {tt.half}}
		for k, v := range seen {
			f[k] = v
		}
		ann.Post("/office/rounds", f).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	seen.Set("morning", "06:30")
	seen.Set("evening", "18:00")
	seen.Set("half", "90")
	moved(t, ann.Post("/office/rounds", seen), "/office/rounds")
	ann.Get("/office/rounds").Wants(t, http.StatusOK, "6:30 am and 6:00 pm, 90 minutes either way", "before: 7:00 am and 7:00 pm", "AK")
	seen.Del("act")
	ann.Post("/office/rounds", seen).Wants(t, http.StatusUnprocessableEntity, "Somebody else has just set the times")
}
