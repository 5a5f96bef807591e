package batches

import (
	"context"
	"slices"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cure"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

func productOptions(ctx context.Context) []ui.Option {
	list := make([]ui.Option, len(batch.Products))
	for i, p := range batch.Products {
		list[i] = ui.Option{Value: string(p), Label: ui.Capital(ui.Say(ctx, p.Words()))}
	}
	return list
}

func kindOptions(ctx context.Context) []ui.Option {
	return []ui.Option{
		{Value: string(batch.Own), Label: ui.T(ctx, "One owner's own"), Note: ui.T(ctx, "from clean machine to clean machine")},
		{Value: string(batch.Pooled), Label: ui.T(ctx, "Pooled"), Note: ui.T(ctx, "several owners who said yes")},
	}
}

func yesNo(ctx context.Context) []ui.Option {
	return []ui.Option{{Value: "no", Label: ui.T(ctx, "No")}, {Value: "yes", Label: ui.T(ctx, "Yes")}}
}

func methodOptions(ctx context.Context, p batch.Product) []ui.Option {
	var list []ui.Option
	for _, m := range p.Methods() {
		list = append(list, ui.Option{Value: string(m), Label: ui.Capital(ui.Say(ctx, m.Words())), Note: ui.T(ctx, "limit %d ppm", int(m.Limit()))})
	}
	return list
}

func machineOptions(list []db.Machine) []ui.Option {
	out := make([]ui.Option, len(list))
	for i, m := range list {
		out[i] = ui.Option{Value: strconv.Itoa(int(m.ID)), Label: ui.Capital(m.Name)}
	}
	return out
}

func levelOptions(ctx context.Context) []ui.Option {
	list := make([]ui.Option, len(batch.Levels))
	for i, l := range batch.Levels {
		list[i] = ui.Option{Value: string(l), Label: ui.Capital(ui.Say(ctx, l.Words()))}
	}
	return list
}

// secondOptions are the others who work here.
func secondOptions(ctx context.Context, staff []db.Staff) []ui.Option {
	var list []ui.Option
	for _, s := range staff {
		if s.ID != signin.Holder(ctx).Staff.ID {
			list = append(list, ui.Option{Value: s.ID.String(), Label: s.Name})
		}
	}
	return list
}

func spotOptions(ctx context.Context, spots []db.Spot) []ui.Option {
	var list []ui.Option
	for _, s := range spots {
		list = append(list, ui.Option{Value: strconv.Itoa(s.ID), Label: s.Room + " " + s.Name})
	}
	return list
}

// named is the batch as people say it: "B3, summer sausage, jalapeno".
func named(ctx context.Context, b db.Batch) string {
	said := ui.Say(ctx, b.Product.Words())
	if b.Flavour != "" {
		said += ", " + b.Flavour
	}
	return ui.Capital(said)
}

// mixture says whose meat it is and what is added, without leaving a blank.
func mixture(ctx context.Context, b db.Batch) string {
	kind := ui.Capital(ui.Say(ctx, b.Kind.Words()))
	switch {
	case b.Pork && b.Beef:
		return ui.T(ctx, "%s; pork and beef added", kind)
	case b.Pork:
		return ui.T(ctx, "%s; pork added, no beef", kind)
	case b.Beef:
		return ui.T(ctx, "%s; beef added, no pork", kind)
	}
	return ui.T(ctx, "%s; no pork and no beef added", kind)
}

func listLine(ctx context.Context, b db.Batch) ui.LineView {
	l := ui.LineView{Title: ui.T(ctx, "B%s: %s", strconv.Itoa(b.Number), named(ctx, b)), Href: where(b.Number), Act: ui.T(ctx, "Open"),
		Note: ui.T(ctx, "%s. %s. %s in, %s.", ui.Capital(ui.Say(ctx, b.Status.Words())), mixture(ctx, b), b.InKg(), ui.T(ctx, "%d animals", b.Animals))}
	return l
}

// atLimit says how much of the usual cure brings what is in to its limit.
func atLimit(ctx context.Context, v view) string {
	for _, m := range v.Product.Methods() {
		if m.Pickle() {
			continue
		}
		g, err := cure.AtLimit(cure.Cure{Method: m, Meat: v.InKg(), Fraction: 0.0625})
		if err != nil {
			return ""
		}
		return ui.T(ctx, "On the %s that are in, %.1f g of a 6.25 %% cure come to the limit of %d ppm. Read the percent on your own bag.", v.InKg(), g, int(m.Limit()))
	}
	return ""
}

// expected says what usually comes out.
func expected(ctx context.Context, v view) string {
	usual, low, high, ok := v.Product.Expected(v.InKg())
	if !ok || v.InKg() == 0 {
		return ""
	}
	return ui.T(ctx, "usually %s, %s to %s", usual, low, high)
}

func runTitle(ctx context.Context, r db.MachineRun) string {
	switch {
	case r.Clean != "":
		return ui.T(ctx, "%s: %s", ui.Capital(r.Machine), ui.Say(ctx, r.Clean.Words()))
	case r.Batch != 0:
		return ui.T(ctx, "%s: batch B%s, %s", ui.Capital(r.Machine), strconv.Itoa(r.Batch), r.Product.Words())
	}
	return ui.T(ctx, "%s: %s", ui.Capital(r.Machine), string(r.Number))
}

func runLine(ctx context.Context, r db.MachineRun) ui.LineView {
	l := ui.LineView{Title: runTitle(ctx, r), Note: ui.T(ctx, "%s, %s", ui.Moment(ctx, r.At), r.By)}
	if r.Why != "" {
		l.Note += ", " + r.Why
	}
	if r.Batch != 0 {
		l.Href = where(r.Batch)
	} else if r.Number != "" {
		l.Href = "/animals/" + string(r.Number)
	}
	return l
}

// cookState is one of the two tables, as a notice.
func cookState(ctx context.Context, met bool, words domain.Words) string {
	if met {
		return ui.T(ctx, "Met the table. %s", words)
	}
	return ui.Say(ctx, words)
}

func degrees(f int) domain.Celsius { return domain.Fahrenheit(float64(f)) }

// mayReopen reports whether it can go a step back: mixed, or finished with no share given.
func (v view) mayReopen() bool {
	return v.Status == db.BatchMixed || v.Status == db.BatchFinished && !v.given()
}

// onPage reports whether the form with the error is shown in this status.
func (v view) onPage() bool {
	which := v.Form.Which
	switch {
	case which == "destroy":
		return v.Status != db.BatchGiven && v.Status != db.BatchDestroyed
	case which == "reopen":
		return v.mayReopen()
	case which == "machine":
		return v.Status == db.BatchOpen || v.Status == db.BatchMixed
	case which == "add" || which == "blend" || which == "mix":
		return v.Status == db.BatchOpen
	case which == "lot":
		return v.Status == db.BatchOpen && (v.Pork || v.Beef)
	case which == "cure":
		return v.Status == db.BatchOpen && !v.Product.Fresh()
	case which == "probe":
		return v.Status == db.BatchMixed && !v.Product.Fresh()
	case which == "accept":
		return v.Status == db.BatchMixed && len(v.Probes) > 0 && !v.Tables.Met() && v.AcceptedBy == ""
	case which == "finish":
		return v.Status == db.BatchMixed
	}
	for _, s := range v.Shares {
		if which == "give-"+string(s.Number) {
			return s.GivenAt == nil
		}
	}
	return false
}

// pickled reports whether the product may be cured in a pickle.
func (v view) pickled() bool {
	for _, m := range v.Product.Methods() {
		if m.Pickle() {
			return true
		}
	}
	return false
}

// cooking reports a batch whose probe asks for something: more heat, or quicker cold.
func (v view) cooking() bool {
	return len(v.Probes) > 0 && !(v.Tables.Cooked.Met && v.Tables.Cooled.Met)
}

// livestock reports whether the dwell of the table of cooking counts here.
func (v view) livestock() bool { return v.Tables.Need.Dwell }

// logKill sums the readings: between two the colder one counts.
func (v view) logKill() float64 {
	var held []cure.Held
	list := slices.DeleteFunc(slices.Clone(v.Probes), func(p db.BatchProbe) bool { return p.Replaced })
	for i := 1; i < len(list); i++ {
		held = append(held, cure.Held{Temp: min(list[i-1].LowC, list[i].LowC), For: list[i].At.Sub(list[i-1].At)})
	}
	return cure.LogKill(held)
}

func addedOptions(ctx context.Context, b db.Batch) []ui.Option {
	var list []ui.Option
	if b.Pork {
		list = append(list, ui.Option{Value: "pork", Label: ui.T(ctx, "Pork")})
	}
	if b.Beef {
		list = append(list, ui.Option{Value: "beef", Label: ui.T(ctx, "Beef")})
	}
	return list
}

func lotWords(ctx context.Context, l db.BatchLot) string {
	said := ui.T(ctx, "%s of the shop: %s, %s", lotTitle(l), l.Supplier, l.Mark)
	if l.Lot != "" {
		said += ", " + l.Lot
	}
	return said
}

func cureLine(ctx context.Context, c db.BatchCure) ui.LineView {
	l := ui.LineView{Title: ui.Say(ctx, cure.Reckoned{PPM: c.PPM, Limit: c.Method.Limit(), Verdict: c.Verdict}.Words()),
		Note: ui.T(ctx, "%.1f g of lot %s on %s, weighed by %s, looked at by %s, %s", c.CureG, c.Lot, c.MeatKg, c.By, c.Second, ui.Moment(ctx, c.At))}
	if c.Why != "" {
		l.Note += ". " + c.Why
	}
	return l
}

func shareLine(ctx context.Context, s db.BatchShare) ui.LineView {
	whose := ui.Named(ctx, s.Owner)
	if whose == "" {
		whose = ui.T(ctx, "owner not told")
	}
	l := ui.LineView{Mark: ui.TagLink(s.Number), Title: ui.T(ctx, "%s, %s: %s", string(s.Number), whose, ui.T(ctx, "%d packs", s.Packs)),
		Note: ui.T(ctx, "%s in, %s out before whole packs", s.InputKg, s.ExactKg)}
	if s.GivenAt != nil {
		l.Note += ", " + ui.T(ctx, "with its boxes since %s", ui.Moment(ctx, *s.GivenAt))
	}
	return l
}

func orDash(ctx context.Context, c *domain.Celsius) string {
	if c == nil {
		return "–"
	}
	return ui.Temp(ctx, *c)
}

func lotTitle(l db.BatchLot) domain.Words {
	if l.Kind == "pork" {
		return domain.Say("Pork")
	}
	return domain.Say("Beef")
}

// span is a time of a table: seconds stay seconds, none is at once.
func span(ctx context.Context, d time.Duration) string {
	switch {
	case d == 0:
		return ui.T(ctx, "at once")
	case d%time.Minute != 0:
		return ui.T(ctx, "%d s", int(d.Seconds()))
	case d < 3*time.Hour:
		return ui.T(ctx, "%d min", int(d.Minutes()))
	}
	return ui.T(ctx, "%.1f h", d.Hours())
}

// given reports whether any share is with its boxes.
func (v view) given() bool {
	for _, s := range v.Shares {
		if s.GivenAt != nil {
			return true
		}
	}
	return false
}
