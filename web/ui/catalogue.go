package ui

import (
	_ "embed"
	"encoding/json"
	"regexp"
	"strings"
	"sync"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"
)

// book is the message catalogue. English needs an entry only where one of a
// thing is said differently; any other language lists every sentence.
var book = sync.OnceValue(func() catalog.Catalog { return newBook(Spanish()) })

// Languages are those the screens speak. Spanish is that of the United States:
// numbers are written as in English.
var Languages = []language.Tag{language.English, language.MustParse("es-US")}

// LanguageOptions names the languages, each in its own.
func LanguageOptions() []Option {
	return []Option{{Value: "en", Label: "English"}, {Value: "es-US", Label: "Español"}}
}

//go:embed spanish.json
var spanish []byte

// Spanish lists every sentence of the program with what it is in Spanish.
var Spanish = sync.OnceValue(func() map[string]string {
	var said map[string]string
	if err := json.Unmarshal(spanish, &said); err != nil {
		panic("ui: spanish.json: " + err.Error())
	}
	return said
})

// singulars pairs an English sentence with what it says when its first value
// is exactly one.
var singulars = map[string]string{
	"%d labels of %s were printed on it since it last printed true: look at them, and replace those that are too small.": "%d label of %s was printed on it since it last printed true: look at it, and replace it if it is too small.",
	"%d animals wait for a decision.":                          "1 animal waits for a decision.",
	"%d animals wait for a decision. Decide about them first.": "1 animal waits for a decision. Decide about it first.",
	"%d still hang by an older version":                        "1 still hangs by an older version",
	"%d days":                                                  "%d day",
	"%d days left.":                                            "%d day left.",
	"%d days too early.":                                       "%d day too early.",
	"%d cutters, %s each":                                      "%d cutter, %s",
	"%d days ago":                                              "%d day ago",
	"in %d days":                                               "in %d day",
	"%d hours":                                                 "%d hour",
	"%d hours ago":                                             "%d hour ago",
	"%d minutes ago":                                           "%d minute ago",
	"%d animals":                                               "%d animal",
	"%d animals, in the order of a walk.":                      "%d animal, in the order of a walk.",
	"Owed: %d animals":                                         "Owed: %d animal",
	"%d carcasses":                                             "%d carcass",
	"%d cards":                                                 "%d card",
	"Somebody looked at it by itself %d times.":                "Somebody looked at it by itself once.",
	"%d letters":                                               "%d letter",
	"%d people so far. Each taps their own name; nobody shares one.": "One person so far. Each taps their own name; nobody shares one.",
	"We have tried to reach you %d times, the first time on %s.":     "We have tried to reach you once, on %[2]s.",
	"%d boxes":      "%d box",
	"%d times":      "%d time",
	"%d fans":       "%d fan",
	"%d packs":      "%d pack",
	"%d days late.": "%d day late.",
	"More hangs than the crew can cut in time: %d are past their last day before their turn.": "More hangs than the crew can cut in time: %d is past its last day before its turn.",
	"%d pieces here":      "%d piece here",
	"%d places are free.": "%d place is free.",
	"%d more places are free but do not fit by the rules.": "%d more place is free but does not fit by the rules.",
	"%d lines, printed %s.":                                "%d line, printed %s.",
}

func newBook(spanish map[string]string) catalog.Catalog {
	b := catalog.NewBuilder(catalog.Fallback(language.English))
	must := func(sentence string, err error) {
		if err != nil {
			panic("ui: " + sentence + ": " + err.Error())
		}
	}
	for many, one := range singulars {
		must(many, b.Set(language.English, many, plural.Selectf(1, "%d", "=1", one, "other", many)))
	}
	for english, said := range spanishCalendar {
		must(english, b.SetString(language.Spanish, english, said))
	}
	for english, said := range spanish {
		if one := spanishSingulars[english]; one != "" {
			must(english, b.Set(language.Spanish, english, plural.Selectf(1, "%d", "=1", one, "other", said)))
			continue
		}
		if !verb.MatchString(english) { // never filled in: a % in it stands for itself
			said = strings.ReplaceAll(said, "%", "%%")
		}
		must(english, b.SetString(language.Spanish, english, said))
	}
	return b
}

// verb finds what package fmt fills in. A % before a blank is one of a text that
// is never filled in.
var verb = regexp.MustCompile(`%[-+#0]*(\[\d+\])?\d*(\.\d+)?[a-zA-Z%]`)

// printers keeps one printer per language; making one is slow, using one from
// many requests at once is fine.
var printers sync.Map

func printerFor(tag language.Tag) *message.Printer {
	if p, ok := printers.Load(tag); ok {
		return p.(*message.Printer)
	}
	p, _ := printers.LoadOrStore(tag, message.NewPrinter(tag, message.Catalog(book())))
	return p.(*message.Printer)
}
