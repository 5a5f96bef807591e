package animals_test

import (
	"net/http"
	"net/url"
	"testing"

	"coldrail/web/webtest"
)

// A weight typed wrong is put right on the record, and both weights stay to be read.
func TestWeightPutRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.HangDeer(t, 1, 1)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	bob.Post(at+"/weight", url.Values{"weight": {"ninety"}, "why": {"x"}}).Wants(t, http.StatusUnprocessableEntity)
	bob.Post(at+"/weight", url.Values{"weight": {"80"}}).Wants(t, http.StatusUnprocessableEntity, "Say what was wrong")
	bob.Post(at+"/weight", url.Values{"weight": {"80"}, "tare": {"5"}, "why": {"typed 88 for 80"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "Weight put right", "75.0 lb", "typed 88 for 80", "The hanging weight was typed wrong")
}
