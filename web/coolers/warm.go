package coolers

import (
	"context"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/web/ui"
)

// load is the meat in a room.
type load struct {
	animals int
	weight  domain.Kilogram
	assumed int            // not yet weighed: the usual weight of their kind
	meat    domain.Celsius // mean by weight, as the models have it
	known   bool           // the models know any of them
}

// weigh adds up what hangs in a room, each animal once however many sides it
// hangs in.
func weigh(hung []db.HungHere, judged []db.Hung) load {
	deep := map[domain.ShopNumber]domain.Celsius{}
	for _, j := range judged {
		if j.Verdict != nil {
			deep[j.Number] = j.Verdict.Deep
		}
	}
	var l load
	var heat, of float64
	seen := map[domain.ShopNumber]bool{}
	for _, h := range hung {
		if seen[h.Number] {
			continue
		}
		seen[h.Number] = true
		l.animals++
		kg := h.Species.HangingDefault()
		if h.HangingKg != nil {
			kg = *h.HangingKg
		} else {
			l.assumed++
		}
		l.weight += kg
		if c, ok := deep[h.Number]; ok {
			heat, of = heat+float64(kg)*float64(c), of+float64(kg)
		}
	}
	if of > 0 {
		l.meat, l.known = domain.Celsius(heat/of), true
	}
	return l
}

// warmView is "if cooling stops now", with the fans running on and stopped.
type warmView struct {
	On, Off  []cooler.Pass
	Air      domain.Celsius
	Meat     domain.Celsius
	Animals  int
	Each     domain.Kilogram
	UA       float64
	AirHeat  float64
	Fan      float64
	Outside  domain.Celsius
	Measured bool // the room's own heat numbers, not those of its panels
}

// limits are the edges a warming room is told by: 40 °F of cold holding, 41 °F
// of the Food Code, 45 °F of the incident rule (readiness.md section 7).
var limits = []domain.Celsius{domain.Fahrenheit(40), domain.Fahrenheit(41), domain.Fahrenheit(45)}

// stops asks the model how long a room and its load have without cooling. Where
// the models know no animal yet, its meat counts as cold as the air.
func stops(room db.Cooler, l load, air domain.Celsius) *warmView {
	w := warmView{Air: air, Meat: air, Animals: l.animals, Each: 1, Fan: room.FanW, Outside: room.OutsideC, Measured: room.UaWPerK != nil && room.AirKjPerK != nil,
		UA:      cooler.RoomUA(cooler.Panel(room.Panel), room.LengthM, room.WidthM, room.HeightM),
		AirHeat: cooler.RoomAir(room.LengthM, room.WidthM, room.HeightM)}
	if room.UaWPerK != nil {
		w.UA = *room.UaWPerK
	}
	if room.AirKjPerK != nil {
		w.AirHeat = *room.AirKjPerK
	}
	if l.known {
		w.Meat = l.meat
	}
	if l.animals > 0 {
		w.Each = l.weight / domain.Kilogram(l.animals)
	}
	for _, limit := range limits {
		w.On = append(w.On, w.model(room.FanW).Passes(limit))
		w.Off = append(w.Off, w.model(0).Passes(limit))
	}
	return &w
}

func (w warmView) model(fan float64) cooler.Warmup {
	return cooler.Warmup{UA: w.UA, Fan: fan, Air: w.AirHeat, Outside: w.Outside, StartAir: w.Air, StartMeat: w.Meat, Animals: w.Animals, Animal: w.Each}
}

// said is one time of the model in words.
func said(ctx context.Context, d *time.Duration) string {
	switch {
	case d == nil:
		return ui.T(ctx, "not within 3 days")
	case *d == 0:
		return ui.T(ctx, "already")
	}
	return ui.Span(ctx, *d)
}

// sentence is the whole of it in one line.
func (w warmView) sentence(ctx context.Context) string {
	air, surface, meat := w.On[0].Air, w.On[1].Surface, w.On[0].Meat
	if w.Animals == 0 {
		return ui.T(ctx, "Air past %s: %s. Nothing hangs in it.", limits[0], said(ctx, air))
	}
	return ui.T(ctx, "Air past %s: %s. Meat surface past %s: %s. Meat on average past %s: %s.",
		limits[0], said(ctx, air), limits[1], said(ctx, surface), limits[0], said(ctx, meat))
}
