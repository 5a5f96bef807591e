package db_test

import (
	"sync"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/ageing"
)

// grown hangs a grown whitetail killed some days before Noon.
func grown(t *testing.T, s *dbtest.Shop, running, position int, days float64) domain.ShopNumber {
	t.Helper()
	n := s.HangDeer(t, running, position)
	killed := dbtest.Noon.Add(-time.Duration(days * 24 * float64(time.Hour)))
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		UPDATE animals SET class = 'mature', killed_at = $2, received_at = $2::timestamptz + interval '3 hours', wish = 'long-hang',
		       protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature' AND version = 1), revision = revision + 1 WHERE number = $1`, n, killed)
	must(t, err)
	_, err = dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE occupancies o SET since = a.received_at FROM animals a WHERE a.id = o.animal_id AND a.number = $1`, n)
	must(t, err)
	return n
}

func looked(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, at time.Time) {
	t.Helper()
	l := lookAt(n, at)
	must(t, s.Look(t.Context(), s.Act(s.Bob, at), n, l))
}

// A longer hang counts only with the owner's line and the lead's sign-off; each
// signature is one act, and the animal is judged anew after it.
func TestLongHangIsSigned(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	n := grown(t, s, 1, 1, 15)
	looked(t, s, n, dbtest.Noon.Add(-time.Hour))
	ceiling := func(want float64, c ageing.Condition) {
		t.Helper()
		if v := hungOf(t, s, n, dbtest.Noon).Verdict; v.Ceiling != want || v.Condition != c {
			t.Errorf("day %g of %g: %s, want %g and %s (%v)", v.DaysSinceKill, v.Ceiling, v.Condition, want, c, v.Reasons)
		}
	}
	ceiling(14, ageing.Past) // wished for, not signed
	notAllowed(t, "no owner's line", s.Extend(ctx, s.Act(s.Ann, dbtest.Noon), n, 21, nil, "cold and dry"), domain.Refused, "owner-line")
	notAllowed(t, "too many days", s.OwnerSigned(ctx, s.Act(s.Bob, dbtest.Noon), n, 30, "slip"), domain.Invalid, "days")
	notAllowed(t, "kept nowhere", s.OwnerSigned(ctx, s.Act(s.Bob, dbtest.Noon), n, 21, " "), domain.Invalid, "note")
	act := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		must(t, s.OwnerSigned(ctx, act, n, 21, "on the slip, in the binder"))
	}
	ceiling(14, ageing.Past) // one of two
	notAllowed(t, "not the lead", s.Extend(ctx, s.Act(s.Bob, dbtest.Noon), n, 21, nil, "cold"), domain.Refused, "lead")
	notAllowed(t, "more than signed", s.Extend(ctx, s.Act(s.Ann, dbtest.Noon), n, 22, nil, "cold"), domain.Invalid, "days")
	notAllowed(t, "no reason", s.Extend(ctx, s.Act(s.Ann, dbtest.Noon), n, 21, nil, ""), domain.Invalid, "note")
	act = s.Act(s.Ann, dbtest.Noon.Add(time.Second))
	for range 2 {
		must(t, s.Extend(ctx, act, n, 21, nil, "cold, dry, good cover"))
	}
	ceiling(21, ageing.Ready)
	h, err := s.HangOf(ctx, n)
	must(t, err)
	if len(h.Signed) != 2 || h.Agreement.Days(h.Rule) != 21 || h.Signed[1].By != "AK" {
		t.Errorf("%+v", h.Signed)
	}
	line, err := s.TimeLine(ctx, h.Animal.ID)
	must(t, err)
	if len(line) != 3 || line[0].What != "sign-extend" || line[0].Detail["up to day"] != 21.0 || line[1].What != "sign-owner" {
		t.Errorf("on the time line: %+v", line)
	}
	must(t, s.EndLongHang(ctx, s.Act(s.Ann, dbtest.Noon.Add(2*time.Second)), n, "room needed"))
	ceiling(14, ageing.Past)
	notAllowed(t, "ended twice", s.EndLongHang(ctx, s.Act(s.Ann, dbtest.Noon.Add(3*time.Second)), n, "again"), domain.Refused, "end")
}

// A kind without a longer hang has none whatever is signed (trade.md, scenario 17:
// a fawn marked "age 14 days").
func TestFawnHasNoLongHang(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n := s.HangDeer(t, 1, 1)
	notAllowed(t, "a fawn", s.OwnerSigned(t.Context(), s.Act(s.Bob, dbtest.Noon), n, 14, "slip"), domain.Refused, "long-hang")
}

// Quarters hang by the rule of their form, and never longer than their kind.
func TestLowerCeilingWins(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		UPDATE animals SET species = 'pronghorn', class = 'mature', form = 'quarters', protocol_id = (SELECT id FROM protocols WHERE key = 'quarters'), revision = revision + 1
		WHERE number = $1`, n)
	must(t, err)
	if v := hungOf(t, s, n, dbtest.Noon).Verdict; v.Ceiling != 3 {
		t.Errorf("quarters of a pronghorn: %g days, want 3 (readiness.md section 10: the lower wins)", v.Ceiling)
	}
	h, err := s.HangOf(t.Context(), n)
	must(t, err)
	if h.Rule.Ceiling != 3 || h.Rule.LongCeiling != 0 {
		t.Errorf("%+v", h.Rule)
	}
}

