package ui

import (
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/hold"
	"coldrail/domain/round"
)

// origins says of each word for a condition or a state, of each screen's name, of each
// colour and of each layout whence it comes: the trade's own words, a standard named,
// or ours, with how we came to it. Nothing in it was taken from another program. Numbers of the CFR are from memory.
var origins = map[string]string{
	"condition stop":                            "ours: what is said across a table when somebody is to stand still; nobody goes on until the lead has looked",
	"condition look":                            "trade: to look at a carcass is to see, smell and touch it",
	"condition cut first":                       "trade: what cannot hang longer is cut first",
	"condition chilling":                        "trade: taking the body heat out",
	"condition past its day":                    "ours: plain words for having hung longer than its rule allows",
	"condition ready to cut":                    "trade: what a cutter asks of a carcass",
	"condition nearly ready":                    "ours: plain words for a carcass a few days short of it",
	"condition hanging":                         "trade: what hangs on the rail",
	"state expected":                            "trade: booked, not here",
	"state in the bay, not taken in":            "trade: the bay is where it lies until somebody takes it in",
	"state taken in":                            "trade: what the counter does with an animal",
	"state chilling":                            "trade: taking the body heat out",
	"state hanging":                             "trade: what hangs on the rail",
	"state on the table":                        "trade: the cutter's table",
	"state cut up":                              "trade: no longer a carcass",
	"state in boxes":                            "trade: wrapped, boxed, in the freezer",
	"state partly picked up":                    "trade: pick-up, of a part",
	"state picked up":                           "trade: pick-up",
	"state refused at the door":                 "trade: turned away",
	"state gone home uncut":                     "ours: plain words for an owner who took it back",
	"state unclaimed":                           "standard: statutes on abandoned game meat say unclaimed or abandoned",
	"state given away":                          "ours: plain words; meat may not be sold",
	"state destroyed":                           "standard: 9 CFR 314, denatured and destroyed",
	"state condemned":                           "standard: 9 CFR 301.2, condemned",
	"state taken by an officer":                 "ours: plain words for a seizure",
	"state missing":                             "ours: plain words",
	"state not checked":                         "ours: of the tag, not compared with the animal yet",
	"state checked":                             "trade: a checked tag; check station",
	"state in question":                         "ours: something about the tag does not fit",
	"state stopped by the warden":               "trade: the warden's word",
	"state checked, tag kept in the shop":       "ours: where the paper is",
	"state checked, tag given back":             "ours: where the paper is",
	"state no test asked for":                   "ours: plain words",
	"state to be sampled":                       "standard: sample, as the wildlife agencies and their laboratories write",
	"state sampled, not sent":                   "standard: sample, as the wildlife agencies and their laboratories write",
	"state waiting for the laboratory":          "ours: plain words",
	"state not detected":                        "standard: the laboratories' own word, Minnesota's wording; never more than that",
	"state detected":                            "standard: the laboratories' own word",
	"state to be sampled again":                 "standard: sample, as the wildlife agencies and their laboratories write",
	"state no order yet":                        "trade: the cut order",
	"state order not complete":                  "trade: the cut order",
	"state order complete":                      "trade: the cut order",
	"state order on the table":                  "ours: it may no longer be changed",
	"state order done":                          "trade: the cut order",
	"state order canceled":                      "trade: the cut order",
	"state quoted":                              "trade: a price told",
	"state deposit taken":                       "trade: deposit",
	"state billed":                              "trade: the bill",
	"state partly paid":                         "trade: paid",
	"state paid":                                "trade: paid",
	"state money owed back":                     "ours: plain words for a credit",
	"state written off":                         "standard: bookkeeping, to write off",
	"state bill not paid":                       "trade: the bill",
	"state not certain whose it is":             "ours: plain words for a lost or doubled tag",
	"state owners in dispute":                   "ours: plain words",
	"state quality in question":                 "ours: plain words",
	"state tag or papers in question":           "ours: plain words",
	"state test came back detected":             "standard: the laboratories' own word",
	"state test result not in":                  "ours: plain words",
	"state waiting for the other owner's order": "ours: plain words for a shared animal",
	"state was in a warm room":                  "ours: plain words for an incident",
	"state not yet due":                         "trade: a round is due",
	"state due now":                             "trade: a round is due",
	"state done":                                "trade: a round is walked, or done",
	"state missed, walked late":                 "ours: a missed round stays missed",
	"state missed":                              "trade: a round nobody walked",
	"state done on paper":                       "ours: walked with a sheet when the machine was away",
	"state rinse":                               "trade: what is done between animals",
	"state full clean-out":                      "trade: clean-out, up to which meat may carry over",
	"state prion soak":                          "standard: the soak that agencies name against prions (CDC and state agencies, from memory)",
	"screen Today":                              "ours: what a person needs to do today",
	"screen Drop-off":                           "trade: drop-off",
	"screen Bookings":                           "trade: booking, for kill days and the season",
	"screen Skinning":                           "trade: skinning",
	"screen Rail":                               "trade: the rail overhead",
	"screen Round":                              "trade: the walk through a cooler",
	"screen Cutting":                            "trade: cutting",
	"screen Batches":                            "trade: a batch of sausage",
	"screen Pick-up":                            "trade: pick-up",
	"screen Office":                             "trade: the office behind the counter",
	"colour --paper":                            "ours: butcher's paper, warm off-white",
	"colour --sheet":                            "ours: a whiter sheet lying on that paper",
	"colour --ink":                              "ours: near-black ink",
	"colour --soft":                             "ours: the same ink, thinned until it still passes WCAG 2.2 AA",
	"colour --rule":                             "ours: a line ruled in a ledger",
	"colour --edge":                             "ours: the edge of a field, 3:1 against its paper (WCAG 2.2, 1.4.11)",
	"colour --ox":                               "ours: oxblood, for what needs a person",
	"colour --ox-fill":                          "ours: oxblood, for what needs a person",
	"colour --on-ox":                            "ours: paper on oxblood",
	"colour --ox-wash":                          "ours: oxblood, washed out",
	"colour --cold":                             "ours: a cold blue, only for temperature",
	"colour --cold-wash":                        "ours: the same, washed out",
	"colour --tag":                              "trade: the manila tag that is wired to a carcass",
	"colour --tag-edge":                         "trade: the manila tag, its edge",
	"colour --tag-ink":                          "trade: black marker on the manila tag",
	"colour --shade":                            "ours: paper under a finger",
	"layout Ledger":                             "trade: the book on the counter, a line for each thing, its mark in the margin",
	"layout Rail":                               "trade: a rail seen from the side, to scale from the door",
	"layout HangTag":                            "trade: a tag that hangs from a hook",
	"layout Tag":                                "trade: the manila tag on its side, with its hole",
	"layout Condition":                          "ours: words beside a fill pattern that survives black-and-white print",
	"layout Steps":                              "ours: the way of an animal as a line with stops",
	"layout TimeLine":                           "trade: a day book, the hour in the margin",
	"layout Facts":                              "ours: name left, value right, as on a slip",
	"layout Figure":                             "ours: a number large beneath a rule and its name, as a column of a ledger begins",
	"layout Sums":                               "ours: what only a careful reader opens",
	"layout ToDropOff":                          "ours: a page that has nothing yet says where it begins",
	"layout ToHang":                             "ours: the other way to do what the line asks for, beside its kind",
	"layout ToSetUp":                            "ours: a button where there is nothing to show yet",
	"layout Sheet":                              "trade: paper at its true size on a desk",
	"layout Choice":                             "ours: tiles for a wet thumb, 48 px at the least",
	"layout Layout":                             "ours: one sheet of butcher's paper, the ten places of the shop along its head, the open one cut at its corners as a tag is, the line below ruled as in a ledger",
	"layout Plain":                              "ours: the same sheet with nothing at its head, for signing in",
	"layout Public":                             "ours: the same sheet for somebody outside, as a slip handed over the counter",
	"layout Line":                               "trade: a line of the book, the number first, as it is written on the counter",
	"layout Empty":                              "ours: plain words where a list would stand",
	"layout Fact":                               "ours: one name and one value, as on a slip",
	"layout FactText":                           "ours: one name and one value, as on a slip",
	"layout ActButton":                          "ours: one thing done with one tap of a wet thumb",
	"layout Held":                               "trade: a held carcass is marked across; a stripe, so that it shows in black and white",
	"layout PatternKey":                         "ours: the fill patterns with their words, as a map has its key",
	"layout Field":                              "ours: a ruled box under its name, as on a paper form",
	"layout TextArea":                           "ours: a ruled box of several lines, as on a paper form",
	"layout Select":                             "standard: HTML, the list that opens",
	"layout Ticks":                              "ours: tiles for a wet thumb, each with a tick as on a cut sheet",
	"layout Check":                              "trade: a box that is ticked on a cut sheet",
	"layout PIN":                                "standard: HTML, a field whose letters are not shown",
	"layout Names":                              "ours: each name a large tile, because whoever taps it wears gloves",
	"layout Hidden":                             "standard: HTML, a value that is not shown",
	"layout Submit":                             "ours: one main button, larger and filled with ink, at the end of a form",
	"layout FormProblem":                        "ours: what is wrong stands ruled at the head of the form",
	"layout Picture":                            "standard: HTML, a field that takes a file, or the camera's picture",
	"layout Phone":                              "standard: RFC 3966, a number that a tap calls",
	"layout PhoneOf":                            "ours: the last four digits tell two people of one name apart",
	"layout PrintLink":                          "ours: a quiet button to the paper of a page",
	"layout TagLink":                            "trade: the manila tag on its side, with its hole",
	"layout BigTag":                             "trade: the manila tag, as large as it hangs",
	"layout Temperature":                        "trade: degrees, read off a dial; the one cold blue is ours",
	"layout Gap":                                "ours: free rail drawn to scale, a tick at each place, with how many are free",
	"layout Signature":                          "trade: a name and a line to sign on, as on a receipt",
	"layout SignPad":                            "ours: the line to sign on, for a finger",
	"layout Whole":                              "ours: a number that is read in one piece, never broken over two lines",
	"layout Signed":                             "trade: the signature above the name, as on a receipt",
	"layout Notice":                             "ours: a box ruled round what has to be known now",
	"layout Caution":                            "ours: a line in the margin, beside what could hurt somebody",
}

