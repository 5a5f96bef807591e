package coolers_test

import (
	"math"
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/cooler"
)

// A room that warmed with known constants: its own numbers are found on the page,
// taken over with a PIN, used, and given back.
func TestRoomFit(t *testing.T) {
	t.Parallel()
	s := small(t, 6)
	made := cooler.Warmup{UA: 20, Fan: 320, Air: 210, Outside: 25, StartAir: 2, StartMeat: 2, Animals: 6, Animal: 40}
	bring(t, s, 60, func(ago time.Duration) (domain.Celsius, bool) {
		if h := 9 - ago.Hours(); h > 0 && h < 8 {
			return domain.Celsius(math.Round(float64(made.After(h).Air)*100) / 100), true
		}
		return domain.Celsius(2 + math.Round(ago.Hours())/1000), true
	})
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	if a := bob.Get("/coolers/small/fit"); a.Status == http.StatusOK {
		t.Error("the counter may not change a room's numbers")
	}
	ann.Get("/coolers/small/fit").Wants(t, http.StatusOK, "Warm-ups in the record", "/coolers/small/fit?from=")
	ann.Get("/coolers/small/fit?from=2026-11-19T11:30&to=2026-11-19T11:50").Wants(t, http.StatusUnprocessableEntity, "12 over an hour and a half")
	ann.Get("/coolers/small/fit?from=x&to=y").Wants(t, http.StatusUnprocessableEntity, `name="from"`)
	stretch := url.Values{"from": {"2026-11-19T03:00"}, "to": {"2026-11-19T10:50"}}
	ann.Get("/coolers/small/fit?"+stretch.Encode()).Wants(t, http.StatusOK, "What this warm-up says", "W/K", "Count with these from now on")
	with := func(pin string) url.Values {
		return url.Values{"from": stretch["from"], "to": stretch["to"], "pin": {pin}}
	}
	ann.Post("/coolers/small/fit", with("1111")).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	if a := ann.Post("/coolers/small/fit", with("4711")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	room, err := s.DB.Cooler(t.Context(), "small")
	must(t, err)
	for _, p := range [][2]float64{{*room.UaWPerK, made.UA}, {*room.AirKjPerK, made.Air}, {room.FanW, made.Fan}} {
		if p[0] < 0.7*p[1] || p[0] > 1.3*p[1] {
			t.Errorf("found %.1f, put in %.1f", p[0], p[1])
		}
	}
	ann.Get("/coolers/small/fit").Wants(t, http.StatusOK, "In use", "by AK")
	bob.Get("/coolers/small").Wants(t, http.StatusOK, "The room&#39;s own heat numbers, as recorded for it.")
	ann.Post("/coolers/small/fit", with("4711")).Wants(t, http.StatusUnprocessableEntity, "took over heat numbers for this room already")
	if a := ann.Post("/coolers/small/fit/drop", url.Values{"pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	if room, err = s.DB.Cooler(t.Context(), "small"); err != nil || room.UaWPerK != nil || room.AirKjPerK != nil || room.FanW != 150 {
		t.Errorf("%+v %v: want what it counted with before", room, err)
	}
	ann.Post("/coolers/small/fit/drop", url.Values{"pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "uses no heat numbers of its own")
}
