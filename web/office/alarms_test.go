package office_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// The owner says who is told; what no message could be sent with is refused with
// what was typed kept, and a test needs somebody to go to.
func TestAlarmSettings(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/office/alarms").Wants(t, http.StatusOK, "Nobody is told yet", "own battery-backed temperature alarm")
	ann.Post("/office/alarms/test", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "There is nobody to tell yet.")
	set := url.Values{"first_name": {"Ann"}, "first_phone": {"555-0101"}, "mail_port": {"587"}, "silent_min": {"60"}, "gateway_url": {"ftp:here"}}
	ann.Post("/office/alarms", set).Wants(t, http.StatusUnprocessableEntity, "beginning with https://", "ftp:here")
	set.Set("gateway_url", "https://gateway.example.com/send")
	if saved := ann.Post("/office/alarms", set); saved.Status != http.StatusSeeOther {
		t.Fatalf("saving answers %d: %.600s", saved.Status, saved.Body)
	}
	ann.Post("/office/alarms/test", url.Values{})
	ann.Get("/office/alarms").Wants(t, http.StatusOK, "555-0101", "Test", "first person")
	s.As(t, s.Bob).Get("/office/alarms").Wants(t, http.StatusForbidden)
}

// Today shows the alarm until somebody taps "I have it"; whoever taps after them
// is told who was first.
func TestTodayShowsTheAlarm(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	_, err := s.Pool().Exec(t.Context(), `
		INSERT INTO incidents (id, cooler_id, began_at, called_at, opened_at) SELECT gen_random_uuid(), min(id), $1::timestamptz - interval '3 hours', $1, $1 FROM coolers`, dbtest.Noon)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.RaiseAlarms(t.Context(), dbtest.Noon.Add(time.Minute)); err != nil {
		t.Fatal(err)
	}
	open, err := s.OpenAlarms(t.Context())
	if err != nil || len(open) != 1 {
		t.Fatalf("%+v, %v", open, err)
	}
	bob := s.As(t, s.Bob)
	bob.Get("/").Wants(t, http.StatusOK, "Too warm: ", "I have it: Bob Tarrant")
	if done := bob.Post("/alarms/"+open[0].ID.String(), url.Values{}); done.Status != http.StatusSeeOther {
		t.Fatalf("it answers %d: %.600s", done.Status, done.Body)
	}
	s.As(t, s.Ann).Post("/alarms/"+open[0].ID.String(), url.Values{}).Wants(t, http.StatusConflict, "has it already")
}

// A freezer above its limit is told once for as long as it stays warm, and again
// when it warms anew. Limits: trade.md 4.1 (0 °F, published; 10 °F, common
// practice, no source).
func TestWarmFreezerIsTold(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	set := url.Values{"first_name": {"Ann"}, "first_phone": {"555-0101"}, "mail_port": {"587"}, "silent_min": {"60"}, "gateway_url": {"https://gateway.example.com/send"}}
	if saved := s.As(t, s.Ann).Post("/office/alarms", set); saved.Status != http.StatusSeeOther {
		t.Fatalf("saving answers %d: %.600s", saved.Status, saved.Body)
	}
	read := func(minute int, f float64) {
		t.Helper()
		at := dbtest.Noon.Add(time.Duration(minute) * time.Minute)
		_, err := s.Pool().Exec(t.Context(), `
			WITH s AS (INSERT INTO sensors (cooler_id, name, kind) SELECT id, 'freezer air', 'logger' FROM coolers WHERE name = 'freezer'
			           ON CONFLICT (name) DO UPDATE SET kind = 'logger' RETURNING id, cooler_id)
			INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
			SELECT id, cooler_id, $1, $2, '', 'C', '', 'ok', 'file' FROM s`, at, float64(domain.Fahrenheit(f)))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.RaiseAlarms(t.Context(), at.Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
	}
	told := func(want int) {
		t.Helper()
		open, err := s.OpenAlarms(t.Context())
		if err != nil || len(open) != want {
			t.Errorf("%d alarms, %v; want %d", len(open), err, want)
		}
	}
	read(0, -5)
	read(10, 9) // above 0 °F, not above 10 °F: seen to on the round
	told(0)
	read(20, 14)
	told(1)
	read(30, 16)
	told(1)
	read(40, -1)
	read(50, 12)
	told(2)
	s.As(t, s.Bob).Get("/").Wants(t, http.StatusOK, "Above 10 °F in a freezer: Freezer.", "Call Ann", "tel:5550101")
}
