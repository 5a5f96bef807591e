package coolers_test

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"coldrail/web/webtest"
)

func post(t *testing.T, s *webtest.Site, token, body string) (status int, answer string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+"/readings", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Authorization", "Bearer "+token)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(text)
}

// From the office to the room's page: the owner lets a sensor in, it posts, and
// what it said stands in the room.
func TestSensorPosts(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	s.As(t, s.Bob).Get("/office/sensors").Wants(t, http.StatusForbidden, "not in Bob")
	form := url.Values{"sensor": {"main-air"}, "measures": {"air"}, "step": {"0.1"}}
	ann.Post("/office/sensors", form).Wants(t, http.StatusUnprocessableEntity, "Choose the room")
	form.Set("room", "main")
	form.Del("act")
	made := ann.Post("/office/sensors", form)
	made.Wants(t, http.StatusOK, "shown this once", "curl -H", "/readings")
	token := regexp.MustCompile(`[0-9a-f]{48}`).FindString(made.Body)
	ann.Post("/office/sensors", form).Wants(t, http.StatusOK, "was let in already") // the same act
	now := s.Now()
	batch := fmt.Sprintf(`[{"at":%q,"f":36.5},{"at":%q,"c":85.0},{"at":"yesterday","c":1}]`, now.Add(-1e9).Format("2006-01-02T15:04:05Z07:00"), now.Format("2006-01-02T15:04:05Z07:00"))
	for _, want := range []string{`{"new":1,"known":0,"left_out":[{"readings":1,"why":"no temperature a room can have"}],"refused":[{"reading":3,`, `{"new":0,"known":2,"left_out":[],"refused":[{"reading":3,`} {
		if status, got := post(t, s, token, batch); status != http.StatusOK || !strings.HasPrefix(got, want) {
			t.Errorf("%d %s", status, got)
		}
	}
	for _, tt := range []struct {
		token, body string
		status      int
	}{
		{"", batch, 401}, {"00" + token, batch, 401}, {"", "junk", 401}, {token, "junk", 400}, {token, "[]", 400}, {token, `[{"at":"` + strings.Repeat("x", 1<<20) + `"}]`, 413},
	} {
		if status, got := post(t, s, tt.token, tt.body); status != tt.status || strings.Contains(got, "<") {
			t.Errorf("%.20s: %d, want %d: %s", tt.body, status, tt.status, got)
		}
	}
	ann.Get("/coolers/main").Wants(t, http.StatusOK, "36", "main-air")
	page := ann.Get("/office/sensors")
	page.Wants(t, http.StatusOK, "main-air", "last reading", "Take it out")
	if strings.Contains(page.Body, token) {
		t.Error("the token is shown again")
	}
	out := regexp.MustCompile(`/office/sensors/[0-9a-f-]{36}/out`).FindString(page.Body)
	if a := ann.Post(out, url.Values{}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d", a.Status)
	}
	if status, _ := post(t, s, token, batch); status != http.StatusUnauthorized {
		t.Errorf("after it was taken out: %d", status)
	}
}

// One address posts 600 times a minute and no more, whatever its token: a lost
// sensor cannot take the machine's time.
func TestSensorPostsTooOften(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	for i := range 601 {
		status, _ := post(t, s, "nobody's", "[]")
		if want := http.StatusUnauthorized; i < 600 && status != want {
			t.Fatalf("post %d answers %d, want %d", i+1, status, want)
		} else if i == 600 && status != http.StatusTooManyRequests {
			t.Errorf("post 601 answers %d, want 429", status)
		}
	}
}
