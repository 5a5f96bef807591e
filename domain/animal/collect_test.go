package animal

import (
	"testing"

	"coldrail/domain"
)

// What may leave the counter, and where the animal stands then.
func TestCollect(t *testing.T) {
	paid := Tracks{Physical: Stored, Legal: TagHeld, Disease: NotNeeded, Order: Done, Money: Settled}
	all := Collection{Collector: "Dale Orrin", Authority: ByOwner, Seen: "driving licence", Here: 3, Taken: 3, TagBack: true}
	tracks := func(edit func(*Tracks)) Tracks { e := paid; edit(&e); return e }
	with := func(edit func(*Collection)) Collection { e := all; edit(&e); return e }
	for _, tt := range []struct {
		name  string
		from  Tracks
		c     Collection
		phys  Physical
		legal Legal
		at    string // "" goes through
		src   string
	}{
		{"all of it", paid, all, Released, TagReturned, "", "Annex B: ready -> released"},
		{"two of three boxes", paid, with(func(c *Collection) { c.Taken = 2 }), PartReleased, TagReturned, "", "trade.md 8, 5"},
		{"all boxes, sausage to come", paid, with(func(c *Collection) { c.Remains = "sausage" }), PartReleased, TagReturned, "", "trade.md 8, 1"},
		{"part, tag kept until the rest", paid, with(func(c *Collection) { c.Taken, c.TagBack = 1, false }), PartReleased, TagHeld, "", "trade.md 8, 5"},
		{"the rest", tracks(func(t *Tracks) { t.Physical = PartReleased }), all, Released, TagReturned, "", "Annex B"},
		{"tag already back", tracks(func(t *Tracks) { t.Legal = TagReturned }), all, Released, TagReturned, "", "trade.md 8, 4"},
		{"tag kept, as no rule wants it back", paid, with(func(c *Collection) { c.TagBack = false }), Released, TagHeld, "", "trade.md 2.3: the state's to say"},
		{"livestock has no tag to hand back", tracks(func(t *Tracks) { t.Legal = Verified }), with(func(c *Collection) { c.TagBack = false }), Released, Verified, "", "trade.md 3.1"},
		{"still on the table", tracks(func(t *Tracks) { t.Physical = OnTable }), all, OnTable, TagHeld, "physical", "trade.md 8, 1"},
		{"gone already", tracks(func(t *Tracks) { t.Physical = Released }), all, Released, TagHeld, "physical", "Annex B"},
		{"warden", tracks(func(t *Tracks) { t.Legal = WardenHold }), all, Stored, WardenHold, "legal", "trade.md 5.4"},
		{"tag in question", tracks(func(t *Tracks) { t.Legal = Query }), all, Stored, Query, "legal", "Annex B: legal side"},
		{"not billed", tracks(func(t *Tracks) { t.Money = DepositTaken }), all, Stored, TagHeld, "money", "trade.md 8, 1: bill closed"},
		{"nobody", paid, with(func(c *Collection) { c.Collector = " " }), Stored, TagHeld, "collector", "Annex A: collector"},
		{"no right", paid, with(func(c *Collection) { c.Authority = "brother" }), Stored, TagHeld, "authority", "trade.md 8, 4"},
		{"nothing shown", paid, with(func(c *Collection) { c.Seen = "" }), Stored, TagHeld, "seen", "Annex A: identity shown"},
		{"no box", paid, with(func(c *Collection) { c.Taken = 0 }), Stored, TagHeld, "boxes", "trade.md 9, 19: scan-out count"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			to, err := tt.from.Collect(tt.c)
			if to.Physical != tt.phys || to.Legal != tt.legal || (err == nil) != (tt.at == "") || err != nil && domain.As(err).At != tt.at {
				t.Errorf("got %s and %s, %v; want %s and %s, refused at %q (%s)", to.Physical, to.Legal, err, tt.phys, tt.legal, tt.at, tt.src)
			}
			if to.Money != tt.from.Money || to.Order != tt.from.Order || to.Disease != tt.from.Disease {
				t.Error("another track moved")
			}
		})
	}
}
