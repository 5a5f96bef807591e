package cutting

import (
	"cmp"
	"math"
	"slices"
	"time"

	"coldrail/domain"
)

// Condition is how an animal hangs at the moment, by the words of readiness.md
// section 10.
type Condition string

// The conditions, the first that applies.
const (
	Stop     Condition = "stop"
	Look     Condition = "look"
	CutFirst Condition = "cut-first"
	Chilling Condition = "chilling"
	Past     Condition = "past"
	Ready    Condition = "ready"
	Nearly   Condition = "nearly"
	Hanging  Condition = "hanging"
)

// Candidate is one hanging animal as the cutter's list needs it.
type Candidate struct {
	Number    domain.ShopNumber
	Received  time.Time
	Livestock bool
	Reach     int  // carcasses that hang in front of it on its rail
	Begun     bool // it was on the table and hung back

	// What the gates ask.
	Identified    bool // no tag conflict, no shared hook unsettled
	TagComplete   bool // tag and register complete
	Holds         []domain.Words
	OrderComplete bool
	MatesWaiting  bool // shared animal: another owner's order is not in
	DeepTemp      domain.Celsius

	// What the ranking asks.
	Condition Condition
	CutBy     time.Time // zero: not known
	Promise   time.Time // the promised day; zero: none
	AfterCut  int       // days for freezing and specials between the cut and the promise
	RushPaid  bool
}

// Choice is a candidate with the reasons for its place, or for its absence.
type Choice struct {
	Candidate
	Why     []domain.Words
	Unready bool // nothing asks for it today: it hangs on, unless somebody takes it all the same
}

// Next splits the candidates into the queue, best first, and those no gate lets
// through, the most pressing first. Days are the shop's own, in zone. The same
// candidates give the same queue in whatever order they come.
//
// Rank: cut-first; past its day; cut-by today or gone; no day to spare to the
// promise; paid rush; ready; not ready yet. Within a rank the smaller slack to
// the promise, then the earlier cut-by, what was begun, the earlier drop-off, the
// easier reach, livestock before game, then the number. This is trade.md 6.1 with two
// additions of readiness.md section 11: cut-by counts before the promise, and
// what is still ageing waits behind what is ready. A promise with days to spare
// does not outrank a paid rush, or the rush would buy nothing.
//
// Barred: what is stopped, what is held, then what has the least time left, then the
// number, so that a list cut short hides the least pressing; what nothing is known
// of may have none left. Common practice, no source.
func Next(candidates []Candidate, now time.Time, zone *time.Location) (queue, barred []Choice) {
	var ranked []rankedChoice
	for _, c := range candidates {
		if why := gates(c); len(why) > 0 {
			barred = append(barred, Choice{Candidate: c, Why: why})
			continue
		}
		ranked = append(ranked, place(c, now, zone))
	}
	slices.SortFunc(ranked, compare)
	for _, r := range ranked {
		queue = append(queue, r.Choice)
	}
	slices.SortFunc(barred, func(a, b Choice) int {
		return cmp.Or(
			first(a.Condition == Stop, b.Condition == Stop),
			first(len(a.Holds) > 0, len(b.Holds) > 0),
			a.CutBy.Compare(b.CutBy),
			cmp.Compare(a.Number, b.Number),
		)
	})
	return queue, barred
}

// The reasons that say no more than an animal's condition and its last day do.
var (
	saysStop    = domain.Say("Stop: the lead has to decide.")
	saysFirst   = domain.Say("Cut first.")
	saysPast    = domain.Say("Past its day.")
	saysToday   = domain.Say("Has to be cut today to keep.")
	saysReady   = domain.Say("Ready to cut.")
	saysUnready = domain.Say("Not ready yet; nothing else comes before it.")
)

// SaysMore reports whether a reason tells what an animal's condition and its last day,
// where they stand beside it, do not.
func SaysMore(why domain.Words) bool {
	return !slices.ContainsFunc([]domain.Words{saysStop, saysFirst, saysPast, saysToday, saysReady, saysUnready}, func(w domain.Words) bool { return w.Format == why.Format })
}

// coldEnough is the deep temperature at or below which a carcass may be cut, 40 °F.
// Source: trade.md 6.1, the same line as readiness.md section 10.
var coldEnough = domain.Fahrenheit(40)

