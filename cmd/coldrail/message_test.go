package main

import (
	"errors"
	"io"
	"mime/quotedprintable"
	"net/mail"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
)

// toldShop is a shop that sends messages, and the world they go to.
func toldShop(t *testing.T) (*dbtest.Shop, *outside, sender) {
	s := dbtest.OpenShop(t)
	o := beyond(t, s)
	shop, err := s.Shop(t.Context())
	must(t, err)
	shop.Phone = "555-0100"
	must(t, s.SaveShop(t.Context(), shop))
	set, err := s.AlarmSettings(t.Context())
	must(t, err)
	set.FirstPhone, set.FirstMail, set.SecondPhone = "", "", "" // no alarm beside them
	s.TellOwners(t, set)
	return s, o, sender{roots: o.mails.roots, public: "https://meat.example"}
}

// opened reads a mail as whoever gets it does: RFC 5322, quoted-printable by RFC 2045.
func opened(t *testing.T, l letter) (mail.Header, string) {
	t.Helper()
	m, err := mail.ReadMessage(strings.NewReader(l.Text))
	must(t, err)
	body, err := io.ReadAll(quotedprintable.NewReader(m.Body))
	must(t, err)
	return m.Header, string(body)
}

// try works the message's job once, as the queue would at this attempt.
func try(t *testing.T, s *dbtest.Shop, out sender, m db.Message, attempt int) error {
	t.Helper()
	w := &messageWorker{db: s.DB, out: out}
	return w.Work(t.Context(), &river.Job[db.OwnerMessage]{Args: db.OwnerMessage{ID: m.ID}, JobRow: &rivertype.JobRow{Attempt: attempt, MaxAttempts: db.MessageTries}})
}

func theMessage(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) db.Message {
	t.Helper()
	list, err := s.MessagesAbout(t.Context(), n)
	if err != nil || len(list) != 1 {
		t.Fatalf("%+v, %v: want one message", list, err)
	}
	return list[0]
}

// Two servers on one database: a text and a mail go out once each, with a key of
// their own, and stand among the attempts to reach the owner; a gateway that fails
// first is asked again with the same key.
func TestMessageIsSentOnce(t *testing.T) {
	t.Parallel()
	s, o, out := toldShop(t)
	ctx := t.Context()
	o.fail = 1
	text, letter := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.OwnedBy(t, text, "Wade Tolliver", "555-0171", "text", "")
	s.OwnedBy(t, letter, "Rosa Lunt", "555-0172", "e-mail", "rosa@example.com")
	watching(t, s.DB, out)
	watching(t, s.DB, out)
	s.MovePromise(t, text, time.Now())
	s.MovePromise(t, letter, time.Now())
	o.awaits(t, 1, 0)
	m := theMessage(t, s, text)
	if m.State != db.MessageQueued || m.Tries != 1 || !strings.Contains(m.Wrong, "503") {
		t.Fatalf("%+v: want it queued with the gateway's refusal", m)
	}
	now := s.Act(s.Bob, time.Now())
	for range 2 {
		must(t, s.SendMessageNow(ctx, now, m.ID))
	}
	o.awaits(t, 1, 1)
	head, body := opened(t, o.mails.taken()[0])
	if head.Get("Message-ID") != "<message-"+theMessage(t, s, letter).ID.String()+"@coldrail.invalid>" || head.Get("List-Unsubscribe") != "<mailto:shop@example.com?subject=stop>" ||
		!strings.Contains(body, "Answer this one with the word STOP, or call 555-0100.") || !strings.Contains(body, string(letter)) {
		t.Errorf("%v\n%s", head, body)
	}
	if p := o.posts[0]; p.Key != "message-"+m.ID.String() || p.To != "555-0171" || p.Kind != "moved" || !strings.Contains(p.Text, "your deer, number "+string(text)) {
		t.Errorf("%+v", p)
	}
	for n, way := range map[domain.ShopNumber]string{text: "text", letter: "e-mail"} {
		list, err := s.Contacts(ctx, n)
		if err != nil || len(list) != 1 || list[0].Way != way || list[0].Outcome != "sent" || list[0].By != "BT" || theMessage(t, s, n).State != db.MessageSent {
			t.Errorf("%s: %+v, %v: want one %s among the contacts", n, list, err, way)
		}
	}
}

// The program dies between sending and writing it down: the next try carries the
// same key and the same words, so that whoever receives it can tell.
func TestMessageAfterACrash(t *testing.T) {
	t.Parallel()
	s, o, out := toldShop(t)
	n := s.HangDeer(t, 1, 1)
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.MovePromise(t, n, time.Now())
	m := theMessage(t, s, n)
	w := &messageWorker{db: s.DB, out: out}
	e, wanted, err := s.MessageErrand(t.Context(), m.ID, time.Now())
	if err != nil || !wanted {
		t.Fatal(wanted, err)
	}
	sent, ok, err := w.try(t.Context(), e, false, time.Now())
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if _, again, err := w.try(t.Context(), e, false, time.Now()); again || err != nil {
		t.Fatalf("two workers begin the same try: %v, %v", again, err)
	}
	must(t, out.post(t.Context(), e.By, sent)) // and here the program dies

	shop, err := s.Shop(t.Context())
	must(t, err)
	shop.Phone = "555-0199" // another word for the same message
	must(t, s.SaveShop(t.Context(), shop))
	must(t, try(t, s, out, m, 2))
	must(t, try(t, s, out, m, 3)) // sent: nothing goes out
	if len(o.posts) != 2 || o.posts[0] != o.posts[1] {
		t.Errorf("%+v: want the same message, with its key, twice", o.posts)
	}
	if m = theMessage(t, s, n); m.State != db.MessageSent || m.Tries != 2 {
		t.Errorf("%+v: want it sent at the second try", m)
	}
}

