package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/domain/message"
	"coldrail/domain/register"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Fetching is how the shop hands meat out and goes about what nobody fetches.
type Fetching struct {
	StubCollects bool
	animal.Ladder
}

// Fetching reads the settings.
func (db *DB) Fetching(ctx context.Context) (Fetching, error) { return fetching(ctx, db.pool) }

func fetching(ctx context.Context, q querier) (f Fetching, err error) {
	err = q.QueryRow(ctx, `SELECT stub_collects, unclaimed_on, second_notice_days, letter_days, decide_days, after_letter_days FROM shop`).
		Scan(&f.StubCollects, &f.On, &f.SecondDays, &f.LetterDays, &f.DecideDays, &f.AfterLetterDays)
	return f, translate(err)
}

// SetFetching changes them: the owner's.
func (db *DB) SetFetching(ctx context.Context, act Act, f Fetching) error {
	if err := f.Ladder.Check(); err != nil {
		return err
	}
	return db.act(ctx, act, "set fetching", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `
			UPDATE shop SET stub_collects = $1, unclaimed_on = $2, second_notice_days = $3, letter_days = $4, decide_days = $5, after_letter_days = $6`,
			f.StubCollects, f.On, f.SecondDays, f.LetterDays, f.DecideDays, f.AfterLetterDays)
		return line{What: "set-fetching", Detail: map[string]any{"stub": f.StubCollects, "letters": f.On, "letter_days": f.LetterDays, "decide_days": f.DecideDays}}, err
	})
}

// Letter is one letter about an animal's meat.
type Letter struct {
	ID         uuid.UUID
	Words      []string
	WrittenAt  time.Time
	WrittenBy  string
	ApprovedAt *time.Time
	ApprovedBy string
	SentAt     *time.Time
	How        string // mail or certified
	BackAt     *time.Time
	BackPhoto  *uuid.UUID // the picture of it, once it came back
}

const lettersOf = `
	SELECT l.id, l.words, l.written_at, w.initials AS written_by, l.approved_at, coalesce(p.initials, '') AS approved_by, l.sent_at, l.how, l.back_at,
	       (SELECT d.id FROM door_photos d WHERE d.letter_id = l.id ORDER BY d.at DESC LIMIT 1) AS back_photo
	FROM letters l JOIN staff w ON w.id = l.written_by LEFT JOIN staff p ON p.id = l.approved_by`

// Letters lists the letters about an animal, the newest first.
func (db *DB) Letters(ctx context.Context, number domain.ShopNumber) ([]Letter, error) {
	return all[Letter](ctx, db.pool, lettersOf+` WHERE l.animal_id = (SELECT id FROM animals WHERE number = $1) ORDER BY l.written_at DESC LIMIT 30`, number)
}

// ladderAct does one step of the ladder on an animal that waits to be fetched.
func (db *DB) ladderAct(ctx context.Context, act Act, what string, number domain.ShopNumber, do func(tx pgx.Tx, a Animal, l animal.Ladder, t animal.Told) (line, error)) error {
	return db.act(ctx, act, what, func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if !a.Physical.InHouse() || !a.Physical.Cut() {
			return line{}, domain.Refuse("ladder", "It is %s: nothing of it waits to be fetched.", a.Physical.Words())
		}
		u, err := unfetched(ctx, tx, number, act.At)
		if err != nil {
			return line{}, err
		}
		l, err := do(tx, a, u.Ladder, u.Told)
		if err != nil {
			return line{}, err
		}
		l.Animal = a.ID
		return l, touch(ctx, tx, a.ID)
	})
}

// WriteLetter writes a letter, to be approved by the owner before it goes.
func (db *DB) WriteLetter(ctx context.Context, act Act, number domain.ShopNumber, words []string) error {
	if len(words) == 0 {
		return domain.Wrong("words", "The letter is empty.")
	}
	return db.ladderAct(ctx, act, "write letter", number, func(tx pgx.Tx, a Animal, l animal.Ladder, t animal.Told) (line, error) {
		if err := l.MayWrite(t, act.At); err != nil {
			return line{}, err
		}
		_, err := tx.Exec(ctx, `INSERT INTO letters (id, animal_id, words, written_at, written_by) VALUES ($1, $2, $3, $4, $5)`, act.ID, a.ID, words, act.At, act.Staff)
		return line{What: "write-letter"}, err
	})
}

