package dropoff_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/web/signin"
	"coldrail/web/webtest"
)

// fast is the form of the fast path: one buck, seven things told.
func fast(running int) url.Values {
	return url.Values{"number": {string(dbtest.Tag(running))}, "phone": {"555-0142"}, "name": {"Dell Hargrove"}, "tag": {"T-" + string(dbtest.Tag(running))},
		"state": {"NY"}, "species": {"whitetail"}, "other": {"-"}, "shape": {"whole-hide-on"}, "sex": {"male"}, "points": {"8"}, "killed": {"today"},
		"deep": {"58"}, "kept": {"hung"}, "place": {"next"}, "tag_kind": {"carcass-tag"}}
}

func TestFastPath(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/dropoff").Wants(t, http.StatusOK, "Tag off the roll", string(dbtest.Tag(1)), "Take it in", "30 places are free")
	form := fast(1)
	form.Set("act", signin.NewAct())
	for range 2 { // a second tap on the button
		if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther || a.Location != "/dropoff/"+string(dbtest.Tag(1))+"/hung" {
			t.Fatalf("got %d to %q: %.2000s", a.Status, a.Location, a.Body)
		}
	}
	b.Get("/dropoff/"+string(dbtest.Tag(1))+"/hung").Wants(t, http.StatusOK, "R1-1", "Print the receipt", "Still owed to the register", "County of kill", "License or ID number")
	b.Get("/dropoff").Wants(t, http.StatusOK, string(dbtest.Tag(2)), "Owed: 1 animal")
	hung, err := s.Hanging(t.Context(), s.Now())
	if err != nil || len(hung) != 1 {
		t.Errorf("%d hang after two taps, %v", len(hung), err)
	}
}

// Each mistake comes back with its sentence and everything typed, and changes
// nothing.
func TestMistakesAtTheDoor(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	if a := b.Post("/dropoff", fast(1)); a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	for _, tt := range []struct{ field, value, says string }{
		{"species", "unicorn", "We do not know this species"},
		{"species", "", "We do not know this species"},
		{"shape", "", "Say how it comes"},
		{"killed", "", "Say which day it was killed"},
		{"killed", "other", "Choose the day"},
		{"time", "23:30", "It cannot have been killed after it was dropped off"},
		{"number", "26-0002-1", "does not add up"},
		{"number", string(dbtest.Tag(1)), "is already on another animal (whitetail), since Thu Nov 19, 12:00 pm"},
		{"tag", "t-" + string(dbtest.Tag(1)), "was already read on " + string(dbtest.Tag(1))},
		{"place", "1", "R1, place 1 is taken: " + string(dbtest.Tag(1)) + " has hung there since Thu Nov 19, 12:00 pm"},
		{"place", "roof", "Choose where it hangs"},
		{"weight", "900", "Really 900.0 lb?"},
		{"weight", "heavy", "cannot be read"},
		{"deep", "900", "Read the thermometer again"},
		{"points", "many", "is not a number of points"},
		{"phone", "12", "not a whole phone number"},
		{"door_smell", "refuse", "call the lead"},
		{"door_smell", "nice", "Choose clean, small fault"},
	} {
		form := fast(2)
		form.Set("property", "Sweetwater <b>Ridge</b>")
		form.Set(tt.field, tt.value)
		a := b.Post("/dropoff", form)
		a.Wants(t, http.StatusUnprocessableEntity, tt.says, "Sweetwater &lt;b&gt;Ridge")
	}
	if hung, err := s.Hanging(t.Context(), s.Now()); err != nil || len(hung) != 1 {
		t.Errorf("a mistake hung something: %d, %v", len(hung), err)
	}
	b.Post("/dropoff", url.Values{"act": {"no-id"}}).Wants(t, http.StatusUnprocessableEntity, "came in damaged")
}

// The owner may go on with a tag number that was read before.
func TestTagAgainOnTheOwnersWord(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	form := fast(1)
	s.As(t, s.Bob).Post("/dropoff", form)
	again := fast(2)
	again.Set("tag", form.Get("tag"))
	again.Set("repeat_why", "letter from the state")
	s.As(t, s.Bob).Post("/dropoff", again).Wants(t, http.StatusUnprocessableEntity, "Only the lead or the owner", `name="repeat_why"`)
	if a := s.As(t, s.Ann).Post("/dropoff", again); a.Status != http.StatusSeeOther {
		t.Errorf("the owner: %d %.2000s", a.Status, a.Body)
	}
}

