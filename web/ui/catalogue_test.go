package ui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// sentenceAt is which argument of a call is a sentence for a person.
var sentenceAt = map[string]int{"sign": 4, "weightRead": 7, "readTime": 4, "T": 1, "Say": 0, "Wrong": 1, "Refuse": 1, "Missing": 0, "Taken": 0, "say": 0}

// Every sentence of the program is there in Spanish, with the same values in it,
// and nothing is kept that nobody says any more.
func TestEverySentenceIsSpanishToo(t *testing.T) {
	said, literals := sentences(t)
	if len(said) < 3000 {
		t.Fatalf("only %d sentences found: they were not looked for rightly", len(said))
	}
	spanish := Spanish()
	for english, where := range said {
		other, ok := spanish[english]
		switch {
		case !ok || strings.TrimSpace(other) == "":
			t.Errorf("%s: %q is not said in Spanish", where, english)
		case !maps.Equal(values(english), values(other)):
			t.Errorf("%s: %q has other values in it than %q", where, english, other)
		}
	}
	for english := range spanish {
		if !literals[english] {
			t.Errorf("%q is said in Spanish and nowhere in English", english)
		}
	}
	for english := range singulars {
		if !literals[english] {
			t.Errorf("%q has its words for one and is said nowhere", english)
		}
		if spanishSingulars[english] == "" {
			t.Errorf("%q has no Spanish for one of it", english)
		}
	}
}

// values are the verbs of a sentence by the number of the value they write.
func values(sentence string) map[int]string {
	verbs, next := map[int]string{}, 0
	for _, v := range verb.FindAllString(sentence, -1) {
		if v == "%%" {
			continue
		}
		next++
		if _, rest, ok := strings.Cut(v, "["); ok {
			number, _, _ := strings.Cut(rest, "]")
			next, _ = strconv.Atoi(number)
			v = strings.Replace(v, "["+number+"]", "", 1)
		}
		verbs[next] += v
	}
	return verbs
}

// sentences reads the program: what its calls say, and where, and every text in it.
func sentences(t *testing.T) (said map[string]string, literals map[string]bool) {
	t.Helper()
	said, literals = map[string]string{}, map[string]bool{}
	for _, dir := range []string{"cmd", "db", "domain", "web"} {
		err := filepath.WalkDir(filepath.Join("..", "..", dir), func(path string, d fs.DirEntry, err error) error {
			catalogue := slices.Contains([]string{"catalogue.go", "spanish.go"}, d.Name()) // a key there says nothing by itself
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || catalogue {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				return err
			}
			own := !strings.Contains(path, "demo/") && !strings.Contains(path, "test/")
			ast.Inspect(file, func(n ast.Node) bool {
				if e, ok := n.(ast.Expr); ok {
					if text, ok := literal(e); ok {
						literals[text] = true
					}
				}
				if call, ok := n.(*ast.CallExpr); ok && own {
					if text, ok := sentence(call, dir); ok {
						said[text] = filepath.Base(path)
					}
				}
				if look, ok := n.(*ast.IndexExpr); ok && own && dir == "web" && filepath.Base(path) != "chart.go" { // whose tables name classes
					for _, word := range lookedUp(look) {
						said[word] = filepath.Base(path)
					}
				}
				if spec, ok := n.(*ast.ValueSpec); ok && own {
					for _, word := range tabled(spec) {
						said[word] = filepath.Base(path)
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return said, literals
}

// wordTypes are kinds of words that are said as they stand in the code.
var wordTypes = []string{"Smell", "Surface", "Site", "Colour"}

// tabled are the words of a table that calls say by its key: each table of them is
// named for its words, and the words are its values.
func tabled(spec *ast.ValueSpec) (words []string) {
	if kind, ok := spec.Type.(*ast.Ident); ok && slices.Contains(wordTypes, kind.Name) {
		return texts(spec.Values...)
	}
	if name := spec.Names[0].Name; !strings.HasSuffix(name, "Words") && !slices.Contains([]string{"questions", "fieldMeans", "CallUs"}, name) {
		return nil
	}
	for _, value := range spec.Values {
		words = append(words, texts(value)...)
	}
	return words
}

// lookedUp are the words of a table that stands where it is asked.
func lookedUp(look *ast.IndexExpr) []string {
	table, ok := look.X.(*ast.CompositeLit)
	if !ok {
		return nil
	}
	kind, ok := table.Type.(*ast.MapType)
	if !ok {
		return nil
	}
	if value, ok := kind.Value.(*ast.Ident); !ok || value.Name != "string" {
		return nil
	}
	return texts(table.Elts...)
}

// texts are the texts of some expressions; of a pair that of its value.
func texts(list ...ast.Expr) (found []string) {
	for _, e := range list {
		switch e := e.(type) {
		case *ast.KeyValueExpr:
			found = append(found, texts(e.Value)...)
		case *ast.CompositeLit:
			found = append(found, texts(e.Elts...)...)
		default:
			if text, ok := literal(e); ok && text != "" {
				found = append(found, text)
			}
		}
	}
	return found
}

// sentence is the text a call says to a person.
func sentence(call *ast.CallExpr, dir string) (string, bool) {
	name := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	at, ok := sentenceAt[name]
	if !ok || at >= len(call.Args) || name == "say" && dir != "domain" { // a line on the terminal is for no screen
		return "", false
	}
	return literal(call.Args[at])
}

func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			text, err := strconv.Unquote(e.Value)
			return text, err == nil
		}
	case *ast.BinaryExpr:
		left, ok := literal(e.X)
		right, and := literal(e.Y)
		return left + right, ok && and && e.Op == token.ADD
	}
	return "", false
}
