package db_test

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
)

// A stranger on the network who guesses at the owner's password waits; the owner
// goes on signing with their PIN meanwhile.
func TestStrangersGuessesLeaveThePINAlone(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	for i := range 12 {
		_, err := s.Enrol(ctx, db.Enrolment{Initials: "AK", Password: "wrong horse battery", Device: "phone", Address: fmt.Sprintf("192.0.2.%d", i)}, now)
		if e := domain.As(err); i < 10 && e.Kind != domain.Invalid || i >= 10 && e.Kind != domain.Refused {
			t.Errorf("guess %d: %v", i+1, err)
		}
	}
	if err := s.CheckPIN(ctx, s.Device, s.Ann.ID, "4711", now); err != nil {
		t.Errorf("the owner's PIN meanwhile: %v", err)
	}
	right := db.Enrolment{Initials: "AK", Password: "correct horse battery", Device: "phone", Address: "198.51.100.7"}
	if _, err := s.Enrol(ctx, right, now); domain.As(err).Kind != domain.Refused {
		t.Errorf("the right password during the wait: %v", err)
	}
	if _, err := s.Enrol(ctx, right, now.Add(31*time.Second)); err != nil {
		t.Errorf("the right password after it: %v", err)
	}
}

// Initials that nobody has, those of somebody who is no owner and the owner's are
// answered alike, in words, in waits and in time (OWASP ASVS 5.0, V6.3.8).
func TestNobodyLearnsWhoWorksHere(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	said, took := map[string]string{}, map[string]time.Duration{}
	for i := range 14 { // by turns, so that a busy moment of the machine meets all three
		for _, initials := range []string{"AK", "BT", "ZZ"} {
			began := time.Now()
			_, err := s.Enrol(ctx, db.Enrolment{Initials: initials, Password: "wrong horse battery", Device: "phone", Address: initials + fmt.Sprint(i)}, dbtest.Noon.Add(time.Duration(i)*time.Second))
			if i == 1 || i > 1 && i < 10 && time.Since(began) < took[initials] {
				took[initials] = time.Since(began)
			}
			said[initials] += fmt.Sprintln(domain.As(err).Kind, err)
		}
	}
	for _, initials := range []string{"BT", "ZZ"} {
		if said[initials] != said["AK"] {
			t.Errorf("%s is told\n%s, the owner\n%s", initials, said[initials], said["AK"])
		}
		if took[initials] < took["AK"]/3 {
			t.Errorf("%s is answered in %s, the owner in %s", initials, took[initials], took["AK"])
		}
	}
}

// Guesses that come all at once get no more tries than one after the other.
func TestGuessesAtOnceQueueUp(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	var compared, waited atomic.Int32
	var all sync.WaitGroup
	for range 24 {
		all.Go(func() {
			_, err := s.Enrol(ctx, db.Enrolment{Initials: "AK", Password: "wrong horse battery", Device: "phone", Address: "192.0.2.1"}, dbtest.Noon)
			switch domain.As(err).Kind {
			case domain.Invalid:
				compared.Add(1)
			case domain.Refused:
				waited.Add(1)
			}
		})
	}
	all.Wait()
	if compared.Load() != 10 || waited.Load() != 14 {
		t.Errorf("%d were compared and %d told to wait, want 10 and 14", compared.Load(), waited.Load())
	}
}

// What no form lets through is still no fault of ours where it comes in another way.
func TestTextThatCannotBeKept(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	for _, text := range []string{"a\x00b", "a\xffb"} {
		_, err := s.StatutesOf(t.Context(), text)
		if domain.As(err).Kind != domain.Invalid {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A device called as another is gets a number, whatever the case it is typed in.
func TestDevicesOfOneName(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	for _, want := range []string{"Counter tablet 2", "Counter tablet 3"} {
		id, err := s.Enrol(t.Context(), db.Enrolment{Initials: "AK", Password: "correct horse battery", Device: "Counter tablet"}, dbtest.Noon)
		if err != nil {
			t.Fatal(err)
		}
		var got string
		if err := s.Pool().QueryRow(t.Context(), `SELECT name FROM devices WHERE id = $1`, id).Scan(&got); err != nil || got != want {
			t.Errorf("called %q, %v, want %q", got, err, want)
		}
	}
}