func TestKnownByPhone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Post("/dropoff", fast(1))
	b.Post("/dropoff", url.Values{"number": {string(dbtest.Tag(2))}, "phone": {"0142"}, "find": {"yes"}}).Wants(t, http.StatusOK, `value="Dell Hargrove"`, `value="555-0142"`)
	june := fast(2)
	june.Set("name", "June Hargrove")
	b.Post("/dropoff", june)
	b.Post("/dropoff", url.Values{"phone": {"5550142"}, "find": {"yes"}}).Wants(t, http.StatusOK, "June Hargrove", "Dell Hargrove", `name="known"`)
	b.Post("/dropoff", url.Values{"phone": {"555-9999"}, "find": {"yes"}}).Wants(t, http.StatusOK, "Nobody by that phone or name")
	if lines, err := s.RegisterLines(t.Context(), s.Now().AddDate(0, 0, -1), s.Now().AddDate(0, 0, 1), 0); err != nil || len(lines) != 2 {
		t.Errorf("looking somebody up wrote something: %d lines, %v", len(lines), err)
	}
}

func TestOwedIsToldLater(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/dropoff/owed").Wants(t, http.StatusOK, "Nothing is owed")
	form := fast(1)
	form.Del("name")
	b.Post("/dropoff", form)
	path := "/dropoff/owed/" + string(dbtest.Tag(1))
	b.Get("/dropoff/owed").Wants(t, http.StatusOK, db.NoName+", 555-0142", "Killed by", path)
	b.Get(path).Wants(t, http.StatusOK, "tel:", "Told by phone", "In the register so far", "Points")
	b.Post(path, url.Values{"county": {"Delaware"}}).Wants(t, http.StatusUnprocessableEntity, "Say how you know it", `value="Delaware"`)
	if strings.Contains(b.Get(path).Body, "checked") {
		t.Error("how it is known is filled in before anybody said so")
	}
	all := url.Values{"how": {"told by phone"}, "why": {"by his wife"}, "deliverer": {"Dell Hargrove"}, "taker": {"Dell Hargrove"}, "owner": {"Dell Hargrove"},
		"taker_address": {"9 Mill Lane"}, "licence": {"H-77310"}, "county": {"Delaware"}}
	if a := b.Post(path, all); a.Status != http.StatusSeeOther || a.Location != "/dropoff/owed" {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	b.Get("/dropoff/owed").Wants(t, http.StatusOK, "Nothing is owed")
	b.Get(path).Wants(t, http.StatusOK, "Added Thu Nov 19", "told by phone, by his wife", "Delaware")
	b.Get("/dropoff/owed/26-0900-1").Wants(t, http.StatusNotFound, "no animal with the number")
	a := b.Get("/dropoff/" + string(dbtest.Tag(1)) + "/hung")
	a.Wants(t, http.StatusOK, "The register has everything")
	if strings.Contains(a.Body, "H-77310") {
		t.Error("a licence number stands on the page everybody sees")
	}
}

// Whoever is known leaves the fields told at leisure folded; what is on file of them is
// said in a line, to be asked again.
func TestKnownStaysFolded(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	first := fast(1)
	first.Set("address", "9 Mill Lane")
	first.Set("tell_by", "text")
	b.Post("/dropoff", first)
	a := b.Post("/dropoff", url.Values{"phone": {"0142"}, "find": {"yes"}})
	a.Wants(t, http.StatusOK, "We know them: 9 Mill Lane; wants a text", `value="Dell Hargrove"`)
	if strings.Contains(a.Body, `<details class="sums full" open>`) {
		t.Error("a fold stands open before the tag")
	}
}

// A wrong phone is put right from the record while something else is still owed, and
// whoever came from there, or from the owner at the counter, is back with them.
func TestPhonePutRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Post("/dropoff", fast(1))
	n := string(dbtest.Tag(1))
	path := "/dropoff/owed/" + n
	b.Get("/animals/"+n).Wants(t, http.StatusOK, path+"?back=record")
	b.Get("/dropoff/"+n+"/hung").Wants(t, http.StatusOK, path+"?back=hung", "Still owed")
	b.Get(path+"?back=record").Wants(t, http.StatusOK, `name="phone"`, `value="record"`)
	if a := b.Post(path, url.Values{"phone": {"607-555-0198"}, "how": {"told by phone"}, "back": {"record"}}); a.Location != "/animals/"+n {
		t.Errorf("got %d to %q: %.600s", a.Status, a.Location, a.Body)
	}
	b.Get("/animals/"+n).Wants(t, http.StatusOK, "607-555-0198")
	if a := b.Post(path, url.Values{"county": {"Delaware"}, "how": {"told by phone"}, "back": {"hung"}}); a.Location != "/dropoff/"+n+"/hung" {
		t.Errorf("got %d to %q", a.Status, a.Location)
	}
	b.Get(path).Wants(t, http.StatusOK, "Whole, hide on")
}

