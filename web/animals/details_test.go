package animals

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/domain/message"
	"coldrail/domain/register"
	"coldrail/domain/round"
	"coldrail/web/ui"
)

// elsewhere are the acts of the shop as a whole, which stand on no animal's time
// line, and the functions that write of a room, of the shop or of nothing at all.
var elsewhere = strings.Fields(`
	add-thermometer batch begin-prices blank book build-room change-shop change-staff check-printer choose-language choose-number clean-out
	close-day count-bay count-tubs crew deliver discard drop-booking drop-price end-rule found-in-bay give-password give-pin haul-off hire
	ice-check leave-prices look-again make-scale open-day prices probe programme raise-notice recount-drawer refuse retire-thermometer
	revoke-scale rule rule-for-all set-alarms set-answers set-backups set-fetching set-hours set-messages set-piece-clocks set-price
	set-storage tax test-alarm turn-away visit visit-ended visit-shown word-message write-rule
	Round.detail CrewDay.detail Staff.told DB.PutRight DB.SeeRight DB.SwitchIntake`)

// bare are the texts that go into a detail as they are: each is a number, a code, the
// name of a thing of the shop or of a place in it, and none is what a person typed to
// explain an act. That may hold a name, which nothing can take out of the time line:
// it goes into line.Why, where it is blanked with the names.
var bare = strings.Fields(`
	animals=b.Animals added=l.Kind mark=l.Mark packsinall=f.Packs packs=packs batch=b.Number as=as packs=m.Count line=p.Cut frombox=p.Box tobox=m.Box
	box=n from=b.Place place=spots[at].Room+""+spots[at].Name line=g.What said=how way=way outcome=outcome door=d.door() room=i.Label place=place
	piece=cutting.PieceName(number,mark) where=place piece=m.mark known_by=k.KnownBy barrel=tidy(s.Barrel) how=how mould=mould machine=name kind=f.Kind way=p.Way
	receipt=p.Receipt went=to label=p.What labels=p.Labels programme=name fromversion=m.Was toversion=m.ToVersion went=p.GoneTo wasinbarrel=was.Barrel
	quarters=strings.Join(quarters,"") way=r.TellBy no_texts=r.NoTexts no_mail=r.NoMails lab=n.Lab elsewhere=n.Elsewhere result=r.Word scale=r.Scale
	marks=strings.Join(words,";") orderversion=version tag_is=s.To version=t.version bywayof=t.Source days=t.Days.Settled
	daystheownerwanted=t.Days.Wanted cut=w.Cut packs=w.Count kind=t.Kind allweighed=f.AllWeighed killed=written killed_was=before`)

// plain are names whose value is a number of the shop or of the state, not a code.
var plain = []string{"tag read", "carcass", "card", "number", "left-there", "instead of"}

// written is one detail as package db writes it.
type written struct {
	name, where string
	value       ast.Expr
}

// Every act that stands on an animal's time line has words, each of its details too,
// and each code among them. All are found in the source of package db, so that a new
// one cannot be forgotten; nor are words kept for what nobody writes any more.
func TestEveryDetailHasWords(t *testing.T) {
	acts, details := readActs(t)
	for act, where := range acts {
		if whatWords[act] == "" {
			t.Errorf("%s: the act %q has no words", where, act)
		}
	}
	used := map[string]bool{"why": true} // what was typed: kept beside the time line, where it can be blanked
	for act, name := range typedAs {
		if used[name] = true; whatWords[act] == "" {
			t.Errorf("what was typed with %q has a name and there is no such act", act)
		}
	}
	as := map[string]bool{}
	for _, w := range details {
		d, known := detailWords[w.name]
		used[w.name] = true
		if text := asItIs(w); text != "" {
			if as[text] = true; !slices.Contains(bare, text) {
				t.Errorf("%s: %s is not listed: what a person typed goes into line.Why, never into a detail", w.where, text)
			}
		}
		switch code, call := codeOf(w.value); {
		case !known:
			t.Errorf("%s: the detail %q has no words", w.where, w.name)
		case strings.HasSuffix(call, "Words.String"):
			t.Errorf("%s: the detail %q is kept in English: keep its code, or the sentence by Kept", w.where, w.name)
		case code != "" && d.words(t.Context(), code) == code && !worded(code):
			t.Errorf("%s: the code %q of %q has no words", w.where, code, w.name)
		case call == "string" && d.said == nil && d.by == nil && !slices.Contains(plain, w.name):
			t.Errorf("%s: %q is written as a code and has no words for its codes", w.where, w.name)
		}
	}
	for name := range detailWords {
		if !used[name] {
			t.Errorf("%q has words and no act writes it", name)
		}
	}
	for _, text := range bare {
		if !as[text] {
			t.Errorf("%s is listed and no act writes it", text)
		}
	}
	if len(acts) < 60 || len(details) < 120 {
		t.Errorf("only %d acts and %d details found: they were not looked for rightly", len(acts), len(details))
	}
}

