package round_test

import (
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// tablet sends what it kept, as static/js/kept.js does.
type tablet struct {
	t    *testing.T
	site *webtest.Site
	http *http.Client
	env  map[string]string // the headers
}

// sign lets a tablet in and hands it to Bob; its clock runs ahead of the shop's.
func sign(t *testing.T, s *webtest.Site, ahead time.Duration) *tablet {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	b := &tablet{t: t, site: s, http: &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}, env: map[string]string{}}
	b.post("/enrol", url.Values{"initials": {"AK"}, "password": {"correct horse battery"}, "device": {"Bob's tablet"}})
	b.post("/who", url.Values{"staff": {s.Bob.ID.String()}})
	b.clock(ahead)
	status, body := b.post("/round/shift", url.Values{})
	_, after, _ := strings.Cut(body, `"token":"`)
	token, _, found := strings.Cut(after, `"`)
	if status != http.StatusOK || !found {
		t.Fatalf("shift: %d %s", status, body)
	}
	b.env["Coldrail-Shift"] = token
	return b
}

func (b *tablet) clock(ahead time.Duration) {
	b.env["Coldrail-Device-Now"] = strconv.FormatInt(b.site.Now().Add(ahead).UnixMilli(), 10)
}

func (b *tablet) doneAt(device time.Time) {
	b.env["Coldrail-Done-At"] = strconv.FormatInt(device.UnixMilli(), 10)
}

