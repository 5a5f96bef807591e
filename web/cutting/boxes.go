package cutting

import (
	"context"
	"net/http"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	domaincutting "coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// mostBoxes is how many boxes one form can fill; a bull elk takes eight.
const mostBoxes = 12

// BoxUp serves POST /cutting/{number}/boxes: every pack into a box, every box
// on its place.
func (p *Pages) BoxUp(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return err
	}
	f := tableForm{Which: "boxes", Act: r.FormValue("act"), Places: r.Form["place"], Boxes: map[uuid.UUID]string{}}
	for i, id := range r.Form["pack"] {
		pack, err := uuid.Parse(id)
		if err == nil && i < len(r.Form["box"]) {
			f.Boxes[pack] = r.Form["box"][i]
		}
	}
	if r.FormValue("more") != "" {
		return p.oneMoreBox(w, r, f)
	}
	return p.do(w, r, f, func(ctx context.Context, act db.Act, n domain.ShopNumber) error {
		boxes, err := f.boxes()
		if err != nil {
			return err
		}
		return p.DB.BoxUp(ctx, act, n, boxes)
	})
}

// oneMoreBox shows the form again with a place more, everything typed kept.
func (p *Pages) oneMoreBox(w http.ResponseWriter, r *http.Request, f tableForm) error {
	v, err := p.table(r.Context(), ui.ShopNumber(r))
	if err != nil {
		return err
	}
	if v.Form = f; len(f.Places) < mostBoxes {
		v.Form.Places = append(v.Form.Places, "")
	}
	v.proposeBoxes()
	return ui.Render(w, r, http.StatusOK, tablePage(v, nil))
}

// boxes reads which pack goes into which box and where that stands.
func (f tableForm) boxes() ([]db.NewBox, error) {
	var boxes []db.NewBox
	for pack, typed := range f.Boxes {
		n, err := strconv.Atoi(typed)
		if err != nil || n < 1 || n > mostBoxes {
			return nil, domain.Wrong("box", "Boxes are numbered from 1 to %d.", mostBoxes)
		}
		for len(boxes) < n {
			boxes = append(boxes, db.NewBox{N: len(boxes) + 1})
		}
		boxes[n-1].Packs = append(boxes[n-1].Packs, pack)
	}
	for i := range boxes {
		if i < len(f.Places) {
			boxes[i].Place, _ = strconv.Atoi(f.Places[i]) // no number is no place, and db says so
		}
	}
	return boxes, nil
}

// fillBoxes gives each line of packs a box, each owner boxes of their own.
func (v tableView) fillBoxes() (in []int, boxes int) {
	in = make([]int, len(v.Packs))
	var owners []domaincutting.Portion
	for _, k := range v.Packs {
		if !slices.Contains(owners, k.Portion) {
			owners = append(owners, k.Portion)
		}
	}
	for _, owner := range owners {
		var at []int
		var kilograms []domain.Kilogram
		for i, k := range v.Packs {
			if k.Portion == owner {
				at, kilograms = append(at, i), append(kilograms, k.NetKg)
			}
		}
		mine, n := domaincutting.FillBoxes(kilograms)
		for i, box := range mine {
			in[at[i]] = boxes + box
		}
		boxes += n
	}
	return in, boxes
}

// proposeBoxes fills in the form what nobody has chosen yet.
func (v *tableView) proposeBoxes() {
	if !v.InPieces() {
		return
	}
	in, boxes := v.fillBoxes()
	if v.Form.Boxes == nil {
		v.Form.Boxes = map[uuid.UUID]string{}
		for i, k := range v.Packs {
			v.Form.Boxes[k.ID] = strconv.Itoa(in[i])
		}
	}
	for _, typed := range v.Form.Boxes { // a box that was typed is asked where it stands
		if n, err := strconv.Atoi(typed); err == nil {
			boxes = max(boxes, n)
		}
	}
	for len(v.Form.Places) < min(max(boxes, 1), mostBoxes) {
		v.Form.Places = append(v.Form.Places, "")
	}
}
