package ui

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/static"

	"github.com/a-h/templ"
)

// The specimen is one page with every piece on it, to look at after a change:
//
//	go test ./web/ui -run Specimen -artifacts -outputdir /some/folder
//
// The tests below it read the same page.

var evening = time.Date(2026, time.November, 8, 0, 10, 0, 0, time.UTC) // Sat Nov 7, 7:10 pm in New York

func shopContext(t *testing.T) context.Context {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	ctx := WithShop(t.Context(), Shop{Name: "Millrace Custom Meats", Phone: "(555) 555-0142",
		Address: "18 Millrace Lane, Harlan Ford", Zone: zone})
	return WithHolder(ctx, Holder{Name: "June Abbot", Initials: "JA", Roles: []string{"counter"}})
}

// with puts children into a component, as a template's braces do.
func with(c templ.Component, children ...templ.Component) templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		return c.Render(templ.WithChildren(ctx, all(children...)), w)
	})
}

func all(parts ...templ.Component) templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		for _, part := range parts {
			if err := part.Render(templ.ClearChildren(ctx), w); err != nil {
				return err
			}
		}
		return nil
	})
}

func box(class string, parts ...templ.Component) templ.Component {
	return all(templ.Raw(`<div class="`+class+`">`), all(parts...), templ.Raw(`</div>`))
}

var raw = func(html string) templ.Component { return templ.Raw(html) }

func specimenLists(ctx context.Context) templ.Component {
	number := func(n int) domain.ShopNumber { return domain.NewShopNumber(26, n) }
	return all(
		with(Ledger("Needs a person now"),
			Line(LineView{Mark: raw("6:30 am"), Title: "The morning round of the big cooler was missed", Note: "Last walked yesterday, 6:41 pm by Ray", Href: "/round", Act: "Walk it now", Urgent: true}),
			Line(LineView{Mark: TagLink(number(98)), Title: "Stop and decide", Badge: Condition("stop"), Note: "Sour smell at the hip, 7:10 pm, June", Href: "/animals/x", Act: "Decide", Urgent: true}),
			Line(LineView{Mark: TagLink(number(147)), Title: "Whitetail, D. Marsh", Badge: Condition("past"), Note: "Day 15 of 14. Cut by Thu Nov 5.", Href: "/cutting", Act: "Cut it next"}),
			Line(LineView{Mark: TagLink(number(151)), Title: "Whitetail, P. Aldous", Badge: Held("test pending"), Note: "Sampled Nov 2; the laboratory has had it for 5 days", Phone: "607-555-0142", Href: "/animals/y", Act: "Chase"}),
			Line(LineView{Mark: raw("3"), Title: "Fields still owed from drop-off", Href: "/dropoff", Act: "Ask"}),
		),
		box("figures",
			Figure("61", "hanging", "of 80 places"),
			Figure("38.5 °F", "air in the big cooler", "10 minutes ago"),
			Figure("4", "ready to cut", ""),
			Figure("$188.00", "balance", "deposit $40.00 taken")),
		box("columns",
			box("card", raw("<h2>26-0147-3</h2>"), with(Facts(), FactText("Owner", "D. Marsh"), FactText("Hanging weight", "88.5 lb"), with(Fact("Meat"), Temperature(domain.Fahrenheit(36.4), false)), with(Fact("Air"), Temperature(domain.Fahrenheit(43.1), true)))),
			box("card", raw("<h2>The way of a deer</h2>"), Steps([]Step{{Label: "Hung", Note: "Nov 7", Done: true}, {Label: "Aging", Note: "day 6 of 7 to 14", Now: true}, {Label: "Cut"}, {Label: "Freezer"}, {Label: "Handed over"}}))),
		TimeLine([]Entry{{At: evening, What: "Hung in the big cooler, rail 2", Who: "Ray"}, {At: evening.Add(-time.Hour), What: "Hanging weight 88.5 lb", Who: "June", Note: "was 85.5 lb: read off the wrong line"}}),
		Empty("Nothing waits on the skinning rail."),
		raw(`<div class="table-scroll"><table><caption>Packs</caption><thead><tr><th>Cut</th><th class="num">Packs</th><th class="num">Weight</th></tr></thead><tbody><tr><td>Backstrap, 1 in chops</td><td class="num">6</td><td class="num">5.2 lb</td></tr><tr><td>Ground, 15 % pork fat</td><td class="num">18</td><td class="num">19.4 lb</td></tr><tr class="total"><th>All</th><td class="num">24</td><td class="num">24.6 lb</td></tr></tbody></table></div>`),
		with(Sums("The sums"), raw(`<p class="formula">F = 1 − exp(−D / 5.4) = 0.83</p>`), Caution(ModelCaution(ctx))),
		Caution(ReadinessCaution(ctx)), Caution(RoomCaution(ctx)), raw(`<p class="say-aloud">“Your deer is hanging well. We expect to cut it between Thursday and Saturday.”</p>`),
	)
}

