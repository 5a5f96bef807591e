package hunter_test

import (
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// look writes one look down, as somebody with wet hands would.
func look(t testing.TB, s *webtest.Site, n domain.ShopNumber, at time.Time, l round.Look) {
	t.Helper()
	l.At = at
	must(t, s.Look(t.Context(), s.Act(s.Bob, at), n, db.Look{Look: l}))
}

// What was seen stands in an owner's words, with the caution; mould inside the ribs
// is explained (University of Wyoming B-513R: surface mould is trimmed; the words are
// common practice, no source).
func TestWhatWeSaw(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	home, at := s.Nobody(t), path(t, s, n)
	if strings.Contains(home.Get(at).Body, "What we saw") {
		t.Error("the page tells of a look that nobody made")
	}
	look(t, s, n, dbtest.Noon.Add(-20*time.Hour), round.Look{Smell: round.SmellClean, Surface: round.SurfaceDrying})
	look(t, s, n, dbtest.Noon.Add(-4*time.Hour), round.Look{Smell: round.SmellGamey, Surface: round.SurfaceDry,
		Mould: []round.Mould{{Site: round.SiteRibs, Length: 3, Colour: round.White}, {Site: round.SiteNeck, Length: 2, Colour: round.Grey}, {Site: round.SiteFat, Length: 0.5, Colour: round.White}}})
	home.Get(at).Wants(t, http.StatusOK, "White mold on the fat, less than 1/16 in.", "What we saw", "it smells clean, a dry skin is forming", "it smells of game, dry outside",
		"White mold on the inside of the rib cage, up to 1/8 in", "a sign of time, and is cut off", "Gray mold on the neck", "does not belong there",
		"any growth on meat, is a fault", "Somebody looked at it by itself 2 times")
}

// A look whose finding stops a carcass is told by the lead first: before that it is
// "please call", and after a decision the page keeps silent about it until the lead
// has spoken with the owner. That the counter spoke with them is not enough.
func TestBadLooksAreToldByMouthFirst(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	ctx, n := t.Context(), s.HangDeer(t, 1, 1)
	home, at := s.Nobody(t), path(t, s, n)
	look(t, s, n, dbtest.Noon.Add(-6*time.Hour), round.Look{Smell: round.SmellClean, Surface: round.SurfaceDry,
		Mould: []round.Mould{{Site: round.SiteFlank, Length: 4, Colour: round.Black}}})
	first := home.Get(at)
	first.Wants(t, http.StatusOK, "Please call us about your deer.")
	must(t, s.Decide(ctx, s.Act(s.Ann, dbtest.Noon), n, round.TrimCutFirst, "trimmed wide, clean below"))
	must(t, s.LogCall(ctx, s.Act(s.Bob, dbtest.Noon), n, "call", "spoke", "when he may come"))
	for _, told := range []string{first.Body, home.Get(at).Body} {
		if strings.Contains(told, "Black mold") || strings.Contains(told, "flank") {
			t.Errorf("the page tells before the lead has: %.2000s", told)
		}
	}
	must(t, s.LogCall(ctx, s.Act(s.Ann, dbtest.Noon.Add(time.Minute)), n, "call", "spoke", ""))
	home.Get(at).Wants(t, http.StatusOK, "Black mold on the flank", "We have spoken about it.")
}

// The questions of trade.md section 10, with what the records say of this animal.
func TestQuestionsAnswered(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	ctx, n := t.Context(), s.HangDeer(t, 147, 7)
	s.Own(t, n, "Dale Orrin", "607-555-0142")
	set(t, s, `INSERT INTO left_things (id, animal_id, what, left_at, left_by) SELECT gen_random_uuid(), id, 'blue cooler', received_at, received_by FROM animals WHERE number = $1`, n)
	set(t, s, `INSERT INTO pieces (id, animal_id, mark, kind, made_at, made_by, gone_at, gone_to, gone_by, instruction)
		SELECT gen_random_uuid(), id, 'C', 'cape', received_at, received_by, received_at, 'taxidermist', received_by, 'to Marlow Studio' FROM animals WHERE number = $1`, n)
	must(t, s.SwitchIntake(ctx, s.Act(s.Ann, dbtest.Noon), animal.TakeWhole, true, "the hooks are full"))
	page := s.Nobody(t).Get(path(t, s, n))
	page.Wants(t, http.StatusOK, "Why is there mold, or why is it so dark?", "Yours is "+string(n), "88.2 lb on the hook", "No sample of yours was drawn here.",
		"Blue cooler: with us", "Cape: to the taxidermist on", "Yours is not cut yet.", "Yours has to be cut by", "Just now we take no whole animals.",
		"We wrote down no bad fault.", "It may not be sold", "That is not ours to promise.")
	for _, other := range []string{"Marlow", "hooks are full", "Orrin"} {
		if strings.Contains(page.Body, other) {
			t.Errorf("the page names %q", other)
		}
	}
}

// Whoever reads Spanish reads the laboratory's word in it; the laboratory's name stays as
// it was typed.
func TestResultInTheReadersLanguage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	for result, words := range map[string][2]string{
		db.LabNotDetected: {"wrote “not detected”", "escribió “no detectado”"},
		db.LabUnsuitable:  {"wrote “sample unsuitable”", "escribió “muestra no apta”"},
	} {
		n := s.HangDeer(t, len(result), len(result))
		set(t, s, `INSERT INTO samples (id, animal_id, number, lab, drawn_on, result, result_on, source, seen_by, seen_at)
			SELECT gen_random_uuid(), id, 'S-1', 'State diagnostic laboratory', received_at::date, '`+result+`', received_at::date, 'agency-site', received_by, received_at FROM animals WHERE number = $1`, n)
		home := s.Nobody(t)
		home.Get(path(t, s, n)).Wants(t, http.StatusOK, "State diagnostic laboratory "+words[0])
		answer := home.Ask(http.MethodGet, path(t, s, n), map[string]string{"Accept-Language": "es-MX,es;q=0.9"})
		body, err := io.ReadAll(answer.Body)
		must(t, err)
		must(t, answer.Body.Close())
		if !strings.Contains(string(body), "State diagnostic laboratory "+words[1]) {
			t.Errorf("a reader of Spanish does not read %q: %.6000s", words[1], body)
		}
	}
}

