package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Signed is one signature about how long an animal hangs, as its row has it.
type Signed struct {
	Kind     ageing.SignatureKind
	Days     *float64
	Humidity *float64
	AirMS    *float64
	Note     string
	At       time.Time
	By       string // initials
}

// signature is the same as the domain counts with it.
func (s Signed) signature() ageing.Signature {
	out := ageing.Signature{Kind: s.Kind, At: s.At}
	if s.Days != nil {
		out.Days = *s.Days
	}
	if s.Humidity != nil && s.AirMS != nil {
		out.Measured = &ageing.RoomAir{Humidity: *s.Humidity, Air: *s.AirMS}
	}
	return out
}

// agreed adds up signatures given in order of time.
func agreed(list []Signed) (a ageing.Agreement) {
	for _, s := range list {
		a = a.With(s.signature())
	}
	return a
}

const signedSQL = `
	SELECT g.kind, g.days, g.humidity, g.air_m_s AS air_ms, g.note, g.at, s.initials AS by
	FROM hang_signatures g JOIN staff s ON s.id = g.by_staff WHERE g.animal_id = $1 ORDER BY g.at, g.id LIMIT 500`

// Hang is what is signed about how long one animal hangs, by which rule.
type Hang struct {
	Animal    Animal
	Rule      ageing.Protocol // its own version, never above that of its kind
	Signed    []Signed        // in order of time
	Agreement ageing.Agreement
}

// HangOf reads it.
func (db *DB) HangOf(ctx context.Context, number domain.ShopNumber) (h Hang, err error) {
	if h.Animal, err = db.Animal(ctx, number); err != nil {
		return h, err
	}
	if h.Rule, err = ruleOf(ctx, db.pool, h.Animal); err != nil {
		return h, err
	}
	h.Signed, err = all[Signed](ctx, db.pool, signedSQL, h.Animal.ID)
	h.Agreement = agreed(h.Signed)
	return h, err
}

// ruleOf reads the version an animal is judged by, lowered to that of its kind
// as it stood when the animal came.
func ruleOf(ctx context.Context, q querier, a Animal) (ageing.Protocol, error) {
	p, _, err := one[Protocol](ctx, q, `SELECT `+protocolColumns+` FROM protocols p WHERE p.id = $1`, a.ProtocolID)
	if err != nil {
		return ageing.Protocol{}, err
	}
	kinds, err := kindRules(ctx, q)
	return kinds.over(p.Rule(), a.Species, a.Class, a.ReceivedAt), err
}

// kindRule is one version of a kind's ceilings.
type kindRule struct {
	Key             string
	CeilingDays     float64
	LongCeilingDays float64
	Since           time.Time
}

// allKinds are the versions of every kind, the newest first.
type allKinds []kindRule

func kindRules(ctx context.Context, q querier) (allKinds, error) {
	return all[kindRule](ctx, q, `SELECT key, ceiling_days, long_ceiling_days, since FROM protocols ORDER BY version DESC LIMIT 2000`)
}

// over lowers the ceilings of an animal's own rule to those of its kind: where
// two apply the lower wins.
func (k allKinds) over(own ageing.Protocol, s domain.Species, c domain.Class, received time.Time) ageing.Protocol {
	kind := ageing.KindOf(s, c)
	for _, r := range k {
		if r.Key == kind && kind != own.Key && !r.Since.After(received) {
			return own.Under(ageing.Protocol{Ceiling: r.CeilingDays, LongCeiling: r.LongCeilingDays})
		}
	}
	return own
}

// lowerCeilings does so for animals that hang by the rule of their form.
func (db *DB) lowerCeilings(ctx context.Context, found map[uuid.UUID]*known) error {
	var kinds allKinds
	for _, k := range found {
		f := &k.facts
		if ageing.KindOf(f.Species, f.Class) == f.Protocol.Key {
			continue
		}
		if kinds == nil {
			var err error
			if kinds, err = kindRules(ctx, db.pool); err != nil {
				return err
			}
		}
		f.Protocol = kinds.over(f.Protocol, f.Species, f.Class, f.Received)
	}
	return nil
}

