package db

import (
	"context"
	"net/mail"
	"strings"
	"time"
	"unicode"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Person is a hunter, a farmer, or whoever else drops off, owns, pays for or
// collects an animal.
type Person struct {
	ID         uuid.UUID
	Name       string
	Phone      string
	Address    string
	Licence    string
	TellBy     string // text, call or mail; "" is call
	KnownSince time.Time

	SecondPhone string
	CallWhen    string // such as "the landline after 6"
	Mail        string
}

// NoName is domain.NoName. The register then still owes the name.
const NoName = domain.NoName

// Named reports whether the shop knows the person's name.
func (p Person) Named() bool { return p.Name != "" && p.Name != NoName }

const personColumns = `p.id, p.name, p.phone, p.address, p.licence, p.tell_by, p.known_since, p.second_phone, p.call_when, p.mail`

// mostPeople bounds what one search brings back.
const mostPeople = 20

// FindPeople finds by what was typed: four digits are the end of a phone number,
// seven or more are all of it, anything else is how a name begins, first or
// last. Those seen last come first; at most twenty.
func (db *DB) FindPeople(ctx context.Context, typed string) ([]Person, error) {
	typed = tidy(typed)
	number := digits(typed)
	switch {
	case len(number) == 4 && len(typed) == 4:
		return all[Person](ctx, db.pool, `
			SELECT `+personColumns+` FROM people p WHERE p.last_four = $1 ORDER BY p.known_since DESC LIMIT $2`, number, mostPeople)
	case len(number) >= 7:
		short := strings.TrimPrefix(number, "1") // with and without the country's own 1
		return all[Person](ctx, db.pool, `
			SELECT `+personColumns+` FROM people p WHERE p.phone_digits = ANY ($1) ORDER BY p.known_since DESC LIMIT $2`,
			[]string{number, short, "1" + short}, mostPeople)
	case typed == "" || number != "":
		return nil, nil
	}
	name := strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(strings.ToLower(typed))
	return all[Person](ctx, db.pool, `
		SELECT `+personColumns+` FROM people p WHERE lower(p.name) LIKE $1 OR lower(p.name) LIKE $2
		ORDER BY p.known_since DESC LIMIT $3`, name+"%", "% "+name+"%", mostPeople)
}

// know returns the person's id, adding them if the shop has not met them. The
// same phone and name are the same person; an address or licence told today
// replaces the one before, silence leaves it.
func know(ctx context.Context, tx pgx.Tx, p Person, now time.Time) (id uuid.UUID, err error) {
	err = tx.QueryRow(ctx, knowPerson, p.known(now)...).Scan(&id)
	return id, err
}

const knowPerson = `
	INSERT INTO people (id, name, phone, address, licence, tell_by, known_since, second_phone, call_when, mail)
	VALUES ($1, $2, $3, $4, $5, coalesce(nullif($6, ''), 'call'), $7, $8, $9, $10)
	ON CONFLICT (phone_digits, lower(name)) WHERE phone_digits <> '' DO UPDATE
	SET address = coalesce(nullif(excluded.address, ''), people.address),
	    licence = coalesce(nullif(excluded.licence, ''), people.licence),
	    tell_by = coalesce(nullif($6, ''), people.tell_by),
	    second_phone = coalesce(nullif(excluded.second_phone, ''), people.second_phone),
	    call_when = coalesce(nullif(excluded.call_when, ''), people.call_when),
	    mail = coalesce(nullif(excluded.mail, ''), people.mail)
	RETURNING id`

// known is what knowPerson is told.
func (p Person) known(now time.Time) []any {
	if p.Name == "" {
		p.Name = NoName
	}
	return []any{uuid.Must(uuid.NewV7()), p.Name, p.Phone, p.Address, p.Licence, p.TellBy, now, p.SecondPhone, p.CallWhen, p.Mail}
}

// check tidies what was typed about a person; field is the form's name for the
// phone. A person of whom nothing is known cannot be reached, so that is refused.
func (p Person) check(field string) (Person, error) {
	p.Name, p.Phone, p.Address, p.Licence = tidy(p.Name), tidy(p.Phone), tidy(p.Address), tidy(p.Licence)
	p.SecondPhone, p.CallWhen, p.Mail = tidy(p.SecondPhone), tidy(p.CallWhen), tidy(p.Mail)
	n := len(digits(p.Phone))
	switch {
	case p.Phone == "" && !p.Named():
		return p, domain.Wrong(field, "Give a phone number or a name, so that somebody can be reached about it.")
	case p.Phone != "" && (n < 7 || n > 15):
		return p, domain.Wrong(field, "%s is not a whole phone number. Ask for it again.", p.Phone)
	case p.TellBy != "" && !oneOf([]string{"call", "text", "mail", "e-mail"}, p.TellBy):
		return p, domain.Wrong("tell_by", "Choose how the owner is told: a call, a text, an e-mail or a letter.")
	case p.TellBy == "e-mail" && p.Mail == "":
		return p, domain.Wrong("mail", "Give the e-mail address, or choose another way.")
	}
	return p, checkMail("mail", p.Mail)
}

// checkMail refuses what no mail could be sent to; nothing is no mistake.
func checkMail(field, address string) error {
	if _, err := mail.ParseAddress(address); address != "" && err != nil {
		return domain.Wrong(field, "That is no e-mail address. Give one such as ann@example.com.")
	}
	return nil
}

// digits keeps the digits of text.
func digits(text string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, text)
}

// longest is the most letters kept of one thing that was typed.
const longest = 300

// tidy makes typed text fit to be stored: no control characters, single spaces,
// no more than longest letters.
func tidy(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, " "))
	text = strings.Join(strings.Fields(text), " ")
	if letters := []rune(text); len(letters) > longest {
		text = string(letters[:longest])
	}
	return text
}
