package animal

import (
	"strings"
	"testing"

	"coldrail/domain"
)

// The sentences follow what stands: pooled or own meat, the range, the bad fault,
// storage only where the owner of the shop turned it on; a sale is never spoken of
// but to say that there is none.
func TestSentences(t *testing.T) {
	plain := Agreed{FetchDays: 7}.Sentences()
	if len(plain) != 2 || !strings.Contains(plain[1].String(), "never sold") {
		t.Errorf("%v", plain)
	}
	full := Agreed{From: "Dec 1", To: "Dec 9", Least: domain.Pounds(30), Most: domain.Pounds(45), Damaged: true, Sausage: true, FetchDays: 7, StorageAfter: 14, StorageADay: 200}.Sentences()
	for i, want := range []string{"other hunters'", "about 30 lb to 45 lb", "between Dec 1 and Dec 9", "not aged", "within 7 days", "From 14 days after I was told, storage may cost $2.00 a day", "never sold"} {
		if !strings.Contains(full[i].String(), want) {
			t.Errorf("sentence %d is %q, lacks %q", i, full[i], want)
		}
	}
	if one := (Agreed{From: "Dec 1", To: "Dec 1"}).Sentences()[0].String(); !strings.Contains(one, "ready about Dec 1,") {
		t.Errorf("one day only: %s", one)
	}
	if own := (Agreed{Sausage: true, OwnMeat: true}).Sentences()[0].String(); !strings.Contains(own, "own meat only") {
		t.Errorf("own meat: %s", own)
	}
}

// Pounds that shot damage takes off. Source: trade.md, expected-pounds formula:
// shoulder 4 to 6 lb each, loin 2 to 4, ham 6 to 12 (common practice, no source).
func TestShotLoss(t *testing.T) {
	for g, want := range map[Grade][2]float64{Clean: {0, 0}, SmallFault: {4, 6}, BadFault: {2, 12}, RefuseGrade: {8, 16}, "odd": {0, 0}} {
		least, most := ShotLoss(g)
		if d := least.Lb() - want[0]; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s: at least %v", g, least.Lb())
		}
		if d := most.Lb() - want[1]; d > 1e-9 || d < -1e-9 {
			t.Errorf("%s: at most %v", g, most.Lb())
		}
	}
}
