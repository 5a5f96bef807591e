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

// screen is one place in the navigation and the roles whose work it is; none
// means it is everyone's.
type screen struct {
	path, name string
	roles      []string
}

// screens lists the places in the order an animal passes through them. The
// order is the same for everyone, so that a hand finds its way without eyes.
func screens(ctx context.Context) []screen {
	return []screen{
		{"/", T(ctx, "Today"), nil},
		{"/dropoff", T(ctx, "Drop-off"), []string{"counter"}},
		{"/bookings", T(ctx, "Bookings"), []string{"counter"}},
		{"/skinning", T(ctx, "Skinning"), []string{"cooler", "cutter"}},
		{"/rail", T(ctx, "Rail"), nil},
		{"/round", T(ctx, "Round"), []string{"cooler"}},
		{"/cutting", T(ctx, "Cutting"), []string{"cutter"}},
		{"/batches", T(ctx, "Batches"), []string{"cutter"}},
		{"/pickup", T(ctx, "Pick-up"), []string{"counter"}},
		{"/office", T(ctx, "Office"), []string{"lead", "owner"}},
	}
}

// link marks the screen one is on, for eyes and for screen readers, and sets
// off the screens that are the holder's own work. Nobody is kept from the rest.
func (s screen) link(h Holder, path string) templ.Attributes {
	attrs := templ.Attributes{}
	if s.here(path) {
		attrs["aria-current"] = "page"
	}
	if len(s.roles) == 0 || len(h.Roles) == 0 || h.Has("lead", "owner") || h.Has(s.roles...) {
		attrs["class"] = "mine"
	}
	return attrs
}

// here reports whether the page at path belongs to the screen.
func (s screen) here(path string) bool {
	return path == s.path || s.path != "/" && strings.HasPrefix(path, s.path+"/")
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
