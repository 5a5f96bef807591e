package main

import (
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"
)

// readinessResult is a verdict in the words of the calculator contract.
type readinessResult struct {
	Condition  ageing.Condition `json:"condition"`
	Reasons    []domain.Words   `json:"reasons"`
	Assumed    []domain.Words   `json:"assumed"`
	Days       float64          `json:"days_since_kill"`
	Tender     *float64         `json:"tender_fraction"`
	DegreeDays float64          `json:"degree_days_c"`
	Growth     float64          `json:"growth_log10"`
	GrowthLow  float64          `json:"growth_low_log10"`
	GrowthHigh float64          `json:"growth_high_log10"`
	LogCount   float64          `json:"log_count"`
	EColi      float64          `json:"ecoli_log10"`
	Salmonella float64          `json:"salmonella_log10"`
	Above      hoursAbove       `json:"hours_above"`
	Chilled    *float64         `json:"chilled_after_h"`
	Deep       domain.Celsius   `json:"deep_c"`
	Gaps       float64          `json:"gap_hours"`
	Stale      float64          `json:"stale_hours"`
	Mould      mouldResult      `json:"mould_sign"`
	ReadyFrom  *time.Time       `json:"ready_from"`
	CutBy      time.Time        `json:"cut_by"`
	CutByLow   time.Time        `json:"cut_by_low"`
	CutByHigh  time.Time        `json:"cut_by_high"`
	Unknown    float64          `json:"unknown_before_door_h"`
}

type hoursAbove struct {
	C44  float64 `json:"4.4"`
	C5   float64 `json:"5"`
	C7   float64 `json:"7"`
	C10  float64 `json:"10"`
	C211 float64 `json:"21.1"`
}

type mouldResult struct {
	Reached  bool              `json:"reached"`
	Length   domain.Millimetre `json:"length_mm"`
	Forecast *time.Time        `json:"forecast_at"`
}

// calcReadiness takes one animal and its temperature record.
func calcReadiness(o *object) (any, error) {
	o.only("species", "class", "form", "door", "killed_at", "received_at", "now", "hanging_weight_kg",
		"deep_c_at_door", "kept_before_c", "kept_before", "temperature_of", "readings", "looks", "protocol")
	f := ageing.Facts{Species: word(o, "species", domain.AllSpecies), Form: word(o, "form", domain.Forms),
		Door: word(o, "door", []ageing.Door{ageing.DoorClean, ageing.DoorDamaged})}
	if o.form.err == nil {
		f.Class = classOf(o, f.Species)
	}
	f.Received = o.instant("received_at")
	f.Killed = killedAt(o, f.Received)
	now := o.instant("now")
	readKept(o, &f)
	meat := word(o, "temperature_of", []string{"air", "meat"}) == "meat"
	readings := readReadings(o)
	if f.Received.After(now) {
		o.form.wrong("received_at", "The drop-off is later than now.")
	}
	f.Looks = readLooks(o, now)
	notes := readProtocol(o, &f)
	if o.form.err != nil {
		return nil, o.form.err
	}
	history, err := exposure.NewHistory(readings)
	if err != nil {
		return nil, err
	}
	if meat {
		history = history.OfMeat()
	}
	v, err := ageing.Judge(f, []exposure.Stay{{From: f.Received, In: history}}, now)
	if err != nil {
		return nil, err
	}
	v.Assumed = append(v.Assumed, notes...)
	return readinessOf(v, now.Location()), nil
}

// killedAt takes a moment, or a date, which counts from its midnight at the
// offset of the drop-off.
func killedAt(o *object, received time.Time) time.Time {
	if s, ok := o.values["killed_at"].(string); ok && len(s) == len(time.DateOnly) {
		day, err := time.ParseInLocation(time.DateOnly, s, received.Location())
		if err != nil {
			o.form.wrong("killed_at", "%q is not a day.", s)
		}
		return day
	}
	return o.instant("killed_at")
}

// readKept takes what was weighed and told at the door; all of it may be absent.
func readKept(o *object, f *ageing.Facts) {
	if o.has("hanging_weight_kg") {
		f.Weight = domain.Kilogram(o.number("hanging_weight_kg", 1, 1500))
	}
	if o.has("deep_c_at_door") {
		c := celsius(o, "deep_c_at_door")
		f.DeepAtDoor = &c
	}
	if o.has("kept_before_c") {
		c := celsius(o, "kept_before_c")
		f.KeptAt = &c
	}
	if o.has("kept_before") {
		f.Kept = word(o, "kept_before", []ageing.Kept{ageing.Hung, ageing.Covered})
	}
}

