package db

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/hold"

	"github.com/google/uuid"
)

// StorageApproval is the owner's word that storage may run for one animal.
type StorageApproval struct {
	Why        string
	ApprovedAt time.Time
	By         string // initials
	RuleID     uuid.UUID
}

// Storage is how it stands with the fee for one animal.
type Storage struct {
	Now      StorageRule // in force now
	Binds    StorageRule // what this animal is charged by, once it is approved
	Told     bool        // Binds was in force when it came in: its owner signed for it
	Approval *StorageApproval
	Clock    billing.StorageClock
	Billed   int // days on the bill since it was approved

	zone *time.Location
}

// Running reports whether it runs, or will after its free days.
func (s Storage) Running() bool { return s.Now.Running && s.Approval != nil }

// Starts is the first day that costs something; zero where it does not run.
func (s Storage) Starts() time.Time {
	if !s.Running() {
		return time.Time{}
	}
	return s.Clock.Starts(s.zone)
}

// mayApprove says whether it may be approved now.
func (s Storage) mayApprove() error {
	switch {
	case !s.Now.Running:
		return domain.Refuse("storage", "Storage is off. The owner of the shop turns it on in the office first.")
	case s.Approval != nil:
		return domain.Taken("Storage is approved for it already, %s by %s.", s.Approval.ApprovedAt, s.Approval.By)
	case s.Clock.HeldStill():
		return domain.Refuse("storage", "A hold keeps it here. Storage may run once it can be fetched.")
	case s.Clock.Told.IsZero():
		return domain.Refuse("storage", "Its owner was not reached yet since it can be fetched, nor tried twice. Call first: the days are counted from then.")
	}
	return nil
}

// StorageOf reads how it stands with the fee for one animal.
func (db *DB) StorageOf(ctx context.Context, a Animal) (Storage, error) {
	return storageOf(ctx, db.pool, a)
}

// storageOf finds what binds: the fee that was in force as the animal came in, for its
// owner was told of it then; where it was off, the one in force now.
func storageOf(ctx context.Context, q querier, a Animal) (s Storage, err error) {
	if s.zone, err = zoneOf(ctx, q); err != nil {
		return s, err
	}
	if s.Now, err = storageNow(ctx, q); err != nil || s.Now.ID == uuid.Nil {
		return s, err
	}
	if s.Binds, err = storageOn(ctx, q, a.ReceivedAt); err != nil {
		return s, err
	}
	if s.Told = s.Binds.Running; !s.Told {
		s.Binds = s.Now
	}
	if s.Clock.Held, err = heldSpans(ctx, q, a.ID); err != nil {
		return s, err
	}
	if err := s.approved(ctx, q, a.ID); err != nil {
		return s, err
	}
	if s.Approval != nil {
		s.Clock.StorageRule, s.Clock.Approved = s.Binds.Rule(), s.Approval.ApprovedAt
		s.Clock.On = s.Now.Running
	}
	s.Clock.Told, err = s.toldOf(ctx, q, a.ID)
	return s, err
}

// approved reads the approval that stands: one from before storage was last turned off
// does not.
func (s *Storage) approved(ctx context.Context, q querier, id uuid.UUID) error {
	p, found, err := one[StorageApproval](ctx, q, `
		SELECT p.why, p.approved_at, t.initials AS by, p.rule_id FROM storage_approvals p JOIN staff t ON t.id = p.approved_by
		WHERE p.animal_id = $1 AND p.ended_at IS NULL AND NOT EXISTS (SELECT FROM storage_rules r WHERE NOT r.running AND r.made_at >= p.approved_at)`, id)
	if err != nil || !found {
		return err
	}
	s.Approval = &p
	if s.Binds, _, err = one[StorageRule](ctx, q, storageRules+`WHERE r.id = $1`, p.RuleID); err != nil {
		return err
	}
	return q.QueryRow(ctx, `SELECT coalesce(sum(quantity), 0)::int FROM charges WHERE animal_id = $1 AND code = 'storage' AND at >= $2`, id, p.ApprovedAt).Scan(&s.Billed)
}

