package web_test

import (
	"flag"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/hunter"
	"coldrail/web/webtest"

	"github.com/go-chi/chi/v5"
)

var update = flag.Bool("update", false, "write the golden text anew")

const whoMay = "../testdata/golden/who_may.txt"

// param is a value in a route's pattern.
var param = regexp.MustCompile(`\{[a-z]+\}`)

// Every address of the site is asked as a stranger, as a hunter who has just read
// their own page, as an enrolled device that nobody holds, and as a person of each
// role alone. Who gets past is written in the
// golden text, to be read by the owner of the code; and no address falls over.
func TestWhoMayOpenWhat(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	people := map[string]*webtest.Browser{"stranger": s.Nobody(t), "hunter": aHunter(t, s), "device": s.Enrolled(t, "tablet")}
	all := append([]string{"stranger", "hunter", "device"}, domain.Roles...)
	for i, role := range domain.Roles {
		staff, err := s.AddStaff(t.Context(), db.NewStaff{Name: "One " + role, Initials: "X" + string(rune('A'+i)), Roles: []string{role}, PIN: "2468"}, dbtest.Noon)
		if err != nil {
			t.Fatal(err)
		}
		people[role] = s.As(t, staff)
	}
	var lines []string
	err := chi.Walk(s.Routes(), func(method, pattern string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if method != http.MethodGet && method != http.MethodPost || strings.HasSuffix(pattern, "/*") {
			return nil
		}
		var may []string
		for _, who := range all {
			if passes(t, people[who], method, pattern, who) {
				may = append(may, who)
			}
		}
		if pattern == "/readings" { // asked for a token before anything else, whoever asks
			if len(may) > 0 {
				t.Errorf("%s %s takes no token from %v", method, pattern, may)
			}
			may = []string{"token"}
		}
		if len(may) == 0 {
			t.Errorf("%s %s is nobody's work: give it a line in web/roles.go", method, pattern)
		}
		lines = append(lines, fmt.Sprintf("%-4s %-44s %s", method, pattern, strings.Join(may, " ")))
		return nil
	})
	if err != nil || len(lines) < 100 {
		t.Fatalf("%d addresses walked, %v", len(lines), err)
	}
	compareWhoMay(t, lines)
}

// aHunter has opened the private link of their own animal.
func aHunter(t *testing.T, s *webtest.Site) *webtest.Browser {
	t.Helper()
	n := s.HangDeer(t, 7, 1)
	a, err := s.Animal(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Secret(t.Context(), "hunter links")
	if err != nil {
		t.Fatal(err)
	}
	home := s.Nobody(t)
	home.Get(hunter.Link("", secret, a.ID, a.LinkRevision)).Wants(t, http.StatusOK, "Your deer")
	return home
}

// passes asks for an address and reports whether whoever asks gets past the gate. A
// page that misses the animal or refuses the empty form has let them past.
func passes(t *testing.T, b *webtest.Browser, method, pattern, who string) bool {
	path := param.ReplaceAllStringFunc(pattern, func(p string) string {
		switch p {
		case "{number}":
			return string(dbtest.Tag(7))
		case "{name}", "{room}":
			return "nowhere"
		case "{n}", "{line}", "{receipt}", "{batch}", "{mark}", "{rail}":
			return "9"
		}
		return "0190f2a0-0000-7000-8000-000000000000"
	})
	var a webtest.Answer
	if pattern == "/live" { // a stream without an end: its beginning tells
		res := b.Ask(method, path, nil)
		defer res.Body.Close()
		a.Status, a.Location = res.StatusCode, res.Header.Get("Location")
	} else if method == http.MethodGet {
		a = b.Get(path)
	} else {
		a = b.Post(path, url.Values{})
	}
	if a.Status >= 500 && path != "/readyz" {
		t.Errorf("%s %s as %s falls over: %d %.300s", method, path, who, a.Status, a.Body)
	}
	toGate := a.Status == http.StatusSeeOther && (a.Location == "/enrol" || strings.HasPrefix(a.Location, "/who?"))
	return a.Status != http.StatusForbidden && a.Status != http.StatusUnauthorized && !toGate
}

func compareWhoMay(t *testing.T, lines []string) {
	t.Helper()
	slices.Sort(lines)
	if *update {
		if err := os.WriteFile(whoMay, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(whoMay)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Split(strings.TrimSpace(string(text)), "\n")
	for _, l := range lines {
		if !slices.Contains(want, l) {
			t.Errorf("not in the golden text (write it anew with -update and read what changed): %s", l)
		}
	}
	for _, l := range want {
		if !slices.Contains(lines, l) {
			t.Errorf("only in the golden text: %s", l)
		}
	}
}
