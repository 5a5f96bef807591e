package db_test

import (
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/hold"
	"coldrail/domain/message"
)

var byBoth = db.AlarmSettings{MailHost: "mail.example.com", MailFrom: "shop@example.com", GatewayURL: "https://gateway.example.com"}

// queued counts the jobs that wait in the queue.
func queued(t *testing.T, s *dbtest.Shop) (n int) {
	t.Helper()
	must(t, dbtest.Owner(t, s.DB).QueryRow(t.Context(), `SELECT count(*) FROM river_job WHERE kind = 'message'`).Scan(&n))
	return n
}

// toldOf lists the messages about an animal as "kind way state", the latest first.
func toldOf(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) (list []string) {
	t.Helper()
	all, err := s.MessagesAbout(t.Context(), n)
	must(t, err)
	for _, m := range all {
		list = append(list, strings.Join([]string{string(m.Kind), string(m.Way), m.State}, " "))
	}
	return list
}

func wantTold(t *testing.T, name string, got []string, want ...string) {
	t.Helper()
	if strings.Join(got, "; ") != strings.Join(want, "; ") {
		t.Errorf("%s: %q, want %q", name, got, want)
	}
}

// While the owner of the shop has not turned messages on, nothing is queued and
// nobody stands on the call list; turned on, an act sent twice queues once, with the
// change and in the way each owner asked for.
func TestMessagesAreOffAtFirst(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	n := s.HangDeer(t, 1, 1)
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.MovePromise(t, n, dbtest.Noon)
	wantTold(t, "off", toldOf(t, s, n))
	if e := domain.As(s.SetMessages(ctx, s.Act(s.Bob, dbtest.Noon), db.MessageSettings{Sending: true})); e.Kind != domain.Refused {
		t.Errorf("the counter turns them on: %v", e)
	}
	s.TellOwners(t, byBoth)
	s.OwnedBy(t, n, "Rosa Lunt", "555-0172", "call", "")
	s.OwnedBy(t, n, "Ike Tolliver", "555-0173", "e-mail", "ike@example.com")
	again := s.Act(s.Bob, dbtest.Noon.Add(time.Hour))
	for range 2 {
		must(t, s.Promise(ctx, again, n, dbtest.Noon.AddDate(0, 0, 9)))
	}
	wantTold(t, "moved", toldOf(t, s, n), "moved e-mail queued", "moved call to-call", "moved text queued")
	if got := queued(t, s); got != 2 {
		t.Errorf("%d jobs, want one for the text and one for the mail", got)
	}
	moved, err := s.PromisesMoved(ctx)
	if err != nil || len(moved) != 0 {
		t.Errorf("%+v, %v: want it told by the messages alone", moved, err)
	}
	must(t, s.Promise(ctx, s.Act(s.Bob, dbtest.Noon.Add(time.Hour)), n, dbtest.Noon.AddDate(0, 0, 9)))
	if got := len(toldOf(t, s, n)); got != 3 {
		t.Errorf("the same day again makes %d messages", got)
	}
	if e := domain.As(s.Promise(ctx, s.Act(s.Bob, dbtest.Noon), n, dbtest.Noon.AddDate(-1, 0, 0))); e.Kind == domain.Internal || queued(t, s) != 2 {
		t.Errorf("a day that is refused queues something: %v", e)
	}
}

// Ready is told once of each lot of boxes, when it is boxed, billed and free, and
// not before it is frozen (trade.md 8, 1; 24 to 48 hours are common practice, no
// source); in part while sausage is to come.
func TestReadyIsTold(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.TellOwners(t, byBoth)
	set := db.MessageSettings{Sending: true, FreezeHours: 24, Quiet: message.Quiet{From: 21 * time.Hour, To: 8 * time.Hour}}
	must(t, s.SetMessages(ctx, s.Act(s.Ann, dbtest.Noon), set))
	n := s.BoxDeer(t, 1, 2) // steaks and summer sausage ordered, nothing of the sausage packed
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	must(t, s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), n, hold.Payment, "owes for last year", time.Time{}))
	must(t, s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), n))
	wantTold(t, "held", toldOf(t, s, n))
	holds, err := s.Holds(ctx, n)
	must(t, err)
	free := s.Act(s.Bob, dbtest.Noon.Add(10*time.Hour)) // 10 pm in New York
	for range 2 {
		must(t, s.CloseHold(ctx, free, holds[0].ID, hold.Evidence{Note: "paid"}))
	}
	wantTold(t, "free", toldOf(t, s, n), "part-ready text queued")
	list, err := s.MessagesAbout(ctx, n)
	must(t, err)
	if want := time.Date(2026, 11, 20, 13, 0, 0, 0, time.UTC); !list[0].DueAt.Equal(want) {
		t.Errorf("due %s, want 8 in the morning there, %s: boxed two days ago, free in the quiet hours", list[0].DueAt, want)
	}
	s.Packed(t, n, "Summer sausage", 4)
	_, err = s.Pool().Exec(ctx, `UPDATE packs SET box_id = (SELECT id FROM boxes WHERE n = 1 AND animal_id = packs.animal_id)`)
	must(t, err)
	must(t, s.OpenHold(ctx, s.Act(s.Bob, dbtest.Noon), n, hold.Payment, "again", time.Time{}))
	holds, err = s.Holds(ctx, n)
	must(t, err)
	must(t, s.CloseHold(ctx, s.Act(s.Bob, dbtest.Noon.Add(11*time.Hour)), holds[0].ID, hold.Evidence{Note: "paid"}))
	wantTold(t, "whole", toldOf(t, s, n), "ready text queued", "part-ready text dropped")
}