// ApproveLetter lets the letter that waits go out: the owner's word, for each one.
func (db *DB) ApproveLetter(ctx context.Context, act Act, number domain.ShopNumber) error {
	return db.ladderAct(ctx, act, "approve letter", number, func(tx pgx.Tx, a Animal, l animal.Ladder, _ animal.Told) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if !l.On {
			return line{}, domain.Refuse("ladder", "Letters are off. Turn them on first.")
		}
		tag, err := tx.Exec(ctx, `UPDATE letters SET approved_at = $2, approved_by = $3 WHERE animal_id = $1 AND approved_at IS NULL`, a.ID, act.At, act.Staff)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("No letter waits for approval any more. Look again.")
		}
		if err == nil {
			err = db.tellOwners(ctx, tx, act, a.ID, cause{Kind: message.Storage})
		}
		return line{What: "approve-letter"}, err
	})
}

// SendLetter notes that the approved letter went to the post. It counts as a try, and
// what the state wants reported of it comes up among the notices.
func (db *DB) SendLetter(ctx context.Context, act Act, number domain.ShopNumber, how string) error {
	if how != "mail" && how != "certified" {
		return domain.Wrong("how", "Say how it went: by mail, or certified.")
	}
	return db.ladderAct(ctx, act, "send letter", number, func(tx pgx.Tx, a Animal, _ animal.Ladder, _ animal.Told) (line, error) {
		tag, err := tx.Exec(ctx, `
			UPDATE letters SET sent_at = $2, sent_by = $3, how = $4 WHERE animal_id = $1 AND approved_at IS NOT NULL AND sent_at IS NULL`, a.ID, act.At, act.Staff, how)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Taken("No approved letter waits to be sent. Look again.")
		}
		rows := &pgx.Batch{}
		rows.Queue(`INSERT INTO contacts (id, animal_id, way, outcome, note, at, by_staff) VALUES ($1, $2, 'mail', 'sent', $3, $4, $5)`, act.ID, a.ID, how, act.At, act.Staff)
		if err == nil {
			err = queueAbandoned(ctx, tx, rows, act, a)
		}
		return line{What: "send-letter", Detail: map[string]any{"how": how}, Rows: rows}, err
	})
}

// LetterCameBack notes that the last letter was returned undelivered, with a picture
// of it where one was taken. A picture may follow later.
func (db *DB) LetterCameBack(ctx context.Context, act Act, number domain.ShopNumber, picture []byte) error {
	return db.ladderAct(ctx, act, "letter came back", number, func(tx pgx.Tx, a Animal, _ animal.Ladder, t animal.Told) (line, error) {
		last, found, err := one[struct {
			ID   uuid.UUID
			Back *time.Time
		}](ctx, tx, `SELECT id, back_at AS back FROM letters WHERE animal_id = $1 AND sent_at IS NOT NULL ORDER BY sent_at DESC LIMIT 1`, a.ID)
		if err == nil && (!found || last.Back != nil && (len(picture) == 0 || t.BackSeen)) {
			err = domain.Taken("No letter is out that could have come back. Look again.")
		}
		if err != nil {
			return line{}, err
		}
		rows := &pgx.Batch{}
		rows.Queue(`UPDATE letters SET back_at = coalesce(back_at, $2) WHERE id = $1`, last.ID, act.At)
		queueDoorPhoto(rows, act, doorPhoto{Animal: a.ID, Letter: last.ID, Jpeg: picture})
		return line{What: "letter-back", Rows: rows}, nil
	})
}

// Donation is meat given away: to whom, how much, signed by whoever took it.
type Donation struct {
	Recipient string
	Address   string
	Kg        domain.Kilogram
	Why       string
	Tag       bool     // the official one goes along
	Receipt   bool     // was given
	Labelled  []string // keys of the rules in whose words each pack is labelled
	Signature
}

// GiveAway transfers what nobody fetched to a charity or a person, after the
// owner's ladder has come to its end. It is never sold.
func (db *DB) GiveAway(ctx context.Context, act Act, number domain.ShopNumber, d Donation) error {
	d.Recipient, d.Address, d.Why = tidy(d.Recipient), tidy(d.Address), tidy(d.Why)
	var err error
	if d.Signature, err = d.Signature.check(); err != nil {
		return err
	}
	switch {
	case d.Recipient == "":
		return domain.Wrong("recipient", "Write down who gets it.")
	case !(d.Kg > 0 && d.Kg <= 1500):
		return domain.Wrong("pounds", "Weigh what is given away.")
	case d.Why == "":
		return domain.Wrong("why", "Write down how you decided, and what your state asked for.")
	}
	return db.ladderAct(ctx, act, "give away", number, func(tx pgx.Tx, a Animal, l animal.Ladder, t animal.Told) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		if err := l.MayGiveAway(t, act.At); err != nil {
			return line{}, err
		}
		if err := d.transfer(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		return line{What: "give-away", Detail: map[string]any{"kg": round3(d.Kg)}, Why: d.Why}, nil
	})
}