// The owner of the shop writes the answers; a page with every one of them at its
// longest, and all there is to tell, stays under 30 kB.
func TestAnswersFromTheOffice(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := s.HangDeer(t, 1, 1)
	office, home, at := s.As(t, s.Ann), s.Nobody(t), path(t, s, n)
	usual := office.Get("/office/answers")
	usual.Wants(t, http.StatusOK, "Answers to owners", "Call before you drive.", "What stands here is the usual answer")
	home.Get(at).Wants(t, http.StatusOK, "Call before you drive.")
	form := url.Values{string(animal.AskBring): {"Every day until nine; boned meat to the side door."}}
	for range 2 { // sent twice
		if a := office.Post("/office/answers", form); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.500s", a.Status, a.Body)
		}
	}
	office.Get("/office/answers").Wants(t, http.StatusOK, "boned meat to the side door", "Your own.")
	s.SetNow(dbtest.Noon.Add(time.Minute))
	home.Get(at).Wants(t, http.StatusOK, "Every day until nine; boned meat to the side door.")

	long := url.Values{}
	for _, q := range animal.Questions {
		long.Set(string(q), strings.Repeat("w", animal.LongestAnswer))
	}
	if a := office.Post("/office/answers", long); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.500s", a.Status, a.Body)
	}
	for i := range 6 {
		look(t, s, n, dbtest.Noon.Add(time.Duration(i-9)*time.Hour), round.Look{Smell: round.SmellClean, Surface: round.SurfaceDry,
			Mould: []round.Mould{{Site: round.SiteRibs, Length: 3, Colour: round.White}, {Site: round.SiteFat, Length: 2, Colour: round.Grey}}})
	}
	s.SetNow(dbtest.Noon.Add(2 * time.Minute))
	if full := home.Get(at); full.Status != http.StatusOK || len(full.Body) > 30_000 || strings.Contains(full.Body, "<script") {
		t.Errorf("%d, %d bytes, or a script", full.Status, len(full.Body))
	} else {
		t.Logf("%d bytes with everything on it", len(full.Body))
	}
	long.Set(string(animal.AskSell), strings.Repeat("w", animal.LongestAnswer+1))
	long.Del("act")
	office.Post("/office/answers", long).Wants(t, http.StatusUnprocessableEntity, "Keep it to 500 letters")
}