func specimenRail() templ.Component {
	hang := func(n, days int, cond string, held bool) templ.Component {
		return HangTag(Hung{Number: domain.NewShopNumber(26, n), Days: days, Condition: cond, Held: held, Hook: ""})
	}
	return all(with(Rail("Rail 1", "room for 2 deer", .45),
		hang(98, 6, "stop", false), hang(101, 9, "look", false), hang(147, 3, "cut-first", false), hang(148, 1, "chilling", false), hang(149, 15, "past", true),
		Gap(2, "room for 2 deer"), hang(152, 8, "ready", false), hang(153, 7, "nearly", false), hang(154, 4, "hanging", true),
		HangTag(Hung{Number: domain.NewShopNumber(26, 160), Days: 12, Condition: "hanging", Part: "left fore quarter", Hook: "hook 14"})),
		PatternKey(), box("row", Tag("26-0147-3"), TagLink("26-0148-1"), BigTag("26-0147-3"), Condition("stop"), Held("test pending")))
}

func specimenForm() templ.Component {
	wrong := domain.Wrong("weight", "%s lb is more than a whitetail weighs. Read the scale again.", "885")
	return all(FormProblem(domain.Refuse("stop", "This one is stopped. The lead decides first."), "weight"), raw(`<form class="form" method="post">`), Hidden("once", "0b1c"),
		Field(Input{Name: "number", Label: "Number on the tag", Kind: "scan", Hint: "Scan it, or type all seven digits", Value: "26-0147-3"}),
		Field(Input{Name: "weight", Label: "Hanging weight", Kind: "decimal", Unit: "lb", Value: "885", Wrong: wrong}),
		Field(Input{Name: "county", Label: "County of kill", Known: []string{"Harlan", "Ford"}, Value: "Harlan"}),
		Select(Input{Name: "state", Label: "State of kill"}, []Option{{Value: "A", Label: "Alder"}, {Value: "B", Label: "Birch"}}),
		Choice(Input{Name: "species", Label: "What is it?", Value: "whitetail"}, []Option{{Value: "whitetail", Label: "Whitetail"}, {Value: "elk", Label: "Elk"}, {Value: "beef", Label: "Beef", Note: "custom slaughter only"}, {Value: "bear", Label: "Bear", Note: "not this season", Off: true}}),
		Ticks(Input{Name: "keep", Label: "What to keep"}, []Option{{Value: "hide", Label: "Hide"}, {Value: "head", Label: "Head"}, {Value: "cape", Label: "Cape"}}, []string{"head"}),
		Check(Input{Name: "rush", Label: "Rush", Hint: "cut within two days, $40.00"}, false), PIN(Input{Name: "pin", Label: "Your PIN"}),
		TextArea(Input{Name: "note", Label: "Anything else", Value: "Shot at dusk, found at dawn"}, 3),
		Submit("Hang it"), raw(`</form>`), box("row", ActButton("/x", "Start cutting", "primary"), ActButton("/x", "Put it back", "quiet"), ActButton("/x", "Condemn part", "danger"), PrintLink("/print/tag/26-0147-3", "Print the tag")),
		raw(`<form method="post">`), Names("who", []Option{{Value: "1", Label: "June Abbot", Note: "counter"}, {Value: "2", Label: "Ray Tull", Note: "cooler, cutting"}, {Value: "3", Label: "Sam Oday", Note: "until Dec 1", Off: true}}), raw(`</form>`))
}

