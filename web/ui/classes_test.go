package ui

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	selector  = regexp.MustCompile(`\.(-?[a-zA-Z_][\w-]*)`)
	comment   = regexp.MustCompile(`(?s)/\*.*?\*/`)
	ruleBody  = regexp.MustCompile(`\{[^{}]*\}`)
	written   = regexp.MustCompile(`class=\\?"([\w\s-]*)\\?"`)
	computed  = regexp.MustCompile(`class=\{([^}]*)\}`)
	quoted    = regexp.MustCompile(`"([\w\s-]+)"`)
	className = regexp.MustCompile(`[a-zA-Z_][\w-]*`)
)

// families are the classes whose names are put together as a page is drawn; the
// beginning alone stands in the code.
var families = regexp.MustCompile(`^(u\d+|cond-[a-z-]+|label-(4x6|pack)|sheet-(4x6|letter|pack)|scale-(mm-)?\d+|kept-[a-z]+|htmx-request)$`)

// Every class a page writes is in a stylesheet, and every class of a stylesheet is
// written by some page: a rule nobody uses is read by every phone all the same.
func TestEveryClassIsKnownAndUsed(t *testing.T) {
	css := comment.ReplaceAllString(readFile(t, "../../static/css/coldrail.css")+readFile(t, "../../static/css/print.css"), "")
	css = ruleBody.ReplaceAllString(css, " ") // the selectors alone: what stands in braces has dots of its own
	known := map[string]bool{}
	for _, m := range selector.FindAllStringSubmatch(css, -1) {
		known[m[1]] = true
	}
	used, said := map[string]bool{}, map[string]string{}
	for _, file := range sources(t) {
		source := readFile(t, file)
		for _, word := range className.FindAllString(source, -1) {
			used[word] = true
		}
		for _, class := range classesOf(source) {
			said[class] = file
		}
	}
	if len(known) < 200 || len(said) < 150 {
		t.Fatalf("%d classes in the stylesheets, %d in the pages: this test saw nothing", len(known), len(said))
	}
	for class, file := range said {
		if !known[class] && !strings.HasSuffix(class, "-") {
			t.Errorf("%s writes class %q, which is in no stylesheet", file, class)
		}
	}
	for class := range known {
		if !used[class] && !families.MatchString(class) {
			t.Errorf("no page writes class %q of the stylesheets", class)
		}
	}
}

// classesOf lists the classes that a page's source names.
func classesOf(source string) (classes []string) {
	for _, m := range written.FindAllStringSubmatch(source, -1) {
		classes = append(classes, strings.Fields(m[1])...)
	}
	for _, m := range computed.FindAllStringSubmatch(source, -1) {
		one := regexp.MustCompile(`[!=]= "[^"]*"`).ReplaceAllString(m[1], "")
		for _, q := range quoted.FindAllStringSubmatch(one, -1) {
			classes = append(classes, strings.Fields(q[1])...)
		}
	}
	return classes
}

// sources are the files that write pages: templates, Go beside them, our scripts.
func sources(t *testing.T) (files []string) {
	t.Helper()
	for _, root := range []string{"..", "../../static/js"} {
		err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			generated := strings.HasSuffix(path, "_templ.go") || strings.HasSuffix(path, "_test.go")
			if err == nil && !d.IsDir() && !generated && slices.Contains([]string{".templ", ".go", ".js"}, filepath.Ext(path)) {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return files
}