// asItIs is a detail whose value goes in as it is, written without blanks; "" where code
// makes the value: a number, yes or no, a code of the domain, a sentence kept.
func asItIs(w written) string {
	code, call := codeOf(w.value)
	_, not := w.value.(*ast.UnaryExpr)
	_, number := w.value.(*ast.StarExpr)
	made := strings.Fields("len round3 float64 string Kept String Format detail numbers names")
	said := types.ExprString(w.value)
	if code != "" || not || number || said == "true" || slices.Contains(made, call[strings.LastIndex(call, ".")+1:]) {
		return ""
	}
	return strings.ReplaceAll(w.name+"="+said, " ", "")
}

// worded says whether an English word is there in Spanish.
func worded(english string) bool { return ui.Spanish()[english] != "" }

// Each code that the domain knows of comes out in Spanish.
func TestEveryCodeHasWords(t *testing.T) {
	ctx := ui.InLanguage(ui.WithShop(t.Context(), ui.Shop{}), "es-US")
	fields := make([]string, len(register.Fields))
	for i, f := range register.Fields {
		fields[i] = f.Name
	}
	custody := []string{"on-carcass", "on-card", "with-boxes", "returned", "lost"}
	for name, codes := range map[string][]string{
		"species": texts(domain.AllSpecies), "form": texts(domain.Forms), "smell": texts(round.Smells), "surface": texts(round.Surfaces),
		"decision": texts(round.Decisions), "for": texts(hold.Kinds), "of": texts(hold.Kinds), "by way of": db.OrderSources, "kind": append([]string{"card", "carcass"}, db.TrimKinds...),
		"line": db.TrimKinds, "what": texts(cutting.PieceKinds), "about": texts(message.Kinds()), "way": {"call", "text", "e-mail", "mail", "cash", "check", "card", "other"},
		"outcome": {"spoke", "left word", "no answer", "busy", "sent", "failed"}, "tag_is": custody, "fields": fields, "result": {db.LabNotDetected, db.LabDetected, db.LabUnsuitable},
		"place":     db.Places,
		"read":      {string(hold.AgencySite), string(hold.AgencyLetter), string(hold.LabReport), string(hold.AgencyCall), string(hold.OwnerSays)},
		"collector": {string(animal.ByOwner), string(animal.ByName), string(animal.ByStub)}, "how": {"mail", "certified"}, "known_by": {"teeth", "papers"},
		"went": {cutting.GonePacked, cutting.GoneBatch, cutting.GoneOwner, cutting.GoneTaxidermist, cutting.GoneSampler, cutting.GoneDiscarded},
		"was":  {string(db.BatchOpen), string(db.BatchMixed), string(db.BatchFinished), string(db.BatchGiven), string(db.BatchDestroyed)},
		"said": {"call", "text", "in person"}, "product": texts(batch.Products), "label": {"pack", "box", "tag", "piece"},
	} {
		for _, code := range codes {
			english, spanish := detailWords[name].words(t.Context(), code), detailWords[name].words(ctx, code)
			if !worded(english) || spanish != ui.Spanish()[english] {
				t.Errorf("%s %q is %q in Spanish", name, code, spanish)
			}
		}
	}
	for _, line := range animal.DoorLines {
		for _, g := range animal.Grades {
			if said := detailWords["door-"+string(line)].words(ctx, string(g)); said == string(g) {
				t.Errorf("%s: %q has no Spanish", line, g)
			}
		}
	}
	for _, act := range []string{string(animal.Receive), string(animal.Hang), string(hold.Move), "deposit", "pay", "refund",
		"sign-" + string(ageing.OwnerLine), "sign-" + string(ageing.LeadExtend), "sign-" + string(ageing.LeadWeekly), "sign-" + string(ageing.LeadEnd)} {
		if whatWords[act] == "" {
			t.Errorf("the act %q has no words", act)
		}
	}
}

func texts[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = string(v)
	}
	return out
}

// Details as they stand in the records, in words.
func TestDetailsInWords(t *testing.T) {
	english := ui.WithShop(t.Context(), ui.Shop{})
	spanish := ui.InLanguage(english, "es-US")
	for _, tt := range []struct {
		left   map[string]any
		en, es string
	}{
		{map[string]any{"smell": "sulphur", "note": "clean", "mould": []any{domain.Say("%s: %s, %s", round.SiteRibs.Words(), round.White.Words(), "1 mm").Kept()}},
			"mold: inside the ribs: white, 1 mm; note: clean; smell: rotten eggs", "moho: dentro de las costillas: blanco, 1 mm; nota: clean; olor: huevo podrido"},
		{map[string]any{"frozen": true, "not out": false, "stays": domain.Say("%d of %d boxes", 1, 3).Kept()}, "frozen; stays here: 1 of 3 boxes", "congelado; se queda aquí: 1 de 3 cajas"},
		{map[string]any{"day": "2026-11-20", "packs": 12.0, "fields": []any{"taker", "killed"}}, "day: Fri Nov 20; fields: Killed by, Killed on; packs: 12", "día: vie 20 nov; datos: Lo mató, Fecha en que se mató; paquetes: 12"},
		{map[string]any{"never heard of": "x %d"}, "never heard of: x %d", "never heard of: x %d"},
	} {
		if got := strings.Join(details(english, tt.left), "; "); got != tt.en {
			t.Errorf("%q, want %q", got, tt.en)
		}
		if got := strings.Join(details(spanish, tt.left), "; "); got != tt.es {
			t.Errorf("%q, want %q", got, tt.es)
		}
	}
}

