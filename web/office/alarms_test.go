package office_test

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"coldrail/db/dbtest"
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
