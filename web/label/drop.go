package label

import (
	"context"
	"net/http"
	"slices"
	"unicode/utf8"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// dropPaper is what the two papers of a drop-off carry.
type dropPaper struct {
	printing // of the tag
	Animal   db.Animal
	Owner    string
	Storage  billing.StorageRule // as it was when it came in
	Slips    []slip
	Paid     domain.Cents // of an animal that is not shared
	Tag      db.TagRow    // none: empty
	Where    []db.Hangs
	Code     Symbol // Code 128 of the seven digits
	Square   Symbol // QR of the number
}

// slip is the paper of one owner, with the link of what is theirs.
type slip struct {
	Reach  db.Owner // phone and address on the slip of whoever the animal stands for alone
	Shares bool     // it names a share, not the animal
	Link   string
	Square Symbol // QR of the link
}

// Slip serves GET /animals/{number}/slip: what the owner takes home
// with the names, addresses and phones of owner and shop, date and time, animal
// and tag number. Source: Colorado's receipt at delivery, trade.md 1.4.
func (p *Pages) Slip(w http.ResponseWriter, r *http.Request) error {
	d, err := p.dropPaper(r)
	if err != nil {
		return err
	}
	owner, err := p.DB.OwnerToWrite(r.Context(), d.Animal.Number)
	if err != nil {
		return err
	}
	if owner.Address != "" {
		if err := signin.Look(r.Context(), p.DB, p.Now(), db.Looked{Number: d.Animal.Number, Page: "slip", Shown: []domain.Private{domain.Addresses}}); err != nil {
			return err
		}
	}
	if d.Storage, err = p.DB.StorageAtDoor(r.Context(), d.Animal); err != nil {
		return err
	}
	if d.Slips, err = p.slips(r.Context(), d.Animal, owner); err != nil {
		return err
	}
	if len(d.Slips) == 1 && !d.Slips[0].Shares {
		account, err := p.DB.Account(r.Context(), d.Animal.Number)
		if err != nil {
			return err
		}
		d.Paid = account.Invoice().Received()
	}
	return ui.Render(w, r, http.StatusOK, dropSheet(d))
}

// slips are the papers of a drop-off: one, or one for each owner of a shared animal
// with that share's own link. Who brought it and owns no share has the animal's.
func (p *Pages) slips(ctx context.Context, a db.Animal, owner db.Owner) ([]slip, error) {
	shares, err := p.DB.OwnShares(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	var list []slip
	for _, s := range shares {
		one := slip{Reach: db.Owner{Name: s.Whose}, Shares: true}
		if s.Brought {
			one.Reach = owner
		}
		if p.ShareLink != nil {
			one.Link = p.ShareLink(a, s.Portion)
		}
		list = append(list, one)
	}
	if !slices.ContainsFunc(shares, func(s db.OwnShare) bool { return s.Brought }) {
		whole := slip{Reach: owner}
		if p.Link != nil {
			whole.Link = p.Link(a)
		}
		list = slices.Insert(list, 0, whole)
	}
	for i := range list {
		if list[i].Link != "" {
			if list[i].Square, err = QR(list[i].Link, Bold); err != nil {
				return nil, err
			}
		}
	}
	return list, nil
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

// full reports whether the rail tag has so much to say that it is set smaller: more than
// two lines below the day, or a day and places that take more than one.
func (d dropPaper) full() bool {
	letters := utf8.RuneCountInString(d.Animal.Keeps)
	if d.Animal.Door == "damaged" {
		letters += aTagLine
	}
	places := 0
	for _, h := range d.Where {
		places += utf8.RuneCountInString(h.Rail)
	}
	return letters+places > 2*aTagLine
}

// aTagLine is how many letters of a wish stand on one line of a rail tag.
const aTagLine = 28

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
func (s slip) reachWords(ctx context.Context) string {
	o := s.Reach
	if s.Shares && o.Phone == "" && o.Address == "" {
		return ui.T(ctx, "%s, a share of it", ownerWords(ctx, o.Name))
	}
	address := ui.Private(ctx, domain.Addresses, o.Address)
	if address == "" {
		address = ui.T(ctx, "address: ____________________")
	}
	if o.Phone == "" {
		return ownerWords(ctx, o.Name) + ", " + address
	}
	return ownerWords(ctx, o.Name) + ", " + address + ", " + ui.Private(ctx, domain.Phones, o.Phone)
}
