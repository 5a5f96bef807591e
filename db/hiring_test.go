package db_test

import (
	"context"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/google/uuid"
)

// The lead takes on a helper until Sunday; the owner makes the helper lead; sent
// twice, nobody is taken on twice.
func TestHire(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	sunday := now.AddDate(0, 0, 3)
	lead, err := s.Hire(ctx, s.Act(s.Ann, now), db.NewStaff{Name: "Marcus Tiede", Initials: "MT", Roles: []string{"lead"}, PIN: "2468"})
	if err != nil {
		t.Fatal(err)
	}
	helper := db.NewStaff{Name: "Ada Kline", Initials: "ad", Roles: []string{"cutter"}, PIN: "1234", EndsOn: &sunday}
	act := s.Act(lead, now)
	for range 2 {
		if _, err := s.Hire(ctx, act, helper); err != nil {
			t.Fatal(err)
		}
	}
	all, err := s.Everybody(ctx, now)
	if err != nil || len(all) != 4 {
		t.Fatalf("%d work here, %v: want Ann, Bob, Marcus and Ada", len(all), err)
	}
	ada := all[0]
	if ada.Initials != "AD" || ada.EndsOn == nil || ada.HasPassword {
		t.Errorf("%+v", ada)
	}
	// Half past eight in the evening of the last day is the next day in Greenwich.
	lastEvening := time.Date(2026, 11, 22, 20, 30, 0, 0, sunday.Location()).Add(5 * time.Hour)
	for _, day := range []struct {
		at    time.Time
		works bool
	}{{lastEvening, true}, {lastEvening.Add(4 * time.Hour), false}} {
		h, _, err := s.HolderOf(ctx, s.Device, ada.ID, day.at)
		if err != nil || (h.Staff.ID == ada.ID) != day.works {
			t.Errorf("at %s a helper until Sunday the 22nd works here: %v, %v", day.at, h.Staff.ID == ada.ID, err)
		}
	}
	for _, tt := range []struct {
		by db.Staff
		n  db.NewStaff
		at string
	}{
		{s.Bob, helper, "role"},
		{lead, db.NewStaff{Name: "Cy Moss", Initials: "CM", Roles: []string{"cutter"}, PIN: "1234"}, "ends"},
		{lead, db.NewStaff{Name: "Cy Moss", Initials: "CM", Roles: []string{"owner"}, PIN: "1234", EndsOn: &sunday}, "roles"},
		{s.Ann, db.NewStaff{Name: "Cy Moss", Initials: "AD", Roles: []string{"cutter"}, PIN: "1234"}, "initials"},
		{s.Ann, db.NewStaff{Name: "Cy Moss", Initials: "CM", Roles: []string{"cutter"}, PIN: "1234", Password: "long enough a sentence"}, "password"},
	} {
		if _, err := s.Hire(ctx, s.Act(tt.by, now), tt.n); domain.As(err).At != tt.at {
			t.Errorf("%s takes on %+v: %v, want a refusal at %q", tt.by.Initials, tt.n, err, tt.at)
		}
	}
	changes, err := s.StaffChanges(ctx)
	if err != nil || len(changes) != 2 || changes[0].By != "MT" || changes[0].Who != "AD" {
		t.Errorf("%+v, %v", changes, err)
	}
}

// Work and last day change for one of two who change it at once; the shop never
// loses the last person who can let a device in.
func TestChangeStaff(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	was := s.Bob.Roles
	oneWins(t, func(by db.Staff) error {
		return s.ChangeStaff(ctx, s.Act(by, now), s.Bob.ID, was, []string{"cutter"}, nil)
	}, s.Ann, s.Ann)
	bob, err := s.Person(ctx, s.Bob.ID)
	if err != nil || len(bob.Roles) != 1 {
		t.Fatalf("%+v, %v", bob, err)
	}
	if err := s.ChangeStaff(ctx, s.Act(s.Ann, now), s.Ann.ID, s.Ann.Roles, []string{"lead"}, nil); domain.As(err).At != "roles" {
		t.Errorf("the last owner steps down: %v", err)
	}
	if err := s.ChangeStaff(ctx, s.Act(s.Ann, now), s.Ann.ID, s.Ann.Roles, s.Ann.Roles, &now); domain.As(err).At != "roles" {
		t.Errorf("the last owner leaves: %v", err)
	}
	if err := s.ChangeStaff(ctx, s.Act(s.Bob, now), s.Ann.ID, s.Ann.Roles, []string{"cutter"}, nil); domain.As(err).Kind != domain.Refused {
		t.Errorf("a cutter changes the owner: %v", err)
	}
	if err := s.ChangeStaff(ctx, s.Act(s.Ann, now), uuid.New(), nil, []string{"cutter"}, nil); domain.As(err).Kind != domain.NotFound {
		t.Errorf("nobody is changed: %v", err)
	}
}

