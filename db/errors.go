package db

import (
	"errors"
	"fmt"
	"net"

	"coldrail/domain"

	"github.com/jackc/pgx/v5/pgconn"
)

// translate turns what Postgres says into what a person can act on, by code and
// constraint, never by its English text. What it does not know it leaves alone.
func translate(err error) error {
	if err == nil {
		return nil
	}
	if _, spoken := errors.AsType[*domain.Error](err); spoken {
		return err
	}
	if lost(err) {
		return fmt.Errorf("%w (%w)", &domain.Error{Kind: domain.Internal,
			Msg: domain.Say("The shop's records cannot be reached just now. Nothing was changed. Try again in a minute; if it stays, write on paper and tell the owner.")}, err)
	}
	pg, ok := errors.AsType[*pgconn.PgError](err)
	if !ok {
		return err
	}
	switch pg.Code {
	case "40001", "40P01": // serialization failure, deadlock
		return fmt.Errorf("%w (%w)", domain.Taken("Somebody else changed this at the same moment. Look again and repeat."), err)
	case "22021", "22P05", "54000": // no text at all, or too much for an index; a form was looked at before (web/legible.go)
		return fmt.Errorf("%w (%w)", domain.Wrong("", "This cannot be kept as it was sent. Nothing was changed. Type it again, in fewer words."), err)
	case "23505": // unique violation
		if e, ok := taken[pg.ConstraintName]; ok {
			return fmt.Errorf("%w (%w)", e, err)
		}
	}
	return err
}

// Spoken turns an error of the database, met by a library outside this package,
// into what a person can act on.
func Spoken(err error) error { return translate(err) }

// taken says which rule of the shop stands behind a unique index. The verbs ask
// first and name names; this is what is left when two people act at once.
var taken = map[string]*domain.Error{
	"animals_number_key":        domain.Taken("This shop number has just been given to another animal. Take the next tag."),
	"protocols_key_version_key": domain.Taken("Somebody else has just changed this rule. Look at it again before you change it."),
	"one_hook_one_animal":       domain.Taken("That hook has just been taken. Choose another."),
	"one_animal_one_place":      domain.Taken("This animal has just been hung somewhere else. Look at the rail again."),
	"one_table_one_animal":      domain.Taken("Somebody has just started on this animal. Take the next one."),
	"one_letter_at_a_time":      domain.Taken("Somebody has just written a letter about this animal."),
	"one_half_one_find":         domain.Taken("That half of the tag has just been written down by somebody else."),
	"blanked_papers_pkey":       domain.Taken("Something on the list was blanked by somebody else meanwhile. Open the list again."),
	"staff_initials":            domain.Wrong("initials", "Somebody already signs with these initials. Choose others."),
}

// breaks reports whether err is that this unique index would not have it.
func breaks(err error, index string) bool {
	pg, ok := errors.AsType[*pgconn.PgError](err)
	return ok && pg.Code == "23505" && pg.ConstraintName == index
}

// lost reports whether the database itself was away.
func lost(err error) bool {
	// No connection at all comes first: whatever Postgres gives as the reason.
	if _, ok := errors.AsType[*pgconn.ConnectError](err); ok {
		return true
	}
	if pg, ok := errors.AsType[*pgconn.PgError](err); ok {
		return pg.Code[:2] == "08" || pg.Code[:3] == "57P" || pg.Code == "53300"
	}
	if _, ok := errors.AsType[*net.OpError](err); ok {
		return true
	}
	return pgconn.SafeToRetry(err)
}
