package hunter_test

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"
	"coldrail/web/hunter"
	"coldrail/web/messages"
	"coldrail/web/ui"
	"coldrail/web/webtest"
)

// host is a directory for a static host, filled from a shop's records.
type host struct {
	s     *webtest.Site
	dir   string
	pages *hunter.Pages
}

func openHost(t *testing.T, s *webtest.Site) *host {
	secret, err := s.Secret(t.Context(), "hunter links")
	must(t, err)
	set(t, s, `UPDATE shop SET phone = '607-555-0100'`)
	return &host{s, t.TempDir(), &hunter.Pages{DB: s.DB, Now: s.Now, Secret: secret}}
}

// publish brings the directory up to date, as the command does.
func (h *host) publish(t *testing.T) hunter.Kept {
	t.Helper()
	shop, err := h.s.DB.Shop(t.Context())
	must(t, err)
	files, err := h.pages.Published(ui.WithShop(t.Context(), messages.Shop(shop)), "http://coldrail.example/deer")
	must(t, err)
	folder, err := hunter.OpenFolder(h.dir)
	must(t, err)
	defer folder.Close()
	if _, err := hunter.OpenFolder(h.dir); err == nil {
		t.Error("two publish into one directory at once")
	}
	kept, err := folder.Hold(files)
	must(t, err)
	return kept
}

func (h *host) file(link string) string {
	return filepath.Join(h.dir, filepath.FromSlash(strings.TrimPrefix(link, "/")), "index.html")
}

func (h *host) read(t *testing.T, link string) string {
	t.Helper()
	text, err := os.ReadFile(h.file(link))
	must(t, err)
	return string(text)
}

// links counts the pages of links.
func (h *host) links(t *testing.T) int {
	found, err := filepath.Glob(filepath.Join(h.dir, "s", "*", "index.html"))
	must(t, err)
	return len(found)
}

var (
	headTags = regexp.MustCompile(`<link rel="stylesheet" href="([^"]+)"( media="print")?>`)
	asOf     = regexp.MustCompile(`our best word as of [^.]*\.`)
)

// words is a page without what may differ between a served and a finished one: where
// its style lies, and the moment.
func words(page string) string {
	return asOf.ReplaceAllString(headTags.ReplaceAllString(strings.ReplaceAll(page, ui.Joint, " "), ""), "")
}

// A file for each link, in the words of the served page; written again when something
// changed and only then; gone after pick-up and with a new link.
func TestPublish(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	h, home := openHost(t, s), s.Nobody(t)
	hung, boxed := s.HangDeer(t, 1, 1), s.BoxDeer(t, 2, 2)
	stranger := filepath.Join(h.dir, "s", "notes.html")
	must(t, os.MkdirAll(filepath.Dir(stranger), 0o755))
	must(t, os.WriteFile(stranger, []byte("mine"), 0o600))
	must(t, os.WriteFile(filepath.Join(h.dir, "404.html"), []byte("mine too"), 0o600))
	kept := h.publish(t)
	if h.links(t) != 2 || len(kept.Foreign) != 1 || kept.Foreign[0] != "404.html" || kept.Removed != 0 {
		t.Fatalf("%d pages, %+v", h.links(t), kept)
	}
	hungAt, boxedAt := path(t, s, hung), path(t, s, boxed)
	for _, at := range []string{hungAt, boxedAt} {
		page := h.read(t, at)
		if served := home.Get(at).Body; words(page) != words(served) || !asOf.MatchString(page) {
			t.Errorf("it differs from the served page:\n%s\n%s", words(page), words(served))
		}
		for _, style := range headTags.FindAllStringSubmatch(page, -1) {
			if _, err := os.Stat(filepath.Join(h.dir, strings.TrimPrefix(style[1], "/deer/"))); err != nil || !strings.HasPrefix(style[1], "/deer/static/") {
				t.Errorf("its style is not there: %v", err)
			}
		}
		if regexp.MustCompile(`(href|action)="/(s|")`).MatchString(page) || strings.Contains(page, "<form") || strings.Contains(page, "<script") {
			t.Error("it needs the server")
		}
	}
	robots, err := os.ReadFile(filepath.Join(h.dir, "robots.txt"))
	must(t, err)
	if string(robots) != "User-agent: *\nDisallow: /\n" {
		t.Errorf("robots.txt: %s", robots)
	}
	for _, index := range []string{"", "s"} {
		if page := h.read(t, index); !strings.Contains(page, "Nothing here") || !strings.Contains(page, "607-555-0100") || strings.Contains(page, `"/s`) {
			t.Errorf("index of %q: %s", index, page)
		}
	}

	h.changes(t, hung, boxed)
	if text, err := os.ReadFile(stranger); err != nil || string(text) != "mine" {
		t.Errorf("a stranger's file was touched: %q, %v", text, err)
	}
}

