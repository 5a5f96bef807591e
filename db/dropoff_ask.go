package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// atDoor is what the records say before an animal may come in.
type atDoor struct {
	before before // this very drop-off, as it was sent before
	inForce
	other    sameNumber
	taken    bool // another animal has the number, or a carcass in the bay: other
	earlier  tagSeen
	again    bool // the official tag was read before: earlier
	last     seal
	hooks    hooksAsked // empty where the person chose the place
	door     doorNow    // of the form it comes in
	bay      inBay      // the carcass found in the bay
	inBay    bool
	statutes []Statute // that reach the shop, and the animal on its way here
	late     string    // why it is past its hours on the road; "" where it is not
}

// inBay is how a carcass found in the bay stands.
type inBay struct {
	CardID *uuid.UUID
	Taken  *domain.ShopNumber // it was taken in already
}

// inForce is what holds at this moment, and who takes the animal in.
type inForce struct {
	Zone     string
	Home     string // the shop's state
	Initials string
	Leads    bool // whether they are a lead or an owner
	Protocol *int // the version that fits the animal; nil: none yet
	Prices   *int // nil: no list yet
}

// sameNumber is the animal that has the shop number already, or the carcass that was
// found in the bay with it and is not taken in yet.
type sameNumber struct {
	Species domain.Species
	Since   time.Time
	Bay     bool
}

// ask puts every question of a drop-off in one trip. Its first statement makes
// drop-offs come in one at a time: the register needs it, and so each is told by
// name who was first.
func (db *DB) ask(ctx context.Context, tx pgx.Tx, act Act, d Drop) (k atDoor, err error) {
	b := &pgx.Batch{}
	b.Queue(`SELECT pg_advisory_xact_lock($1)`, int64(registerLock))
	b.Queue(doneBefore, act.ID).QueryRow(func(row pgx.Row) error { return k.before.scan(row) })
	var found, sealed bool
	queueOne(b, &k.inForce, &found, `
		SELECT shop.zone, shop.home_state AS home, s.initials, s.roles && ARRAY['lead', 'owner'] AS leads,
		       (SELECT id FROM protocols WHERE key = $2 AND since <= $3 ORDER BY version DESC LIMIT 1) AS protocol,
		       (SELECT id FROM price_lists WHERE since <= $3 ORDER BY since DESC, version DESC LIMIT 1) AS prices
		FROM shop, staff s WHERE s.id = $1`,
		act.Staff, ageing.Pick(d.Species, d.Class, d.Form, d.Damaged()), act.At)
	queueOne(b, &k.other, &k.taken, `
		SELECT species, received_at AS since, false AS bay FROM animals WHERE number = $1
		UNION ALL SELECT species, found_at, true FROM night_finds
		WHERE kind = 'carcass' AND number = $1 AND number <> '' AND animal_id IS NULL AND id <> $2 LIMIT 1`, d.Number, d.Found)
	queueOne(b, &k.last, &sealed, lastSealed)
	if d.Tag.Number != "" {
		queueOne(b, &k.earlier, &k.again, tagSeenBefore, d.Tag.Number, d.Tag.State, act.ID)
	}
	var switched bool
	queueOne(b, &k.door, &switched, closedNow, animal.IntakeOf(d.Form))
	if d.Found != uuid.Nil {
		queueOne(b, &k.bay, &k.inBay, `
			SELECT f.card_id, a.number AS taken FROM night_finds f LEFT JOIN animals a ON a.id = f.animal_id
			WHERE f.id = $1 AND f.kind = 'carcass' FOR UPDATE OF f`, d.Found)
	}
	rules := statutesAsked{before: db.statutes.as(d.KillState)}
	rules.queue(b, d.KillState)
	if d.Place == 0 && !d.NotHung {
		k.hooks.layout = db.layout.known(act.At)
		k.hooks.queueTaken(b)
	}
	err = tx.SendBatch(ctx, b).Close()
	if len(k.hooks.rails) > 0 {
		db.layout.keep(layout{k.hooks.rails, act.At})
	}
	if err == nil {
		db.statutes.keep(d.KillState, rules.known())
	}
	k.statutes = rules.known().list
	if err == nil && !found {
		err = domain.Missing("That person does not work here today.")
	}
	if !sealed {
		k.last = firstSeal
	}
	k.late = d.lateWhy(k)
	return k, err
}

// mayComeIn asks whether the records let the animal in: is the number free, who
// may take in one the door check refuses, and can it be judged and priced.
func (d Drop) mayComeIn(act Act, k atDoor) error {
	switch {
	case k.bay.Taken != nil:
		return domain.Taken("That carcass of the bay was taken in already, as %s.", string(*k.bay.Taken))
	case d.Found != uuid.Nil && !k.inBay:
		return domain.Missing("That was not found in the bay.")
	// What hangs already, from a tablet without a network or out of the bay, is in.
	case k.door.Closed && !act.Kept() && d.Found == uuid.Nil:
		return animal.IntakeOf(d.Form).Closed(k.door.Why)
	case k.taken && k.other.Bay:
		return &domain.Error{Kind: domain.Conflict, At: "number", Msg: domain.Say(
			"Tag %s is on a carcass found in the bay (%s). If this is that one, take it in from there; else look at the tag again, or take the next one from the roll.",
			string(d.Number), k.other.Since)}
	case k.taken:
		return &domain.Error{Kind: domain.Conflict, At: "number", Msg: domain.Say(
			"Tag %s is already on another animal (%s), since %s. Look at the tag again, or take the next one from the roll.",
			string(d.Number), k.other.Species.Words(), k.other.Since)}
	case d.Worst() == animal.RefuseGrade && !k.Leads:
		return domain.Refuse("door", "The door check says refuse. Leave it outside and call the lead: only the lead or the owner may take it in.")
	case k.Protocol == nil:
		return domain.Refuse("protocol", "The shop has no rule yet for how long this kind hangs. The owner sets one first.")
	case k.Prices == nil:
		return domain.Refuse("prices", "The shop has no price list yet. The owner makes one first.")
	case k.again:
		if err := d.Tag.repeated(k.earlier, k.Leads); err != nil {
			return err
		}
	}
	return d.late(act, k)
}
