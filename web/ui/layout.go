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
	Path  string          // the screen's path, such as "/rail": marks it in the navigation
	Find  string          // what was typed into the find box, on its own page of results
	Wide  bool            // use the whole width: the rail, tables
	Big   bool            // 64 px targets and larger type: the round, cutting
	Bare  bool            // leave the heading out; the page draws its own h1
	Tools templ.Component // buttons on the heading's right; may be nil
}

// screen is one place in the navigation.
type screen struct {
	path, name string
}

// screens lists the places in the order an animal passes through them.
func screens(ctx context.Context) []screen {
	return []screen{
		{"/", T(ctx, "Today")},
		{"/dropoff", T(ctx, "Drop-off")},
		{"/skinning", T(ctx, "Skinning")},
		{"/rail", T(ctx, "Rail")},
		{"/round", T(ctx, "Round")},
		{"/cutting", T(ctx, "Cutting")},
		{"/pickup", T(ctx, "Pick-up")},
		{"/office", T(ctx, "Office")},
	}
}

// here reports whether the page at path belongs to the screen.
func (s screen) here(path string) bool {
	return path == s.path || s.path != "/" && strings.HasPrefix(path, s.path+"/")
}

// htmxConfig is read by htmx from the page's head. A form that was refused as
// wrong (422) comes back marked and is swapped like any answer; every other
// problem goes into the problem line at the top and leaves the page as it was.
const htmxConfig = `{"includeIndicatorStyles":false,"allowEval":false,"historyCacheSize":0,` +
	`"responseHandling":[{"code":"204","swap":false},{"code":"[23]..","swap":true},{"code":"422","swap":true},` +
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

// current marks a link to the page one is on, for eyes and for screen readers.
func current(here bool) templ.Attributes {
	if here {
		return templ.Attributes{"aria-current": "page"}
	}
	return nil
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
