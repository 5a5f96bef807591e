package round

import (
	"strings"
	"testing"
	"time"

	"coldrail/domain"
)

var evening = time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)

// Whom the walk looks at one by one: trade.md 4.1 (new and flagged), readiness.md
// 9 and 10 (after day 14, stop).
func TestWhy(t *testing.T) {
	last := evening.Add(-12 * time.Hour)
	seen := func(l Look) *Look { l.At = last.Add(-time.Minute); return &l }
	fine := seen(Look{Smell: SmellClean, Surface: SurfaceDry})
	sour := seen(Look{Smell: SmellSour, Surface: SurfaceDry})
	for _, tt := range []struct {
		name string
		edit func(*Hanging)
		want string // "" is nothing
	}{
		{"seen and fine", func(*Hanging) {}, ""},
		{"never looked at", func(h *Hanging) { h.Last = nil }, "nobody has looked"},
		{"moved here since", func(h *Hanging) { h.CameAt = evening.Add(-time.Hour) }, "new on this hook"},
		{"mould", func(h *Hanging) {
			h.Last = seen(Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteRibs, 1, White}}})
		}, "something was found"},
		{"stopped", func(h *Hanging) { h.Last = sour }, "has not decided"},
		{"stopped and decided", func(h *Hanging) { h.Last, h.DecidedAt = sour, last }, "decided since"},
		{"day 15", func(h *Hanging) { h.KilledAt = evening.Add(-14*24*time.Hour - time.Hour) }, "day 15"},
		{"the sum says look", func(h *Hanging) { h.Condition = "look" }, "open the folds"},
		{"an incident stopped it", func(h *Hanging) { h.Condition = "stop" }, "stands at stop"},
		{"ready is no reason", func(h *Hanging) { h.Condition = "ready" }, ""},
	} {
		h := Hanging{Species: domain.Whitetail, Form: domain.Whole, KilledAt: evening.Add(-5 * 24 * time.Hour), CameAt: evening.Add(-4 * 24 * time.Hour), Last: fine}
		tt.edit(&h)
		why := h.Why(last, evening)
		if tt.want == "" && len(why) > 0 || tt.want != "" && (len(why) == 0 || !strings.Contains(why[0].String(), tt.want)) {
			t.Errorf("%s: %v, want %q", tt.name, why, tt.want)
		}
	}
}

// readiness.md 9 and 10; trade.md 5.6.
func TestFollows(t *testing.T) {
	for _, tt := range []struct {
		name    string
		look    Look
		species domain.Species
		form    domain.Form
		want    string
		stops   bool
	}{
		{"fine", Look{Smell: SmellClean, Surface: SurfaceDry}, domain.Whitetail, domain.Whole, "", false},
		{"sulphur", Look{Smell: SmellSulphur, Surface: SurfaceDry}, domain.Whitetail, domain.Whole, "Bad smell: stop", true},
		{"slime", Look{Smell: SmellClean, Surface: SurfaceSlimy}, domain.Whitetail, domain.Whole, "Slime: stop", true},
		{"black, however short", Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteFat, 0.5, Black}}}, domain.Whitetail, domain.Whole, "make toxins", true},
		{"white on ribs", Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteRibs, 2, White}}}, domain.Whitetail, domain.Whole, "measure it again", false},
		{"white on ribs of a lamb", Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteRibs, 2, White}}}, domain.Lamb, domain.Whole, "cut it off dry", false},
		{"white on quarters", Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteFat, 2, White}}}, domain.Elk, domain.Quarters, "cut it off dry", false},
		{"grey on the neck counts as meat", Look{Smell: SmellClean, Surface: SurfaceDry, Mould: []Mould{{SiteNeck, 2, Grey}}}, domain.Whitetail, domain.Whole, "cut it off dry", false},
		{"sticky", Look{Smell: SmellClean, Surface: SurfaceSticky}, domain.Whitetail, domain.Whole, "cut it first", false},
	} {
		says := tt.look.Follows(tt.species, tt.form)
		if tt.want == "" && len(says) > 0 || tt.want != "" && (len(says) != 1 || !strings.Contains(says[0].String(), tt.want)) {
			t.Errorf("%s: %v, want %q", tt.name, says, tt.want)
		}
		if tt.look.Stops() != tt.stops || tt.look.Flagged() != (tt.want != "") {
			t.Errorf("%s: stops %v, flagged %v", tt.name, tt.look.Stops(), tt.look.Flagged())
		}
	}
}