// After day 14 the lead signs each week, after a look; today lists what is due.
func TestWeeklySignature(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	old, young := grown(t, s, 1, 1, 15), grown(t, s, 2, 2, 9)
	due := func(now time.Time) (list []domain.ShopNumber) {
		t.Helper()
		today, err := s.Today(ctx, now)
		must(t, err)
		for _, d := range today.Sign {
			list = append(list, d.Number)
		}
		return list
	}
	if got := due(dbtest.Noon); len(got) != 1 || got[0] != old {
		t.Fatalf("due: %v, want %s", got, old)
	}
	notAllowed(t, "before day 14", s.SignWeek(ctx, s.Act(s.Ann, dbtest.Noon), young, nil, "fine"), domain.Refused, "weekly")
	notAllowed(t, "without a look", s.SignWeek(ctx, s.Act(s.Ann, dbtest.Noon), old, nil, "fine"), domain.Refused, "look")
	looked(t, s, old, dbtest.Noon.Add(-time.Hour))
	notAllowed(t, "not the lead", s.SignWeek(ctx, s.Act(s.Bob, dbtest.Noon), old, nil, "fine"), domain.Refused, "lead")
	act := s.Act(s.Ann, dbtest.Noon)
	for range 2 {
		must(t, s.SignWeek(ctx, act, old, nil, "dry, clean"))
	}
	if got := due(dbtest.Noon); len(got) != 0 {
		t.Errorf("signed, and still due: %v", got)
	}
	if got := due(dbtest.Noon.AddDate(0, 0, 8)); len(got) != 2 {
		t.Errorf("eight days on: %v due, want both", got)
	}
}

// Two leads sign off at once: both lines are kept, one row after the other, and
// the animal is judged by the last.
func TestExtendTwoAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	n := grown(t, s, 1, 1, 12)
	must(t, s.OwnerSigned(ctx, s.Act(s.Bob, dbtest.Noon), n, 28, "slip"))
	revision := animalOf(t, s, n).Revision
	errs := make([]error, 2)
	var wg sync.WaitGroup
	for i, days := range []float64{20, 24} {
		wg.Go(func() {
			errs[i] = s.Extend(ctx, s.Act(s.Ann, dbtest.Noon.Add(time.Duration(i+1)*time.Minute)), n, days, nil, "cold")
		})
	}
	wg.Wait()
	must(t, errs[0])
	must(t, errs[1])
	if v := hungOf(t, s, n, dbtest.Noon.Add(time.Hour)).Verdict; v.Ceiling != 24 {
		t.Errorf("judged by %g days, want the later signature's 24", v.Ceiling)
	}
	if got := animalOf(t, s, n).Revision; got != revision+2 {
		t.Errorf("revision %d after two acts on %d", got, revision)
	}
}