// readSignatures adds what is signed: a longer hang counts with the owner's line
// and the lead's sign-off, for as long as both allow.
func (db *DB) readSignatures(ctx context.Context, ids []uuid.UUID, found map[uuid.UUID]*known) error {
	type row struct {
		AnimalID uuid.UUID
		Kind     ageing.SignatureKind
		Days     *float64
		Humidity *float64
		AirMS    *float64
		At       time.Time
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT animal_id, kind, days, humidity, air_m_s AS air_ms, at FROM hang_signatures WHERE animal_id = ANY ($1) ORDER BY at, id`, ids)
	if err != nil {
		return err
	}
	signed := map[uuid.UUID][]Signed{}
	for _, r := range rows {
		signed[r.AnimalID] = append(signed[r.AnimalID], Signed{Kind: r.Kind, Days: r.Days, Humidity: r.Humidity, AirMS: r.AirMS, At: r.At})
	}
	for id, list := range signed {
		f := &found[id].facts
		a := agreed(list)
		f.Measured, f.MeasuredAt = a.Measured, a.MeasuredAt
		if days := a.Days(f.Protocol); days > 0 {
			f.LongHang, f.Protocol.LongCeiling = true, days
		}
	}
	return nil
}

// sign writes one signature after the domain has allowed it, with the animal
// locked, and raises its revision, so that it is judged anew.
func (db *DB) sign(ctx context.Context, act Act, number domain.ShopNumber, s Signed, missing string, allow func(tx pgx.Tx, h Hang) error) error {
	return db.act(ctx, act, "sign "+string(s.Kind), func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if s.Note = strings.TrimSpace(s.Note); s.Note == "" {
			return line{}, domain.Wrong("note", "%s", missing)
		}
		if !a.Physical.InHouse() || a.Physical.Cut() {
			return line{}, domain.Refuse("hang", "%s does not hang any more: it is %s.", string(number), a.Physical.Words())
		}
		h := Hang{Animal: a}
		if h.Rule, err = ruleOf(ctx, tx, a); err != nil {
			return line{}, err
		}
		if h.Signed, err = all[Signed](ctx, tx, signedSQL, a.ID); err != nil {
			return line{}, err
		}
		h.Agreement = agreed(h.Signed)
		if err := allow(tx, h); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO hang_signatures (id, animal_id, kind, days, humidity, air_m_s, note, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			act.ID, a.ID, s.Kind, s.Days, s.Humidity, s.AirMS, s.Note, act.At, act.Staff); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "sign-" + string(s.Kind), Detail: s.detail(), Why: s.Note}, touch(ctx, tx, a.ID)
	})
}

func (s Signed) detail() map[string]any {
	d := map[string]any{}
	if s.Days != nil {
		d["up to day"] = *s.Days
	}
	if s.Humidity != nil {
		d["humidity %"], d["air m/s"] = *s.Humidity, *s.AirMS
	}
	return d
}

// OwnerSigned notes that the animal's owner has signed for a longer hang, and
// where the signed line is kept. By itself it changes nothing.
func (db *DB) OwnerSigned(ctx context.Context, act Act, number domain.ShopNumber, days float64, kept string) error {
	return db.sign(ctx, act, number, Signed{Kind: ageing.OwnerLine, Days: &days, Note: kept}, "Say where the signed line is kept, such as: on the drop-off slip.",
		func(_ pgx.Tx, h Hang) error { return h.Rule.CheckOwnerLine(days) })
}

// Extend is the lead's sign-off for a longer hang that the owner has signed for.
func (db *DB) Extend(ctx context.Context, act Act, number domain.ShopNumber, days float64, measured *ageing.RoomAir, reason string) error {
	s := Signed{Kind: ageing.LeadExtend, Days: &days, Note: reason}
	s.measure(measured)
	return db.sign(ctx, act, number, s, "Give the reason why it may hang longer.", func(tx pgx.Tx, h Hang) error {
		last, err := mustBeLead(ctx, tx, act, h.Animal.ID)
		if err != nil {
			return err
		}
		return h.Agreement.CheckExtend(h.Rule, days, last, measured)
	})
}

// SignWeek is the lead's signature of the week on an animal past day 14.
func (db *DB) SignWeek(ctx context.Context, act Act, number domain.ShopNumber, measured *ageing.RoomAir, found string) error {
	s := Signed{Kind: ageing.LeadWeekly, Note: found}
	s.measure(measured)
	return db.sign(ctx, act, number, s, "Say in a word how it stands.", func(tx pgx.Tx, h Hang) error {
		last, err := mustBeLead(ctx, tx, act, h.Animal.ID)
		if err != nil {
			return err
		}
		if err := measured.Check(); err != nil {
			return err
		}
		return ageing.CheckWeekly(h.Animal.KilledAt, last, act.At)
	})
}

// EndLongHang ends a longer hang: the ordinary last day counts again.
func (db *DB) EndLongHang(ctx context.Context, act Act, number domain.ShopNumber, reason string) error {
	return db.sign(ctx, act, number, Signed{Kind: ageing.LeadEnd, Note: reason}, "Give the reason why it ends.", func(tx pgx.Tx, h Hang) error {
		if h.Agreement.Owner == nil && h.Agreement.Lead == nil {
			return domain.Refuse("end", "Nothing is signed that could be ended.")
		}
		_, err := mustBeLead(ctx, tx, act, h.Animal.ID)
		return err
	})
}

func (s *Signed) measure(m *ageing.RoomAir) {
	if m != nil {
		s.Humidity, s.AirMS = &m.Humidity, &m.Air
	}
}

// mustBeLead refuses anybody else, and reads the last look at the animal.
func mustBeLead(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID) (*ageing.Look, error) {
	lead, err := isLead(ctx, tx, act.Staff)
	if err != nil {
		return nil, err
	}
	if !lead {
		return nil, domain.Refuse("lead", "Only the lead signs this. Hand the tablet to the lead.")
	}
	type row struct {
		At      time.Time
		Smell   ageing.Smell
		Surface ageing.Surface
		Colours []ageing.Colour
		Sites   []ageing.Site
	}
	r, found, err := one[row](ctx, tx, `
		SELECT l.at, l.smell, l.surface, ARRAY(SELECT colour FROM look_moulds WHERE look_id = l.id ORDER BY site, colour) AS colours,
		       ARRAY(SELECT site FROM look_moulds WHERE look_id = l.id ORDER BY site, colour) AS sites
		FROM looks l WHERE l.animal_id = $1 ORDER BY l.at DESC, l.id DESC LIMIT 1`, id)
	if err != nil || !found {
		return nil, err
	}
	look := &ageing.Look{At: r.At, Smell: r.Smell, Surface: r.Surface}
	for i := range r.Colours {
		look.Mould = append(look.Mould, ageing.Mould{Site: r.Sites[i], Colour: r.Colours[i]})
	}
	return look, nil
}

// SignatureDue is an animal past day 14 whose week the lead has not signed.
type SignatureDue struct {
	Number   domain.ShopNumber
	Species  domain.Species
	KilledAt time.Time
	SignedAt *time.Time // the last time
}

// signaturesDue lists them, the oldest first.
func (db *DB) signaturesDue(ctx context.Context, now time.Time) (due []SignatureDue, err error) {
	rows, err := all[SignatureDue](ctx, db.pool, `
		SELECT a.number, a.species, a.killed_at, (SELECT max(at) FROM hang_signatures g WHERE g.animal_id = a.id AND g.kind = 'weekly') AS signed_at
		FROM animals a WHERE a.physical IN ('chilling', 'hanging') ORDER BY a.killed_at, a.number LIMIT $1`, mostWaiting)
	for _, r := range rows {
		signed := time.Time{}
		if r.SignedAt != nil {
			signed = *r.SignedAt
		}
		if ageing.SignatureDue(r.KilledAt, signed, now) {
			due = append(due, r)
		}
	}
	return due, err
}