// "Today" tapped for another day is put right from the record, and the hour that the door
// asks for is written down afterwards: the record says who changed what.
func TestKillPutRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	form := fast(1)
	form.Set("killed", "yesterday")
	form.Set("deep", "52")
	b.Post("/dropoff", form)
	n := string(dbtest.Tag(1))
	path, hung, record := "/dropoff/owed/"+n, "/dropoff/"+n+"/hung", "/animals/"+n
	b.Get(record).Wants(t, http.StatusOK, path+"?back=record&amp;right=yes", "Put a name, a phone or the kill right")
	b.Get(hung).Wants(t, http.StatusOK, "nobody said at what hour it was killed", path+"?back=hung&amp;right=yes", "Write down the hour of the kill")
	b.Get(path+"?back=hung&right=yes").Wants(t, http.StatusOK, `name="killed"`, `name="killed_time"`, `<details class="sums full" open>`)
	for field, tt := range map[string][2]string{"killed": {"2026-11-25", "after it was dropped off"}, "killed_time": {"half past", "Choose the day and the time"}} {
		b.Post(path, url.Values{field: {tt[0]}, "how": {"told by phone"}}).Wants(t, http.StatusUnprocessableEntity, tt[1], `value="`+tt[0]+`"`)
	}
	b.Post(path, url.Values{"killed": {"1926-11-18"}, "how": {"told by phone"}}).Wants(t, http.StatusUnprocessableEntity, "Choose the day")
	b.Post(path, url.Values{"killed": {"2026-11-18"}}).Wants(t, http.StatusUnprocessableEntity, "Say how you know it")
	if a := b.Post(path, url.Values{"killed_time": {"18:30"}, "how": {"told by phone"}, "back": {"hung"}}); a.Status != http.StatusSeeOther || a.Location != hung {
		t.Fatalf("got %d to %q: %.600s", a.Status, a.Location, a.Body)
	}
	after := b.Get(hung)
	if after.Wants(t, http.StatusOK, "The door check found a bad fault"); strings.Contains(after.Body, "nobody said at what hour") {
		t.Error("the hour is asked for again")
	}
	b.Get(record).Wants(t, http.StatusOK, "Wed Nov 18, 6:30", "Register put right", "fields: Killed on", "killed: Wed Nov 18, 6:30", "before: Wed Nov 18", "temperature: bad fault", "door check: damaged: cut first", "told by phone")
}

// How an owner wants to be told is asked once, stands beside the phone from then
// on, and is not forgotten when they come again.
func TestTellBy(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	first, again := fast(1), fast(2)
	first.Set("tell_by", "text")
	again.Set("tag", "NY-0002")
	for _, form := range []url.Values{first, again} {
		if a := b.Post("/dropoff", form); a.Status != http.StatusSeeOther {
			t.Fatalf("got %d: %.600s", a.Status, a.Body)
		}
	}
	b.Get("/animals/"+string(dbtest.Tag(2))).Wants(t, http.StatusOK, "wants a text")
	pigeon := fast(3)
	pigeon.Set("tell_by", "pigeon")
	b.Post("/dropoff", pigeon).Wants(t, http.StatusUnprocessableEntity, "a call, a text, an e-mail or a letter")
}

