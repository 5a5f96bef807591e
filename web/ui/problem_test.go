package ui

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"

	"github.com/a-h/templ"
)

func request(t *testing.T, htmx bool) *http.Request {
	t.Helper()
	r := httptest.NewRequestWithContext(shopContext(t), http.MethodPost, "/rail", nil)
	if htmx {
		r.Header.Set("HX-Request", "true")
	}
	return r
}

func TestShowProblem(t *testing.T) {
	taken := domain.Taken("%s hung %s there first. Choose another hook.", "Ray", "26-0147-3")
	for _, tt := range []struct {
		name   string
		e      *domain.Error
		htmx   bool
		wanted []string
		banned []string
	}{
		{"a page", taken, false, []string{"<!doctype html>", "Ray hung 26-0147-3 there first.", "Somebody was first"}, []string{"ref-7"}},
		{"a part for htmx", taken, true, []string{"Ray hung 26-0147-3 there first."}, []string{"<!doctype", "<body", "ref-7"}},
		{"our own fault", domain.As(errors.New("dial unix /run/pg: refused")), false, []string{"Nothing was changed.", "ref-7"}, []string{"dial unix", "/run/pg"}},
		{"hostile words", domain.Missing("%s is not here.", "<script>alert(1)</script>"), true, []string{"&lt;script&gt;"}, []string{"<script>"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rec := httptest.NewRecorder()
			ShowProblem(rec, request(t, tt.htmx), http.StatusConflict, tt.e, "ref-7")
			if rec.Code != http.StatusConflict {
				t.Errorf("status %d, want 409", rec.Code)
			}
			if got := rec.Header().Get("HX-Push-Url"); got != "false" {
				t.Errorf("HX-Push-Url %q: the address must stay that of the page", got)
			}
			for _, want := range tt.wanted {
				if !strings.Contains(rec.Body.String(), want) {
					t.Errorf("%q is missing from %s", want, rec.Body)
				}
			}
			for _, bad := range tt.banned {
				if strings.Contains(rec.Body.String(), bad) {
					t.Errorf("%q must not be in %s", bad, rec.Body)
				}
			}
		})
	}
}

func TestRender(t *testing.T) {
	rec := httptest.NewRecorder()
	if err := Render(rec, request(t, false), http.StatusUnprocessableEntity, Empty("Nothing – at all")); err != nil {
		t.Fatal(err)
	}
	if got := rec.Header().Get("Content-Length"); rec.Code != 422 || got != strconv.Itoa(rec.Body.Len()) {
		t.Errorf("status %d, length %q of %d bytes", rec.Code, got, rec.Body.Len())
	}
}

// A template that fails half way must leave the answer untouched, so that the
// caller can still show a problem page.
func TestRenderSendsNoHalfPage(t *testing.T) {
	broken := templ.ComponentFunc(func(_ context.Context, w io.Writer) error {
		_, _ = io.WriteString(w, "<p>half")
		return io.ErrUnexpectedEOF
	})
	rec := httptest.NewRecorder()
	err := Render(rec, request(t, false), http.StatusOK, broken)
	if !errors.Is(err, io.ErrUnexpectedEOF) || rec.Body.Len() != 0 || len(rec.Header()) != 0 {
		t.Errorf("err %v, sent %q %v; want the error and nothing sent", err, rec.Body, rec.Header())
	}
}

