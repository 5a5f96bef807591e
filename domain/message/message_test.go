package message

import (
	"strings"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
)

// Every kind's own words can be filled in, promise nothing, and fit four texts of
// 160 letters (GSM 03.38, 7-bit letters in 140 octets; from memory).
func TestDefaultWords(t *testing.T) {
	for _, k := range Kinds() {
		if err := k.CheckWording(k.Default()); err != nil {
			t.Errorf("%s: %v", k, err)
		}
		values := map[string]string{}
		for _, f := range k.Fields() {
			values[f] = "VALUE"
			if fieldMeans[f] == "" {
				t.Errorf("%s: the field %s is not explained", k, f)
			}
		}
		if said := Fill(k.Default(), values); strings.ContainsAny(said, "{}") || !strings.Contains(said, "VALUE") || len(said) > 4*160 {
			t.Errorf("%s says %q", k, said)
		}
		if !strings.Contains(k.Default(), "{phone}") || !k.Known() || k.Words().String() == string(k) {
			t.Errorf("%s has no phone to call or no name", k)
		}
	}
	if Kind("pigeon").Known() {
		t.Error("a kind nobody made is known")
	}
}

func TestWordingIsRefused(t *testing.T) {
	for words, want := range map[string]string{
		" ":                             "Write what the owner is told",
		"Your deer, {nubmer}, is ready": "There is no {nubmer}",
		"It moved to {day}":             "There is no {day}",
		"Ready, {name":                  "stands alone",
		"{ name } come":                 "There is no { name }",
		"It is safe to eat, {name}":     "Do not write \"safe\"",
		"Your deer is CWD-free":         "Do not write \"CWD-free\"",
		strings.Repeat("a", 601):        "601 letters",
	} {
		if err := Ready.CheckWording(words); err == nil || !strings.Contains(err.Error(), want) || domain.As(err).At != "words" {
			t.Errorf("%q: %v, want %q", words, err, want)
		}
	}
	if got := Fill("{shop}: {name}{still}  is\nready", map[string]string{"shop": "Ours", "name": "Wade"}); got != "Ours: Wade is ready" {
		t.Errorf("filled: %q", got)
	}
}

// Nobody is texted or mailed who asked for something else; who cannot be reached so
// is called, and the shop is told why.
func TestWay(t *testing.T) {
	all := Reach{TellBy: "text", Phone: "555-0101", Mail: "a@example.com", TextsGo: true, MailsGo: true}
	but := func(change func(*Reach)) Reach { r := all; change(&r); return r }
	for name, c := range map[string]struct {
		reach Reach
		way   Way
		why   string
	}{
		"text":        {all, Text, ""},
		"mail":        {but(func(r *Reach) { r.TellBy = "e-mail" }), Mail, ""},
		"landline":    {but(func(r *Reach) { r.TellBy = "call" }), Call, "wants a call"},
		"nothing":     {but(func(r *Reach) { r.TellBy = "" }), Call, "wants a call"},
		"letter":      {but(func(r *Reach) { r.TellBy = "mail" }), Call, "wants a letter"},
		"no number":   {but(func(r *Reach) { r.Phone = "" }), Call, "no phone number"},
		"no texts":    {but(func(r *Reach) { r.NoTexts = true }), Call, "no more texts"},
		"no gateway":  {but(func(r *Reach) { r.TextsGo = false }), Call, "no gateway"},
		"no address":  {but(func(r *Reach) { r.TellBy, r.Mail = "e-mail", "" }), Call, "no e-mail address"},
		"no mails":    {but(func(r *Reach) { r.TellBy, r.NoMails = "e-mail", true }), Call, "no more mail"},
		"no server":   {but(func(r *Reach) { r.TellBy, r.MailsGo = "e-mail", false }), Call, "no mail server"},
		"other stops": {but(func(r *Reach) { r.NoMails = true }), Text, ""},
	} {
		way, why := c.reach.Way()
		if way != c.way || !strings.Contains(why.String(), c.why) || (way == Call) == (why.String() == "") {
			t.Errorf("%s: %s, %q", name, way, why)
		}
	}
}

