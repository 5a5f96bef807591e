package ageing

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Every sentence the package's own text can give as a reason or an assumption
// has a source, and every source has its sentence. The text is read, so that a
// new reason without a source fails here even where no test makes Judge say it.
func TestEveryReasonHasItsSource(t *testing.T) {
	said := sentences(t)
	if len(said) < 30 {
		t.Fatalf("only %d sentences found: this test would see little", len(said))
	}
	for format, where := range said {
		source := sources[format].Format
		if source == "" {
			t.Errorf("%s: %q has no source", where, format)
		} else if !slices.ContainsFunc([]string{"ommon practice, no source", "19", "20", "FSIS", "The lead's own"}, func(s string) bool { return strings.Contains(source, s) }) {
			t.Errorf("%q: %q names no year, no body and not common practice", format, source)
		}
	}
	for format := range sources {
		if said[format] == "" {
			t.Errorf("nothing says %q any more", format)
		}
	}
}

// sentences are the formats given to say and, outside of names and briefs, to
// domain.Say, each with where it stands.
func sentences(t *testing.T) map[string]string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	said, set := map[string]string{}, token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls { // what stands outside a function are labels and the sources
			if f, ok := d.(*ast.FuncDecl); ok && !slices.Contains([]string{"Words", "Brief", "briefReady", "say"}, f.Name.Name) {
				ast.Inspect(f, func(n ast.Node) bool { keepSentence(t, said, set, n); return true })
			}
		}
	}
	return said
}

func keepSentence(t *testing.T, said map[string]string, set *token.FileSet, n ast.Node) {
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) == 0 {
		return
	}
	if f, ok := call.Fun.(*ast.SelectorExpr); !ok || f.Sel.Name != "say" && f.Sel.Name != "Say" {
		return
	}
	where := set.Position(call.Pos()).String()
	text, ok := call.Args[0].(*ast.BasicLit)
	if !ok {
		t.Errorf("%s: a sentence that is not written out cannot have a source", where)
		return
	}
	format, err := strconv.Unquote(text.Value)
	if err != nil {
		t.Fatal(err)
	}
	said[format] = where
}