// readiness.md 5, last paragraph.
func TestTakesSurfaceOf(t *testing.T) {
	touched := Hanging{Species: domain.Whitetail, Form: domain.Whole, HungAt: evening.Add(-48 * time.Hour)}
	for _, tt := range []struct {
		name string
		h    Hanging
		want bool
	}{
		{"hung longer", Hanging{Species: domain.Whitetail, Form: domain.Whole, HungAt: evening.Add(-72 * time.Hour)}, true},
		{"hung as long", Hanging{Species: domain.Whitetail, Form: domain.Whole, HungAt: touched.HungAt}, true},
		{"another deer", Hanging{Species: domain.MuleDeer, Form: domain.Whole, HungAt: touched.HungAt}, true},
		{"newer", Hanging{Species: domain.Whitetail, Form: domain.Whole, HungAt: evening}, false},
		{"hide on", Hanging{Species: domain.Whitetail, Form: domain.WholeHideOn, HungAt: touched.HungAt}, false},
		{"quarters", Hanging{Species: domain.Whitetail, Form: domain.Quarters, HungAt: touched.HungAt}, false},
		{"boned", Hanging{Species: domain.Whitetail, Form: domain.Boned, HungAt: touched.HungAt}, false},
		{"an elk", Hanging{Species: domain.Elk, Form: domain.Whole, HungAt: touched.HungAt}, false},
	} {
		if got := tt.h.TakesSurfaceOf(touched); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
	hide := touched
	hide.Form = domain.WholeHideOn
	if touched.TakesSurfaceOf(hide) {
		t.Error("a hide was touched and spoke for bare meat")
	}
}

// trade.md 4.1: at or below 0 °F; act above 10 °F.
func TestJudgeFreezerAir(t *testing.T) {
	for _, tt := range []struct {
		f    float64
		want Verdict
	}{{-10, Fine}, {0, Fine}, {0.5, Watch}, {10, Watch}, {10.5, Act}} {
		if v, do := JudgeFreezerAir(domain.Fahrenheit(tt.f)); v != tt.want || (v == Fine) != (do.Format == "") {
			t.Errorf("%v °F: %s %q", tt.f, v, do)
		}
	}
	a := Answers{Freezer: true, Panel: f(12), Independent: f(11), Smell: SmellClean, FansRunning: n(1), Fans: n(1)}
	if err := a.Check(); err != nil {
		t.Errorf("a freezer has no meat to probe and nothing to count: %v", err)
	}
	if found := a.Findings(); len(found) != 2 || found[0].Verdict != Act {
		t.Errorf("found %v", found)
	}
	if len(Frozen()) != 4 {
		t.Errorf("%d items for a freezer", len(Frozen()))
	}
}

func TestWalkCheck(t *testing.T) {
	for _, tt := range []struct {
		name     string
		from, to time.Duration // before arrival
		ok       bool
	}{
		{"half an hour", 30 * time.Minute, 0, true},
		{"sent hours later", 9 * time.Hour, 8 * time.Hour, true},
		{"a clock 9 minutes ahead", 0, -9 * time.Minute, true},
		{"a clock 11 minutes ahead", 0, -11 * time.Minute, false},
		{"ends before it begins", 0, time.Minute, false},
	} {
		w := Walk{From: evening.Add(-tt.from), To: evening.Add(-tt.to), Arrived: evening}
		if err := w.Check(); (err == nil) != tt.ok {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	w := Walk{From: evening.Add(-time.Hour), To: evening, Arrived: evening}
	if w.CheckLook(evening.Add(-2*time.Hour)) == nil || w.CheckLook(evening.Add(-time.Minute)) != nil {
		t.Error("a look from before the walk was taken, or one within it refused")
	}
}

func TestDecisionCheck(t *testing.T) {
	for _, d := range Decisions {
		if err := d.Check("slime under the flank, trimmed"); err != nil {
			t.Errorf("%s: %v", d, err)
		}
		if domain.As(d.Check("  ")).At != "reason" {
			t.Errorf("%s without a reason", d)
		}
	}
	if domain.As(Decision("eat").Check("x")).At != "verdict" || CarryOn.Condemns() || !CondemnPart.Condemns() {
		t.Error("a decision that is none")
	}
}