// Every page lights the screen it stands under and shows one way up; who does not have
// that screen is not sent there.
func TestNavigation(t *testing.T) {
	t.Parallel()
	lead, counter := Holder{Name: "Ann", Roles: []string{"lead"}}, Holder{Name: "Cal", Roles: []string{"counter"}}
	for _, tt := range []struct {
		path   string
		holder Holder
		lit    string // the screen; empty: none
		up     string // where the way up leads; empty: none is shown
	}{
		{"/", lead, "/", ""},
		{"/rail", lead, "/rail", ""},
		{"/rail/move", counter, "/rail", "/rail"},
		{"/cutting/26-0147-3", lead, "/cutting", "/cutting"},
		{"/office/tax", lead, "/office", "/office"},
		{"/office/prices", lead, "/office", "/office"},
		{"/office/prices/3", lead, "/office", "/office/prices"},
		{"/office/prices/new/deer", lead, "/office", "/office/prices"},
		{"/visits", lead, "/office", "/office"},
		{"/visits", counter, "/office", ""},
		{"/help", counter, "/", "/"},
		{"/help/words", counter, "/", "/help"},
		{"/notices", counter, "/", "/"},
		{"/coolers", lead, "/round", "/round"},
		{"/coolers/big", counter, "/round", "/coolers"},
		{"/coolers/big/limits", lead, "/round", "/coolers/big"},
		{"/pieces", lead, "/cutting", "/cutting"},
		{"/machines", lead, "/batches", "/batches"},
		{"/animals/26-0147-3", lead, "/rail", "/rail"},
		{"/animals/26-0147-3/money", counter, "/rail", "/animals/26-0147-3"},
		{"/animals/26-0147-3/pieces/head", lead, "/rail", "/animals/26-0147-3/pieces"},
		{"/find", lead, "", ""},
	} {
		page := render(t, At(WithHolder(shopContext(t), tt.holder), tt.path), Layout(Page{Title: "x"}))
		lit, up := "", ""
		if m := regexp.MustCompile(`href="([^"]*)"[^>]* aria-current="page"`).FindAllStringSubmatch(page, -1); len(m) == 1 {
			lit = m[0][1]
		} else if len(m) > 1 {
			t.Errorf("%s lights %d screens", tt.path, len(m))
		}
		if m := regexp.MustCompile(`class="up" href="([^"]*)"`).FindStringSubmatch(page); m != nil {
			up = m[1]
		}
		if lit != tt.lit || up != tt.up {
			t.Errorf("%s for %v lights %q and leads up to %q, want %q and %q", tt.path, tt.holder.Roles, lit, up, tt.lit, tt.up)
		}
	}
	page := render(t, At(shopContext(t), "/coolers/incidents/7"), Layout(Page{Title: "x", Up: &Up{Path: "/coolers/big", Name: "Big cooler"}}))
	if !strings.Contains(page, `class="up" href="/coolers/big"`) {
		t.Error("what the page itself says is above it goes before its address")
	}
}

// The hunter's page must give no way into the shop and no trace to others.
func TestPublicPage(t *testing.T) {
	page := render(t, shopContext(t), with(Public("Your deer"), Tag("26-0147-3")))
	for _, bad := range []string{"<script", "<nav", "June Abbot", `href="/who"`, `action="/find"`} {
		if strings.Contains(page, bad) {
			t.Errorf("the hunter's page holds %q", bad)
		}
	}
	for _, want := range []string{"noindex", "no-referrer", `href="tel:5555550142"`, "18 Millrace Lane"} {
		if !strings.Contains(page, want) {
			t.Errorf("the hunter's page lacks %q", want)
		}
	}
}

func TestFieldShowsOnlyItsOwnError(t *testing.T) {
	ctx, wrong := shopContext(t), domain.Wrong("weight", "Read the scale again.")
	own := render(t, ctx, Field(Input{Name: "weight", Label: "Weight", Hint: "in pounds", Wrong: wrong}))
	for _, want := range []string{`aria-invalid="true"`, `aria-describedby="f-weight-hint f-weight-wrong"`, "Read the scale again."} {
		if !strings.Contains(own, want) {
			t.Errorf("the wrong field lacks %s: %s", want, own)
		}
	}
	if other := render(t, ctx, Field(Input{Name: "county", Label: "County", Wrong: wrong})); strings.Contains(other, "scale") || strings.Contains(other, "aria-invalid") {
		t.Errorf("another field shows the error: %s", other)
	}
	if top := render(t, ctx, FormProblem(wrong, "weight", "county")); top != "" {
		t.Errorf("the form repeats a field's error: %s", top)
	}
	if top := render(t, ctx, FormProblem(wrong, "county")); !strings.Contains(top, "Read the scale again.") {
		t.Error("an error of no shown field must stand at the top of the form")
	}
}

func TestPINIsNeverShownAgain(t *testing.T) {
	if html := render(t, shopContext(t), PIN(Input{Name: "pin", Label: "PIN", Value: "4711"})); strings.Contains(html, "4711") {
		t.Error("the PIN came back in the page")
	}
}

func TestConditionSaysUnknownCodes(t *testing.T) {
	if got := render(t, shopContext(t), Condition("mystery")); !strings.Contains(got, "mystery") {
		t.Errorf("an unknown condition must be seen, got %s", got)
	}
}
