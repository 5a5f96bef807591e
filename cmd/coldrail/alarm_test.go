package main

import (
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"

	"github.com/google/uuid"
)

// outside is the world beyond the shop: a mail server and a gateway.
type outside struct {
	mu    sync.Mutex
	mails *postOffice
	posts []textOrCall
	beats int
	fail  int // this many posts are refused
}

func (o *outside) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	var body textOrCall
	err := json.NewDecoder(r.Body).Decode(&body)
	o.mu.Lock()
	defer o.mu.Unlock()
	switch {
	case r.URL.Path == "/heart" && err == nil:
		o.beats++
	case o.fail > 0:
		o.fail--
		w.WriteHeader(http.StatusServiceUnavailable)
	case err != nil || r.Header.Get("Idempotency-Key") != body.Key || body.Text == "":
		w.WriteHeader(http.StatusBadRequest)
	default:
		o.posts = append(o.posts, body)
	}
}

func (o *outside) counts() (mails, posts int) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return len(o.mails.taken()), len(o.posts)
}

// beyond starts the world and tells the shop's settings of it.
func beyond(t *testing.T, s *dbtest.Shop) *outside {
	o := &outside{mails: openPostOffice(t, "")}
	gateway := httptest.NewServer(o)
	t.Cleanup(gateway.Close)
	must(t, s.SetAlarms(t.Context(), s.Act(s.Ann, time.Now()), db.AlarmSettings{
		FirstName: "Ann", FirstMail: "ann@example.com", FirstPhone: "555-0101", SecondName: "Bob", SecondPhone: "555-0102",
		MailHost: "127.0.0.1", MailPort: o.mails.port, MailFrom: "shop@example.com",
		GatewayURL: gateway.URL + "/send", HeartbeatURL: gateway.URL + "/heart", SilentMin: 60}))
	return o
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// missed puts a round that nobody walked in the books.
func missed(t *testing.T, s *dbtest.Shop, ago time.Duration) {
	t.Helper()
	now := time.Now()
	_, err := s.Pool().Exec(t.Context(), `
		INSERT INTO due_rounds (id, cooler_id, kind, opens_at, due_at, closes_at, state, missed_at)
		SELECT $1, min(id), 'morning', $2::timestamptz - interval '4 hours', $2::timestamptz - interval '2 hours', $2, 'missed', $2 FROM coolers WHERE kind = 'cooler'`,
		uuid.Must(uuid.NewV7()), now.Add(-ago))
	must(t, err)
}

// hurry lets what waits in River's table be due now.
func hurry(t *testing.T, s *dbtest.Shop) {
	t.Helper()
	_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE river_job SET scheduled_at = now() - interval '1 second' WHERE kind = 'alarm' AND state IN ('scheduled', 'retryable')`)
	must(t, err)
}

// awaits waits for so many messages, and then a moment longer for one too many.
func (o *outside) awaits(t *testing.T, mails, posts int) {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if m, p := o.counts(); m >= mails && p >= posts {
			break
		}
	}
	time.Sleep(500 * time.Millisecond)
	if m, p := o.counts(); m != mails || p != posts {
		t.Fatalf("%d mails and %d posts, want %d and %d", m, p, mails, posts)
	}
}

func watching(t *testing.T, d *db.DB, out sender) (stop func()) {
	t.Helper()
	end, err := startWatch(t.Context(), d, "", out, slog.New(slog.DiscardHandler))
	must(t, err)
	stop = sync.OnceFunc(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		end(ctx)
	})
	t.Cleanup(stop)
	return stop
}

// Two servers on one database: each person is told once in each way, the second
// after ten minutes and only while nobody has it, also across a restart and a
// gateway that fails first. Where nothing is wrong nobody hears anything.
func TestAlarmIsToldOnce(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx, o := t.Context(), beyond(t, s)
	stop := watching(t, s.DB, sender{roots: o.mails.roots})
	watching(t, s.DB, sender{roots: o.mails.roots})
	must(t, s.RaiseAlarms(ctx, time.Now()))
	o.awaits(t, 0, 0)

	missed(t, s, time.Hour)
	o.mu.Lock()
	o.fail = 1
	o.mu.Unlock()
	both := make(chan error, 2)
	for range 2 {
		go func() { both <- s.RaiseAlarms(ctx, time.Now()) }()
	}
	must(t, <-both)
	must(t, <-both)
	o.awaits(t, 1, 0)
	if log, err := s.AlarmLog(ctx); err != nil || len(log) != 3 || log[0].Tries != 1 || !strings.Contains(log[0].Wrong, "503") {
		t.Fatalf("%+v, %v: want the gateway's refusal in the log", log, err)
	}
	stop()
	watching(t, s.DB, sender{roots: o.mails.roots})
	hurry(t, s) // the try again, and the second person's ten minutes
	o.awaits(t, 1, 2)
	if o.posts[0].To == o.posts[1].To || o.posts[0].Key == o.posts[1].Key || !strings.Contains(o.mails.taken()[0].Text, o.alarmKey()) {
		t.Errorf("%+v and %s: want one to each, with a key of its own, and the first's in the mail", o.posts, o.mails.taken()[0].Text)
	}

	open, err := s.OpenAlarms(ctx)
	if err != nil || len(open) != 1 {
		t.Fatalf("%+v, %v", open, err)
	}
	missed(t, s, 10*time.Minute)
	must(t, s.RaiseAlarms(ctx, time.Now()))
	o.awaits(t, 1, 2) // the first is not taken yet: the second round missed is no news
	must(t, s.HaveAlarm(ctx, s.Act(s.Bob, time.Now()), open[0].ID))
	must(t, s.RaiseAlarms(ctx, time.Now()))
	o.awaits(t, 2, 3)
	open, err = s.OpenAlarms(ctx)
	must(t, err)
	must(t, s.HaveAlarm(ctx, s.Act(s.Bob, time.Now()), open[0].ID))
	hurry(t, s)
	spared := 0
	for end := time.Now().Add(20 * time.Second); spared == 0 && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		must(t, s.Pool().QueryRow(ctx, `SELECT count(*) FROM alarm_messages WHERE spared_at IS NOT NULL AND person = 2`).Scan(&spared))
	}
	if spared != 1 {
		t.Error("somebody has it, and the second person was not spared")
	}
	o.awaits(t, 2, 3)
}

// alarmKey is the key of the first person's message.
func (o *outside) alarmKey() string {
	for _, p := range o.posts {
		if p.To == "555-0101" {
			return p.Key
		}
	}
	return "no message to the first person"
}

// The heartbeat goes out, and what it met is written down.
func TestHeartbeat(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	o := beyond(t, s)
	must(t, sender{}.beat(t.Context(), s.DB, time.Now()))
	set, err := s.AlarmSettings(t.Context())
	if err != nil || o.beats != 1 || set.HeartbeatAt == nil || set.HeartbeatWrong != "" {
		t.Fatalf("%+v, %d beats, %v", set, o.beats, err)
	}
	set.HeartbeatURL = "http://127.0.0.1:1/nobody"
	must(t, s.SetAlarms(t.Context(), s.Act(s.Ann, time.Now()), set))
	must(t, sender{}.beat(t.Context(), s.DB, time.Now()))
	if set, err = s.AlarmSettings(t.Context()); err != nil || set.HeartbeatWrong == "" {
		t.Errorf("%+v, %v: want what went wrong", set, err)
	}
}

// A sensor that posts and falls silent, and a room too warm, are told once each;
// the test that the owner asks for really goes out, to both at once.
func TestAlarmsOfRoomsAndSensors(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx, now := t.Context(), time.Now()
	o := beyond(t, s)
	for _, sql := range []string{
		`SELECT make_readings_month($1)`,
		`WITH n AS (INSERT INTO sensors (cooler_id, name, kind) SELECT min(id), 'far wall', 'posting' FROM coolers RETURNING id, cooler_id)
		 INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		 SELECT id, cooler_id, $1::timestamptz - interval '61 minutes', 2, '2', 'C', 'x', 'ok', 'post' FROM n`,
		`INSERT INTO incidents (id, cooler_id, began_at, called_at, opened_at) SELECT gen_random_uuid(), min(id), $1::timestamptz - interval '3 hours', $1, $1 FROM coolers`,
	} {
		_, err := s.Pool().Exec(ctx, sql, now)
		must(t, err)
	}
	must(t, s.RaiseAlarms(ctx, now))
	must(t, s.RaiseAlarms(ctx, now.Add(time.Minute)))
	open, err := s.OpenAlarms(ctx)
	if err != nil || len(open) != 2 || open[0].Kind == open[1].Kind {
		t.Fatalf("%+v, %v: want one of the room and one of the sensor", open, err)
	}
	must(t, s.TestAlarm(ctx, s.Act(s.Ann, now)))
	watching(t, s.DB, sender{roots: o.mails.roots})
	o.awaits(t, 3, 4) // the first person three times by mail and by phone, the second by phone for the test
}
