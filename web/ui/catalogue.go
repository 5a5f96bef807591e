package ui

import (
	"sync"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"
)

// book is the message catalogue. English needs an entry only where one of a
// thing is said differently; any other language lists every sentence.
var book = newBook(singulars)

// singulars pairs an English sentence with what it says when its first value
// is exactly one.
var singulars = map[string]string{
	"%d animals wait for a decision.":                          "1 animal waits for a decision.",
	"%d animals wait for a decision. Decide about them first.": "1 animal waits for a decision. Decide about it first.",
	"%d still hang by an older version":                        "1 still hangs by an older version",
	"%d days":                                                  "%d day",
	"%d days ago":                                              "%d day ago",
	"in %d days":                                               "in %d day",
	"%d hours":                                                 "%d hour",
	"%d hours ago":                                             "%d hour ago",
	"%d minutes":                                               "%d minute",
	"%d minutes ago":                                           "%d minute ago",
	"%d animals":                                               "%d animal",
	"Owed: %d animals":                                         "Owed: %d animal",
	"%d carcasses":                                             "%d carcass",
	"%d cards":                                                 "%d card",
	"Somebody looked at it by itself %d times.": "Somebody looked at it by itself once.",
	"%d letters":          "%d letter",
	"%d boxes":            "%d box",
	"%d packs":            "%d pack",
	"%d pieces":           "%d piece",
	"%d free places":      "%d free place",
	"%d places are free.": "%d place is free.",
	"%d more places are free but do not fit by the rules.": "%d more place is free but does not fit by the rules.",
	"%d readings":         "%d reading",
	"%d rounds":           "%d round",
	"%d animals hanging":  "%d animal hanging",
	"%d animals in there": "%d animal in there",
}

func newBook(singulars map[string]string) catalog.Catalog {
	b := catalog.NewBuilder(catalog.Fallback(language.English))
	for many, one := range singulars {
		entry := plural.Selectf(1, "%d", "=1", one, "other", many)
		if err := b.Set(language.English, many, entry); err != nil {
			panic("ui: bad plural for " + many + ": " + err.Error())
		}
	}
	return b
}

// printers keeps one printer per language; making one is slow, using one from
// many requests at once is fine.
var printers sync.Map

func printerFor(tag language.Tag) *message.Printer {
	if p, ok := printers.Load(tag); ok {
		return p.(*message.Printer)
	}
	p, _ := printers.LoadOrStore(tag, message.NewPrinter(tag, message.Catalog(book)))
	return p.(*message.Printer)
}
