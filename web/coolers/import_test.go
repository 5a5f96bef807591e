package coolers_test

import (
	"bytes"
	"html"
	"mime/multipart"
	"net/http"
	"os"
	"regexp"
	"testing"

	"coldrail/web/signin"
	"coldrail/web/webtest"
)

// sent is a form with a file, as a browser sends it.
func sent(t *testing.T, fields map[string]string, name string, text []byte) (body, kind string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for k, v := range fields {
		must(t, w.WriteField(k, v))
	}
	if name != "" {
		part, err := w.CreateFormFile("file", name)
		must(t, err)
		_, err = part.Write(text)
		must(t, err)
	}
	must(t, w.Close())
	return b.String(), w.FormDataContentType()
}

// The file is looked at, asked about, looked at again and brought in; nothing is
// kept before.
func TestImportLooksFirst(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/coolers/main").Wants(t, http.StatusOK, "/coolers/main/import")
	ann.Get("/coolers/main/import").Wants(t, http.StatusOK, "Nothing is kept before you say so", "main-logger")
	text, err := os.ReadFile("../../testdata/logger/fahrenheit_gap.csv")
	must(t, err)
	fields := map[string]string{"act": signin.NewAct(), "sensor": "main-logger", "unit": "file", "zone": ""}
	send := func(name string) webtest.Answer {
		t.Helper()
		body, kind := sent(t, fields, name, text)
		return ann.Send("/coolers/main/import", kind, body)
	}
	readings := func() (n int) {
		t.Helper()
		must(t, s.Pool().QueryRow(t.Context(), `SELECT (SELECT count(*) FROM readings) + (SELECT count(*) FROM imports) + (SELECT count(*) FROM sensors WHERE name = 'main-logger')`).Scan(&n))
		return n
	}
	send("").Wants(t, http.StatusUnprocessableEntity, "Choose the logger&#39;s file")
	send("probe.csv").Wants(t, http.StatusUnprocessableEntity, "carry no zone")
	fields["zone"] = "America/New_York"
	seen := send("probe.csv")
	seen.Wants(t, http.StatusOK, "103", "Nobody watched from", "°F, from the header", "America/New_York, as you said", "Bring it in")
	if n := readings(); n != 0 {
		t.Fatalf("a look kept %d rows", n)
	}
	fields["unit"] = "C"
	send("probe.csv").Wants(t, http.StatusUnprocessableEntity, "but °C was given")
	fields["unit"], fields["keep"], fields["file_name"] = "file", "yes", "probe.csv"
	fields["packed"] = html.UnescapeString(regexp.MustCompile(`name="packed" value="([^"]+)"`).FindStringSubmatch(seen.Body)[1])
	for range 2 { // a second tap changes nothing
		if a := send(""); a.Status != http.StatusSeeOther || a.Location != "/coolers/main" {
			t.Fatalf("%d %.300s", a.Status, a.Body)
		}
	}
	if n := readings(); n != 103+1+1 {
		t.Errorf("%d rows", n)
	}
	fields["act"] = signin.NewAct()
	delete(fields, "keep")
	send("").Wants(t, http.StatusUnprocessableEntity, "is in already")
	fields["packed"] = "no file"
	send("").Wants(t, http.StatusUnprocessableEntity, "lost on the way")
}