// specimen is the page. Every class a template of this package writes is on it.
func specimen(t *testing.T, big bool) (context.Context, string) {
	ctx := At(shopContext(t), "/rail/move")
	page := with(Layout(Page{Title: "Every piece", Note: "Saturday, two coolers, 61 hanging", Wide: true, Big: big, Tools: PrintLink("/print", "Print")}),
		specimenLists(ctx), specimenRail(), specimenForm(), box("columns", with(Notice(false), raw("<h2>Sent</h2><p>Text sent to the owner.</p>")), problemLines(domain.Taken("Ray hung 26-0101-1 there at 7:05 pm. Choose another hook."), "")))
	return ctx, render(t, ctx, page)
}

func render(t *testing.T, ctx context.Context, c templ.Component) string {
	t.Helper()
	var b strings.Builder
	if err := c.Render(ctx, &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestSpecimen(t *testing.T) {
	ctx, html := specimen(t, false)
	_, big := specimen(t, true)
	pages := map[string]string{"specimen": html, "big": big,
		"plain":   render(t, ctx, with(Plain("Who are you?"), specimenForm())),
		"public":  render(t, ctx, with(Public("Your deer"), BigTag("26-0147-3"), Steps([]Step{{Label: "Hung", Done: true}, {Label: "Aging", Now: true}}))),
		"sheet":   render(t, ctx, with(Sheet("Tag", "/rail"), specimenSheet())),
		"problem": render(t, ctx, problemPage(domain.As(io.ErrUnexpectedEOF), "a7/000123")),
	}
	css := readFile(t, "../../static/css/coldrail.css") + readFile(t, "../../static/css/print.css")
	for name, page := range pages {
		t.Run(name, func(t *testing.T) {
			if err := os.WriteFile(filepath.Join(t.ArtifactDir(), name+".html"), []byte(page), 0o644); err != nil {
				t.Fatal(err)
			}
			checkPolicy(t, page)
			checkIDs(t, page)
			checkClasses(t, page, css)
		})
	}
}

func specimenSheet() templ.Component {
	return all(raw(`<section class="sheet sheet-4x6"><div class="sheet-hole"></div><div class="sheet-head"><strong>Millrace Custom Meats</strong><span>(555) 555-0142</span></div><div class="sheet-number"><small>26-</small>0147<small>-3</small></div>`),
		with(Facts(), FactText("Animal", "Whitetail, mature"), FactText("Hung", "Sat Nov 7, 7:10 pm")), Condition("nearly"), Held("test pending"), Caution("Not inspected. Not for sale."), raw(`</section>`))
}

func readFile(t *testing.T, name string) string {
	t.Helper()
	content, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// The content policy is script-src 'self'; style-src 'self': an inline style or
// script would be dropped by the browser without a word.
func checkPolicy(t *testing.T, page string) {
	t.Helper()
	page = strings.Replace(page, "<style>"+static.OwnersStyle+"</style>", "", 1) // the one that its hash lets stand
	for _, bad := range []string{`\sstyle=`, `<style`, `\son[a-z]+=`, `<script[^>]*>[^<]`, `javascript:`} {
		if found := regexp.MustCompile(bad).FindString(page); found != "" {
			t.Errorf("%q breaks the content policy", found)
		}
	}
}

// An id must be alone on its page, or a label points at the wrong field.
func checkIDs(t *testing.T, page string) {
	t.Helper()
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if seen[m[1]] {
			t.Errorf("id %q is on the page twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`\s(?:for|aria-describedby|list)="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		for id := range strings.FieldsSeq(m[1]) {
			if !seen[id] {
				t.Errorf("%q is pointed at and does not exist", id)
			}
		}
	}
	if len(seen) == 0 {
		t.Error("the page has no ids at all: this test saw nothing")
	}
}

// A class that no stylesheet knows is a misspelling or a leftover.
func checkClasses(t *testing.T, page, css string) {
	t.Helper()
	known := map[string]bool{}
	for _, m := range regexp.MustCompile(`\.(-?[a-zA-Z_][\w-]*)`).FindAllStringSubmatch(css, -1) {
		known[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`\sclass="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		for class := range strings.FieldsSeq(m[1]) {
			if !known[class] {
				t.Errorf("class %q is in no stylesheet", class)
			}
		}
	}
}
