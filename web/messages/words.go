package messages

import (
	"context"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain/message"
	"coldrail/web/hunter"
	"coldrail/web/ui"

	"golang.org/x/text/language"
)

// Shop is the shop as pages and messages say it: its name, zone, units, language.
func Shop(s db.Shop) ui.Shop {
	lang, err := language.Parse(s.Language)
	if err != nil {
		lang = language.English
	}
	return ui.Shop{Name: s.Name, Phone: s.Phone, Address: s.Address, Zone: s.Location(), Metric: s.Units == "metric", Lang: lang}
}

// Say is the whole text of a message, in the shop's words; callUs: nothing but that
// the owner should call. Link is the owner's private page.
func Say(ctx context.Context, e db.MessageErrand, link string, callUs bool, now time.Time) string {
	shop := ui.ShopOf(ctx)
	if callUs {
		return ui.T(ctx, message.CallUs, hunter.Yours(ctx, e.Species)) + " " + strings.Trim(shop.Name+", "+shop.Phone, ", ")
	}
	return message.Fill(e.Wording, map[string]string{
		"name": named(e.Name), "animal": hunter.Yours(ctx, e.Species), "number": string(e.Number), "shop": shop.Name, "phone": shop.Phone, "link": link,
		"window": window(ctx, e, now), "boxes": ui.T(ctx, "%d boxes", e.Owned.Here), "owed": owed(ctx, e.Owned), "still": still(ctx, e.Owned),
		"day": promised(ctx, e.Owned.PromisedOn), "before": dayBefore(ctx, e.About), "result": ui.Say(ctx, db.ResultWords(e.About)), "since": since(ctx, e.BoxedAt),
		"news": news(ctx, e.About),
	})
}

// Subject is the subject of a mail.
func Subject(ctx context.Context, e db.MessageErrand) string {
	return ui.T(ctx, "%s: %s, %s", ui.ShopOf(ctx).Name, hunter.Yours(ctx, e.Species), string(e.Number))
}

// Stop says in a mail how to get no more of them.
func Stop(ctx context.Context) string {
	if ui.ShopOf(ctx).Phone == "" {
		return ui.T(ctx, "You want no more mail about your animals? Answer this one with the word STOP.")
	}
	return ui.T(ctx, "You want no more mail about your animals? Answer this one with the word STOP, or call %s.", ui.ShopOf(ctx).Phone)
}

func named(name string) string {
	if name == db.NoName {
		return ""
	}
	return name
}

func window(ctx context.Context, e db.MessageErrand, now time.Time) string {
	if !e.Owned.Physical.OnRail() {
		return ""
	}
	return hunter.Window(ctx, e.Verdict, now)
}

func owed(ctx context.Context, o db.Owned) string {
	if b := o.Invoice.Balance(); o.IsBilled() && b > 0 {
		return b.String()
	}
	return ui.T(ctx, "nothing")
}

// still lists what of the animal is not in boxes yet.
func still(ctx context.Context, o db.Owned) string {
	var said []string
	for _, t := range o.ToCome {
		said = append(said, ui.Say(ctx, t.Words()))
	}
	if o.Loose > 0 {
		said = append(said, ui.T(ctx, "%d packs", o.Loose))
	}
	if len(said) == 0 {
		return ui.T(ctx, "the rest")
	}
	return strings.Join(said, ", ")
}

func promised(ctx context.Context, day *time.Time) string {
	if day == nil {
		return ""
	}
	return ui.Day(ctx, ui.Calendar(ctx, *day))
}

func dayBefore(ctx context.Context, about string) string {
	day, err := time.Parse(time.DateOnly, about)
	if err != nil {
		return ""
	}
	return promised(ctx, &day)
}

func since(ctx context.Context, at *time.Time) string {
	if at == nil {
		return ""
	}
	return ui.Day(ctx, *at)
}

// news is what a message about meat nobody fetches adds: storage begins, or a letter
// is on its way.
func news(ctx context.Context, about string) string {
	if n, ok := db.ReadStorageNews(about); ok {
		return ui.T(ctx, "From %s on storage costs %s a day.", ui.Day(ctx, ui.Calendar(ctx, n.From)), n.ADay.String())
	}
	return ui.T(ctx, "A letter is on its way to you.")
}

// about names a message on a screen: its kind, with a capital.
func about(ctx context.Context, k message.Kind) string {
	return ui.Capital(ui.Say(ctx, k.Words()))
}

// example stands in a preview where the animal has nothing to show yet; madeUp says
// that it has not.
func example(e db.MessageErrand, today time.Time) (_ db.MessageErrand, madeUp bool) {
	switch {
	case e.Kind == message.Result && e.About == "":
		e.About, madeUp = db.LabNotDetected, true
	case e.Kind == message.Moved && e.About == "":
		e.About, madeUp = today.Format(time.DateOnly), true
	}
	if e.Kind == message.Moved && e.Owned.PromisedOn == nil {
		day := today.AddDate(0, 0, 2)
		e.Owned.PromisedOn, madeUp = &day, true
	}
	if e.BoxedAt == nil && (e.Kind == message.Ready || e.Kind == message.PartReady || e.Kind == message.Storage) {
		boxed := today.AddDate(0, 0, -10)
		e.BoxedAt, e.Owned.Boxes, e.Owned.Here, madeUp = &boxed, 2, 2, true
	}
	return e, madeUp
}
