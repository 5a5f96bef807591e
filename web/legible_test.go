package web_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// What no keyboard sends is a mistake in the form, told in a sentence, and no fault
// of ours with a reference number (OWASP ASVS 5.0, V1.1 and V2.2).
func TestWhatCannotBeKeptIsRefused(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	page := "/animals/" + string(dbtest.Tag(1)) + "/call"
	for name, said := range map[string]string{
		"no sign at all (NUL)": "he\x00llo", "not UTF-8": "he\xff\xfello", "half of a letter": "caf\xc3", "a letter of a pair (WTF-8)": "a\xed\xa0\x80b",
	} {
		for _, answer := range []webtest.Answer{ann.Post(page, url.Values{"said": {said}}), ann.Post(page, url.Values{said: {"x"}}),
			ann.PostWith(page, url.Values{"said": {said}}, "picture", []byte("x")),
			ann.Get("/find?q=" + url.QueryEscape(said)), s.Nobody(t).Post("/s", url.Values{"number": {said}})} {
			if answer.Status != http.StatusUnprocessableEntity || !strings.Contains(answer.Body, "a sign in this form that cannot be kept") {
				t.Errorf("%s: %d %.300s", name, answer.Status, answer.Body)
			}
		}
		if a := ann.Get("/coolers/" + url.PathEscape(said)); a.Status != http.StatusNotFound {
			t.Errorf("%s in an address: %d", name, a.Status)
		}
	}
	ann.Post(page, url.Values{"said": {strings.Repeat("é", 5000)}}).Wants(t, http.StatusUnprocessableEntity, "That is too long for one field.")
}

// A name that cannot be kept is refused with its file.
func TestHostileFileNames(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	for _, name := range []string{"a\xffb.csv", strings.Repeat("n", 300) + ".csv"} {
		var body bytes.Buffer
		w := multipart.NewWriter(&body)
		part, err := w.CreateFormFile("file", name)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = part.Write([]byte("time,c\n"))
		_ = w.WriteField("sensor", "walk-in")
		w.Close()
		a := ann.Send("/coolers/walk-in/import", w.FormDataContentType(), body.String())
		a.Wants(t, http.StatusUnprocessableEntity, "name cannot be kept")
	}
}

// Signs that nobody sees are taken out of a name: a right-to-left override would
// print the rest of the line backwards, and with a space of no width in it a name is
// not found again. An accent typed as two signs is the same name as one of one.
func TestUnseenSignsAreTakenOut(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	form := url.Values{"name": {"Jose\u0301 \u202eDuarte\u202c\u200b"}, "initials": {"JD"}, "roles": {"cutter"}, "new_pin": {"8642"}, "pin": {"4711"}}
	if a := ann.Post("/office/staff", form); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", a.Status, a.Body)
	}
	ann.Get("/who").Wants(t, http.StatusOK, "<span>José Duarte</span>")
}