// Every word, name, colour and layout of the program has its origin written down, and
// nothing is listed that the program does not have.
func TestEveryNameHasItsOrigin(t *testing.T) {
	has, origins := map[string]bool{}, maps.Clone(origins)
	maps.Copy(origins, tableOrigins)
	for _, s := range screens(shopContext(t)) {
		has["screen "+s.name] = true
	}
	for _, c := range ageing.Conditions {
		has["condition "+c.Words().Format] = true
	}
	for _, words := range stateWords() {
		has["state "+words] = true
	}
	for _, words := range tableWords() {
		has[words] = true
	}
	css := readFile(t, "../../static/css/coldrail.css")
	for _, m := range regexp.MustCompile(`(--[a-z-]+): #`).FindAllStringSubmatch(css, -1) {
		has["colour "+m[1]] = true
	}
	for _, layout := range layouts(t) {
		has["layout "+layout] = true
	}
	for _, name := range slices.Sorted(maps.Keys(has)) {
		if from := origins[name]; !strings.HasPrefix(from, "trade") && !strings.HasPrefix(from, "standard: ") && !strings.HasPrefix(from, "ours: ") {
			t.Errorf("%q: %q tells no origin", name, from)
		}
	}
	for name := range origins {
		if !has[name] {
			t.Errorf("%q has an origin and is nowhere in the program", name)
		}
	}
}

