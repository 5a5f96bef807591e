package ageing

import (
	"math/rand/v2"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Whatever hung and was read: a warmer room from now on never makes the last day
// later, and what is aged and stays cold enough to be cut is never ready later.
func TestWarmerRoomIsNeverLater(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 36))
	compared := 0
	for range 300 {
		f, readings := anyAnimal(r.Uint64(), 0)
		cool := domain.Celsius(-1 + 5*r.Float64())
		warm := cool + domain.Celsius(r.Float64())*(exposure.ColdEnough-cool)
		w, err := WindowsAt(f, record(t, f, readings), at(11), cool, warm)
		if err != nil {
			t.Fatal(err)
		}
		const slack = 10 * time.Minute // the solver's own accuracy
		for _, pair := range [][2]time.Time{{w[0].CutBy, w[1].CutBy}, {w[0].CutByLow, w[1].CutByLow}, {w[0].CutByHigh, w[1].CutByHigh}} {
			if pair[1].Sub(pair[0]) > slack {
				t.Fatalf("%+v: cut by %v at %v, later than %v at %v", f, pair[1], warm, pair[0], cool)
			}
		}
		v := judge(t, f, record(t, f, readings), at(11))
		if !v.Aged || v.Deep > exposure.ColdEnough || w[0].ReadyFrom == nil || w[1].ReadyFrom == nil {
			continue // a warmer room chills more slowly: then ready may come later
		}
		compared++
		if w[1].ReadyFrom.Sub(*w[0].ReadyFrom) > slack {
			t.Fatalf("%+v: ready %v at %v, later than %v at %v", f, *w[1].ReadyFrom, warm, *w[0].ReadyFrom, cool)
		}
	}
	if compared < 30 {
		t.Fatalf("only %d aged animals compared: this test saw too little", compared)
	}
}

// The window at the air the forecast takes anyway is that of the verdict.
func TestWindowAtTheSameAir(t *testing.T) {
	f := cold(domain.Beef, "", 2)
	v := judge(t, f, steady(t, at(0), 2), at(5))
	w, err := WindowsAt(f, steady(t, at(0), 2), at(5), 2)
	if err != nil || v.ReadyFrom == nil || w[0].ReadyFrom == nil {
		t.Fatal(err, v.ReadyFrom, w)
	}
	if !w[0].ReadyFrom.Equal(*v.ReadyFrom) || !w[0].CutBy.Equal(v.CutBy) || !w[0].CutByLow.Equal(v.CutByLow) {
		t.Errorf("window %+v, verdict ready %v, cut by %v", w[0], *v.ReadyFrom, v.CutBy)
	}
	if _, err := WindowsAt(f, steady(t, at(0), 2), at(5), 99); domain.As(err).At != "air" {
		t.Errorf("99 °C is taken: %v", err)
	}
}
