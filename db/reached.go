package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/cutting"
	"coldrail/domain/message"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Reached is an owner and how they are told.
type Reached struct {
	PersonID uuid.UUID
	Name     string
	CallWhen string
	Portion  cutting.Portion // the share they are told of; the whole animal otherwise
	message.Reach
}

// reachedFor reads people and how each is told, of which share. The same phone or mail
// address written beside two names is one person who wants no more of them.
func reachedFor(portion string) string {
	return `
	SELECT p.id AS person_id, p.name, p.call_when, ` + portion + ` AS portion, p.tell_by, p.phone, p.mail,
	       EXISTS (SELECT FROM message_stops s JOIN people o ON o.id = s.person_id WHERE s.way = 'text' AND s.ended_at IS NULL
	               AND (o.id = p.id OR o.phone_digits = p.phone_digits AND p.phone_digits <> '')) AS no_texts,
	       EXISTS (SELECT FROM message_stops s JOIN people o ON o.id = s.person_id WHERE s.way = 'e-mail' AND s.ended_at IS NULL
	               AND (o.id = p.id OR lower(o.mail) = lower(p.mail) AND p.mail <> '')) AS no_mails,
	       g.gateway_url <> '' AS texts_go, g.mail_host <> '' AS mails_go
	FROM people p CROSS JOIN alarm_settings g `
}

// ownersOf lists who owns the animal, or who brought it where no owner is known.
func ownersOf(ctx context.Context, q querier, animal uuid.UUID) ([]Reached, error) {
	return all[Reached](ctx, q, reachedFor(`''`)+`
		JOIN LATERAL (SELECT DISTINCT ON (person_id) person_id, since FROM animal_people ap WHERE ap.animal_id = $1
		  AND ap.role = (SELECT role FROM animal_people WHERE animal_id = $1 AND role IN ('owner', 'taker', 'deliverer')
		                 ORDER BY array_position(ARRAY['owner', 'taker', 'deliverer'], role) LIMIT 1)) ap ON ap.person_id = p.id
		ORDER BY ap.since, p.id LIMIT 20`, animal)
}

// OwnersReached lists the owners of an animal, those of shares among them, and how
// each is told.
func (db *DB) OwnersReached(ctx context.Context, number domain.ShopNumber) ([]Reached, error) {
	a, err := db.Animal(ctx, number)
	if err != nil {
		return nil, err
	}
	return toTell(ctx, db.pool, a.ID)
}

// SetReach writes how a person wants to be told, and of what they want no more.
// Whoever asked for no more texts or mail is kept as such until they say otherwise.
func (db *DB) SetReach(ctx context.Context, act Act, number domain.ShopNumber, person uuid.UUID, r message.Reach) error {
	r.Mail = tidy(r.Mail)
	if err := checkMail("mail", r.Mail); err != nil {
		return err
	}
	if !oneOf([]string{"call", "text", "mail", "e-mail"}, r.TellBy) {
		return domain.Wrong("tell_by", "Choose how the owner is told: a call, a text, an e-mail or a letter.")
	}
	if r.TellBy == "e-mail" && r.Mail == "" {
		return domain.Wrong("mail", "Give the e-mail address, or choose another way.")
	}
	return db.act(ctx, act, "set reach", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		tag, err := tx.Exec(ctx, `
			UPDATE people SET tell_by = $2, mail = $3 WHERE id = $1 AND EXISTS (SELECT FROM animal_people WHERE animal_id = $4 AND person_id = $1)`,
			person, r.TellBy, r.Mail, a.ID)
		if err == nil && tag.RowsAffected() == 0 {
			err = domain.Missing("That person has no part in this animal.")
		}
		if err != nil {
			return line{}, err
		}
		for way, stop := range map[message.Way]bool{message.Text: r.NoTexts, message.Mail: r.NoMails} {
			if err := setStop(ctx, tx, act, person, way, stop); err != nil {
				return line{}, err
			}
		}
		return line{Animal: a.ID, What: "reach", Detail: map[string]any{"way": r.TellBy, "no_texts": r.NoTexts, "no_mail": r.NoMails}}, touch(ctx, tx, a.ID)
	})
}

// setStop begins or ends a person's wish for no more of one way. What waits to be
// sent to them that way is called instead.
func setStop(ctx context.Context, tx pgx.Tx, act Act, person uuid.UUID, way message.Way, stop bool) error {
	if !stop {
		_, err := tx.Exec(ctx, `
			UPDATE message_stops SET ended_at = $3, ended_by = $4 WHERE way = $2 AND ended_at IS NULL AND person_id IN (
			  SELECT o.id FROM people p JOIN people o ON o.id = p.id OR $2 = 'text' AND o.phone_digits = p.phone_digits AND p.phone_digits <> ''
			    OR $2 = 'e-mail' AND lower(o.mail) = lower(p.mail) AND p.mail <> ''
			  WHERE p.id = $1)`, person, way, act.At, act.Staff)
		return err
	}
	if _, err := tx.Exec(ctx, `
		INSERT INTO message_stops (id, person_id, way, since, by_staff) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (person_id, way) WHERE ended_at IS NULL DO NOTHING`, uuid.Must(uuid.NewV7()), person, way, act.At, act.Staff); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `
		UPDATE messages SET state = 'to-call', why = 'They want no more of these.' WHERE person_id = $1 AND way = $2 AND state = 'queued'`, person, way)
	return err
}

// Stopped is one wish for no more texts or mail.
type Stopped struct {
	PersonID uuid.UUID
	Way      message.Way
	Since    time.Time
	By       string // initials
	EndedAt  *time.Time
}

// StopsOf lists the wishes of the animal's owners, the latest first.
func (db *DB) StopsOf(ctx context.Context, number domain.ShopNumber) ([]Stopped, error) {
	return all[Stopped](ctx, db.pool, `
		SELECT s.person_id, s.way, s.since, f.initials AS by, s.ended_at
		FROM message_stops s JOIN staff f ON f.id = s.by_staff
		WHERE s.person_id IN (SELECT ap.person_id FROM animal_people ap JOIN animals a ON a.id = ap.animal_id WHERE a.number = $1)
		ORDER BY s.since DESC LIMIT 40`, number)
}
