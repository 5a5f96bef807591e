package ui

import (
	"context"
	"strings"

	"github.com/a-h/templ"
)

// Page is what Layout must know about a screen.
type Page struct {
	Title string          // the heading, and the name of the browser's tab
	Note  string          // one line beneath the heading; may be empty
	Find  string          // what was typed into the find box, on its own page of results
	Wide  bool            // use the whole width: the rail, tables
	Big   bool            // 64 px targets and larger type: the round, cutting
	Bare  bool            // leave the heading out; the page draws its own h1
	Tools templ.Component // what is done here and where it leads, beside the heading; may be nil
	Up    *Up             // the page above, where the address does not say it (place.go)
}

// htmxConfig is read by htmx from the page's head. A form that was refused as
// wrong (422) comes back marked and is swapped like any answer; every other
// problem goes into the problem line at the top and leaves the page as it was.
const htmxConfig = `{"includeIndicatorStyles":false,"allowEval":false,"historyCacheSize":0,` +
	`"responseHandling":[{"code":"204|304","swap":false},{"code":"[23]..","swap":true},{"code":"422","swap":true},` +
	`{"code":"[45]..","swap":true,"error":true,"target":"#problem","swapOverride":"innerHTML show:window:top","ignoreTitle":true}]}`

func mainClass(p Page) string {
	classes := []string{"main"}
	if p.Wide {
		classes = append(classes, "wide")
	}
	if p.Big {
		classes = append(classes, "big")
	}
	return strings.Join(classes, " ")
}

// shopName falls back to the program's name until the shop has one.
func shopName(ctx context.Context) string {
	if name := ShopOf(ctx).Name; name != "" {
		return name
	}
	return "Coldrail"
}

// dialled keeps of a phone number what a phone dials.
func dialled(number string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '+' {
			return r
		}
		return -1
	}, number)
}
