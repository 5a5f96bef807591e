package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/hold"
	"coldrail/domain/register"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Collection is what the counter fills in when somebody takes meat home.
type Collection struct {
	Collector   string
	Authority   animal.Authority
	Seen        string   // what was shown
	Boxes       []string // the labels that were scanned or ticked
	Remains     string   // what else stays or is still to come
	TagReturned bool
	Receipt     bool     // given, as some states ask of all that leaves
	Things      []string // what goes back besides: pieces and coolers, by id
	Strokes     string   // the signature drawn on the glass
	LetOwe      string   // why it may leave unpaid; the lead or an owner says so
}

// Handover is one collection that happened.
type Handover struct {
	ID           uuid.UUID
	Collector    string
	Authority    animal.Authority
	Seen         string
	Boxes        int
	TagReturned  bool
	Remains      string
	BalanceCents domain.Cents
	BalanceWhy   string
	Strokes      string
	At           time.Time
	By           string // initials
	Lines        int    // that put it right; the last one is in force
	Undone       bool   // nothing had left: it was no hand-over
}

// HandOver gives boxes to whoever came for them. Nothing leaves with a hold that
// forbids it, with a box of another animal, or with money owed, unless the lead
// or an owner says so. What stays behind leaves the animal partly picked up.
func (db *DB) HandOver(ctx context.Context, act Act, number domain.ShopNumber, c Collection) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "hand over", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		holds, err := openHolds(ctx, tx, a.ID)
		if err != nil {
			return line{}, err
		}
		if err := hold.May(holds, hold.Release); err != nil {
			return line{}, err
		}
		r, err := collect(ctx, tx, act, a, c)
		if err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, r.to); err != nil {
			return line{}, err
		}
		if err := r.write(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		if _, err := enter(ctx, tx, act, entry{Animal: a.ID, Number: a.Number, Kind: register.Handover, Fields: r.fields(act.At.In(shop.Location()))}); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "hand-over", Detail: r.detail(), Why: r.typed()}, nil
	})
}

// ScanBox reads the label of a box that is to leave with the animal, before
// anything is handed over: it is refused for the same reasons as then.
func (db *DB) ScanBox(ctx context.Context, number domain.ShopNumber, label string) (Box, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return Box{}, err
	}
	boxes, err := boxesAt(ctx, db.pool, a.ID)
	if err != nil {
		return Box{}, err
	}
	taken, err := scanned(ctx, db.pool, a, boxes, []string{label})
	if err != nil {
		return Box{}, err
	}
	return taken[0], nil
}

// release is a hand-over on its way: what the form said, checked.
type release struct {
	animal.Collection
	to      animal.Tracks
	taken   []Box
	owed    domain.Cents
	things  []Thing // that go along
	strokes string
	why     string // it may leave with money owed
	receipt bool   // was given
}

// collect asks the domain whether the collection may happen and where the
// animal stands after it.
func collect(ctx context.Context, tx pgx.Tx, act Act, a Animal, c Collection) (r release, err error) {
	boxes, err := boxesAt(ctx, tx, a.ID)
	if err != nil {
		return r, err
	}
	if r.taken, err = scanned(ctx, tx, a, boxes, c.Boxes); err != nil {
		return r, err
	}
	if err := mayTakeHome(ctx, tx, a, c, r.taken); err != nil {
		return r, err
	}
	if r.receipt = c.Receipt; len(r.taken) > 0 {
		all := len(r.taken) == len(stillHere(boxes)) && strings.TrimSpace(c.Remains) == ""
		if err := mayLeave(ctx, tx, a, r.taken, leaving{All: all, Tag: c.TagReturned, Receipt: c.Receipt}); err != nil {
			return r, err
		}
	}
	if r.strokes = c.Strokes; len(r.strokes) > 20000 || !aPath.MatchString(r.strokes) {
		return r, domain.Wrong("signer", "The signature came in damaged. Clear it and sign again.")
	}
	r.Collection = animal.Collection{Collector: strings.TrimSpace(c.Collector), Authority: c.Authority, Seen: strings.TrimSpace(c.Seen),
		Taken: len(r.taken), Remains: strings.TrimSpace(c.Remains), TagBack: c.TagReturned}
	r.Here = len(stillHere(boxes))
	if err := sausageStays(ctx, tx, a, r.Collection); err != nil {
		return r, err
	}
	if err := r.giveBack(ctx, tx, a, c.Things); err != nil {
		return r, err
	}
	if r.to, err = a.Tracks().Collect(r.Collection); err != nil {
		return r, err
	}
	return r, r.checkBalance(ctx, tx, act, a, strings.TrimSpace(c.LetOwe))
}

