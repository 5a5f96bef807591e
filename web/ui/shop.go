package ui

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"coldrail/static"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
)

// Shop is what a page must know about the shop to speak for it.
type Shop struct {
	Name    string
	Phone   string
	Address string
	Zone    *time.Location // nil means UTC
	Metric  bool           // °C, kg, mm instead of °F, lb, in
	Lang    language.Tag   // the zero tag means English
}

// scene is a Shop with its printer at hand.
type scene struct {
	Shop
	printer *message.Printer
	english bool
	under   string // the path that static files stand under; empty: the root
}

type sceneKey struct{}
type holderKey struct{}

var nowhere = newScene(Shop{})

func newScene(shop Shop) *scene {
	if shop.Zone == nil {
		shop.Zone = time.UTC
	}
	if shop.Lang == language.Und {
		shop.Lang = language.English
	}
	base, _ := shop.Lang.Base()
	return &scene{Shop: shop, printer: printerFor(shop.Lang), english: base.String() == "en"}
}

// WithShop puts the shop into the context of a request.
func WithShop(ctx context.Context, shop Shop) context.Context {
	return context.WithValue(ctx, sceneKey{}, newScene(shop))
}

// Under has a page ask for its style below a path, as a host that is not ours may need
// it: "/deer" for https://example.com/deer.
func Under(ctx context.Context, path string) context.Context {
	s := *sceneOf(ctx)
	s.under = path
	return context.WithValue(ctx, sceneKey{}, &s)
}

// file is the address of an embedded file on this page.
func file(ctx context.Context, name string) string { return sceneOf(ctx).under + static.URL(name) }

type styleKey struct{}

// WithStyleInside has the page carry the stylesheet of the screens inside it.
func WithStyleInside(ctx context.Context) context.Context {
	return context.WithValue(ctx, styleKey{}, true)
}

func styleInside(ctx context.Context) bool { return ctx.Value(styleKey{}) != nil }

// InLanguage has the request answered in another language than the shop's; "" is
// the shop's.
func InLanguage(ctx context.Context, lang string) context.Context {
	shop := ShopOf(ctx)
	if lang == "" || lang == shop.Lang.String() {
		return ctx
	}
	tag, err := language.Parse(lang)
	if err != nil {
		return ctx
	}
	shop.Lang = tag
	return WithShop(ctx, shop)
}

// ForStranger has a page for the shop's customers answered in the language their
// phone asks for, where the screens speak it; else in the shop's.
func ForStranger(ctx context.Context, accept string) context.Context {
	wanted, _, err := language.ParseAcceptLanguage(accept)
	if err != nil || len(wanted) == 0 {
		return ctx
	}
	_, i, sure := languages().Match(wanted...)
	if sure < language.High {
		return ctx
	}
	return InLanguage(ctx, Languages[i].String())
}

var languages = sync.OnceValue(func() language.Matcher { return language.NewMatcher(Languages) })

// ShopOf returns the shop of the request; without one, an unnamed shop in UTC
// that counts in °F and pounds.
func ShopOf(ctx context.Context) Shop { return sceneOf(ctx).Shop }

func sceneOf(ctx context.Context) *scene {
	if s, ok := ctx.Value(sceneKey{}).(*scene); ok {
		return s
	}
	return nowhere
}

// Holder is the person who holds the tablet: acts are done in their name.
type Holder struct {
	Name     string
	Initials string
	Roles    []string
}

// Has reports whether the holder has one of the roles.
func (h Holder) Has(roles ...string) bool {
	return slices.ContainsFunc(roles, func(role string) bool { return slices.Contains(h.Roles, role) })
}

// WithHolder puts whoever holds the tablet into the context of a request.
func WithHolder(ctx context.Context, h Holder) context.Context {
	return context.WithValue(ctx, holderKey{}, h)
}

// HolderOf returns who holds the tablet; its Name is empty if nobody does.
func HolderOf(ctx context.Context) Holder {
	h, _ := ctx.Value(holderKey{}).(Holder)
	return h
}

// RoleOptions are the kinds of work somebody is taken on for, in words.
func RoleOptions(ctx context.Context) []Option {
	return []Option{
		{Value: "counter", Label: T(ctx, "Counter"), Note: T(ctx, "drop-off, pick-up, money")},
		{Value: "cooler", Label: T(ctx, "Cooler"), Note: T(ctx, "rounds, looks, skinning")},
		{Value: "cutter", Label: T(ctx, "Cutter"), Note: T(ctx, "skinning, cutting, batches")},
		{Value: "lead", Label: T(ctx, "Lead"), Note: T(ctx, "all of it, and decides what was stopped")},
		{Value: "owner", Label: T(ctx, "Owner"), Note: T(ctx, "all of it, and the office")},
	}
}

// RoleNames names the kinds of work somebody does.
func RoleNames(ctx context.Context, roles []string) string {
	var names []string
	for _, o := range RoleOptions(ctx) {
		if slices.Contains(roles, o.Value) {
			names = append(names, o.Label)
		}
	}
	return strings.Join(names, ", ")
}
