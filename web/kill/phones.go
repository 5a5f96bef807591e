package kill

import (
	"context"
	"slices"
	"strconv"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/web/ui"
)

// phoneTyped is a stored number as it stands in a field: empty for whoever's work does
// not need it.
func phoneTyped(ctx context.Context, phone string) string {
	if !ui.MaySee(ctx, domain.Phones) {
		return ""
	}
	return phone
}

// unshown is the number that stands in a row and that whoever fills it in is not shown.
func (v killView) unshown(ctx context.Context, s shareForm) string {
	if b, ok := s.standing(v.Shares); ok && !ui.MaySee(ctx, domain.Phones) {
		return b.Phone
	}
	return ""
}

// standing is the owner who was in these fields when the form was shown.
func (s shareForm) standing(shares []cutting.Buyer) (b cutting.Buyer, ok bool) {
	row, err := strconv.Atoi(s.Row)
	if err != nil || row < 1 || row > len(shares) {
		return b, false
	}
	return shares[row-1], true
}

// kill reads what was typed. Where whoever typed it was shown no numbers, an empty field
// is a number they did not touch.
func (p *Pages) kill(ctx context.Context, n domain.ShopNumber, f killForm) (cutting.Kill, error) {
	if ui.MaySee(ctx, domain.Phones) {
		return f.kill(ctx)
	}
	a, err := p.DB.Animal(ctx, n)
	if err != nil {
		return cutting.Kill{}, err
	}
	stands, err := p.DB.KilledOf(ctx, a)
	if err != nil {
		return cutting.Kill{}, err
	}
	f.Shares = slices.Clone(f.Shares) // the form is shown again as it was typed
	for i, s := range f.Shares {
		if s.Phone == "" && !s.Else {
			f.Shares[i].Phone = f.kept(s, stands.Shares)
		}
	}
	return f.kill(ctx)
}

// kept is the stored number of the owner in a row: that of the same name in the same row,
// then in any, then that of the row, whose name was put right. Who is written in another
// row now has it there.
func (f killForm) kept(s shareForm, stands []cutting.Buyer) string {
	was, ok := s.standing(stands)
	if ok && was.Name == s.Name {
		return was.Phone
	}
	for _, b := range stands {
		if b.Name == s.Name {
			return b.Phone
		}
	}
	if !ok || slices.ContainsFunc(f.Shares, func(o shareForm) bool { return o.Name == was.Name }) {
		return ""
	}
	return was.Phone
}