// leaving is what goes along with meat that leaves.
type leaving struct {
	All     bool // nothing of the animal is here afterwards
	Tag     bool // the official one goes along
	Receipt bool // was given
}

// mayLeave holds boxes against what the rules want done before they leave, to whomever:
// marked NOT FOR SALE, a receipt given where the state asks for one, and the official tag
// where the state wants it.
func mayLeave(ctx context.Context, tx pgx.Tx, a Animal, boxes []Box, with leaving) error {
	rules, err := rulesHere(ctx, tx)
	if err != nil {
		return err
	}
	if err := isStamped(ctx, tx, a, boxes); err != nil {
		return err
	}
	if due := statute.ReceiptDue(rules, statute.GoesOut, a.Species, a.Form); due != nil && !with.Receipt {
		return domain.Wrong("receipt", "By the rule of %s nothing leaves without a receipt: %s (%s). Print it, hand it over, and tick that.", due.State, due.Says, due.Cites)
	}
	var tag bool
	if err := tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM official_tags WHERE animal_id = $1 AND custody IN ('on-carcass', 'on-card', 'with-boxes'))`, a.ID).Scan(&tag); err != nil || !tag {
		return err
	}
	return statute.MayGoBack(rules, a.Species, a.Form, with.Tag, with.All)
}

// sausageStays asks for a word about meat that is in a batch when all boxes leave,
// so that the animal is not called gone while some of it is still here.
func sausageStays(ctx context.Context, tx pgx.Tx, a Animal, c animal.Collection) error {
	if !c.Whole() {
		return nil
	}
	still, err := inBatches(ctx, tx, a.ID)
	if err == nil && len(still) > 0 {
		err = domain.Wrong("remains", "Still to come: %s. Write it down under what stays.", still[0])
	}
	return err
}

// checkBalance lets it leave with money owed only on the lead's or an owner's
// word and reason. An owner of a share is held by that share's bill alone.
func (r *release) checkBalance(ctx context.Context, tx pgx.Tx, act Act, a Animal, why string) error {
	if more, err := unbilled(ctx, tx, a, act.At); err != nil || len(more) > 0 {
		if err == nil {
			err = domain.Refuse("bill", "Not on the bill yet: %s, %v in all. Open the money page and add it to the bill first.", more[0].Label, billing.Invoice{Lines: more}.Total())
		}
		return err
	}
	owed, err := owedFor(ctx, tx, a, r.taken)
	if err != nil || owed == 0 {
		return err
	}
	r.owed, r.why = owed, why
	return billing.MayRelease(owed, why != "" && answersForShop(ctx, tx, act.Staff) == nil)
}

// scanned turns labels into boxes of this animal. A label of another animal is
// refused with the place where that box belongs, by its number alone.
func scanned(ctx context.Context, q querier, a Animal, boxes []Box, labels []string) ([]Box, error) {
	var taken []Box
	for _, label := range labels {
		number, n, err := domain.ParseBoxCode("boxes", label)
		if err != nil {
			return nil, err
		}
		if number != a.Number {
			return nil, wrongBox(ctx, q, a, number, n)
		}
		b, found := boxNumbered(boxes, n)
		switch {
		case !found:
			return nil, domain.Wrong("boxes", "%s has no box %d. Read the label again.", string(number), n)
		case b.ReleasedAt != nil:
			return nil, domain.Taken("Box %d of %s has already left: %s, handed over by %s.", n, string(number), *b.ReleasedAt, b.ReleasedBy)
		case !slices.ContainsFunc(taken, func(t Box) bool { return t.N == n }): // scanned twice counts once
			taken = append(taken, b)
		}
	}
	return taken, nil
}

func boxNumbered(boxes []Box, n int) (Box, bool) {
	for _, b := range boxes {
		if b.N == n {
			return b, true
		}
	}
	return Box{}, false
}

// wrongBox says whose box was scanned and where it has to go back to.
func wrongBox(ctx context.Context, q querier, a Animal, number domain.ShopNumber, n int) error {
	other, found, err := one[Box](ctx, q, boxQuery+` WHERE b.animal_id = (SELECT id FROM animals WHERE number = $1) AND b.n = $2`, number, n)
	switch {
	case err != nil:
		return err
	case !found:
		return domain.Refuse("box", "That label says %s box %d, and no such box is known. It is not part of %s.", string(number), n, string(a.Number))
	case other.Place == "":
		return domain.Refuse("box", "That is box %d of %s, not of %s. Put it back; it has no place yet.", n, string(number), string(a.Number))
	}
	return domain.Refuse("box", "That is box %d of %s, not of %s. Put it back to %s.", n, string(number), string(a.Number), other.Place)
}

// write notes who took what, and frees the boxes and the tag.
func (r release) write(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	if _, err := tx.Exec(ctx, `
		INSERT INTO handovers (id, animal_id, collector, authority, seen, tag_returned, remains, balance_cents, balance_why, at, by_staff, strokes)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
		act.ID, a.ID, r.Collector, r.Authority, r.Seen, r.TagBack, r.stays(), r.owed, r.why, act.At, act.Staff, r.strokes); err != nil {
		return err
	}
	ids := make([]uuid.UUID, len(r.taken))
	for i, b := range r.taken {
		ids[i] = b.ID
	}
	if _, err := tx.Exec(ctx, `UPDATE boxes SET released_at = $2, handover_id = $3 WHERE id = ANY ($1)`, ids, act.At, act.ID); err != nil {
		return err
	}
	rows := &pgx.Batch{}
	r.queueThings(rows, act)
	if err := tx.SendBatch(ctx, rows).Close(); err != nil {
		return err
	}
	if r.TagBack {
		if err := takeTags(ctx, tx, act, a.ID, []string{"on-carcass", "on-card", "with-boxes"}, "returned"); err != nil {
			return err
		}
	}
	return nil
}