// The day promised by a tap leads back to the papers of the drop-off; the slip
// names owner and shop with address and phone, date and time, animal and tag
// number (Colorado's receipt at delivery, trade.md 1.4).
func TestPromisedAndPrinted(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	form, at := fast(1), "/animals/"+string(dbtest.Tag(1))
	form.Set("address", "9 Mill Lane, Delhi")
	b.Post("/dropoff", form)
	hung := "/dropoff/" + string(dbtest.Tag(1)) + "/hung"
	b.Get(hung).Wants(t, http.StatusOK, `name="back" value="hung"`, "<p>Dell Hargrove, 555-0142</p>")
	if a := b.Post(at+"/promise", url.Values{"promised": {"2026-12-10"}, "back": {"hung"}}); a.Status != http.StatusSeeOther || a.Location != hung {
		t.Errorf("promised: %d to %q", a.Status, a.Location)
	}
	b.Get(at+"/money?back=hung").Wants(t, http.StatusOK, "Dell Hargrove, whitetail, ", `href="`+hung+`"`, `name="back" value="hung"`)
	deposit := url.Values{"amount": {"50"}, "way": {"cash"}, "back": {"hung"}, "pin": {"0000"}}
	b.Post(at+"/money/deposit", deposit).Wants(t, http.StatusUnprocessableEntity, `name="back" value="hung"`)
	deposit.Set("pin", "2222")
	if a := b.Post(at+"/money/deposit", deposit); a.Status != http.StatusSeeOther || a.Location != hung {
		t.Errorf("deposit at the drop-off: %d to %q", a.Status, a.Location)
	}
	b.Get(hung).Wants(t, http.StatusOK, "$50.00 taken.", at+"/money?back=hung")
	b.Get(at+"/slip").Wants(t, http.StatusOK, "<dt>Paid in so far</dt>", "$50.00")
	b.Get(at+"/slip").Wants(t, http.StatusOK, "Dell Hargrove, 9 Mill Lane, Delhi, 555-0142", "Hollow Creek Custom Meats", "Nov 19, 2026, 12:00 pm", "whitetail, male, 8 points", "T-"+string(dbtest.Tag(1)))
}

// An order taken in the middle of a drop-off leads back to it once it was read back, on
// every way there; taken from the record it leads to the record.
func TestOrderLeadsBackToTheDropOff(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Post("/dropoff", fast(1))
	at, hung := "/animals/"+string(dbtest.Tag(1)), "/dropoff/"+string(dbtest.Tag(1))+"/hung"
	b.Get(hung).Wants(t, http.StatusOK, `href="`+at+`/order?back=hung"`)
	b.Get(at+"/order?back=hung").Wants(t, http.StatusOK, `name="back" value="hung"`)
	order := url.Values{"after": {"0"}, "part": {"trim"}, "treatment": {"grind"}, "added_meat": {"none"}, "source": {"pigeon"}, "back": {"hung"}}
	b.Post(at+"/order", order).Wants(t, http.StatusUnprocessableEntity, `name="back" value="hung"`)
	order.Set("source", "counter")
	a := b.Post(at+"/order", order)
	if a.Status != http.StatusSeeOther || a.Location != at+"/order/read?back=hung" {
		t.Fatalf("order at the drop-off: %d to %q", a.Status, a.Location)
	}
	b.Get(a.Location).Wants(t, http.StatusOK, `href="`+hung+`">It is right`, `href="`+at+`/order?back=hung">Change it`)
	b.Get(at+"/order/read").Wants(t, http.StatusOK, `href="`+at+`">It is right`)
}

// Somebody known and then another phone: nothing of the one goes with the other's animal.
// What was typed by hand stays.
func TestAnotherPhoneIsSomebodyElse(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	form := fast(1)
	form.Set("address", "9 Mill Lane, Delhi")
	form.Set("licence", "L-7731")
	b.Post("/dropoff", form)
	known := b.Post("/dropoff", url.Values{"phone": {"0142"}, "find": {"yes"}})
	known.Wants(t, http.StatusOK, `name="filled" value="Dell Hargrove"`, "We know them", "9 Mill Lane, Delhi")
	filled := url.Values{"phone": {"607-555-0888"}, "name": {"Dell Hargrove"}, "address": {"9 Mill Lane, Delhi"}, "licence": {"L-7731"}, "filled": {"Dell Hargrove"}, "find": {"yes"}}
	a := b.Post("/dropoff", filled)
	a.Wants(t, http.StatusOK, `value="607-555-0888"`, "Nobody by that phone or name")
	for _, left := range []string{"Dell Hargrove", "9 Mill Lane", "L-7731", "We know them"} {
		if strings.Contains(a.Body, left) {
			t.Errorf("the next owner is given %q", left)
		}
	}
	filled.Set("name", "Otto Pym")
	if a = b.Post("/dropoff", filled); !strings.Contains(a.Body, `value="Otto Pym"`) || strings.Contains(a.Body, "L-7731") {
		t.Error("the name typed is lost, or another's license is kept")
	}
	filled.Del("filled")
	b.Post("/dropoff", filled).Wants(t, http.StatusOK, `value="L-7731"`)
}
