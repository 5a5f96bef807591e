package label

import (
	"context"
	"net/http"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// dropPaper is what the two papers of a drop-off carry.
type dropPaper struct {
	printing // of the tag
	Animal   db.Animal
	Owner    string
	Reach    db.Owner  // the owner with phone and address, on their own slip alone
	Tag      db.TagRow // none: empty
	Where    []db.Hangs
	Code     Symbol // Code 128 of the seven digits
	Square   Symbol // QR of the number, or of the hunter's link
	Link     string
}

// Slip serves GET /animals/{number}/slip: what the owner takes home
// with the names, addresses and phones of owner and shop, date and time, animal
// and tag number. Source: Colorado's receipt at delivery, trade.md 1.4.
func (p *Pages) Slip(w http.ResponseWriter, r *http.Request) error {
	d, err := p.dropPaper(r)
	if err != nil {
		return err
	}
	if d.Reach, err = p.DB.OwnerToWrite(r.Context(), d.Animal.Number); err != nil {
		return err
	}
	if d.Reach.Address != "" {
		if err := signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Number: d.Animal.Number, Page: "slip", Shown: []domain.Private{domain.Addresses}}); err != nil {
			return err
		}
	}
	if p.Link != nil {
		d.Link = p.Link(d.Animal)
		if d.Square, err = QR(d.Link, Bold); err != nil {
			return err
		}
	}
	return ui.Render(w, r, http.StatusOK, dropSheet(d))
}

// RailTag serves GET /animals/{number}/tag: the tag that hangs with the carcass.
func (p *Pages) RailTag(w http.ResponseWriter, r *http.Request) error {
	d, err := p.dropPaper(r)
	if err != nil {
		return err
	}
	if d.Code, err = Code128(d.Animal.Number.Digits(), Bold, 20); err != nil {
		return err
	}
	if d.Square, err = QR(d.Animal.Number.Digits(), 1); err != nil {
		return err
	}
	if d.printing, err = p.printing(r, "tag", "", 1, "/dropoff/"+string(d.Animal.Number)+"/hung"); err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, tagSheet(d))
}

func (p *Pages) dropPaper(r *http.Request) (d dropPaper, err error) {
	ctx, number := r.Context(), ui.ShopNumber(r)
	if d.Animal, err = p.DB.Animal(ctx, number); err != nil {
		return d, err
	}
	if d.Owner, err = p.DB.OwnerOf(ctx, number); err != nil {
		return d, err
	}
	if d.Where, err = p.DB.WhereHangs(ctx, d.Animal.ID); err != nil {
		return d, err
	}
	tags, err := p.DB.OfficialTags(ctx, d.Animal.ID)
	if err != nil {
		return d, err
	}
	if len(tags) > 0 {
		d.Tag = tags[0]
	}
	d.Code, err = Code128(number.Digits(), Plain, 10)
	return d, err
}

// describe says the animal as a receipt must: kind, sex and points.
func (d dropPaper) describe(ctx context.Context) string {
	text := ui.Say(ctx, d.Animal.Species.Words())
	if d.Animal.Sex != "" {
		text += ", " + ui.T(ctx, string(d.Animal.Sex))
	}
	if d.Animal.Points != nil && *d.Animal.Points > 0 {
		text += ", " + ui.T(ctx, "%d points", *d.Animal.Points)
	}
	return text
}

// reachWords is the owner as the slip names them; what was not told has a line to
// write on.
func reachWords(ctx context.Context, o db.Owner) string {
	address := ui.Private(ctx, domain.Addresses, o.Address)
	if address == "" {
		address = ui.T(ctx, "address: ____________________")
	}
	if o.Phone == "" {
		return ownerWords(ctx, o.Name) + ", " + address
	}
	return ownerWords(ctx, o.Name) + ", " + address + ", " + ui.Private(ctx, domain.Phones, o.Phone)
}
