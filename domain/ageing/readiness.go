package ageing

import (
	"math"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// Verdict is all that is said of one animal at one moment.
type Verdict struct {
	Condition Condition
	Reasons   []domain.Words
	asked     int // how many of them, the first, made the condition
	Assumed   []domain.Words

	DaysSinceKill float64
	Ceiling       float64 // days since the kill
	Tender        float64 // fraction of all tenderness to be had
	Tenders       bool    // false: not a meat that is aged, Tender says nothing
	Aged          bool    // it waits for tenderness
	Waiting       bool    // not weighed and hung for good yet
	DegreeDays    float64 // °C·d, shown only

	Growth, GrowthLow, GrowthHigh float64 // log10 since the kill
	LogCount                      float64 // log10 per cm2
	startLog                      float64 // before any growth
	EColi, Salmonella             float64 // log10 since the kill, no lag
	Above                         [len(exposure.Edges)]time.Duration
	Surface                       Surface // in force; "": nobody has looked, counted as wet

	Deep      domain.Celsius
	Chilled   time.Duration // from the door to 40 °F at the bone
	IsChilled bool          // whether that has happened
	Gaps      time.Duration // of the record since the door
	Stale     time.Duration // since the last reading
	Unknown   time.Duration // before the door, at an assumed 10 °C

	Mould     MouldSign
	ReadyFrom *time.Time // nil: not within 60 days
	CutBy     time.Time
	CutByLow  time.Time // by the fastest growth
	CutByHigh time.Time // by the slowest
}

// Asked returns the reasons that made the condition, without the figures behind them.
func (v Verdict) Asked() []domain.Words { return v.Reasons[:v.asked] }

// TooLate reports whether the animal will be past its day before it is ready.
func (v Verdict) TooLate() bool { return v.ReadyFrom != nil && v.CutBy.Before(*v.ReadyFrom) }

// MaySmell reports whether the count stands where unwrapped meat begins to smell,
// whatever a look has said against it.
func (v Verdict) MaySmell() bool { return v.LogCount >= odourLog }

// judging is one Judge at work.
type judging struct {
	*Facts
	seen
	stays      []exposure.Stay
	now        time.Time
	meat       exposure.Carcass
	door       before
	moment     exposure.Moment // now
	begins     time.Time       // when tenderness begins to count
	tenderDays float64         // since then, at 1 °C
	ahead      exposure.Ahead
	v          Verdict
	reasons    []domain.Words
	later      []domain.Words // said after the reasons of the condition
}

func (j *judging) say(format string, args ...any) {
	j.reasons = append(j.reasons, domain.Say(format, args...))
}

// Judge returns what the facts and the temperature record say at now. The stays
// are the rooms the animal hung in, in order, the first from Received on; pass
// *exposure.Room for a board, *exposure.History for a single sum. Facts out of
// range, or no stay, come back as an Invalid error that names the field.
//
// The formulas are those of exposure, tender.go and mould.go; the order of the
// conditions is common practice, no source. Nothing here clears or condemns meat.
func Judge(f Facts, stays []exposure.Stay, now time.Time) (Verdict, error) {
	if f.Protocol.Key == "" {
		f.Protocol = ProtocolFor(f.Species, f.Class, f.Form, f.Door == DoorDamaged)
	}
	if err := f.check(now); err != nil {
		return Verdict{}, err
	}
	for len(stays) > 1 && stays[len(stays)-1].From.After(now) {
		stays = stays[:len(stays)-1]
	}
	if len(stays) == 0 {
		return Verdict{}, domain.Wrong("readings", "No room is known for this animal, so nothing can be said of its temperature.")
	}
	if !stays[0].From.Equal(f.Received) { // the first room counts from the door
		stays = slices.Clone(stays)
		stays[0].From = f.Received
	}
	j := judging{Facts: &f, stays: stays, now: now, seen: viewOf(f.Looks, now), reasons: make([]domain.Words, 0, 6)}
	j.begins = f.Received
	if rigor := f.Killed.Add(rigorHours * time.Hour); rigor.After(j.begins) {
		j.begins = rigor
	}
	j.live()
	j.record()
	j.forecast()
	j.v.Condition = j.condition()
	j.v.asked = len(j.reasons)
	j.sums()
	j.v.Reasons = j.reasons
	return j.v, nil
}

// viewOf returns what the looks up to an instant say, in order of time.
func viewOf(looks []Look, at time.Time) seen {
	if !slices.IsSortedFunc(looks, byTime) {
		looks = slices.Clone(looks)
		slices.SortStableFunc(looks, byTime)
	}
	n := len(looks)
	for n > 0 && looks[n-1].At.After(at) {
		n--
	}
	s := seen{looks: looks[:n]}
	for i := n - 1; i >= 0 && (s.last == nil || s.surface == ""); i-- {
		if s.surface == "" {
			s.surface = looks[i].Surface
		}
		if s.last == nil && !looks[i].FromRail {
			s.last = &looks[i]
		}
	}
	return s
}

func byTime(a, b Look) int { return a.At.Compare(b.At) }

// growthBy returns the growth a dose gives a surface: by the plain, the slowest
// and the fastest model (readiness.md section 5). The halving of a drying surface
// and the 0.2 are common practice, no source.
func growthBy(s Surface) (plain, low, high exposure.Sum) {
	const forming, dryMost = 0.5, 0.2
	switch s {
	case Dry:
		return exposure.Dry, exposure.Dry, exposure.Most.Times(dryMost)
	case Drying:
		return exposure.Wet.Times(forming), exposure.Least.Times(forming), exposure.Most.Times(forming)
	}
	return exposure.Wet, exposure.Least, exposure.Most
}

// alike reports whether two surfaces grow by the same rate.
func alike(a, b Surface) bool {
	wet := func(s Surface) bool { return s != Dry && s != Drying }
	return a == b || wet(a) && wet(b)
}

// stretch is a time in which the surface stayed as it was.
type stretch struct {
	until   time.Time
	surface Surface
}

// stretches cuts the time from the door to now where the surface changed.
func (j *judging) stretches() []stretch {
	parts := make([]stretch, 0, 8)
	surface := Surface("")
	for _, l := range j.looks {
		if l.Surface == "" || alike(l.Surface, surface) {
			continue
		}
		if l.At.After(j.Received) {
			parts = append(parts, stretch{l.At, surface})
		}
		surface = l.Surface
	}
	return append(parts, stretch{j.now, surface})
}

// live sums what the animal took from the kill to now.
func (j *judging) live() {
	v, first := &j.v, j.stays[0].In.History()
	var warm, door []domain.Words
	if j.meat, warm = j.Facts.meat(first.At(j.Received)); first.OfMeatItself() {
		warm = nil // the readings say it
	}
	j.door, door = j.beforeDoor()
	v.Assumed = append(warm, door...)

	parts := j.stretches()
	instants := make([]time.Time, 0, len(parts)+1)
	for _, p := range parts {
		instants = append(instants, p.until)
	}
	// When tenderness begins is one more instant to stop at, if it has begun.
	begun := j.begins.Before(j.now)
	at, _ := slices.BinarySearchFunc(instants, j.begins, time.Time.Compare)
	if begun {
		instants = slices.Insert(instants, at, j.begins)
	}
	moments := exposure.Live(j.stays, j.meat, instants...)
	j.moment = moments[len(moments)-1]
	if begun {
		aged := j.moment.Dose.Minus(moments[at].Dose)
		v.DegreeDays, j.tenderDays = aged.Of(exposure.DegreeDays), aged.Of(exposure.TenderDays)
		moments = slices.Delete(moments, at, at+1)
	}
	j.grow(parts, moments)
	v.Above, v.Deep, v.Chilled, v.IsChilled = j.moment.Dose.Above(), j.moment.Deep, j.moment.Chilled, j.moment.IsCold
}

// grow sums the growth: before the door, then stretch by stretch, each ending at
// its moment.
func (j *judging) grow(parts []stretch, moments []exposure.Moment) {
	v, total := &j.v, &j.moment.Dose
	v.Growth, v.GrowthLow, v.GrowthHigh, v.Unknown = j.door.growth, j.door.low, j.door.high, j.door.unknown
	var earlier exposure.Dose
	for i, p := range parts {
		plain, low, high := growthBy(p.surface)
		d := moments[i].Dose.Minus(earlier)
		v.Growth, v.GrowthLow, v.GrowthHigh = v.Growth+d.Of(plain), v.GrowthLow+d.Of(low), v.GrowthHigh+d.Of(high)
		earlier = moments[i].Dose
	}
	v.EColi, v.Salmonella = j.door.eColi+total.Of(exposure.EColi), j.door.salmonella+total.Of(exposure.Salmonella)
	v.LogCount, v.Surface, v.startLog = j.logOf(v.Growth), j.surface, j.startLog()
}

// record says how good the record is, and how old the animal.
func (j *judging) record() {
	v := &j.v
	v.Stale = j.stays[len(j.stays)-1].In.History().Stale(j.now)
	for i, s := range j.stays {
		until := j.now
		if i+1 < len(j.stays) {
			until = j.stays[i+1].From
		}
		v.Gaps += s.In.History().Gaps(later(s.From, j.Received), until)
	}
	v.DaysSinceKill = j.now.Sub(j.Killed).Hours() / 24
	v.Ceiling, v.Aged, v.Waiting = j.lastDay(), j.aged(), j.Waiting
}

// lastDay is the ceiling; that of beef past 28 days stands only while the air
// around it is recorded and holds.
func (j *judging) lastDay() float64 {
	most := j.ceiling()
	if most <= beefOrdinary || !j.Protocol.asksAir() {
		return most
	}
	air := j.stays[len(j.stays)-1].In.History().Mean(j.now.Add(-lookBack), j.now)
	why, holds := j.airHolds(exposure.Surface(air, j.moment.Deep), j.now)
	if holds {
		return most
	}
	j.later = append(j.later, why)
	return min(most, max(j.Protocol.Ceiling, beefOrdinary))
}

// logOf returns the count after so much growth, which ends at log 9.
func (j *judging) logOf(growth float64) float64 { return math.Min(highestLog, j.startLog()+growth) }

// highestLog is where growth ends, log10 per cm2 (from memory of several papers,
// science.md B.1).
const highestLog = 9

// CountRange is the count on the surface by the slowest and by the quickest
// growth, log10 per cm2, at most 9 like LogCount itself.
func (v Verdict) CountRange() (low, high float64) {
	start := v.startLog
	return math.Min(highestLog, start+v.GrowthLow), math.Min(highestLog, start+v.GrowthHigh)
}
