package pickup

import (
	"context"

	"coldrail/db"
	"coldrail/domain/cutting"
	"coldrail/web/ui"
)

// shareLine is one owner of a shared animal at the counter.
type shareLine struct {
	db.ShareAccount
	Link string // their own page; empty for whoever brought it, and where no owner is known
}

func (p *Pages) shareLines(ctx context.Context, a db.Animal) ([]shareLine, error) {
	accounts, err := p.DB.ShareAccounts(ctx, a)
	lines := make([]shareLine, len(accounts))
	for i, s := range accounts {
		lines[i].ShareAccount = s
		if s.Portion != cutting.WholeAnimal && s.Whose != "" {
			lines[i].Link = p.ShareLink(a, s.Portion)
		}
	}
	return lines, err
}

// said names the share and its owner.
func (s shareLine) said(ctx context.Context) string {
	switch {
	case s.Portion == cutting.WholeAnimal:
		return ui.T(ctx, "Whoever brought it")
	case s.Whose == "":
		return ui.T(ctx, "%s, owner not known", s.Portion.Words())
	}
	return ui.T(ctx, "%s: %s", s.Portion.Words(), s.Whose)
}

// receiptOf is the paper of one share, or of an animal that is not shared.
func receiptOf(v counterView, p cutting.Portion) string {
	at := "/animals/" + string(v.Animal.Number) + "/receipt"
	if p != cutting.WholeAnimal {
		at += "?share=" + string(p)
	}
	return at
}