// changes follows one animal to its revocation and another home.
func (h *host) changes(t *testing.T, hung, boxed domain.ShopNumber) {
	t.Helper()
	s, ctx := h.s, t.Context()
	hungAt, boxedAt := path(t, s, hung), path(t, s, boxed)
	before, err := os.Stat(h.file(boxedAt))
	must(t, err)
	s.SetNow(dbtest.Noon.Add(time.Minute))
	if kept := h.publish(t); kept.Written != 0 || kept.Removed != 0 {
		t.Errorf("nothing happened: %+v", kept)
	}
	stage(t, s, hung, animal.OnTable)
	if kept := h.publish(t); kept.Written != 1 || !strings.Contains(h.read(t, hungAt), "It is on our table") {
		t.Errorf("one changed: %+v", kept)
	}
	if after, err := os.Stat(h.file(boxedAt)); err != nil || !os.SameFile(before, after) || !before.ModTime().Equal(after.ModTime()) {
		t.Errorf("the other was written again: %v", err)
	}
	must(t, s.NewLink(ctx, s.Act(s.Bob, dbtest.Noon), hung))
	if kept := h.publish(t); kept.Written != 1 || kept.Removed != 1 || path(t, s, hung) == hungAt {
		t.Errorf("a new link: %+v", kept)
	}
	if _, err := os.Stat(filepath.Dir(h.file(hungAt))); !os.IsNotExist(err) {
		t.Errorf("the revoked page is still there: %v", err)
	}
	h.read(t, path(t, s, hung))
	must(t, s.BillPart(ctx, s.Act(s.Bob, dbtest.Noon), boxed))
	_, err = s.Pay(ctx, s.Act(s.Bob, dbtest.Noon), boxed, 15000, "cash")
	must(t, err)
	all := leaves(boxed, 1)
	all.Boxes = append(all.Boxes, domain.BoxCode(boxed, 2))
	must(t, s.HandOver(ctx, s.Act(s.Bob, dbtest.Noon), boxed, all))
	if kept := h.publish(t); kept.Removed != 1 || h.links(t) != 1 {
		t.Errorf("picked up: %+v, %d left", kept, h.links(t))
	}
}

// A finished page says nothing of another owner, and of bad news no more than to call.
func TestPublishedPagesKeepToThemselves(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	h := openHost(t, s)
	beef, gone := s.SharedBeef(t, 1), s.HangDeer(t, 2, 2)
	s.Own(t, gone, "Dale Orrin", "607-555-0142")
	must(t, s.Bill(t.Context(), s.Act(s.Bob, dbtest.Noon), beef))
	set(t, s, `UPDATE animals SET physical = 'condemned', revision = revision + 1 WHERE number = $1`, gone)
	h.publish(t)
	if h.links(t) != 5 { // the whole beef, three shares, the deer
		t.Fatalf("%d pages", h.links(t))
	}
	a, err := s.Animal(t.Context(), beef)
	must(t, err)
	money := map[cutting.Portion]string{cutting.Left: "363.77", cutting.RightOne: "303.07", cutting.RightTwo: "424.25"} // by hand in TestBillIsPartedAmongShares
	for own := range money {
		page := html.UnescapeString(h.read(t, hunter.ShareLink("", h.pages.Secret, a.ID, own, a.LinkRevision)))
		for other, sum := range money {
			if strings.Contains(page, sum) != (other == own) {
				t.Errorf("the page of %s and the money of %s", own, other)
			}
		}
		for _, name := range []string{"Lena", "Marv", "Dot", "Orrin", "607-555-0142", string(gone)} {
			if strings.Contains(page, name) {
				t.Errorf("the page of %s says %q", own, name)
			}
		}
	}
	bad := h.read(t, path(t, s, gone))
	if !strings.Contains(bad, "Please call us about your deer.") || regexp.MustCompile(`condemned|cooler|\blb\b|\$|thrown`).MatchString(bad) {
		t.Errorf("bad news: %s", bad)
	}
	list, err := os.ReadFile(filepath.Join(h.dir, ".coldrail-published"))
	must(t, err)
	if strings.Contains(string(list), strings.TrimPrefix(path(t, s, gone), "/s/")) || strings.Contains(string(list), a.ID.String()) {
		t.Error("the list tells a link")
	}
	must(t, os.WriteFile(filepath.Join(h.dir, ".coldrail-published"), []byte("what is this\n"), 0o600))
	if _, err := hunter.OpenFolder(h.dir); err == nil || !strings.Contains(err.Error(), "cannot be read") {
		t.Errorf("a list that is none: %v", err)
	}
}