// toldOf is when the owner of what is boxed counts as told: a try counts once a box
// stood ready and nothing held it, and a message about the day or a laboratory's result
// is none. No try says which owner of a shared animal it reached: there the last one
// before it was approved counts, so that none of them is charged too early.
func (s Storage) toldOf(ctx context.Context, q querier, id uuid.UUID) (time.Time, error) {
	tries, err := all[billing.Try](ctx, q, `
		SELECT c.at, c.outcome IN ('spoke', 'left word', 'sent') AS reached FROM contacts c
		WHERE c.animal_id = $1 AND c.outcome <> 'failed' AND c.at >= (SELECT min(placed_at) FROM boxes WHERE animal_id = $1)
		AND NOT EXISTS (SELECT FROM messages m WHERE m.animal_id = $1 AND m.ended_at = c.at AND m.kind IN ('moved', 'result') AND m.state IN ('sent', 'called'))
		ORDER BY c.at, c.id LIMIT 200`, id)
	if err != nil {
		return time.Time{}, err
	}
	tries = slices.DeleteFunc(tries, func(t billing.Try) bool { return s.Clock.HeldAt(t.At) })
	shares, err := portionsOf(ctx, q, id)
	if err != nil || len(shares) == 0 {
		return billing.ToldAt(tries), err
	}
	if s.Approval != nil {
		tries = slices.DeleteFunc(tries, func(t billing.Try) bool { return t.At.After(s.Approval.ApprovedAt) })
	}
	told := billing.ToldAt(tries)
	if !told.IsZero() {
		told = tries[len(tries)-1].At
	}
	return told, nil
}

// heldSpans are the times in which a hold kept the meat from being fetched.
func heldSpans(ctx context.Context, q querier, id uuid.UUID) (spans []billing.Span, err error) {
	type row struct {
		Kind     hold.Kind
		OpenedAt time.Time
		ClosedAt *time.Time
	}
	rows, err := all[row](ctx, q, `SELECT kind, opened_at, closed_at FROM holds WHERE animal_id = $1 ORDER BY opened_at LIMIT 200`, id)
	for _, r := range rows {
		if !r.Kind.Blocks(hold.Release) {
			continue
		}
		s := billing.Span{From: r.OpenedAt}
		if r.ClosedAt != nil {
			s.To = *r.ClosedAt
		}
		spans = append(spans, s)
	}
	return spans, err
}

// storageDue is the line of storage that the bill lacks at now; none where it does not
// run, or all of it left.
func storageDue(ctx context.Context, q querier, a Animal, now time.Time) ([]billing.Line, error) {
	var approved bool
	if err := q.QueryRow(ctx, `SELECT EXISTS (SELECT FROM storage_approvals WHERE animal_id = $1 AND ended_at IS NULL)`, a.ID).Scan(&approved); err != nil || !approved {
		return nil, err
	}
	s, err := storageOf(ctx, q, a)
	if err != nil || !s.Running() {
		return nil, err
	}
	if l, ok := s.Clock.Line(now.In(s.zone), s.Billed); ok {
		return []billing.Line{l}, nil
	}
	return nil, nil
}

// Storing lists the animals for which storage runs and of which meat waits here now.
func (db *DB) Storing(ctx context.Context) (map[domain.ShopNumber]bool, error) {
	type row struct{ Number domain.ShopNumber }
	rows, err := all[row](ctx, db.pool, `
		SELECT a.number FROM storage_approvals p JOIN animals a ON a.id = p.animal_id
		WHERE p.ended_at IS NULL AND a.physical IN ('stored', 'part-released', 'unclaimed') AND NOT EXISTS (SELECT FROM storage_rules r WHERE NOT r.running AND r.made_at >= p.approved_at) LIMIT 1000`)
	storing := map[domain.ShopNumber]bool{}
	for _, r := range rows {
		storing[r.Number] = true
	}
	return storing, err
}

// waitingShares are the sizes of the shares of which boxes still wait here; of all of
// them where a box that waits does not say whose it is, or none waits.
func waitingShares(ctx context.Context, q querier, id uuid.UUID, shares []Share) ([]int64, error) {
	boxes, err := boxesAt(ctx, q, id)
	sizes, known := make([]int64, len(shares)), false
	for _, b := range boxes {
		if b.ReleasedAt != nil {
			continue
		}
		i := slices.IndexFunc(shares, func(s Share) bool { return s.Portion == b.Portion })
		if known = i >= 0; !known {
			break
		}
		sizes[i] = shares[i].Portion.Quarters()
	}
	if !known {
		for i, s := range shares {
			sizes[i] = s.Portion.Quarters()
		}
	}
	return sizes, err
}

// StorageNews is what a message about storage says: from which day, how much a day. It
// is kept with the message as text.
type StorageNews struct {
	From time.Time
	ADay domain.Cents
}

func (n StorageNews) String() string {
	return n.From.Format(time.DateOnly) + " " + strconv.FormatInt(int64(n.ADay), 10)
}

// ReadStorageNews reads it back; ok is false for a message of another cause.
func ReadStorageNews(about string) (n StorageNews, ok bool) {
	day, cents, _ := strings.Cut(about, " ")
	from, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return n, false
	}
	c, err := strconv.ParseInt(cents, 10, 64)
	return StorageNews{from, domain.Cents(c)}, err == nil
}
