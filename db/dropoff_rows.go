package db

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// insertAnimal writes the animal's row: judged by the protocol and priced by the
// list in force at this moment.
func insertAnimal(ctx context.Context, tx pgx.Tx, act Act, d Drop, owed int) error {
	protocol, err := protocolFor(ctx, tx, d, act.At)
	if err != nil {
		return err
	}
	prices, found, err := one[struct{ ID int }](ctx, tx, `SELECT id FROM price_lists WHERE since <= $1 ORDER BY version DESC LIMIT 1`, act.At)
	if err == nil && !found {
		err = domain.Refuse("prices", "The shop has no price list yet. The owner makes one first.")
	}
	if err != nil {
		return err
	}
	t := d.tracks(owed)
	_, err = tx.Exec(ctx, `
		INSERT INTO animals (id, number, species, class, sex, points, form, killed_at, killed_day_only, received_at, received_by, device_id,
		  deep_c, kept_c, kept, door, door_note, field_dressed_kg, hanging_kg, wish, keeps, sample_wanted,
		  physical, legal, disease, order_state, money, protocol_id, price_list_id)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, nullif($15, ''), $16, $17, $18, $19, $20, $21, $22,
		  $23, $24, $25, $26, $27, $28, $29)`,
		act.ID, d.Number, d.Species, d.Class, d.Sex, d.Points, d.Form, d.KilledAt, d.KilledDayOnly, d.ReceivedAt, act.Staff, orNull(act.Device),
		d.DeepTemp, d.KeptTemp, d.Kept, d.door(), d.DoorNote, d.FieldWeight, d.HangingWeight, d.Wish, d.Keeps, d.SampleWanted,
		t.Physical, t.Legal, t.Disease, t.Order, t.Money, protocol, prices.ID)
	return err
}

// protocolFor returns the version in force of the protocol that fits the animal.
func protocolFor(ctx context.Context, q querier, d Drop, now time.Time) (id int, err error) {
	key := ageing.Pick(d.Species, d.Class, d.Form, d.Damaged())
	err = q.QueryRow(ctx, `SELECT id FROM protocols WHERE key = $1 AND since <= $2 ORDER BY version DESC LIMIT 1`, key, now).Scan(&id)
	if err == pgx.ErrNoRows {
		err = domain.Refuse("protocol", "The shop has no rule yet for how long this kind hangs. The owner sets one first.")
	}
	return id, err
}

// linkPeople says who is what to the animal.
func (d Drop) linkPeople(ctx context.Context, tx pgx.Tx, act Act) error {
	owner, err := know(ctx, tx, d.Owner, act.At)
	if err != nil {
		return err
	}
	roles := map[string]uuid.UUID{"owner": owner, "deliverer": owner}
	if d.Species.Game() {
		roles["taker"] = owner
	}
	for role, p := range map[string]*Person{"taker": d.Taker, "deliverer": d.Deliverer} {
		if p == nil {
			continue
		}
		if roles[role], err = know(ctx, tx, *p, act.At); err != nil {
			return err
		}
	}
	for role, person := range roles {
		_, err := tx.Exec(ctx, `INSERT INTO animal_people (animal_id, person_id, role, since) VALUES ($1, $2, $3, $4)`, act.ID, person, role, act.At)
		if err != nil {
			return err
		}
	}
	return nil
}

// openHolds holds an animal whose tag does not fit, or which the lead took in
// against the door check.
func (d Drop) openHolds(ctx context.Context, tx pgx.Tx, act Act) error {
	reasons := map[hold.Kind]string{}
	if d.TagDiffers != "" {
		reasons[hold.Tag] = d.TagDiffers
	}
	if d.Worst() == animal.RefuseGrade {
		reasons[hold.Quality] = "door check said refuse; taken in by the lead"
	}
	for kind, why := range reasons {
		_, err := tx.Exec(ctx, `
			INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), act.ID, kind, why, act.At, act.Staff)
		if err != nil {
			return err
		}
	}
	return nil
}

// weighIns keeps the weights taken at the door.
func (d Drop) weighIns(ctx context.Context, tx pgx.Tx, act Act) error {
	for purpose, kg := range map[string]*domain.Kilogram{"field-dressed": d.FieldWeight, "hanging": d.HangingWeight} {
		if kg == nil {
			continue
		}
		if err := weighIn(ctx, tx, act, act.ID, uuid.Nil, purpose, *kg, 0); err != nil {
			return err
		}
	}
	return nil
}

// weighIn keeps what the scale said for the animal, or for one piece of it.
func weighIn(ctx context.Context, tx pgx.Tx, act Act, animal, piece uuid.UUID, purpose string, gross, tare domain.Kilogram) error {
	_, err := tx.Exec(ctx, `
		INSERT INTO weigh_ins (id, animal_id, piece_id, purpose, gross_kg, tare_kg, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		uuid.Must(uuid.NewV7()), animal, orNull(piece), purpose, gross, tare, act.At, act.Staff)
	return err
}

// registerFields is what the register is told at drop-off, by field name; times
// are written in the shop's zone. What nobody said is left out, and owed.
func registerFields(ctx context.Context, q querier, d Drop) (map[string]string, error) {
	var zone string
	if err := q.QueryRow(ctx, `SELECT zone FROM shop`).Scan(&zone); err != nil {
		return nil, err
	}
	loc := Shop{Zone: zone}.Location()
	f := map[string]string{
		"received": d.ReceivedAt.In(loc).Format(registerTime), "species": string(d.Species), "sex": string(d.Sex), "form": string(d.Form),
		"killed": killed(d, loc), "tag": d.Tag.Number, "tag_state": d.Tag.State, "kill_state": d.KillState, "county": d.County,
		"unit": d.Unit, "property": d.Property, "ear_tag": d.EarTag, "age": d.Age, "phone": d.Owner.Phone,
	}
	if d.Points > 0 {
		f["points"] = strconv.Itoa(d.Points)
	}
	if d.Tag.Number == "" {
		delete(f, "tag_state")
	}
	switch {
	case d.HangingWeight != nil:
		f["weight"] = fmt.Sprintf("%.1f kg hanging", float64(*d.HangingWeight))
	case d.FieldWeight != nil:
		f["weight"] = fmt.Sprintf("%.1f kg as it came", float64(*d.FieldWeight))
	}
	d.people(f)
	for name, value := range f {
		if value == "" {
			delete(f, name)
		}
	}
	return f, nil
}

// registerTime writes an instant in the register so that nobody need ask which
// zone it was.
const registerTime = "2006-01-02 15:04 -07:00"

func killed(d Drop, loc *time.Location) string {
	if d.KilledDayOnly {
		return d.KilledAt.In(loc).Format(time.DateOnly)
	}
	return d.KilledAt.In(loc).Format(registerTime)
}

// people adds who owns, killed and brought the animal.
func (d Drop) people(f map[string]string) {
	taker, deliverer := d.Owner, d.Owner
	if d.Taker != nil {
		taker = *d.Taker
	}
	if d.Deliverer != nil {
		deliverer = *d.Deliverer
	}
	roles := map[string]Person{"owner": d.Owner, "deliverer": deliverer}
	if d.Species.Game() {
		roles["taker"] = taker
		f["licence"] = taker.Licence
	}
	for role, p := range roles {
		if p.Named() {
			f[role] = p.Name
		}
		f[role+"_address"] = p.Address
	}
}
