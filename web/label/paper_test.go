package label_test

import (
	"net/http"
	"testing"

	"coldrail/web/webtest"
)

// A cut sheet of an animal without an order must not send anyone to the knife.
func TestCutSheetWithoutOrder(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	bob.Get("/animals/"+string(number)+"/cutsheet").Wants(t, http.StatusOK, "No order yet. Do not cut.", "owner not known yet", string(number))
	bob.Get("/animals/"+string(number)+"/boxes/1/label").Wants(t, http.StatusNotFound, "has no box 1")
	bob.Get("/animals/"+string(number)+"/boxes/x/label").Wants(t, http.StatusNotFound, "There is no such box.")
}
