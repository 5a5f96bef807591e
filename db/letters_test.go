package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
)

// Hard scenario 28 (trade.md Annex E): the letter of Dec 3 comes back Dec 12; ten
// days after it was posted the owner, and nobody else, may give the meat away.
// Nothing happens while the ladder is off or a letter is not approved.
func TestLadder(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := boxed(t, s, 1, 2, false)
	on := func(month time.Month, day int) time.Time { return time.Date(2026, month, day, 17, 0, 0, 0, time.UTC) }
	letter := []string{"Please come for it.", "It will not be sold."}
	told := on(11, 19)
	must(t, s.LogCall(ctx, s.Act(s.Bob, told), n, "call", "left word", ""))
	refused := func(name string, err error, says string) {
		t.Helper()
		if e := domain.As(err); e.Kind != domain.Refused || !strings.Contains(e.Error(), says) {
			t.Errorf("%s: %v, want %q", name, e, says)
		}
	}
	refused("off", s.WriteLetter(ctx, s.Act(s.Bob, on(12, 3)), n, letter), "Letters are off")
	f := db.Fetching{StubCollects: true, Ladder: animal.Ladder{On: true, SecondDays: 3, LetterDays: 14, DecideDays: 14, AfterLetterDays: 10}}
	refused("the counter turns it on", s.SetFetching(ctx, s.Act(s.Bob, told), f), "Only the owner")
	must(t, s.SetFetching(ctx, s.Act(s.Ann, told), f))
	refused("early", s.WriteLetter(ctx, s.Act(s.Bob, on(11, 23)), n, letter), "too early")

	posted := on(12, 3)
	write := s.Act(s.Bob, posted)
	for range 2 {
		must(t, s.WriteLetter(ctx, write, n, letter))
	}
	if e := domain.As(s.SendLetter(ctx, s.Act(s.Bob, posted), n, "mail")); e.Kind != domain.Conflict {
		t.Errorf("sent before it was approved: %v", e)
	}
	refused("the counter approves", s.ApproveLetter(ctx, s.Act(s.Bob, posted), n), "Only the owner")
	approve := s.Act(s.Ann, posted)
	for range 2 {
		must(t, s.ApproveLetter(ctx, approve, n))
	}
	oneWins(t, func(by db.Staff) error { return s.SendLetter(ctx, s.Act(by, posted), n, "certified") }, s.Ann, s.Bob)
	oneWins(t, func(by db.Staff) error { return s.LetterCameBack(ctx, s.Act(by, on(12, 12)), n, nil) }, s.Ann, s.Bob)

	give := db.Donation{Recipient: "Mill Street Pantry", Kg: domain.Pounds(41), Why: "report sent Dec 12, answer kept", Signature: db.Signature{Signer: "Rosa Lunt"}}
	refused("nine days after the letter", s.GiveAway(ctx, s.Act(s.Ann, on(12, 12)), n, give), "too early")
	refused("not the owner", s.GiveAway(ctx, s.Act(s.Bob, on(12, 13)), n, give), "Only the owner")
	for at, change := range map[string]func(*db.Donation){"recipient": func(d *db.Donation) { d.Recipient = " " }, "pounds": func(d *db.Donation) { d.Kg = 0 },
		"why": func(d *db.Donation) { d.Why = "" }, "signer": func(d *db.Donation) { d.Signer = "" }} {
		bad := give
		change(&bad)
		if e := domain.As(s.GiveAway(ctx, s.Act(s.Ann, on(12, 13)), n, bad)); e.At != at {
			t.Errorf("%s: %v", at, e)
		}
	}
	// Such a state wants its own words on each pack (W.S. 35-7-1302), a receipt with all that
	// leaves (as South Dakota has it) and the tag with the meat (as Washington has it).
	for _, sql := range []string{`UPDATE shop SET home_state = 'VT'`, `UPDATE statutes SET mark = 'GAME MEAT, GIVEN FREELY' WHERE key = 'wy-donation'`,
		`UPDATE statutes SET state = 'VT' WHERE key IN ('wy-donation', 'wa-tag', 'sd-receipt')`,
		`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) SELECT gen_random_uuid(), id, 'carcass-tag', 'T-9', 'VT', 'on-card', received_at, received_by FROM animals`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(ctx, sql); err != nil {
			t.Fatal(err)
		}
	}
	for _, step := range []struct {
		at   string
		done func()
	}{{"receipt", func() { give.Receipt = true }}, {"tag", func() { give.Tag = true }}, {"labelled-wy-donation", func() { give.Labelled = []string{"wy-donation"} }}} {
		if e := domain.As(s.GiveAway(ctx, s.Act(s.Ann, on(12, 13)), n, give)); e.At != step.at {
			t.Errorf("given away without %s: %v", step.at, e)
		}
		step.done()
	}
	act := s.Act(s.Ann, on(12, 13))
	for range 2 {
		must(t, s.GiveAway(ctx, act, n, give))
	}
	a := animalOf(t, s, n)
	g, found, err := s.DonationOf(ctx, a.ID)
	if err != nil || !found || a.Physical != animal.Transferred || g.Recipient != give.Recipient || g.By != "AK" {
		t.Errorf("%s, %+v, %v", a.Physical, g, err)
	}
	if w, err := s.WaitingForPickup(ctx, 10); err != nil || len(w) != 0 {
		t.Errorf("still waits: %+v, %v", w, err)
	}
	lines, err := s.RegisterOf(ctx, n)
	if err != nil || len(lines) != 1 || lines[0].Facts["disposition"] != "given away, not sold: 18.6 kg" || lines[0].Personal["collector"] != give.Recipient ||
		lines[0].Facts["tag_returned"] != "yes" || lines[0].Facts["receipt_out"] != "given" {
		t.Errorf("register %+v, %v", lines, err)
	}
	letters, err := s.Letters(ctx, n)
	if err != nil || len(letters) != 1 || letters[0].BackAt == nil || letters[0].How != "certified" || letters[0].ApprovedBy != "AK" {
		t.Errorf("%+v, %v", letters, err)
	}
}
