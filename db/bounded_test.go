package db_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// oneThing is a condition that a list of one thing's own rows has: one animal, one
// batch, one round, or those that were named.
var oneThing = regexp.MustCompile(`(?i)\bLIMIT\b|= ANY \(|\b(animal_id|batch_id|order_id|round_id|person_id|ice_check_id|b\.id|a\.id|a\.number|r\.id|i\.id) = \$|DISTINCT ON \(p\.key\)`)

// fewByNature are queries without a LIMIT that cannot grow with the seasons, by the
// function they stand in, each with what bounds it.
var fewByNature = map[string]string{
	"wordings":      "one for each kind of message",
	"roomRecords":   "the rooms of the shop",
	"Coolers":       "the rooms of the shop",
	"Rails":         "at most 80 rails a room, see HangMoreRails",
	"HangMoreRails": "at most 80 rails a room, it refuses more",
	"markMissed":    "each open round is closed once; a minute's watch finds the few of that minute",
	"readingsAfter": "one room's air of the last roomDays, which the models need whole",
	"keptAround":    "the hours around each reading of one post, at most logger.MostPosted of them",
	"looks":         "its two callers write the LIMIT",
	"RoomSeries":    "a LIMIT in its own constant",
}

// Every list that is read has an end (OWASP ASVS 5.0, V15.2 and V2.4): its SQL has a
// LIMIT, or asks for one thing's own rows, or stands above with what else bounds it.
func TestEveryListIsBounded(t *testing.T) {
	files := token.NewFileSet()
	parsed := ourFiles(t, files)
	texts, used, read := map[string]ast.Expr{}, map[string]bool{}, 0
	for _, f := range parsed {
		for _, d := range f.Decls {
			if g, ok := d.(*ast.GenDecl); ok {
				for _, s := range g.Specs {
					if v, ok := s.(*ast.ValueSpec); ok && len(v.Values) == len(v.Names) {
						for i, n := range v.Names {
							texts[n.Name] = v.Values[i]
						}
					}
				}
			}
		}
	}
	for _, f := range parsed {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Body == nil || fn.Name.Name == "all" || fn.Name.Name == "queueAll" {
				continue
			}
			ast.Inspect(fn.Body, func(n ast.Node) bool {
				sql, is := listSQL(n, texts)
				if !is {
					return true
				}
				read++
				if oneThing.MatchString(sql) {
					return true
				}
				if fewByNature[fn.Name.Name] == "" {
					t.Errorf("%s: %s reads a list without an end: %.200s", files.Position(n.Pos()), fn.Name.Name, strings.Join(strings.Fields(sql), " "))
				}
				used[fn.Name.Name] = true
				return true
			})
		}
	}
	for name := range fewByNature {
		if !used[name] {
			t.Errorf("%s is listed and needs no excuse", name)
		}
	}
	if read < 150 {
		t.Errorf("only %d lists found: this test no longer sees them", read)
	}
}

// ourFiles are the files of this package, without its tests.
func ourFiles(t *testing.T, files *token.FileSet) (list []*ast.File) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(files, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, f)
	}
	return list
}

// listSQL is the SQL of a call that reads a list; is tells whether n is one.
func listSQL(n ast.Node, texts map[string]ast.Expr) (sql string, is bool) {
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) < 3 {
		return "", false
	}
	fun := call.Fun
	if generic, ok := fun.(*ast.IndexExpr); ok {
		fun = generic.X
	}
	name, ok := fun.(*ast.Ident)
	if !ok || name.Name != "all" && name.Name != "queueAll" {
		return "", false
	}
	return written(call.Args[2], texts), true
}

// written puts a text together from its pieces and the package's own constants.
func written(e ast.Expr, texts map[string]ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, _ := strconv.Unquote(e.Value)
		return text
	case *ast.BinaryExpr:
		return written(e.X, texts) + written(e.Y, texts)
	case *ast.Ident:
		if of, ok := texts[e.Name]; ok {
			return written(of, texts)
		}
	}
	return ""
}