// readActs finds in package db which acts stand on an animal's time line, and what
// they leave there.
func readActs(t *testing.T) (acts map[string]string, details []written) {
	t.Helper()
	acts = map[string]string{}
	names, err := filepath.Glob("../../db/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, decl := range file.Decls {
			fn, ok := decl.(*ast.FuncDecl)
			if !ok || fn.Body == nil || slices.Contains(elsewhere, nameOf(fn)) {
				continue
			}
			own, others := lines(fn)
			for _, act := range own {
				acts[act] = nameOf(fn)
			}
			if len(own) > 0 || others == 0 {
				details = append(details, leftBy(fn)...)
			}
		}
	}
	return acts, details
}

func nameOf(fn *ast.FuncDecl) string {
	if fn.Recv == nil {
		return fn.Name.Name
	}
	kind := fn.Recv.List[0].Type
	if star, ok := kind.(*ast.StarExpr); ok {
		kind = star.X
	}
	return kind.(*ast.Ident).Name + "." + fn.Name.Name
}

// lines are the acts a function writes on an animal's time line, and how many it
// writes of a room or of the shop. An act named by a constant counts and has no name.
func lines(fn *ast.FuncDecl) (own []string, others int) {
	ast.Inspect(fn.Body, func(n ast.Node) bool {
		lit, ok := n.(*ast.CompositeLit)
		if !ok || len(lit.Elts) == 0 {
			return true
		}
		if kind, ok := lit.Type.(*ast.Ident); !ok || kind.Name != "line" {
			return true
		}
		act, room := "", false
		for _, e := range lit.Elts {
			pair := e.(*ast.KeyValueExpr)
			switch pair.Key.(*ast.Ident).Name {
			case "Cooler":
				room = true
			case "What":
				act, _ = codeOf(pair.Value)
			}
		}
		switch {
		case room || slices.Contains(elsewhere, act):
			others++
		case act != "":
			own = append(own, act)
		}
		return true
	})
	return own, others
}

// leftBy are the details a function writes: in maps, by name into one, and after a
// batch's own name.
func leftBy(fn *ast.FuncDecl) (list []written) {
	add := func(key, value ast.Expr) {
		names := []string{}
		switch k := key.(type) {
		case *ast.BasicLit:
			name, _ := strconv.Unquote(k.Value)
			names = append(names, name)
		case *ast.BinaryExpr: // "door-" and a line of the door check
			prefix, _ := strconv.Unquote(k.X.(*ast.BasicLit).Value)
			for _, l := range animal.DoorLines {
				names = append(names, prefix+string(l))
			}
		case *ast.SelectorExpr: // the mark of a side
			names = append(names, "L", "R")
		}
		for _, name := range names {
			list = append(list, written{name, nameOf(fn), value})
		}
	}
	ast.Inspect(fn.Body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			if isDetail(n.Type) {
				for _, e := range n.Elts {
					add(e.(*ast.KeyValueExpr).Key, e.(*ast.KeyValueExpr).Value)
				}
			}
		case *ast.AssignStmt:
			for i, left := range n.Lhs {
				if at, ok := left.(*ast.IndexExpr); ok && intoDetail(at.X) && len(n.Rhs) == len(n.Lhs) {
					add(at.Index, n.Rhs[i])
				}
			}
		case *ast.CallExpr:
			if f, ok := n.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "named" {
				for i := 0; i+1 < len(n.Args); i += 2 {
					add(n.Args[i], n.Args[i+1])
				}
			}
		}
		return true
	})
	return list
}

// isDetail reports the type map[string]any.
func isDetail(e ast.Expr) bool {
	m, ok := e.(*ast.MapType)
	if !ok {
		return false
	}
	value, ok := m.Value.(*ast.Ident)
	return ok && value.Name == "any"
}

// intoDetail reports what package db calls such a map.
func intoDetail(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name == "d" || e.Name == "detail"
	case *ast.SelectorExpr:
		return e.Sel.Name == "Detail"
	}
	return false
}

// codeOf is a text that stands in the code; else the function that makes the value,
// such as "string" or, of x.Words().String(), "Words.String".
func codeOf(e ast.Expr) (code, call string) {
	switch e := e.(type) {
	case *ast.BasicLit:
		code, _ = strconv.Unquote(e.Value)
	case *ast.CallExpr:
		switch f := e.Fun.(type) {
		case *ast.Ident:
			call = f.Name
		case *ast.SelectorExpr:
			call = f.Sel.Name
			if inner, ok := f.X.(*ast.CallExpr); ok {
				_, before := codeOf(inner)
				call = before + "." + call
			}
		}
	}
	return code, call
}