// The hours on the wall count, also on the two nights that are an hour shorter or
// longer (US: 15 USC 260a, the second Sunday of March and the first of November).
func TestQuietHours(t *testing.T) {
	zone, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	at := func(day string) time.Time {
		when, err := time.ParseInLocation("2006-01-02 15:04", day, zone)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	night, noon := Quiet{21 * time.Hour, 8 * time.Hour}, Quiet{12 * time.Hour, 13*time.Hour + 30*time.Minute}
	for _, c := range []struct {
		q          Quiet
		now, until string // "": not quiet
	}{
		{night, "2026-11-07 20:59", ""},
		{night, "2026-11-07 21:00", "2026-11-08 08:00"},
		{night, "2026-11-08 03:00", "2026-11-08 08:00"},
		{night, "2026-11-08 08:00", ""},
		{night, "2026-10-31 22:00", "2026-11-01 08:00"}, // clocks go back at 2
		{night, "2026-03-08 01:00", "2026-03-08 08:00"}, // clocks go forward at 2
		{night, "2026-12-31 23:00", "2027-01-01 08:00"},
		{noon, "2026-11-07 12:30", "2026-11-07 13:30"},
		{noon, "2026-11-07 13:30", ""},
		{Quiet{}, "2026-11-07 00:00", ""},
	} {
		end, quiet := c.q.Until(at(c.now))
		if quiet != (c.until != "") || quiet && !end.Equal(at(c.until)) {
			t.Errorf("%v at %s: until %s, %v; want %q", c.q, c.now, end, quiet, c.until)
		}
		if goes := c.q.Goes(at(c.now)); goes.Before(at(c.now)) || quiet && !goes.Equal(end) {
			t.Errorf("%v at %s goes %s", c.q, c.now, goes)
		}
	}
	if (Quiet{From: 25 * time.Hour}).Check() == nil || night.Check() != nil {
		t.Error("25 o'clock is taken, or 21 is not")
	}
}

// Bad news is never in a message, and what is no longer true does not go.
func TestNext(t *testing.T) {
	noon := time.Date(2026, 11, 7, 12, 0, 0, 0, time.UTC)
	due := Waiting{Kind: Ready, Way: Text, Sending: true, Reach: Reach{TellBy: "text", Phone: "5", TextsGo: true}, Standing: Standing{Physical: animal.Stored}}
	but := func(change func(*Waiting)) Waiting { w := due; change(&w); return w }
	lost := func(w *Waiting) { w.Standing.Physical = animal.Lost }
	for name, c := range map[string]struct {
		w    Waiting
		want string
	}{
		"goes":             {due, "sent"},
		"off":              {but(func(w *Waiting) { w.Sending = false }), "call: Messages were turned off."},
		"stopped since":    {but(func(w *Waiting) { w.Reach.NoTexts = true }), "call: They are told by a call"},
		"another way":      {but(func(w *Waiting) { w.Way = Mail }), "call: They have been told another way since then"},
		"quiet":            {but(func(w *Waiting) { w.Quiet = Quiet{11 * time.Hour, 13 * time.Hour} }), "hold 13"},
		"quiet, urged":     {but(func(w *Waiting) { w.Quiet, w.Urged = Quiet{11 * time.Hour, 13 * time.Hour}, true }), "sent"},
		"call first":       {but(func(w *Waiting) { w.Standing.CallFirst = true }), "call us"},
		"stop":             {but(func(w *Waiting) { w.Kind, w.Standing.Stop = Moved, true }), "call us"},
		"positive":         {but(func(w *Waiting) { w.Kind, w.Standing.Holds = Result, []hold.Kind{hold.Positive} }), "call us"},
		"lost":             {but(lost), "call us"},
		"asked already":    {but(func(w *Waiting) { lost(w); w.Asked = true }), "drop: They were asked"},
		"bad news between": {but(func(w *Waiting) { lost(w); w.Tried = true }), "call: The lead"},
		"call us again":    {but(func(w *Waiting) { lost(w); w.Tried, w.CallsUs = true, true }), "call us"},
		"lead spoke":       {but(func(w *Waiting) { w.Tried, w.CallsUs = true, true }), "drop: The lead has spoken"},
		"fetched":          {but(func(w *Waiting) { w.Standing.Physical = animal.Released }), "drop: It is"},
		"held for a test":  {but(func(w *Waiting) { w.Standing.Holds = []hold.Kind{hold.TestPending} }), "drop: It is held"},
		"moved, now cut":   {but(func(w *Waiting) { w.Kind = Moved }), "drop: It is"},
		"nobody came":      {but(func(w *Waiting) { w.Kind, w.Standing.Physical = Storage, animal.Unclaimed }), "sent"},
	} {
		n, got := c.w.At(noon), "sent"
		switch {
		case n.Drop.Format != "":
			got = "drop: " + n.Drop.String()
		case n.Call.Format != "":
			got = "call: " + n.Call.String()
		case !n.Hold.IsZero():
			got = "hold " + n.Hold.Format("15")
		case n.CallUs:
			got = "call us"
		}
		if !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}
