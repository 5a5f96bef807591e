package plan

import (
	"math/rand/v2"
	"testing"
	"time"
)

// One carcass a day: whoever has until Thursday is cut on Friday, and whoever has
// until Friday on Saturday, whichever was dropped off first. Both ways are two days
// late in all; this one is two days for nobody. Common practice, no source.
func TestTheSoonerLastDayGoesFirst(t *testing.T) {
	days := []Day{{Date: day(20), Cutters: []int{1}}, {Date: day(21), Cutters: []int{1}}}
	friday := Job{ID: "friday", Earliest: day(18), CutBy: day(20), DroppedOff: day(1), Minutes: 1}
	thursday := Job{ID: "thursday", Earliest: day(18), CutBy: day(19), DroppedOff: day(9), Minutes: 1}
	p, err := Make(days, []Job{friday, thursday})
	if err != nil {
		t.Fatal(err)
	}
	if p.PastCutBy != 2 || p.Placed[0].ID != "thursday" {
		t.Errorf("%d days past in all, first %s", p.PastCutBy, p.Placed[0].ID)
	}
	friday.Promise = day(20) // its owner was told: the promise weighs more than an even share
	if p, _ = Make(days, []Job{friday, thursday}); p.PastPromise != 0 || p.Placed[0].ID != "friday" {
		t.Errorf("promised for the 20th: %d days past the promise, first %s", p.PastPromise, p.Placed[0].ID)
	}
	friday.CutBy = day(19) // alike in all but the drop-off
	friday.Promise = time.Time{}
	if p, _ = Make(days, []Job{thursday, friday}); p.Placed[0].ID != "friday" {
		t.Errorf("dropped off first, cut second: %+v", p.Placed)
	}
}

// behind are shops with more than they can cut in time.
var behind = []shop{
	{days: 30, cutters: 1, jobs: 300, minutes: []int{12}, work: []int{1}, spread: 14, early: 3},
	{days: 30, cutters: 4, jobs: 300, minutes: []int{2}, work: []int{1}, spread: 6, early: 3},
	{days: 14, cutters: 2, jobs: 120, minutes: []int{180, 240}, work: []int{30, 45, 60}, spread: 5, early: 4},
	{days: 30, cutters: 1, jobs: 500, minutes: []int{12}, work: []int{1}, spread: 14, early: 3},
}

// Sharing lateness costs nothing of (0) to (3), and when it is done no two of one
// length stand the wrong way round: no change of two places with the same sums
// leaves lateness more even.
func TestLatenessIsShared(t *testing.T) {
	changed := 0
	for i := range 6 * len(behind) {
		days, jobs := behind[i%len(behind)].make(rand.New(rand.NewPCG(23, uint64(i))))
		for n := range jobs { // some of each kind, and a day that takes one kind alone
			jobs[n].Run = []Run{AnyRun, Livestock, Game}[n%3]
		}
		days[3].Takes = Game
		b := newBoard(days, jobs)
		if !exact(b) {
			b.search()
		}
		searched, was := b.sum(), b.uneven()
		b.settle()
		if b.sum() != searched {
			t.Errorf("shop %d: %v after sharing, %v before", i, b.sum(), searched)
		}
		if b.uneven().less(was) {
			changed++
		} else if was.less(b.uneven()) {
			t.Errorf("shop %d: lateness is less even than before, %v, %v", i, b.uneven(), was)
		}
		b.wrongWayRound(t, i)
		p, err := Make(days, jobs)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, days, jobs, p)
	}
	if changed < len(behind) {
		t.Errorf("lateness was shared in %d shops only: this test sees too little", changed)
	}
}

// uneven sums how unevenly the plan on the board shares lateness.
func (b *board) uneven() (u uneven) {
	for j := range b.jobs {
		c := b.costOf(j)
		u = u.plus(lateness(&c))
	}
	return u
}

// wrongWayRound changes every two of one length and adds everything up anew.
func (b *board) wrongWayRound(t *testing.T, shop int) {
	t.Helper()
	sum, fair := b.sum(), b.uneven()
	for j := 0; j < len(b.jobs); j += 5 { // every fifth, for the sake of time
		for k := range b.jobs {
			dj, dk := b.on[j], b.on[k]
			if dj < 0 || dk < 0 || dj == dk || b.jobs[j].Minutes != b.jobs[k].Minutes || b.cost[j][dk] == leftOut || b.cost[k][dj] == leftOut {
				continue
			}
			b.on[j], b.on[k] = dk, dj
			if b.sum() == sum && b.uneven().less(fair) {
				t.Fatalf("shop %d: %s on %s and %s on %s stand the wrong way round", shop, b.jobs[j].ID, b.days[dj].Date, b.jobs[k].ID, b.days[dk].Date)
			}
			b.on[j], b.on[k] = dj, dk
		}
	}
}