// What is refused for good, or after the last try, goes onto the call list; what
// may pass is tried again, a minute later and then twice as long each time.
func TestMessageFails(t *testing.T) {
	t.Parallel()
	s, o, out := toldShop(t)
	gone, busy := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.OwnedBy(t, gone, "Wade Tolliver", "555-0171", "e-mail", "nobody@example.com")
	s.OwnedBy(t, busy, "Rosa Lunt", "555-0172", "e-mail", "rosa@example.com")
	s.MovePromise(t, gone, time.Now())
	s.MovePromise(t, busy, time.Now())
	o.mails.fail = 2
	must(t, try(t, s, out, theMessage(t, s, gone), 1))
	if err := try(t, s, out, theMessage(t, s, busy), 1); err == nil {
		t.Error("a server that is busy is not asked again")
	}
	if m := theMessage(t, s, busy); m.State != db.MessageQueued || m.Wrong == "" {
		t.Errorf("%+v: want it queued", m)
	}
	must(t, try(t, s, out, theMessage(t, s, busy), db.MessageTries))
	for _, n := range []domain.ShopNumber{gone, busy} {
		list, err := s.Contacts(t.Context(), n)
		if m := theMessage(t, s, n); err != nil || m.State != db.MessageToCall || !m.Failed() || len(list) != 1 || list[0].Outcome != "failed" {
			t.Errorf("%+v, %+v, %v: want it on the call list, and the attempt noted", m, list, err)
		}
	}
	if len(o.mails.taken()) != 0 {
		t.Error("a mail went out")
	}
	at := func(attempt int) time.Duration {
		return time.Until((&messageWorker{}).NextRetry(&river.Job[db.OwnerMessage]{JobRow: &rivertype.JobRow{Attempt: attempt}})).Round(time.Minute)
	}
	if at(1) != time.Minute || at(4) != 8*time.Minute || at(9) != time.Hour {
		t.Errorf("it waits %v, %v, %v", at(1), at(4), at(9))
	}
}

// In the quiet hours a message is held until they end, unless a person said now;
// bad news is never in it; turned off, somebody calls.
func TestMessageWaitsAndKeepsItsMouth(t *testing.T) {
	t.Parallel()
	s, o, out := toldShop(t)
	ctx, n := t.Context(), s.HangDeer(t, 1, 1)
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.MovePromise(t, n, time.Now())
	m := theMessage(t, s, n)
	shop, err := s.Shop(ctx)
	must(t, err)
	wall := time.Now().In(shop.Location())
	night := db.MessageSettings{Sending: true}
	night.Quiet.From = time.Duration(wall.Hour()) * time.Hour
	night.Quiet.To = time.Duration((wall.Hour()+2)%24) * time.Hour
	must(t, s.SetMessages(ctx, s.Act(s.Ann, time.Now()), night))
	var snooze *river.JobSnoozeError
	if err := try(t, s, out, m, 1); !errors.As(err, &snooze) || snooze.Duration < 59*time.Minute || snooze.Duration > 2*time.Hour || len(o.posts) != 0 {
		t.Fatalf("%v, %d posts: want it held to the end of the quiet hours", err, len(o.posts))
	}
	_, err = s.Pool().Exec(ctx, `UPDATE animals SET call_first = true, revision = revision + 1 WHERE number = $1`, n)
	must(t, err)
	must(t, s.SendMessageNow(ctx, s.Act(s.Bob, time.Now()), m.ID))
	must(t, try(t, s, out, m, 1))
	if len(o.posts) != 1 || o.posts[0].Text != "Please call us about your deer. Hollow Creek Custom Meats, 555-0100" || o.posts[0].Kind != "call-us" {
		t.Fatalf("%+v: want nothing but the asking to call", o.posts)
	}
	s.MovePromise(t, n, time.Now())
	off := db.MessageSettings{}
	must(t, s.SetMessages(ctx, s.Act(s.Ann, time.Now()), off))
	list, err := s.MessagesAbout(ctx, n)
	must(t, err)
	must(t, try(t, s, out, list[0], 1))
	list, err = s.MessagesAbout(ctx, n)
	if err != nil || list[0].State != db.MessageToCall || !strings.Contains(list[0].Why, "turned off") || len(o.posts) != 1 {
		t.Errorf("%+v, %v: want a call instead", list[0], err)
	}
}
