package demo

import (
	"crypto/rand"
	"maps"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// pastLine is what the register needs of an animal of an earlier season.
type pastLine struct {
	ID                   uuid.UUID
	Number               domain.ShopNumber
	At                   time.Time
	Name, Phone, Licence string
}

// enterPast seals the season's lines, one at receipt and one at hand-over, in
// order of time over the last line that stands.
func (s *season) enterPast(tx pgx.Tx, p past, by db.Staff) error {
	rows, err := tx.Query(s.ctx, `
		SELECT t.id, t.number, t.at, p.name, p.phone, p.licence FROM told t JOIN people p ON p.id = t.person ORDER BY t.at, t.i`)
	if err != nil {
		return err
	}
	animals, err := pgx.CollectRows(rows, pgx.RowToStructByName[pastLine])
	if err != nil {
		return err
	}
	c := &chain{by: by.ID, initials: by.Initials}
	var last []byte
	err = tx.QueryRow(s.ctx, `SELECT coalesce(max(seq), 0), coalesce((SELECT hash FROM register ORDER BY seq DESC LIMIT 1), decode(repeat('00', 32), 'hex')) FROM register`).Scan(&c.seq, &last)
	if err != nil {
		return err
	}
	c.seal = [32]byte(last)
	for _, a := range animals {
		c.enter(a, register.Receipt, a.At, map[string]string{"received": a.At.In(s.zone).Format("2006-01-02 15:04"), "species": "whitetail", "sex": "male", "form": "whole",
			"tag": "T-" + string(a.Number), "tag_state": "NY", "kill_state": "NY", "county": "Wick", "killed": a.At.In(s.zone).Format("2006-01-02")},
			map[string]string{"owner": a.Name, "taker": a.Name, "deliverer": a.Name, "phone": a.Phone, "licence": a.Licence})
	}
	for _, a := range animals {
		at := a.At.AddDate(0, 0, 12)
		c.enter(a, register.Handover, at, map[string]string{"handed_over": at.In(s.zone).Format("2006-01-02 15:04"), "boxes": "2", "tag_returned": "yes"},
			map[string]string{"collector": a.Name})
	}
	if _, err := tx.CopyFrom(s.ctx, pgx.Identifier{"register"}, []string{"seq", "animal_id", "kind", "at", "by_staff", "initials", "facts", "digests", "why", "previous", "hash"}, pgx.CopyFromRows(c.lines)); err != nil {
		return err
	}
	_, err = tx.CopyFrom(s.ctx, pgx.Identifier{"register_personal"}, []string{"seq", "field", "value", "salt"}, pgx.CopyFromRows(c.personal))
	return err
}

// chain seals line after line.
type chain struct {
	by              uuid.UUID
	initials        string
	seq             int64
	seal            [32]byte
	lines, personal [][]any
}

func (c *chain) enter(a pastLine, kind register.Kind, at time.Time, facts, personal map[string]string) {
	c.seq++
	l := register.Line{Seq: c.seq, Animal: a.Number, Kind: kind, At: at.Truncate(time.Microsecond), By: c.initials, Facts: facts, Personal: map[string]string{}}
	for _, field := range slices.Sorted(maps.Keys(personal)) {
		salt := make([]byte, 32)
		rand.Read(salt) // never fails: see crypto/rand
		l.Personal[field] = register.Digest(salt, field, personal[field])
		c.personal = append(c.personal, []any{c.seq, field, personal[field], salt})
	}
	previous := c.seal
	c.seal = register.Seal(previous, l)
	c.lines = append(c.lines, []any{c.seq, a.ID, string(kind), l.At, c.by, l.By, facts, l.Personal, "", previous[:], slices.Clone(c.seal[:])})
}
