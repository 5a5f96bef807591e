package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
)

// Five wrong PINs make everybody wait, the right one too; after the wait it counts.
func TestPINWaitsAfterFiveMisses(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	for range 5 {
		if e := domain.As(s.CheckPIN(ctx, s.Device, s.Bob.ID, "0000", now)); e.Kind != domain.Invalid || e.At != "pin" {
			t.Fatalf("a wrong PIN: %v", e)
		}
	}
	if e := domain.As(s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", now)); e.Kind != domain.Refused {
		t.Fatalf("the right PIN during the wait: %v, want Refused", e)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", now.Add(31*time.Second)); err != nil {
		t.Fatalf("the right PIN after the wait: %v", err)
	}
	if err := s.SetPIN(ctx, "bt", "987654"); err != nil {
		t.Fatal(err)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "987654", now); err != nil {
		t.Errorf("the new PIN: %v", err)
	}
}

func TestEnrolNeedsAnOwner(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	for _, try := range [][2]string{{"BT", "2222"}, {"AK", "wrong horse battery"}, {"XX", "correct horse battery"}, {"BT", ""}} {
		if _, err := s.Enrol(ctx, db.Enrolment{Initials: try[0], Password: try[1], Device: "tablet"}, now); domain.As(err).Kind != domain.Invalid {
			t.Errorf("Enrol(%s, %q): %v, want Invalid", try[0], try[1], err)
		}
	}
	device, err := s.Enrol(ctx, db.Enrolment{Initials: "ak", Password: "correct horse battery", Device: "cooler tablet"}, now)
	if err != nil {
		t.Fatal(err)
	}
	h, found, err := s.HolderOf(ctx, device, s.Bob.ID, now)
	if err != nil || !found || h.DeviceName != "cooler tablet" || h.Staff.Name != "Bob Tarrant" {
		t.Errorf("got %+v, %v, %v", h, found, err)
	}
	if h.Staff.Has("owner") || !h.Staff.Has("cutter") || !s.Ann.Has("cutter") {
		t.Error("roles are mixed up")
	}
}

func TestAddStaffRefuses(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	for _, tt := range []struct {
		at string
		n  db.NewStaff
	}{
		{"initials", db.NewStaff{Name: "Ada Kline", Initials: "ak", Roles: []string{"cutter"}, PIN: "1234"}},
		{"pin", db.NewStaff{Name: "Ada Kline", Initials: "AD", Roles: []string{"cutter"}, PIN: "12"}},
		{"roles", db.NewStaff{Name: "Ada Kline", Initials: "AD", PIN: "1234"}},
		{"name", db.NewStaff{Initials: "AD", Roles: []string{"cutter"}, PIN: "1234"}},
		{"password", db.NewStaff{Name: "Ada Kline", Initials: "AD", Roles: []string{"owner"}, PIN: "1234", Password: "short"}},
		{"password", db.NewStaff{Name: "Ada Kline", Initials: "AD", Roles: []string{"owner"}, PIN: "1234", Password: "qwertyuiop12"}},
		{"password", db.NewStaff{Name: "Ada Kline", Initials: "AD", Roles: []string{"owner"}, PIN: "1234", Password: "passwordpassword"}},
		{"password", db.NewStaff{Name: "Ada Kline", Initials: "AD", Roles: []string{"owner"}, PIN: "1234", Password: "Coldrail-2026"}},
	} {
		_, err := s.AddStaff(ctx, tt.n, dbtest.Noon)
		if e := domain.As(err); e.Kind != domain.Invalid || e.At != tt.at {
			t.Errorf("%+v: got %v at %q, want Invalid at %q", tt.n, err, e.At, tt.at)
		}
	}
}

func TestSecretIsMadeOnce(t *testing.T) {
	t.Parallel()
	d, ctx := dbtest.Open(t), t.Context()
	a, err := d.Secret(ctx, "links")
	if err != nil {
		t.Fatal(err)
	}
	b, err := d.Secret(ctx, "links")
	if err != nil || string(a) != string(b) || len(a) != 32 {
		t.Errorf("second asking gave another key (%v)", err)
	}
}
