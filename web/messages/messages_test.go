package messages_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/messages"
	"coldrail/web/ui"
	"coldrail/web/webtest"
)

// The owner of the shop turns messages on, sees what is missing, and writes the
// words; wrong names in braces and promises are refused with what was typed kept.
func TestOfficeMessages(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.HangDeer(t, 1, 1)
	s.Own(t, n, "Wade Tolliver", "555-0171")
	ann := s.As(t, s.Ann)
	ann.Get("/office/messages").Wants(t, http.StatusOK, "No mail server is set", "No gateway for texts is set", "no phone number", "21:00", "08:00", "Part of it ready", "Please call us about your deer.")
	set := url.Values{"sending": {"yes"}, "quiet_from": {"20:30"}, "quiet_to": {"25:00"}, "freeze_hours": {"36"}}
	ann.Post("/office/messages", set).Wants(t, http.StatusUnprocessableEntity, "Give a time of the day", "25:00")
	set.Set("quiet_to", "07:30")
	set.Set("freeze_hours", "many")
	ann.Post("/office/messages", set).Wants(t, http.StatusUnprocessableEntity, "Give from 0 to 96 hours", "many")
	set.Set("freeze_hours", "36")
	if saved := ann.Post("/office/messages", set); saved.Status != http.StatusSeeOther {
		t.Fatalf("saving answers %d: %.600s", saved.Status, saved.Body)
	}
	ann.Get("/office/messages").Wants(t, http.StatusOK, "20:30", "07:30", "checked")

	page := "/office/messages/moved"
	ann.Get(page).Wants(t, http.StatusOK, "{before}", "An example: "+string(n)+" is not that far yet", "where {phone} stands the owner reads nothing", "your deer, number "+string(n))
	words := url.Values{"words": {"{name}: now {dya}"}, "after": {"0"}, "do": {"keep"}}
	ann.Post(page, words).Wants(t, http.StatusUnprocessableEntity, "There is no {dya} in this message.", "{name}: now {dya}")
	words.Set("words", "It is safe, {name}")
	ann.Post(page, words).Wants(t, http.StatusUnprocessableEntity, "Do not write &#34;safe&#34;")
	words.Set("words", "{name}, it is {day} now. {link}")
	words.Set("do", "try")
	words.Set("number", "26-0099")
	ann.Post(page, words).Wants(t, http.StatusUnprocessableEntity, "26-0099")
	words.Set("number", string(n))
	ann.Post(page, words).Wants(t, http.StatusOK, "Wade Tolliver, it is Sat Nov 21 now. http://coldrail.example/s/")
	words.Set("do", "keep")
	for range 2 {
		if kept := ann.Post(page, words); kept.Status != http.StatusSeeOther && kept.Status != http.StatusConflict {
			t.Fatalf("keeping answers %d: %.600s", kept.Status, kept.Body)
		}
	}
	ann.Get("/office/messages").Wants(t, http.StatusOK, "it is {day} now")
	ann.Get("/office/messages/pigeon").Wants(t, http.StatusNotFound)
	s.As(t, s.Bob).Get("/office/messages").Wants(t, http.StatusForbidden)
}

// The counter sees whom to call and what waits, sends now or calls instead; the
// second of two is told; the animal's own page shows the same.
func TestCallListAndQueue(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	empty := bob.Get("/messages")
	empty.Wants(t, http.StatusOK, "Messages to owners are off", "No message asks for a call.", `<a href="/">Today</a>`)
	if strings.Contains(empty.Body, "Call these") || strings.Contains(empty.Body, "Waiting to go out") || strings.Contains(empty.Body, "Done last") {
		t.Error("a heading stands above nothing")
	}
	s.TellOwners(t, db.AlarmSettings{GatewayURL: "https://gateway.example.com"})
	n, other := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	s.OwnedBy(t, n, "Wade Tolliver", "555-0171", "text", "")
	s.OwnedBy(t, other, "Rosa Lunt", "555-0172", "call", "")
	s.MovePromise(t, n, dbtest.Noon)
	s.MovePromise(t, other, dbtest.Noon)
	bob.Get("/").Wants(t, http.StatusOK, "Owners to call", "Rosa Lunt")
	page := bob.Get("/messages")
	page.Wants(t, http.StatusOK, "Call these", "Waiting to go out", ": the day has moved", "Goes out as soon as it may", "Rosa Lunt", "To be called: wants a call", "tel:5550172")
	open, err := s.OpenMessages(t.Context())
	if err != nil || len(open) != 2 {
		t.Fatalf("%+v, %v", open, err)
	}
	at := "/messages/" + open[0].ID.String()
	if done := bob.Post(at+"/now", url.Values{"back": {string(n)}}); done.Status != http.StatusSeeOther || !strings.HasSuffix(done.Location, "/animals/"+string(n)+"/messages") {
		t.Fatalf("send now answers %d to %s: %.600s", done.Status, done.Location, done.Body)
	}
	if done := bob.Post(at+"/call", url.Values{}); done.Status != http.StatusSeeOther {
		t.Fatalf("call instead answers %d: %.600s", done.Status, done.Body)
	}
	s.As(t, s.Ann).Post(at+"/call", url.Values{}).Wants(t, http.StatusConflict, "on the call list already")
	bob.Post(at+"/called", url.Values{"outcome": {"shouted"}}).Wants(t, http.StatusUnprocessableEntity, "Choose what came of it.")
	bob.Post(at+"/called", url.Values{"outcome": {"spoke"}})
	bob.Get("/animals/"+string(n)+"/messages").Wants(t, http.StatusOK, "Called Thu Nov 19, 12:00 pm by BT", "How to tell Wade Tolliver")
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Messages to the owner", "Called Thu Nov 19")
	bob.Post("/messages/pigeon/now", url.Values{}).Wants(t, http.StatusNotFound)
}

// How an owner is told, and that they want no more texts, is written on the animal's
// page of messages and kept there.
func TestReach(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.HangDeer(t, 1, 1)
	wade := s.Own(t, n, "Wade Tolliver", "555-0171")
	bob, page := s.As(t, s.Bob), "/animals/"+string(n)+"/messages"
	form := url.Values{"tell_by": {"e-mail"}, "mail": {"wade at home"}, "no_texts": {"yes"}}
	bob.Post(page+"/"+wade.String(), form).Wants(t, http.StatusUnprocessableEntity, "That is no e-mail address.", "wade at home")
	form.Set("mail", "wade@example.com")
	if saved := bob.Post(page+"/"+wade.String(), form); saved.Status != http.StatusSeeOther {
		t.Fatalf("saving answers %d: %.600s", saved.Status, saved.Body)
	}
	bob.Get(page).Wants(t, http.StatusOK, "wade@example.com", "No text since Thu Nov 19, written down by BT.")
	s.SetNow(s.Now().Add(24 * time.Hour))
	bob.Post(page+"/"+wade.String(), url.Values{"tell_by": {"e-mail"}, "mail": {"wade@example.com"}})
	bob.Get(page).Wants(t, http.StatusOK, "No text from Thu Nov 19 to Fri Nov 20.")
}

// What the laboratory wrote goes out in the shop's language, like the rest of the text.
func TestResultIsSentInTheShopsLanguage(t *testing.T) {
	t.Parallel()
	ctx := ui.InLanguage(ui.WithShop(t.Context(), ui.Shop{}), "es-US")
	e := db.MessageErrand{Wording: "{animal}: {result}"}
	e.About = db.LabUnsuitable
	if said := messages.Say(ctx, e, "", false, dbtest.Noon); !strings.HasSuffix(said, ": muestra no apta") {
		t.Errorf("it says %q", said)
	}
}
