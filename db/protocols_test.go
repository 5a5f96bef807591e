package db_test

import (
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/ageing"
)

// ruleOf is the newest version of a kind, to change.
func ruleOf(t *testing.T, s *dbtest.Shop, key string) (ageing.Protocol, int) {
	t.Helper()
	v, err := s.ProtocolVersions(t.Context(), key)
	must(t, err)
	return v[0].Rule(), v[0].Version
}

// notAllowed fails unless err is of the kind and names the field or rule.
func notAllowed(t *testing.T, what string, err error, kind domain.Kind, at string) {
	t.Helper()
	if e := domain.As(err); err == nil || e.Kind != kind || e.At != at {
		t.Errorf("%s: %v at %q (%d), want kind %d at %q", what, err, e.At, e.Kind, kind, at)
	}
}

func hungOf(t *testing.T, s *dbtest.Shop, number domain.ShopNumber, now time.Time) db.Hung {
	t.Helper()
	list, err := s.Hanging(t.Context(), now)
	must(t, err)
	for _, h := range list {
		if h.Number == number {
			if h.Verdict == nil {
				t.Fatalf("%s is not judged: %v", number, h.Why)
			}
			return h
		}
	}
	t.Fatalf("%s does not hang", number)
	return db.Hung{}
}

// The table's own protocols come back as they went in.
func TestProtocolsAreTheTable(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	list, err := s.Protocols(t.Context())
	must(t, err)
	for _, p := range list {
		if want, _ := ageing.ProtocolByKey(p.Key); !p.Rule().Same(want) || p.Version != 1 {
			t.Errorf("%s: %+v, want %+v", p.Key, p.Rule(), want)
		}
	}
	if len(list) != len(ageing.Protocols) {
		t.Errorf("%d kinds, want %d", len(list), len(ageing.Protocols))
	}
}

// A change is a new version that binds what comes in after it; what hangs keeps
// its own until somebody says otherwise, and then its condition changes.
func TestEditProtocol(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	before := s.HangDeer(t, 1, 1) // a young deer of three days: ceiling 5
	to, base := ruleOf(t, s, "deer-young")
	to.Ceiling, to.Usual, to.Cites = 2, ageing.Days{From: 0, To: 2}, []string{"Our own practice"}
	act := s.Act(s.Ann, dbtest.Noon)
	for range 2 { // the same act twice
		must(t, s.EditProtocol(ctx, act, base, to, "fawns dried out last year"))
	}
	versions, err := s.ProtocolVersions(ctx, "deer-young")
	must(t, err)
	if len(versions) != 2 || versions[0].Version != 2 || versions[0].By != "AK" || versions[0].Why != "fawns dried out last year" || !versions[0].Since.Equal(dbtest.Noon) ||
		!versions[0].Rule().Same(to) || versions[1].CeilingDays != 5 || versions[1].Hang != 1 || versions[0].Hang != 0 {
		t.Fatalf("%+v", versions)
	}
	if got := hungOf(t, s, before, dbtest.Noon); got.Verdict.Ceiling != 5 {
		t.Errorf("what hung before is judged by %g days", got.Verdict.Ceiling)
	}
	d := aDrop(2)
	d.Class, d.ReceivedAt, d.KilledAt = domain.Young, dbtest.Noon.Add(time.Hour), dbtest.Noon
	must(t, s.Receive(ctx, s.Act(s.Bob, d.ReceivedAt), d))
	if a := animalOf(t, s, d.Number); a.ProtocolID != versions[0].ID {
		t.Errorf("what came after is judged by %d, want %d", a.ProtocolID, versions[0].ID)
	}
	older, err := s.ByOlderRule(ctx, "deer-young")
	must(t, err)
	if len(older) != 1 || older[0].Number != before || older[0].Version != 1 {
		t.Fatalf("by the older rule: %+v", older)
	}
	notAllowed(t, "no reason", s.JudgeByNewRule(ctx, s.Act(s.Ann, dbtest.Noon), "deer-young", nil, " "), domain.Invalid, "also_why")
	act = s.Act(s.Ann, dbtest.Noon)
	for range 2 {
		must(t, s.JudgeByNewRule(ctx, act, "deer-young", []domain.ShopNumber{before}, "same fawns"))
	}
	if got := hungOf(t, s, before, dbtest.Noon); got.Verdict.Ceiling != 2 || got.Verdict.Condition != ageing.Past {
		t.Errorf("by the new rule: %g days, %s", got.Verdict.Ceiling, got.Verdict.Condition)
	}
	line, err := s.TimeLine(ctx, animalOf(t, s, before).ID)
	must(t, err)
	if len(line) != 1 || line[0].What != "rejudge" || line[0].Detail["why"] != "same fawns" || line[0].Detail["to version"] != 2.0 {
		t.Errorf("on its time line: %+v", line)
	}
	notAllowed(t, "again", s.JudgeByNewRule(ctx, s.Act(s.Ann, dbtest.Noon), "deer-young", []domain.ShopNumber{before}, "x"), domain.Conflict, "")
}

func TestEditProtocolRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	to, base := ruleOf(t, s, "lamb-goat")
	same := to
	edit := func(change func(*ageing.Protocol)) error {
		p := to
		change(&p)
		return s.EditProtocol(ctx, s.Act(s.Ann, dbtest.Noon), base, p, "because")
	}
	notAllowed(t, "mould sign on lamb", edit(func(p *ageing.Protocol) { p.Sign = ageing.SignRequired }), domain.Invalid, "sign")
	notAllowed(t, "too long", edit(func(p *ageing.Protocol) { p.Ceiling = 14 }), domain.Invalid, "ceiling")
	notAllowed(t, "nothing changed", edit(func(*ageing.Protocol) {}), domain.Invalid, "why")
	notAllowed(t, "no reason", s.EditProtocol(ctx, s.Act(s.Ann, dbtest.Noon), base, same, ""), domain.Invalid, "why")
	to.Key = "unicorn"
	notAllowed(t, "no such kind", s.EditProtocol(ctx, s.Act(s.Ann, dbtest.Noon), base, to, "because"), domain.NotFound, "")
	if _, err := s.Pool().Exec(ctx, `UPDATE protocols SET ceiling_days = 60`); err == nil {
		t.Error("the program may write over a protocol")
	}
}

// Two owners change the same rule: one wins, the other is told to look again.
func TestEditProtocolTwoAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	to, base := ruleOf(t, s, "bull")
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i := range errs {
		p := to
		p.Ceiling, p.Usual = float64(10+i), ageing.Days{From: 7, To: 9}
		wg.Go(func() { errs[i] = s.EditProtocol(ctx, s.Act(s.Ann, dbtest.Noon), base, p, "shorter") })
	}
	wg.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("%v and %v: want one winner", errs[0], errs[1])
	}
	for _, err := range errs {
		if err != nil && domain.As(err).Kind != domain.Conflict {
			t.Errorf("the second is told %v", err)
		}
	}
	notAllowed(t, "on an old form", s.EditProtocol(ctx, s.Act(s.Ann, dbtest.Noon), base, to, "late"), domain.Conflict, "")
}
