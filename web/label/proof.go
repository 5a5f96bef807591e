package label

import (
	"context"
	"net/http"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/domain/hold"
	"coldrail/web/ui"
)

// proof is everything the book has that answers "is this my deer?" (trade.md
// 6.9): from the tag at the door to the box, each with its time and its name.
type proof struct {
	db.Record
	Owner    string
	Stood    []db.Stood
	Looks    []db.LookRow
	Sitting  []db.Sitting
	Packs    []db.PackLine
	Trims    []db.TrimLine
	Pieces   []db.Piece
	Boxes    []db.BoxLine
	Left     []db.Handover
	Doubts   []db.Hold // for its identity, open and closed
	Closure  domaincutting.Closure
	Mixed    []domaincutting.Neighbour
	Line     []db.Happening
	Printed  time.Time
	Code     Symbol
	AllPacks int
}

// Proof serves GET /animals/{number}/proof.
func (p *Pages) Proof(w http.ResponseWriter, r *http.Request) error {
	v, err := p.proof(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	return ui.Render(w, r, http.StatusOK, proofSheet(v))
}

func (p *Pages) proof(ctx context.Context, n domain.ShopNumber) (v proof, err error) {
	v.Printed = p.Now()
	if v.Record, err = p.DB.Record(ctx, n, v.Printed); err != nil {
		return v, err
	}
	var holds []db.Hold
	for _, read := range []func() error{
		func() error { v.Owner, err = p.DB.OwnerOf(ctx, n); return err },
		func() error { v.Stood, err = p.DB.StoodAt(ctx, v.Animal.ID); return err },
		func() error { v.Looks, err = p.DB.LooksAt(ctx, n); return err },
		func() error { v.Sitting, err = p.DB.Sittings(ctx, n); return err },
		func() error { v.Packs, err = p.DB.Packs(ctx, n); return err },
		func() error { v.Trims, err = p.DB.Trims(ctx, n); return err },
		func() error { v.Pieces, err = p.DB.Pieces(ctx, n); return err },
		func() error { v.Boxes, err = p.DB.Boxes(ctx, n); return err },
		func() error { v.Left, err = p.DB.Handovers(ctx, v.Animal.ID); return err },
		func() error { v.Closure, err = p.DB.Closure(ctx, n); return err },
		func() error { v.Line, err = p.DB.TimeLine(ctx, v.Animal.ID); return err },
		func() error { holds, err = p.DB.Holds(ctx, n); return err },
		func() error { v.Code, err = Code128(n.Digits(), Plain, 10); return err },
	} {
		if err := read(); err != nil {
			return v, err
		}
	}
	for _, h := range holds {
		if h.Kind == hold.Identity {
			v.Doubts = append(v.Doubts, h)
		}
	}
	for _, k := range v.Packs {
		v.AllPacks += k.Count
	}
	around, err := p.DB.Neighbours(ctx, n)
	v.Mixed = domaincutting.MixUp(v.Closure, around)
	return v, err
}

// mostPhotos is how many pictures the page has room for.
const mostPhotos = 4

// photos lists the ids of the latest pictures taken at looks.
func (v proof) photos() (ids []string) {
	for _, l := range v.Looks {
		for _, id := range l.Photos {
			if len(ids) < mostPhotos {
				ids = append(ids, id.String())
			}
		}
	}
	return ids
}

// who lists everybody who had a hand in it, as the time line has them, the first
// one first.
func (v proof) who() string {
	var names []string
	seen := map[string]bool{"": true}
	for i := len(v.Line) - 1; i >= 0; i-- {
		if by := v.Line[i].By; !seen[by] {
			seen[by] = true
			names = append(names, by)
		}
	}
	return strings.Join(names, ", ")
}

// stoodSaid is one place and its times.
func stoodSaid(ctx context.Context, s db.Stood) string {
	said := ui.T(ctx, "%s %s, since %s and still there, hung by %s", s.Room, s.Place, ui.Moment(ctx, s.Since), s.By)
	if s.Until != nil {
		said = ui.T(ctx, "%s %s, %s to %s, hung by %s", s.Room, s.Place, ui.Moment(ctx, s.Since), ui.Moment(ctx, *s.Until), s.By)
	}
	if s.Mark != "" {
		said = ui.Side(ctx, s.Mark) + ": " + said
	}
	return said
}

// lookSaid is one look in a line.
func lookSaid(ctx context.Context, l db.LookRow) string {
	said := ui.T(ctx, "%s, %s: smell %s, surface %s", l.At, l.By, l.Smell.Words(), l.Surface.Words())
	for _, m := range l.Mould {
		said += "; " + ui.T(ctx, "mold %s, %s, %s", m.Site.Words(), m.Colour.Words(), m.Length)
	}
	return said
}

// tableSaid is one time on the table: which number was read, by whom, how long.
func tableSaid(ctx context.Context, v proof, s db.Sitting) string {
	said := ui.T(ctx, "%s: %s read %s off the tag, the same as on the card. Order version %d. %d minutes, cut by %s", s.StartedAt, s.StartedBy,
		string(v.Animal.Number), s.Version, s.Minutes(v.Printed), strings.Join(s.Cutters, ", "))
	if s.WhyNotNext != "" {
		said += ". " + ui.T(ctx, "Taken before %s: %s", string(s.InsteadOf), s.WhyNotNext)
	}
	return said
}

func weighingSaid(ctx context.Context, w db.Weighed) string {
	how := ui.T(ctx, "typed")
	if w.Scale != "" {
		how = ui.T(ctx, "read from scale %s", w.Scale)
	}
	what := map[string]string{"field-dressed": "field dressed", "hanging": "hanging", "boned": "boned", "trim": "trim"}[w.Purpose]
	said := ui.T(ctx, what)
	if w.Part != "" {
		said += ", " + ui.Side(ctx, w.Part)
	}
	return ui.T(ctx, "%s: %s gross, %s tare, %s net, %s, %s %s", said, w.GrossKg, w.TareKg, w.NetKg, how, w.By, w.At)
}

func packSaid(ctx context.Context, k db.PackLine) string {
	how := ui.T(ctx, "typed")
	if k.Scale != "" {
		how = ui.T(ctx, "scale %s", k.Scale)
	}
	box := ui.T(ctx, "no box")
	if k.Box > 0 {
		box = ui.T(ctx, "box %d", k.Box)
	}
	return ui.T(ctx, "%s, %s, %s, %s", box, how, k.By, ui.Moment(ctx, k.WrappedAt))
}

func boxSaid(ctx context.Context, b db.BoxLine) string {
	said := ui.T(ctx, "Box %d: %d packs, %s, %s %s", b.N, b.Packs, b.NetKg, b.Room, b.Place)
	if b.ReleasedAt != nil {
		said += ", " + ui.T(ctx, "went home %s", *b.ReleasedAt)
	}
	return said
}

func pieceLineSaid(ctx context.Context, p db.Piece) string {
	said := ui.T(ctx, "%s-%s: %s", string(p.Number), p.Mark, p.Kind.Words())
	if p.Kg != nil {
		said += ", " + ui.Weight(ctx, *p.Kg)
	}
	if p.GoneAt != nil {
		said += ", " + ui.T(ctx, "%s, %s, %s", domaincutting.WayWords(p.GoneTo), p.GoneBy, *p.GoneAt)
	}
	return said
}

func tagLine(ctx context.Context, t db.TagRow) string {
	return ui.T(ctx, "%s of %s, read %s", t.Number, t.State, t.ReadAt)
}

func doubtSaid(ctx context.Context, h db.Hold) string {
	said := ui.T(ctx, "%s, held %s by %s", h.Why, h.OpenedAt, h.OpenedBy)
	if h.Open() {
		return said + ". " + ui.T(ctx, "Not settled yet.")
	}
	return said + ". " + ui.T(ctx, "Settled %s by %s: %s", h.ClosedAt, h.ClosedBy, h.Evidence)
}
