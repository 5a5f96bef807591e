package db_test

import (
	"bytes"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain/animal"
)

var lookUpKey = bytes.Repeat([]byte{7}, 32)

// Number and digits of the owner's first or second phone open it; nobody else's do.
func TestLookUp(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx, n, other := t.Context(), s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	id := s.Own(t, n, "Dale Orrin", "607-555-0142")
	s.Own(t, other, "Ray Tarrant", "(607) 555-0188")
	if _, err := s.Pool().Exec(ctx, `UPDATE people SET second_phone = '607 555 0177' WHERE id = $1`, id); err != nil {
		t.Fatal(err)
	}
	for i, tt := range []struct {
		number, digits string
		found          bool
		reason         string
	}{
		{string(n), "0142", true, "his number and phone"},
		{n.Digits(), "0142", true, "typed without dashes"},
		{string(n), "0177", true, "his second phone"},
		{string(n), "0188", false, "another owner's phone"},
		{string(other), "0142", false, "another owner's deer"},
		{string(n), "", false, "no digits"},
		{string(n), "6075550142", false, "all digits"},
		{string(n), "%", false, "no pattern"},
		{"", "0142", false, "no number"},
		{"26-0147", "0142", false, "no number of ours"},
	} {
		got, err := s.LookUp(ctx, lookUpKey, db.LookUp{Number: tt.number, Digits: tt.digits, Address: fmt.Sprint(i)}, dbtest.Noon)
		if err != nil || got.Found != tt.found || got.Waits || got.Found && got.Animal != animalOf(t, s, n).ID {
			t.Errorf("%s: %+v, %v", tt.reason, got, err)
		}
	}
}

// Forty at once, half of them on a second server, each from another address, get no
// more tries at one number than one after the other; then the right digits are refused
// too, until the wait is over.
func TestLookUpIsSlowOnTwoServers(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	second, err := db.Open(t.Context(), dbtest.AddressOf(t, s.DB))
	must(t, err)
	t.Cleanup(second.Close)
	ctx, n := t.Context(), s.HangDeer(t, 1, 1)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	var compared atomic.Int32
	var all sync.WaitGroup
	for i := range 40 {
		server := []*db.DB{s.DB, second}[i%2]
		all.Go(func() {
			got, err := server.LookUp(ctx, lookUpKey, db.LookUp{Number: string(n), Digits: fmt.Sprintf("9%03d", i), Address: fmt.Sprint(i)}, dbtest.Noon)
			if err != nil || got.Found {
				t.Errorf("%+v, %v", got, err)
			}
			if !got.Waits {
				compared.Add(1)
			}
		})
	}
	all.Wait()
	if int(compared.Load()) != animal.NumberBrake.Free {
		t.Errorf("%d of 40 were compared, want %d", compared.Load(), animal.NumberBrake.Free)
	}
	right := db.LookUp{Number: string(n), Digits: "0142", Address: "at home"}
	if got, err := second.LookUp(ctx, lookUpKey, right, dbtest.Noon.Add(59*time.Second)); err != nil || !got.Waits || got.Found {
		t.Errorf("within the wait: %+v, %v", got, err)
	}
	if got, err := s.LookUp(ctx, lookUpKey, right, dbtest.Noon.Add(time.Minute)); err != nil || !got.Found {
		t.Errorf("after the wait: %+v, %v", got, err)
	}
}

// One address that goes through many numbers, existing or not, is slowed as well; what
// is kept of it is a code, and after a month nothing.
func TestLookUpIsSlowForOneAddress(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx := t.Context()
	compared := 0
	for i := range 30 {
		got, err := s.LookUp(ctx, lookUpKey, db.LookUp{Number: fmt.Sprintf("26-%04d", i), Digits: "0142", Address: "203.0.113.9"}, dbtest.Noon)
		must(t, err)
		if !got.Waits {
			compared++
		}
	}
	if compared != animal.AddressBrake.Free {
		t.Errorf("%d of 30 were compared, want %d", compared, animal.AddressBrake.Free)
	}
	if kept := collect[struct{ Text string }](t, s, `SELECT t::text AS text FROM look_up_tries t WHERE t::text LIKE '%203.0%' OR t::text LIKE '%26-00%'`); len(kept) > 0 {
		t.Errorf("kept in the clear: %v", kept)
	}
	later := dbtest.Noon.Add(animal.NumberBrake.Forget + time.Second)
	if _, err := s.LookUp(ctx, lookUpKey, db.LookUp{Number: "26-9999", Digits: "0142", Address: "198.51.100.1"}, later); err != nil {
		t.Fatal(err)
	}
	if left := collect[struct{ Kind string }](t, s, `SELECT kind FROM look_up_tries WHERE last_at < '2026-12-01'`); len(left) > 0 {
		t.Errorf("%d counts of a month ago are still there", len(left))
	}
}
