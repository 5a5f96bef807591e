package db

import (
	"context"
	"slices"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// ShareAccount is the money of one owner of a shared animal. The whole portion is
// whoever brought it: lines that are theirs alone, such as the kill.
type ShareAccount struct {
	Portion  cutting.Portion
	Whose    string // as the order has it; empty: not known yet
	Lines    []ShareLine
	Payments []Payment
	Deposit  domain.Cents // of what was paid for the whole animal, this share's part
}

// ShareLine is what one share owes of one line of the bill.
type ShareLine struct {
	Charge uuid.UUID
	Code   string
	Label  string
	Why    string
	Cents  domain.Cents
}

// Billed is the sum of the share's lines.
func (s ShareAccount) Billed() (sum domain.Cents) {
	for _, l := range s.Lines {
		sum += l.Cents
	}
	return sum
}

// Received is what was paid for the share, less what was given back.
func (s ShareAccount) Received() domain.Cents {
	sum := s.Deposit
	for _, p := range s.Payments {
		sum += p.Cents
	}
	return sum
}

// Balance is what the share still owes; below zero the shop owes its owner.
func (s ShareAccount) Balance() domain.Cents { return s.Billed() - s.Received() }

// Invoice is the share's own bill, as the domain reckons with it.
func (s ShareAccount) Invoice() billing.Invoice {
	var i billing.Invoice
	for _, l := range s.Lines {
		i.Lines = append(i.Lines, billing.Line{Code: l.Code, Label: l.Label, Quantity: 1, Unit: billing.UnitEach, Price: l.Cents, Total: l.Cents, Why: l.Why})
	}
	i.Payments = append(i.Payments, billing.Payment{Purpose: billing.Deposit, Cents: s.Deposit})
	for _, p := range s.Payments {
		i.Payments = append(i.Payments, billing.Payment{Purpose: p.Purpose, Cents: p.Cents})
	}
	return i
}

// ShareAccounts parts the money of an animal among its owners; none where it is not
// shared. Together they are the animal's account to the cent. Money that was paid
// without naming a share covers the lines of whoever brought the animal; what is
// over is parted among the portions by their size.
func (db *DB) ShareAccounts(ctx context.Context, a Animal) ([]ShareAccount, error) {
	return shareAccounts(ctx, db.pool, a)
}

func shareAccounts(ctx context.Context, q querier, a Animal) ([]ShareAccount, error) {
	shares, err := portionsOf(ctx, q, a.ID)
	if err != nil || len(shares) == 0 {
		return nil, err
	}
	accounts := []ShareAccount{{}}
	for _, s := range shares {
		accounts = append(accounts, ShareAccount{Portion: s.Portion, Whose: s.Whose})
	}
	if err := readShareLines(ctx, q, a.ID, accounts); err != nil {
		return nil, err
	}
	paid, err := all[Payment](ctx, q, `
		SELECT `+paymentColumns+` FROM payments p JOIN staff s ON s.id = p.by_staff WHERE p.animal_id = $1 ORDER BY p.receipt LIMIT $2`, a.ID, maxLines)
	if err != nil {
		return nil, err
	}
	for _, p := range paid {
		i := max(0, slices.IndexFunc(accounts, func(s ShareAccount) bool { return s.Portion == p.Portion }))
		accounts[i].Payments = append(accounts[i].Payments, p)
	}
	passOn(accounts)
	if first := accounts[0]; len(first.Lines) == 0 && len(first.Payments) == 0 {
		return accounts[1:], nil
	}
	return accounts, nil
}

// passOn parts what the first account has over among the others, by their size.
func passOn(accounts []ShareAccount) {
	over := -accounts[0].Balance()
	if over <= 0 {
		return
	}
	accounts[0].Deposit = -over
	for i, part := range billing.Split(over, quarters(accounts[1:])) {
		accounts[i+1].Deposit = part
	}
}

func quarters(accounts []ShareAccount) []int64 {
	sizes := make([]int64, len(accounts))
	for i, s := range accounts {
		sizes[i] = s.Portion.Quarters()
	}
	return sizes
}

// portionsOf lists the portions of a shared animal, those nobody has ordered for
// among them, so that they are always the whole animal; none where it is not shared.
func portionsOf(ctx context.Context, q querier, id uuid.UUID) ([]Share, error) {
	list, err := all[Share](ctx, q, `
		SELECT portion, for_whom AS whose FROM orders WHERE animal_id = $1 AND void_at IS NULL AND portion <> '' ORDER BY portion LIMIT 10`, id)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	var ordered []cutting.Portion
	for _, s := range list {
		ordered = append(ordered, s.Portion)
	}
	for _, p := range cutting.NotAsked(ordered) {
		list = append(list, Share{Portion: p})
	}
	if err := nameBuyers(ctx, q, id, list); err != nil {
		return nil, err
	}
	slices.SortFunc(list, func(a, b Share) int {
		if a.Portion < b.Portion {
			return -1
		}
		return 1
	})
	return list, nil
}

// readShareLines adds to each account what it owes of each line. A line that is not
// parted, or whose portion is no longer one of the animal's, counts to whoever
// brought it.
func readShareLines(ctx context.Context, q querier, id uuid.UUID, accounts []ShareAccount) error {
	type row struct {
		ShareLine
		Portion cutting.Portion
	}
	rows, err := all[row](ctx, q, `
		SELECT c.id AS charge, c.code, c.label, c.why, coalesce(s.portion, '') AS portion, coalesce(sum(s.cents), c.total_cents)::bigint AS cents
		FROM charges c LEFT JOIN charge_shares s ON s.charge_id = c.id WHERE c.animal_id = $1
		GROUP BY c.id, c.code, c.label, c.why, c.at, c.total_cents, s.portion HAVING coalesce(sum(s.cents), c.total_cents) <> 0 ORDER BY c.at, c.id, portion LIMIT $2`, id, 7*maxLines)
	for _, r := range rows {
		i := max(0, slices.IndexFunc(accounts, func(s ShareAccount) bool { return s.Portion == r.Portion }))
		accounts[i].Lines = append(accounts[i].Lines, r.ShareLine)
	}
	return err
}

// partCharges parts every line of a shared animal's bill that is not parted yet: a
// price by the finished pound by the pounds of it that each share has in its packs,
// tax as the taxable lines are parted, storage by the size of the shares that still
// wait here, everything else by the size of the share. A
// portion that has none of a thing pays none of it.
func partCharges(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	shares, err := portionsOf(ctx, tx, a.ID)
	if err != nil || len(shares) == 0 {
		return err
	}
	type row struct {
		ID         uuid.UUID
		Code       string
		TotalCents domain.Cents
		Taxable    bool
		Basis      string
		Treatments []string
	}
	lines, err := all[row](ctx, tx, `
		SELECT c.id, c.code, c.total_cents, c.taxable, coalesce(i.basis, '') AS basis, coalesce(i.treatments, '{}') AS treatments
		FROM charges c LEFT JOIN price_items i ON i.price_list_id = $2 AND i.code = c.code
		WHERE c.animal_id = $1 AND NOT EXISTS (SELECT FROM charge_shares s WHERE s.charge_id = c.id) ORDER BY c.code = 'tax', c.at, c.id LIMIT $3`,
		a.ID, a.PriceListID, maxLines)
	if err != nil {
		return err
	}
	packed, err := packedBy(ctx, tx, a.ID, shares)
	if err != nil {
		return err
	}
	waiting, err := waitingShares(ctx, tx, a.ID, shares)
	if err != nil {
		return err
	}
	size, taxed, rows := make([]int64, len(shares)), make([]int64, len(shares)), &pgx.Batch{}
	for i, s := range shares {
		size[i] = s.Portion.Quarters()
	}
	for _, l := range lines {
		weights := size
		switch {
		case l.Code == "storage":
			weights = waiting
		case l.Code == billing.TaxCode && slices.ContainsFunc(taxed, positive):
			weights = taxed
		case l.Basis == string(billing.LbFinished):
			weights = packed.of(l.Treatments, size)
		}
		for i, cents := range billing.Split(l.TotalCents, weights) {
			if l.Taxable {
				taxed[i] += int64(cents)
			}
			rows.Queue(insertShare, l.ID, shares[i].Portion, cents, act.ID, act.At, act.Staff)
		}
	}
	return tx.SendBatch(ctx, rows).Close()
}

func positive(n int64) bool { return n > 0 }

// packedGrams is the packed weight of each share by treatment, in grams.
type packedGrams []map[string]int64

func packedBy(ctx context.Context, q querier, id uuid.UUID, shares []Share) (packedGrams, error) {
	type row struct {
		Portion cutting.Portion
		Cut     string
		Kg      float64
	}
	rows, err := all[row](ctx, q, `SELECT portion, cut, sum(net_kg) AS kg FROM packs WHERE animal_id = $1 GROUP BY portion, cut LIMIT 500`, id)
	grams := make(packedGrams, len(shares))
	for i := range grams {
		grams[i] = map[string]int64{}
	}
	for _, r := range rows {
		if i := slices.IndexFunc(shares, func(s Share) bool { return s.Portion == r.Portion }); i >= 0 {
			grams[i][string(cutting.TreatmentIn(r.Cut))] += int64(r.Kg*1000 + 0.5)
		}
	}
	return grams, err
}

// of weighs the shares by what they have of the treatments, of everything where none
// are named; by size where no pack says whose it is.
func (g packedGrams) of(treatments []string, size []int64) []int64 {
	weights := make([]int64, len(g))
	for i, by := range g {
		for treatment, grams := range by {
			if len(treatments) == 0 || slices.Contains(treatments, treatment) {
				weights[i] += grams
			}
		}
	}
	if !slices.ContainsFunc(weights, positive) {
		return size
	}
	return weights
}

// GiveLine puts a whole line of a shared animal's bill on one account: the kill on
// whoever brought it, one owner's vacuum packs on that owner. The rows of before
// stay; two more say what changed.
func (db *DB) GiveLine(ctx context.Context, act Act, number domain.ShopNumber, charge uuid.UUID, to cutting.Portion) error {
	return db.act(ctx, act, "give line", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := partCharges(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		accounts, err := shareAccounts(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if to != cutting.WholeAnimal && !slices.ContainsFunc(accounts, func(s ShareAccount) bool { return s.Portion == to }) {
			return line{}, domain.Wrong("to", "Choose whose line it is.")
		}
		rows, label, moved := &pgx.Batch{}, "", domain.Cents(0)
		for _, s := range accounts {
			for _, l := range s.Lines {
				if l.Charge == charge && s.Portion != to {
					rows.Queue(insertShare, charge, s.Portion, -l.Cents, act.ID, act.At, act.Staff)
					label, moved = l.Label, moved+l.Cents
				}
			}
		}
		if moved == 0 {
			return line{}, domain.Taken("That line is theirs already, or not on this bill.")
		}
		rows.Queue(insertShare, charge, to, moved, act.ID, act.At, act.Staff)
		return line{Animal: a.ID, What: "give-line", Detail: map[string]any{"share": to.Words().Kept()}, Why: label, Rows: rows}, touch(ctx, tx, a.ID)
	})
}

const insertShare = `INSERT INTO charge_shares (charge_id, portion, cents, act, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6)`

// shareOf finds the account of one portion of a shared animal.
func shareOf(accounts []ShareAccount, p cutting.Portion) (ShareAccount, bool) {
	i := slices.IndexFunc(accounts, func(s ShareAccount) bool { return s.Portion == p })
	if i < 0 {
		return ShareAccount{Portion: p}, false
	}
	return accounts[i], true
}

// checkShare holds a payment against the account of its share. Once a shared animal
// is billed, money is always for one share, never more than that share owes, and
// what goes back is never more than that share is in credit by.
func checkShare(ctx context.Context, q querier, a Animal, p Payment) error {
	accounts, err := shareAccounts(ctx, q, a)
	if err != nil {
		return err
	}
	s, there := shareOf(accounts, p.Portion)
	switch {
	case p.Portion != cutting.WholeAnimal && !there:
		return domain.Wrong("portion", "This animal has no such share. Choose whose share the money is for.")
	case len(accounts) == 0 || p.Purpose == billing.Deposit:
		return nil
	case p.Portion == cutting.WholeAnimal && !there:
		return domain.Wrong("portion", "It is shared. Choose whose share the money is for.")
	}
	if held := max(-s.Balance(), 0); p.Purpose == billing.Refund && paymentStep(p.Purpose, a.Money) == animal.Refund && -p.Cents > held {
		return domain.Wrong("amount", "Only %v is owed back for this share.", held)
	}
	return s.Invoice().CheckPayment(billing.Payment{Purpose: p.Purpose, Cents: p.Cents})
}

// owedFor is what is still owed for the boxes taken: of a shared animal by the shares
// they are of, where every box says whose it is; otherwise by the whole animal.
func owedFor(ctx context.Context, q querier, a Animal, taken []Box) (domain.Cents, error) {
	acc, err := account(ctx, q, a)
	if err != nil {
		return 0, err
	}
	whole := max(acc.Invoice().Balance(), 0)
	accounts, err := shareAccounts(ctx, q, a)
	if err != nil || len(accounts) == 0 || len(taken) == 0 || !acc.IsBilled() {
		return whole, err
	}
	var owed domain.Cents
	var seen []cutting.Portion
	for _, b := range taken {
		s, there := shareOf(accounts, b.Portion)
		if b.Portion == cutting.WholeAnimal || !there {
			return whole, nil
		}
		if !slices.Contains(seen, b.Portion) {
			seen, owed = append(seen, b.Portion), owed+max(s.Balance(), 0)
		}
	}
	return owed, nil
}