func (b *tablet) try(path string, f url.Values) (int, string, error) {
	r, err := http.NewRequestWithContext(b.t.Context(), http.MethodPost, b.site.URL+path, strings.NewReader(f.Encode()))
	if err != nil {
		b.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for name, value := range b.env {
		r.Header.Set(name, value)
	}
	res, err := b.http.Do(r)
	if err != nil {
		return 0, "", err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	return res.StatusCode, string(text), err
}

func (b *tablet) post(path string, f url.Values) (int, string) {
	b.t.Helper()
	status, text, err := b.try(path, f)
	if err != nil {
		b.t.Fatal(err)
	}
	return status, text
}

func look(number string) url.Values {
	return url.Values{"act": {uuid.Must(uuid.NewV7()).String()}, "number": {number}, "smell": {"clean"}, "surface": {"dry"}}
}

// A tablet whose clock is seven minutes fast sends two hours late: the look
// stands at its true time, in Bob's name, and the clock is on the device's row.
func TestKeptLook(t *testing.T) {
	t.Parallel()
	s := open(t)
	const ahead = 7 * time.Minute
	b := sign(t, s, ahead)
	done := s.Now().Add(10 * time.Minute)
	s.SetNow(s.Now().Add(2 * time.Hour))
	b.clock(ahead)
	b.doneAt(done.Add(ahead))
	f := look(string(dbtest.Tag(1)))
	for range 2 {
		if status, text := b.post("/round/look", f); status != http.StatusSeeOther {
			t.Fatalf("%d %s", status, text)
		}
	}
	looks, err := s.LooksAt(t.Context(), dbtest.Tag(1))
	if err != nil || len(looks) != 2 || !looks[0].At.Equal(done) || looks[0].By != "BT" {
		t.Errorf("%+v, %v; want the morning's and one at %s", looks, err, done)
	}
	devices, err := s.Devices(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	measured := false
	for _, d := range devices {
		measured = measured || d.AheadMs != nil && *d.AheadMs == ahead.Milliseconds()
	}
	if !measured {
		t.Errorf("no device has its clock's error: %+v", devices)
	}
	var at, device time.Time
	if err := s.Pool().QueryRow(t.Context(), `SELECT at, device_at FROM time_line WHERE act = $1`, f.Get("act")).Scan(&at, &device); err != nil || !at.Equal(done) || !device.Equal(done.Add(ahead)) {
		t.Errorf("time line: at %s, by the tablet %s, %v", at, device, err)
	}
}

// A round walked in its window and sent after it turned missed is done; both
// are kept. One sent by a tablet whose shift was over is refused with a sentence.
func TestKeptRound(t *testing.T) {
	t.Parallel()
	s := open(t)
	b := sign(t, s, 0)
	done := s.Now()
	s.SetNow(now.Add(5 * time.Hour))
	if err := s.WatchRounds(t.Context(), s.Now()); err != nil {
		t.Fatal(err)
	}
	b.clock(0)
	b.doneAt(done)
	walk := uuid.Must(uuid.NewV7())
	end := url.Values{"walk": {walk.String()}, "act": {uuid.Must(uuid.NewV7()).String()}}
	f := room(walk.String())
	f.Set("act", uuid.Must(uuid.NewV7()).String())
	for _, step := range []struct {
		path string
		form url.Values
	}{{"/round/main/room", f}, {"/round/main/end", end}} {
		if status, text := b.post(step.path, step.form); status != http.StatusSeeOther {
			t.Fatalf("%d %s", status, text)
		}
	}
	w, err := s.WalkedRound(t.Context(), walk)
	if err != nil || w.DueState != "done" || w.MissedAt == nil || !w.WalkedTo.Equal(done) || !w.ArrivedAt.Equal(s.Now()) {
		t.Errorf("%+v, %v", w, err)
	}
	s.SetNow(now.Add(14 * time.Hour))
	b.clock(0)
	b.doneAt(now.Add(13 * time.Hour))
	status, text := b.post("/round/look", look(string(dbtest.Tag(1))))
	if status != http.StatusConflict && status != http.StatusUnprocessableEntity || !strings.Contains(text, "twelve hours of Bob Tarrant") {
		t.Errorf("after the shift: %d %.500s", status, text)
	}
}

// cutting is a way to the site that loses the answer of each first try, after the
// shop's machine has committed.
type cutting struct {
	http.RoundTripper
	cut map[string]bool
}

func (c *cutting) RoundTrip(r *http.Request) (*http.Response, error) {
	body, err := r.GetBody()
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(body)
	if err != nil {
		return nil, err
	}
	res, err := c.RoundTripper.RoundTrip(r)
	if err != nil || c.cut[string(text)] {
		return res, err
	}
	c.cut[string(text)] = true
	res.Body.Close()
	return nil, net.ErrClosed
}

// Two hundred times the answer is lost between commit and acknowledgement, and
// the tablet sends again: nothing lost, nothing twice. The answers are cut on the
// way; the program goes on running.
func TestLostAnswers(t *testing.T) {
	t.Parallel()
	s := open(t)
	b := sign(t, s, 0)
	b.doneAt(s.Now())
	b.http.Transport = &cutting{http.DefaultTransport, map[string]bool{}}
	for i := range 200 {
		f := look(string(dbtest.Tag(1)))
		f.Set("note", strconv.Itoa(i))
		if _, _, err := b.try("/round/look", f); err == nil {
			t.Fatal("the first answer came through: this test cuts nothing")
		}
		if status, text := b.post("/round/look", f); status != http.StatusSeeOther {
			t.Fatalf("again: %d %.300s", status, text)
		}
	}
	var all, different int
	err := s.Pool().QueryRow(t.Context(), `
		SELECT count(*), count(DISTINCT note) FROM looks l JOIN animals a ON a.id = l.animal_id WHERE a.number = $1 AND note <> ''`, dbtest.Tag(1)).Scan(&all, &different)
	if err != nil || all != 200 || different != 200 {
		t.Errorf("%d looks, %d different, %v; want 200 of each", all, different, err)
	}
}

// Two tablets look at the same carcass in the same minute: two looks.
func TestTwoLooksAreTwo(t *testing.T) {
	t.Parallel()
	s := open(t)
	done := s.Now()
	for _, b := range []*tablet{sign(t, s, 0), sign(t, s, 0)} {
		b.doneAt(done)
		f := look(string(dbtest.Tag(1)))
		f.Set("note", "twice looked at")
		for range 2 {
			if status, text := b.post("/round/look", f); status != http.StatusSeeOther {
				t.Fatalf("%d %.300s", status, text)
			}
		}
	}
	looks, err := s.LooksAt(t.Context(), dbtest.Tag(1))
	n := 0
	for _, l := range looks {
		if l.Note == "twice looked at" && l.At.Equal(done) {
			n++
		}
	}
	if err != nil || n != 2 {
		t.Errorf("%d looks, %v; want 2", n, err)
	}
}

// A tablet that lost its sign-in comes back as a new device. What it kept stays
// with the old one, and so does the error of its clock.
func TestClockOfTheActsDevice(t *testing.T) {
	t.Parallel()
	s := open(t)
	const ahead = 7 * time.Minute
	old, fresh := sign(t, s, 0), sign(t, s, 0)
	fresh.env["Coldrail-Shift"] = old.env["Coldrail-Shift"]
	fresh.clock(ahead)
	fresh.doneAt(s.Now().Add(ahead))
	f := look(string(dbtest.Tag(1)))
	if status, text := fresh.post("/round/look", f); status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", status, text)
	}
	var of, others int64
	err := s.Pool().QueryRow(t.Context(), `
		SELECT d.clock_ahead_ms, (SELECT count(*) FROM devices o WHERE o.id <> d.id AND o.clock_ahead_ms = d.clock_ahead_ms)
		FROM time_line t JOIN devices d ON d.id = t.device_id WHERE t.act = $1`, f.Get("act")).Scan(&of, &others)
	if err != nil || of != ahead.Milliseconds() || others != 0 {
		t.Errorf("the act's device is %d ms ahead, %d others too, %v; want %d on it alone", of, others, err, ahead.Milliseconds())
	}
}

// The same tag number from two tablets: the second entry is refused and the first
// animal held until a person has read both tags. A place taken meanwhile is no
// reason to refuse.
func TestSameNumberTwice(t *testing.T) {
	t.Parallel()
	s := open(t)
	first, second := sign(t, s, 0), sign(t, s, 0)
	drop := func() url.Values {
		return url.Values{"act": {uuid.Must(uuid.NewV7()).String()}, "number": {string(dbtest.Tag(90))}, "phone": {"518-555-0190"}, "species": {"whitetail"},
			"shape": {"whole-hide-on"}, "killed": {"today"}, "place": {"1"}, "state": {"NY"}}
	}
	first.doneAt(s.Now())
	second.doneAt(s.Now())
	if status, text := first.post("/dropoff", drop()); status != http.StatusSeeOther {
		t.Fatalf("%d %.3000s", status, text)
	}
	f := drop()
	for range 2 {
		status, text := second.post("/dropoff", f)
		if status != http.StatusUnprocessableEntity || !strings.Contains(text, "is already on another animal") {
			t.Errorf("%d %.300s", status, text)
		}
	}
	status, text := second.post("/dropoff", f)
	if status != http.StatusUnprocessableEntity || !strings.Contains(text, f.Get("act")) {
		t.Errorf("%d; the form to put right does not come back under its id %s", status, f.Get("act"))
	}
	f.Set("number", string(dbtest.Tag(91)))
	for range 2 {
		if status, text := second.post("/dropoff", f); status != http.StatusSeeOther {
			t.Errorf("put right: %d %.300s", status, text)
		}
	}
	holds, err := s.Holds(t.Context(), dbtest.Tag(90))
	if err != nil || len(holds) != 1 || holds[0].Kind != "identity" {
		t.Errorf("%+v, %v; want one hold for its identity", holds, err)
	}
	a, err := s.Animal(t.Context(), dbtest.Tag(90))
	if err != nil {
		t.Fatal(err)
	}
	where, err := s.WhereHangs(t.Context(), a.ID)
	if err != nil || len(where) != 1 || !where[0].Conflict {
		t.Errorf("%+v, %v; want the taken hook, in conflict", where, err)
	}
}

// What is given up is written down, without who it was about, and wants a reason.
func TestGiveUp(t *testing.T) {
	t.Parallel()
	s := open(t)
	b := s.As(t, s.Bob)
	f := url.Values{"of": {uuid.Must(uuid.NewV7()).String()}, "kept_at": {"1764000000000"}, "title": {"Fast drop-off"}, "said": {"taken"}, "f-phone": {"518-555-0190"}, "f-number": {"26-0090-1"}}
	b.Post("/round/discard", f).Wants(t, http.StatusUnprocessableEntity, "Say in a few words")
	f.Set("reason", "entered twice")
	f.Set("act", uuid.Must(uuid.NewV7()).String())
	b.Post("/round/discard", f).Wants(t, http.StatusNoContent)
	list, err := s.Discarded(t.Context())
	if err != nil || len(list) != 1 || list[0].Reason != "entered twice" || list[0].Fields["number"] == "" || list[0].Fields["phone"] != "" {
		t.Errorf("%+v, %v", list, err)
	}
}
