package db

import (
	"context"
	"time"

	"coldrail/domain"
)

// OwnerOf returns the name of the animal's owner, or of who took it where the
// owner is not said apart; empty where nobody is known yet. Only for paper that
// stays with the meat and the shop's own pages: none of another person ever shows it.
func (db *DB) OwnerOf(ctx context.Context, number domain.ShopNumber) (string, error) {
	type owner struct{ Name string }
	o, _, err := one[owner](ctx, db.pool, `
		SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id JOIN animals a ON a.id = ap.animal_id
		WHERE a.number = $1 AND ap.role IN ('owner', 'taker') ORDER BY ap.role = 'owner' DESC, ap.since LIMIT 1`, number)
	return o.Name, err
}

// Owner is whose meat it is, for the owner's own receipt and letters.
type Owner struct {
	Name    string
	Phone   string
	Address string
}

// Callee is the one to call about an animal.
type Callee struct {
	Number    domain.ShopNumber
	Name      string
	Phone     string
	Owners    int  // more than one: the record says whose share it is about
	CallFirst bool // the lead speaks to them first
}

// Untold is an animal whose owner waits for news that the lead tells, where no message
// and no notice asks for that call already.
type Untold struct {
	Number  domain.ShopNumber
	Species domain.Species
	LostAt  *time.Time // when meat of it was last condemned; nil: other news
}

// untold lists them, the first taken in first; older than a year nobody calls any more.
func (db *DB) untold(ctx context.Context, now time.Time) ([]Untold, error) {
	return all[Untold](ctx, db.pool, `
		SELECT a.number, a.species, (SELECT max(d.at) FROM decisions d WHERE d.animal_id = a.id AND d.verdict IN ('condemn-part', 'condemn-all')) AS lost_at
		FROM animals a
		WHERE a.received_at > $1::timestamptz - interval '1 year' AND a.call_first
		  AND NOT EXISTS (SELECT FROM messages m WHERE m.animal_id = a.id AND m.state = 'to-call')
		  AND NOT EXISTS (SELECT FROM notices n WHERE n.animal_id = a.id AND n.sent_at IS NULL)
		ORDER BY a.received_at, a.number LIMIT 50`, now)
}

// WhomToCall finds for each of the animals its owner, or who took it where the owner
// is not said apart; an animal of which nobody is known is left out.
func (db *DB) WhomToCall(ctx context.Context, numbers []domain.ShopNumber) (map[domain.ShopNumber]Callee, error) {
	list, err := all[Callee](ctx, db.pool, `
		SELECT DISTINCT ON (a.number) a.number, p.name, p.phone, a.call_first,
		       (count(*) FILTER (WHERE ap.role = 'owner') OVER (PARTITION BY a.id))::int AS owners
		FROM animals a JOIN animal_people ap ON ap.animal_id = a.id AND ap.role IN ('owner', 'taker') JOIN people p ON p.id = ap.person_id
		WHERE a.number = ANY ($1) ORDER BY a.number, ap.role = 'owner' DESC, ap.since`, texts(numbers))
	by := make(map[domain.ShopNumber]Callee, len(list))
	for _, c := range list {
		if c.Name == NoName {
			c.Name = ""
		}
		by[c.Number] = c
	}
	return by, err
}

// OwnerToWrite returns the animal's owner with phone and address, as the receipt
// at delivery and every letter name them; empty where nobody is known yet.
func (db *DB) OwnerToWrite(ctx context.Context, number domain.ShopNumber) (Owner, error) {
	o, _, err := one[Owner](ctx, db.pool, `
		SELECT p.name, p.phone, p.address FROM animal_people ap JOIN people p ON p.id = ap.person_id JOIN animals a ON a.id = ap.animal_id
		WHERE a.number = $1 AND ap.role IN ('owner', 'taker') ORDER BY ap.role = 'owner' DESC, ap.since LIMIT 1`, number)
	return o, err
}