// A new PIN counts at once and the old one no more; a password is an owner's.
func TestGivePIN(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	if err := s.GivePIN(ctx, s.Act(s.Bob, now), s.Bob.ID, "97531"); err != nil {
		t.Fatal(err)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", now); domain.As(err).Kind != domain.Invalid {
		t.Errorf("the old PIN: %v", err)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "97531", now); err != nil {
		t.Errorf("the new PIN: %v", err)
	}
	if err := s.GivePIN(ctx, s.Act(s.Bob, now), s.Ann.ID, "1111"); domain.As(err).Kind != domain.Refused {
		t.Errorf("a cutter gives the owner a PIN: %v", err)
	}
	if err := s.GivePassword(ctx, s.Act(s.Ann, now), s.Bob.ID, "long enough a sentence"); domain.As(err).At != "password" {
		t.Errorf("a cutter gets a password: %v", err)
	}
	if err := s.GivePassword(ctx, s.Act(s.Ann, now), s.Ann.ID, "another good sentence"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Enrol(ctx, db.Enrolment{Initials: "AK", Password: "another good sentence", Device: "phone"}, now); err != nil {
		t.Errorf("the new password: %v", err)
	}
}

// A PIN is compared while an act of the same person on the same device is on its way:
// neither waits for the other, and so they cannot wait for each other.
func TestPINWaitsForNoActOnItsWay(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx, stop := context.WithTimeout(t.Context(), 10*time.Second)
	defer stop()
	tx, err := s.Pool().Begin(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer tx.Rollback(t.Context())
	if _, err := tx.Exec(ctx, `INSERT INTO shifts (token_hash, device_id, staff_id, begins_at, ends_at) VALUES (sha256('x'), $1, $2, $3, $3::timestamptz + interval '12 hours')`,
		s.Device, s.Bob.ID, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", dbtest.Noon); err != nil {
		t.Errorf("with an act on its way: %v", err)
	}
}

// One wrong PIN tried on person after person makes the device wait, not only each
// person (OWASP ASVS 5.0, 6.3.1: brute force and password spraying).
func TestPINWaitsForTheDevice(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	for i := range 5 {
		who := []db.Staff{s.Ann, s.Bob}[i%2]
		if e := domain.As(s.CheckPIN(ctx, s.Device, who.ID, "0000", now)); e.Kind != domain.Invalid {
			t.Fatalf("try %d: %v", i, e)
		}
	}
	if e := domain.As(s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", now)); e.Kind != domain.Refused {
		t.Errorf("the right PIN on a device that waits: %v", e)
	}
	if err := s.CheckPIN(ctx, uuid.Nil, s.Bob.ID, "2222", now); err != nil {
		t.Errorf("Bob himself waits after three misses: %v", err)
	}
	if err := s.CheckPIN(ctx, s.Device, s.Bob.ID, "2222", now.Add(31*time.Second)); err != nil {
		t.Errorf("after the wait: %v", err)
	}
}

// A device turned away holds nobody any more, and its shifts are over.
func TestTurnAway(t *testing.T) {
	t.Parallel()
	s, ctx, now := dbtest.OpenShop(t), t.Context(), dbtest.Noon
	lost, err := s.Enrol(ctx, db.Enrolment{Initials: "AK", Password: "correct horse battery", Device: "lost phone"}, now)
	if err != nil {
		t.Fatal(err)
	}
	token, err := s.BeginShift(ctx, lost, s.Bob.ID, now)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.TurnAway(ctx, s.Act(s.Ann, now), s.Device); domain.As(err).Kind != domain.Refused {
		t.Errorf("the device in hand: %v", err)
	}
	oneWins(t, func(by db.Staff) error { return s.TurnAway(ctx, s.Act(by, now), lost) }, s.Ann, s.Ann)
	if _, found, err := s.HolderOf(ctx, lost, s.Bob.ID, now); found || err != nil {
		t.Errorf("it still takes part: %v, %v", found, err)
	}
	if _, err := s.ShiftOf(ctx, token); domain.As(err).Kind != domain.Refused {
		t.Errorf("its shift still counts: %v", err)
	}
	if left, err := s.Devices(ctx); err != nil || len(left) != 1 {
		t.Errorf("%d devices, %v", len(left), err)
	}
}
