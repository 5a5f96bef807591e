package money

import (
	"context"
	"net/http"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/web/ui"

	"github.com/google/uuid"
)

// bringer stands in a form for whoever brought the animal, whose portion is empty.
const bringer = "-"

// paying is whose share the money is for and who pays it.
func (f form) paying() db.Paying { return db.Paying{Portion: portionOf(f.Portion), Payer: f.Payer} }

func portionOf(typed string) cutting.Portion {
	if typed == bringer {
		return cutting.WholeAnimal
	}
	return cutting.Portion(typed)
}

// Give serves POST /animals/{number}/money/give: a line of a shared animal's bill goes
// to one owner whole.
func (p *Pages) Give(w http.ResponseWriter, r *http.Request) error {
	return p.do(w, r, "give", func(ctx context.Context, act db.Act, n domain.ShopNumber, f form) error {
		charge, err := uuid.Parse(f.Line)
		if err != nil {
			return domain.Wrong("line", "Choose the line.")
		}
		if f.To == "" {
			return domain.Wrong("to", "Choose whose line it is.")
		}
		return p.DB.GiveLine(ctx, act, n, charge, portionOf(f.To))
	})
}

// shareWords names a share and whose it is, for whoever stands at the counter.
func shareWords(ctx context.Context, s db.ShareAccount) string {
	switch {
	case s.Portion == cutting.WholeAnimal:
		return ui.T(ctx, "Whoever brought it")
	case s.Whose == "":
		return ui.T(ctx, "%s, owner not known", s.Portion.Words())
	}
	return ui.T(ctx, "%s: %s", s.Portion.Words(), s.Whose)
}

// shareOptions are the shares to choose from, with what each owes.
func shareOptions(ctx context.Context, shares []db.ShareAccount) []ui.Option {
	options := make([]ui.Option, len(shares))
	for i, s := range shares {
		options[i] = ui.Option{Value: string(s.Portion), Label: shareWords(ctx, s), Note: s.Balance().String()}
		if s.Portion == cutting.WholeAnimal {
			options[i].Value = bringer
		}
	}
	return options
}

// toOptions add whoever brought it where nothing is theirs yet.
func toOptions(ctx context.Context, shares []db.ShareAccount) []ui.Option {
	options := shareOptions(ctx, shares)
	for i := range options {
		options[i].Note = ""
	}
	if len(shares) > 0 && shares[0].Portion == cutting.WholeAnimal {
		return options
	}
	return append([]ui.Option{{Value: bringer, Label: ui.T(ctx, "Whoever brought it")}}, options...)
}

// lineOptions are the lines of the bill, each once.
func lineOptions(shares []db.ShareAccount) []ui.Option {
	var options []ui.Option
	sums, at := map[uuid.UUID]domain.Cents{}, map[uuid.UUID]int{}
	for _, s := range shares {
		for _, l := range s.Lines {
			if _, known := at[l.Charge]; !known {
				at[l.Charge] = len(options)
				options = append(options, ui.Option{Value: l.Charge.String(), Label: l.Label})
			}
			sums[l.Charge] += l.Cents
			options[at[l.Charge]].Note = sums[l.Charge].String()
		}
	}
	return options
}

// receiptPath is the paper of one share alone.
func receiptPath(v view, s db.ShareAccount) string {
	share := string(s.Portion)
	if share == "" {
		share = bringer
	}
	return "/animals/" + string(v.Animal.Number) + "/receipt?share=" + share
}