// layouts are the pieces that pages are made of, by their names in the templates and,
// where one is drawn in Go, in its file.
func layouts(t *testing.T) (names []string) {
	t.Helper()
	templates, err := filepath.Glob("*.templ")
	if err != nil || len(templates) == 0 {
		t.Fatalf("%d templates, %v", len(templates), err)
	}
	drawn, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	drawn = slices.DeleteFunc(drawn, func(file string) bool { return strings.HasSuffix(file, "_templ.go") })
	piece := regexp.MustCompile(`(?m)^(?:templ ([A-Z]\w*)\(|func ([A-Z]\w*)\(.*\) templ\.Component \{)`)
	for _, file := range append(templates, drawn...) {
		for _, m := range piece.FindAllStringSubmatch(readFile(t, file), -1) {
			names = append(names, m[1]+m[2])
		}
	}
	return names
}

// stateWords are the words for every state the program keeps.
func stateWords() (words []string) {
	for _, s := range animal.AllPhysical {
		words = append(words, s.Words().Format)
	}
	for _, s := range animal.AllLegal {
		words = append(words, s.Words().Format)
	}
	for _, s := range animal.AllDisease {
		words = append(words, s.Words().Format)
	}
	for _, s := range animal.AllOrder {
		words = append(words, s.Words().Format)
	}
	for _, s := range animal.AllMoney {
		words = append(words, s.Words().Format)
	}
	for _, k := range hold.Kinds {
		words = append(words, k.Words().Format)
	}
	for _, s := range []round.State{round.Waiting, round.Open, round.Done, round.Late, round.Missed, round.OnPaper} {
		words = append(words, s.Words().Format)
	}
	for _, l := range batch.Levels {
		words = append(words, l.Words().Format)
	}
	return words
}