// stays says what stays behind, the boxes counted for the writer.
func (r release) stays() string { return inOneLine(r.boxesLeft(), r.Remains) }

func (r release) boxesLeft() string {
	if n := r.Here - r.Taken; n > 0 {
		return fmt.Sprintf("%d of %d boxes", n, r.Here)
	}
	return ""
}

// left is the same for the register, whose seal is for good: what was typed may hold a
// name and stands in the hand-over alone.
func (r release) left() string {
	more := ""
	if r.Remains != "" {
		more = "more to come"
	}
	return inOneLine(r.boxesLeft(), more)
}

// typed is what was typed with the hand-over: what is still to come, and why money is
// left owing.
func (r release) typed() string { return inOneLine(r.Remains, r.why) }

// inOneLine joins what is not empty.
func inOneLine(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}

// numbers lists the boxes that leave, such as "1, 2".
func (r release) numbers() string { return boxNumbers(r.taken) }

// fields is what the register keeps of it, at the shop's own time.
func (r release) fields(at time.Time) map[string]string {
	f := map[string]string{"handed_over": at.Format(RegisterTime), "collector": r.Collector, "boxes": r.numbers(), "tag_returned": "no",
		"disposition": r.left()}
	if r.receipt {
		f["receipt_out"] = ReceiptGiven
	}
	if r.TagBack {
		f["tag_returned"] = "yes"
	}
	return f
}

func (r release) detail() map[string]any {
	d := map[string]any{"boxes": r.numbers(), "collector": string(r.Authority)}
	if n := r.Here - r.Taken; n > 0 {
		d["stays"] = domain.Say("%d of %d boxes", n, r.Here).Kept()
	}
	if r.Remains != "" {
		d["still to come"] = true
	}
	if len(r.things) > 0 {
		d["given_back"] = len(r.things)
	}
	if r.TagBack {
		d["tag_back"] = true
	}
	if r.owed > 0 {
		d["unpaid"] = r.owed.String()
	}
	return d
}