// gates returns every reason against cutting, the hardest first.
func gates(c Candidate) []domain.Words {
	var why []domain.Words
	say := func(shut bool, w domain.Words) {
		if shut {
			why = append(why, w)
		}
	}
	say(!c.Identified, domain.Say("Not certain which animal this is. Settle that first."))
	for _, h := range c.Holds {
		why = append(why, domain.Say("Held: %s.", h))
	}
	say(c.Condition == Stop, saysStop)
	say(c.Condition == Look, domain.Say("Look at it first: open the folds and the hip, smell, record."))
	say(!c.TagComplete, domain.Say("Tag or register not complete."))
	say(!c.OrderComplete, domain.Say("The order is not complete. Call the owner."))
	say(c.MatesWaiting, domain.Say("The other owner's order is not in."))
	// Written so that a NaN is not cold.
	say(!(c.DeepTemp <= coldEnough+0.005) || c.Condition == Chilling, domain.Say("Not cold enough: %v deep, %v is needed.", c.DeepTemp, coldEnough))
	return why
}

type rankedChoice struct {
	Choice
	rank  int
	slack float64
	cutBy float64 // days from today; +Inf: not known
}

type reason struct {
	applies bool
	why     domain.Words
}

// place finds the rank and says why, the telling reason first.
func place(c Candidate, now time.Time, zone *time.Location) rankedChoice {
	r := rankedChoice{Choice: Choice{Candidate: c}, slack: math.Inf(1), cutBy: math.Inf(1)}
	if !c.Promise.IsZero() {
		r.slack = daysBetween(dayOf(now.In(zone)), dayOf(c.Promise)) - float64(c.AfterCut)
	}
	if !c.CutBy.IsZero() {
		r.cutBy = float64(domain.DaysUntil(now, c.CutBy, zone))
	}
	ranks := ranksOf(c, r.slack, r.cutBy)
	r.rank = slices.IndexFunc(ranks, func(k reason) bool { return k.applies })
	r.Unready = r.rank == len(ranks)-1
	for i, k := range ranks {
		last := i == len(ranks)-1
		if k.applies && (!last || r.rank == i) {
			r.Why = append(r.Why, k.why)
		}
	}
	if r.slack > 0 && !math.IsInf(r.slack, 1) {
		r.Why = append(r.Why, domain.Say("Days to spare to the promise: %d.", int(r.slack)))
	}
	return r
}

// ranksOf lists the ranks in order; a candidate stands in the first that applies.
func ranksOf(c Candidate, slack, cutBy float64) []reason {
	return []reason{
		{c.Condition == CutFirst, saysFirst},
		{c.Condition == Past, saysPast},
		{cutBy <= 0, saysToday},
		{slack <= 0, promiseWords(slack)},
		{c.RushPaid, domain.Say("Paid to go first.")},
		{c.Condition == Ready, saysReady},
		{true, saysUnready},
	}
}

func promiseWords(slack float64) domain.Words {
	if slack < 0 {
		return domain.Say("Too late for the promise by days: %d. Call the owner.", int(-slack))
	}
	return domain.Say("Has to be cut today to keep the promise.")
}

func compare(a, b rankedChoice) int {
	return cmp.Or(
		cmp.Compare(a.rank, b.rank),
		cmp.Compare(a.slack, b.slack),
		cmp.Compare(a.cutBy, b.cutBy),
		first(a.Begun, b.Begun), // its packs stand about; common practice, no source
		a.Received.Compare(b.Received),
		cmp.Compare(a.Reach, b.Reach),
		first(a.Livestock, b.Livestock), // one run of livestock, then game, never mixed back and forth (trade.md 6.1, 9; 2.6)
		cmp.Compare(a.Number, b.Number),
	)
}

// first puts what it is true of before what it is not.
func first(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// dayOf returns the date t shows as midnight UTC, so that days can be counted
// without a clock change in between.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func daysBetween(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 }

// CheckPick says whether the lead may take another than the first: it has to be
// in the queue, and it takes a word why.
func CheckPick(queue []Choice, picked domain.ShopNumber, why string) error {
	i := slices.IndexFunc(queue, func(c Choice) bool { return c.Number == picked })
	switch {
	case i < 0:
		return domain.Refuse("gate", "%s cannot be cut now. Its record says why.", string(picked))
	case i > 0 && why == "":
		return domain.Wrong("why", "%s comes first. Say in a word why you take this one.", string(queue[0].Number))
	}
	return nil
}