// Of two at once, one sends it now and the other, who would call instead, is told;
// a call takes the owner off the list once, a busy line does not.
func TestMessageTwoAtOnce(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.TellOwners(t, byBoth)
	n := s.HangDeer(t, 1, 1)
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.MovePromise(t, n, dbtest.Noon)
	list, err := s.OpenMessages(ctx)
	if err != nil || len(list) != 1 {
		t.Fatalf("%+v, %v", list, err)
	}
	id := list[0].ID
	oneWins(t, func(by db.Staff) error { return s.CallInstead(ctx, s.Act(by, dbtest.Noon), id) }, s.Ann, s.Bob)
	if e := domain.As(s.SendMessageNow(ctx, s.Act(s.Bob, dbtest.Noon), id)); e.Kind != domain.Conflict {
		t.Errorf("sent after somebody chose to call: %v", e)
	}
	busy := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		must(t, s.CalledAbout(ctx, busy, id, "busy", ""))
	}
	if e := domain.As(s.CalledAbout(ctx, s.Act(s.Bob, dbtest.Noon), id, "waved", "")); e.At != "outcome" {
		t.Errorf("waved: %v", e)
	}
	oneWins(t, func(by db.Staff) error { return s.CalledAbout(ctx, s.Act(by, dbtest.Noon), id, "spoke", "will come") }, s.Ann, s.Bob)
	called, err := s.Contacts(ctx, n)
	if err != nil || len(called) != 2 {
		t.Errorf("%+v, %v: want the busy line and the call", called, err)
	}
	s.MovePromise(t, n, dbtest.Noon.Add(time.Hour))
	list, err = s.MessagesAbout(ctx, n)
	must(t, err)
	must(t, s.CallInstead(ctx, s.Act(s.Bob, dbtest.Noon), list[0].ID))
	must(t, s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), n, "call", "no answer", ""))
	wantTold(t, "no answer", toldOf(t, s, n)[:1], "moved text to-call")
	must(t, s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), n, "call", "left word", ""))
	wantTold(t, "word left", toldOf(t, s, n)[:1], "moved text called")
	oneWins(t, func(by db.Staff) error {
		return s.WordMessage(ctx, s.Act(by, dbtest.Noon), message.Moved, "Now {day}, {phone}", 0)
	}, s.Ann, s.Ann)
}

// Who wants no more texts gets none, under whichever name the number stands; what
// waits for them is called, and the wish is kept when it ends.
func TestNoMoreTexts(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.TellOwners(t, byBoth)
	n, other := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	wade := s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.OwnedBy(t, other, "W. Tolliver", "(555) 0171", "text", "")
	s.MovePromise(t, n, dbtest.Noon)
	stop := s.Act(s.Bob, dbtest.Noon)
	for range 2 {
		must(t, s.SetReach(ctx, stop, n, wade, message.Reach{TellBy: "text", NoTexts: true}))
	}
	wantTold(t, "stopped", toldOf(t, s, n), "moved text to-call")
	s.MovePromise(t, other, dbtest.Noon)
	wantTold(t, "the same number", toldOf(t, s, other), "moved call to-call")
	must(t, s.SetReach(ctx, s.Act(s.Bob, dbtest.Noon), n, wade, message.Reach{TellBy: "text"}))
	stops, err := s.StopsOf(ctx, n)
	if err != nil || len(stops) != 1 || stops[0].EndedAt == nil {
		t.Errorf("%+v, %v: want the wish kept, and its end", stops, err)
	}
	for field, r := range map[string]message.Reach{"mail": {TellBy: "e-mail", Mail: "wade at home"}, "tell_by": {TellBy: "pigeon"}} {
		if e := domain.As(s.SetReach(ctx, s.Act(s.Bob, dbtest.Noon), n, wade, r)); e.At != field {
			t.Errorf("%s: %v", field, e)
		}
	}
	if e := domain.As(s.SetReach(ctx, s.Act(s.Bob, dbtest.Noon), other, wade, message.Reach{TellBy: "call"})); e.Kind != domain.NotFound {
		t.Errorf("somebody else's animal: %v", e)
	}
}
