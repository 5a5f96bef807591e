package ui

import (
	"context"
	"strings"

	"github.com/a-h/templ"
)

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

// mine reports whether the screen is the holder's own work.
func (s screen) mine(h Holder) bool {
	return len(s.roles) == 0 || len(h.Roles) == 0 || h.Has("lead", "owner") || h.Has(s.roles...)
}

// link marks the screen one is on, for eyes and for screen readers, and sets
// off the screens that are the holder's own work. Nobody is kept from the rest.
func (s screen) link(ctx context.Context) templ.Attributes {
	attrs := templ.Attributes{}
	if s.path == tabOf(pathOf(ctx)) {
		attrs["aria-current"] = "page"
	}
	if s.mine(HolderOf(ctx)) {
		attrs["class"] = "mine"
	}
	return attrs
}

// stands says under which screen a page stands whose address does not say it. An
// animal goes through all screens; its pages stand under the rail, where it is looked for.
var stands = map[string]string{
	"/notices": "/", "/messages": "/", "/help": "/",
	"/coolers":  "/round",
	"/pieces":   "/cutting",
	"/machines": "/batches",
	"/animals":  "/rail",
	"/visits":   "/office", "/disposal": "/office", "/programmes": "/office", "/close": "/office", "/setup": "/office",
}

// Up is the page above another.
type Up struct{ Path, Name string }

// parents are the pages below a screen that have pages of their own beneath them.
func parents(ctx context.Context) []Up {
	return []Up{
		{"/dropoff/owed", T(ctx, "Owed to the register")},
		{"/coolers", T(ctx, "Rooms")},
		{"/coolers/*", T(ctx, "The room")},
		{"/animals/*", T(ctx, "Its record")},
		{"/animals/*/order", T(ctx, "The order")},
		{"/animals/*/pieces", T(ctx, "Its pieces")},
		{"/help", T(ctx, "How we work")},
		{"/close", T(ctx, "Close the day")},
		{"/setup", T(ctx, "Set the shop up")},
		{"/office/messages", T(ctx, "Messages to owners")},
		{"/office/prices", T(ctx, "Prices")},
		{"/office/protocols", T(ctx, "How each kind hangs")},
		{"/office/rules", T(ctx, "Rules by state")},
		{"/office/staff", T(ctx, "Who works here")},
	}
}

// wayUp is the one page above this one: what the page says, else the nearest of parents,
// else its screen where that is the holder's own. A screen has none above it.
func wayUp(ctx context.Context, p Page) *Up {
	if p.Up != nil {
		return p.Up
	}
	path := pathOf(ctx)
	var up *Up
	for _, above := range parents(ctx) {
		if at := leads(above.Path, path); at != "" && at != path && (up == nil || len(at) > len(up.Path)) {
			up = &Up{at, above.Name}
		}
	}
	if up != nil {
		return up
	}
	tab := tabOf(path)
	for _, s := range screens(ctx) {
		if s.path == tab && tab != path && s.mine(HolderOf(ctx)) {
			return &Up{s.path, s.name}
		}
	}
	return nil
}

// tabOf is the path of the screen under which the page at path stands; what has none,
// as what was found, is its own.
func tabOf(path string) string {
	first := "/" + strings.Split(path+"/", "/")[1]
	if tab, ok := stands[first]; ok {
		return tab
	}
	return first
}

// leads gives the beginning of path that the pattern fits, whole parts only; a star is
// any one part.
func leads(pattern, path string) string {
	parts, at := strings.Split(pattern, "/"), strings.Split(path, "/")
	if len(parts) > len(at) {
		return ""
	}
	for i, part := range parts {
		if part != "*" && part != at[i] {
			return ""
		}
	}
	return strings.Join(at[:len(parts)], "/")
}

type pathKey struct{}

// At puts the address of the request into its context: a page knows from it where it
// stands.
func At(ctx context.Context, path string) context.Context {
	return context.WithValue(ctx, pathKey{}, path)
}

func pathOf(ctx context.Context) string {
	path, _ := ctx.Value(pathKey{}).(string)
	return path
}