// transfer moves the animal on and empties its places in the freezer.
func (d Donation) transfer(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	holds, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	if err := hold.May(holds, hold.Release); err != nil {
		return err
	}
	boxes, err := boxesAt(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	stays, err := partsHere(ctx, tx, a)
	if err != nil {
		return err
	}
	if err := mayLeave(ctx, tx, a, stillHere(boxes), leaving{All: !stays, Tag: d.Tag, Receipt: d.Receipt}); err != nil {
		return err
	}
	if err := d.isLabelled(ctx, tx, a); err != nil {
		return err
	}
	to := a.Tracks()
	if d.Tag && to.Legal != animal.TagReturned {
		if to.Legal, err = to.Legal.Do(animal.ReturnTag); err != nil {
			return err
		}
	}
	if to.Physical != animal.Unclaimed {
		if to.Physical, err = to.Physical.Do(animal.GiveUpWaiting); err != nil {
			return err
		}
	}
	if to.Physical, err = to.Physical.Do(animal.Transfer); err != nil {
		return err
	}
	if err := setTracks(ctx, tx, a, to); err != nil {
		return err
	}
	if _, err := tx.Exec(ctx, `
		INSERT INTO donations (id, animal_id, recipient, address, kg, signer, strokes, why, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		act.ID, a.ID, d.Recipient, d.Address, d.Kg, d.Signer, d.Strokes, d.Why, act.At, act.Staff); err != nil {
		return err
	}
	if _, err = tx.Exec(ctx, `UPDATE boxes SET released_at = $2 WHERE animal_id = $1 AND released_at IS NULL`, a.ID, act.At); err != nil {
		return err
	}
	if d.Tag {
		if err := takeTags(ctx, tx, act, a.ID, []string{"on-carcass", "on-card", "with-boxes"}, "returned"); err != nil {
			return err
		}
	}
	var zone string
	if err := tx.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone); err != nil {
		return err
	}
	_, err = enter(ctx, tx, act, entry{Animal: a.ID, Number: a.Number, Kind: register.Handover, Fields: d.fields(act.At.In(Shop{Zone: zone}.Location()))})
	return err
}

// fields is what the register keeps of it, at the shop's own time.
func (d Donation) fields(at time.Time) map[string]string {
	f := map[string]string{"handed_over": at.Format(RegisterTime), "collector": d.Recipient, "tag_returned": "no",
		"disposition": fmt.Sprintf("given away, not sold: %.1f kg", float64(d.Kg))}
	if d.Tag {
		f["tag_returned"] = "yes"
	}
	if d.Receipt {
		f["receipt_out"] = ReceiptGiven
	}
	return f
}

// isLabelled refuses meat whose packs do not bear the words the state wants on what is
// given away.
func (d Donation) isLabelled(ctx context.Context, q querier, a Animal) error {
	rules, err := rulesHere(ctx, q)
	if err != nil {
		return err
	}
	for _, r := range statute.Donating(rules, a.Species, a.Form) {
		if tidy(r.Mark) != "" && !oneOf(d.Labelled, r.Key) {
			return domain.Wrong("labelled-"+r.Key, "By the rule of %s each pack that is given away is labeled: %s (%s). Label them so and tick that.", r.State, r.Mark, r.Cites)
		}
	}
	return nil
}

// Given is a donation that happened.
type Given struct {
	Donation
	At time.Time
	By string // initials
}

// DonationOf reads the donation of an animal; found is false where none happened.
func (db *DB) DonationOf(ctx context.Context, id uuid.UUID) (g Given, found bool, err error) {
	type row struct {
		Recipient, Address, Signer, Strokes, Why, By string
		Kg                                           domain.Kilogram
		At                                           time.Time
	}
	r, found, err := one[row](ctx, db.pool, `
		SELECT d.recipient, d.address, d.kg, d.signer, d.strokes, d.why, d.at, s.initials AS by FROM donations d JOIN staff s ON s.id = d.by_staff WHERE d.animal_id = $1`, id)
	return Given{Donation: Donation{Recipient: r.Recipient, Address: r.Address, Kg: r.Kg, Why: r.Why, Signature: Signature{Signer: r.Signer, Strokes: r.Strokes}}, At: r.At, By: r.By}, found, err
}

// ownsShop lets the owner alone go on, not the lead.
func ownsShop(ctx context.Context, q querier, staff uuid.UUID) error {
	var may bool
	err := q.QueryRow(ctx, `SELECT EXISTS (SELECT FROM staff WHERE id = $1 AND 'owner' = ANY (roles))`, staff).Scan(&may)
	if err == nil && !may {
		err = domain.Refuse("owner", "Only the owner of the shop may do this. Hand them the tablet.")
	}
	return err
}