func readReadings(o *object) []exposure.Reading {
	if !o.has("readings") {
		o.form.wrong("readings", "This is missing.")
	}
	list := o.objects("readings")
	readings := make([]exposure.Reading, 0, len(list))
	for _, r := range list {
		r.only("at", "c")
		readings = append(readings, exposure.Reading{At: r.instant("at"), C: celsius(r, "c")})
	}
	return readings
}

func readLooks(o *object, now time.Time) []ageing.Look {
	var looks []ageing.Look
	for _, l := range o.objects("looks") {
		l.only("at", "smell", "surface", "mould")
		look := ageing.Look{At: l.instant("at"), Smell: word(l, "smell", ageing.Smells), Surface: word(l, "surface", ageing.Surfaces)}
		if look.At.After(now) {
			o.form.wrong(l.path+"at", "This look is later than now.")
		}
		for _, m := range l.objects("mould") {
			m.only("site", "length_mm", "colour")
			look.Mould = append(look.Mould, ageing.Mould{Site: word(m, "site", ageing.Sites),
				Length: domain.Millimetre(m.number("length_mm", 0, 500)), Colour: word(m, "colour", ageing.Colours)})
		}
		looks = append(looks, look)
	}
	return looks
}

// readProtocol starts from the usual protocol and changes what is given. What
// cannot count for this animal is said, not dropped in silence.
func readProtocol(o *object, f *ageing.Facts) (notes []domain.Words) {
	if o.form.err != nil {
		return nil
	}
	p := &f.Protocol
	*p = ageing.ProtocolFor(f.Species, f.Class, f.Form, f.Door == ageing.DoorDamaged)
	if !o.has("protocol") {
		return nil
	}
	given, ok := take[*object](o, "protocol", "an object, in braces")
	if !ok {
		return nil
	}
	given.only("needs_mould_sign", "target_fraction", "ceiling_days")
	if given.has("needs_mould_sign") && given.truth("needs_mould_sign") {
		if p.Sign == ageing.SignNever || !p.Aged {
			notes = append(notes, domain.Say("This animal does not wait for growth inside the ribs: that wish is not counted."))
		} else {
			p.Sign = ageing.SignRequired
		}
	}
	if given.has("target_fraction") {
		target := given.number("target_fraction", 0, 1)
		if p.Aged {
			p.Target = target
		} else {
			notes = append(notes, domain.Say("This animal is not aged: the target is not counted."))
		}
	}
	if given.has("ceiling_days") {
		p.Ceiling = given.number("ceiling_days", 0.01, 365)
	}
	return notes
}

// readinessOf writes a verdict with its moments in the offset of now.
func readinessOf(v ageing.Verdict, zone *time.Location) readinessResult {
	in := func(t *time.Time) *time.Time {
		if t == nil {
			return nil
		}
		local := t.In(zone)
		return &local
	}
	r := readinessResult{
		Condition: v.Condition, Reasons: v.Reasons, Assumed: append([]domain.Words{}, v.Assumed...),
		Days: v.DaysSinceKill, DegreeDays: v.DegreeDays,
		Growth: v.Growth, GrowthLow: v.GrowthLow, GrowthHigh: v.GrowthHigh, LogCount: v.LogCount,
		EColi: v.EColi, Salmonella: v.Salmonella, Deep: v.Deep,
		Gaps: v.Gaps.Hours(), Stale: v.Stale.Hours(), Unknown: v.Unknown.Hours(),
		Above: hoursAbove{v.Above[0].Hours(), v.Above[1].Hours(), v.Above[2].Hours(), v.Above[3].Hours(), v.Above[4].Hours()},
		Mould: mouldResult{v.Mould.Reached, v.Mould.Length, in(v.Mould.Forecast)},
		CutBy: v.CutBy.In(zone), CutByLow: v.CutByLow.In(zone), CutByHigh: v.CutByHigh.In(zone), ReadyFrom: in(v.ReadyFrom),
	}
	if v.Tenders {
		r.Tender = &v.Tender
	}
	if v.IsChilled {
		r.Chilled = inHours(&v.Chilled)
	}
	return r
}
