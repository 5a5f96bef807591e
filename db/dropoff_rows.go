package db

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// queueAnimal adds the animal's row: judged by the protocol and priced by the
// list in force at this moment.
func (d Drop) queueAnimal(rows *pgx.Batch, act Act, k atDoor, owed int) {
	t := d.tracks(k, owed)
	rows.Queue(`
		INSERT INTO animals (id, number, species, class, sex, points, form, killed_at, killed_day_only, received_at, received_by, device_id,
		  deep_c, kept_c, kept, door, door_note, field_dressed_kg, hanging_kg, wish, keeps, sample_wanted,
		  physical, legal, disease, order_state, money, protocol_id, price_list_id)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, nullif($15, ''), $16, $17, $18, $19, $20, $21, $22,
		  $23, $24, $25, $26, $27, $28, $29)`,
		act.ID, d.Number, d.Species, d.Class, d.Sex, d.Points, d.Form, d.KilledAt, d.KilledDayOnly, d.ReceivedAt, act.Staff, orNull(act.Device),
		d.DeepTemp, d.KeptTemp, d.Kept, d.door(), d.DoorNote, d.FieldWeight, d.HangingWeight, d.Wish, d.Keeps, d.SampleWanted,
		t.Physical, t.Legal, t.Disease, t.Order, t.Money, k.Protocol, k.Prices)
}

// queuePeople says who is what to the animal; whoever the shop has not met yet is
// added. Nobody else named, the owner also killed it and brought it.
func (d Drop) queuePeople(rows *pgx.Batch, act Act) {
	owner := []string{"owner"}
	others := []struct {
		role string
		who  *Person
	}{{"deliverer", d.Deliverer}}
	if d.Species.Game() {
		others = append(others, struct {
			role string
			who  *Person
		}{"taker", d.Taker})
	}
	for _, o := range others {
		if o.who == nil {
			owner = append(owner, o.role)
			continue
		}
		queueRoles(rows, act, *o.who, []string{o.role})
	}
	queueRoles(rows, act, d.Owner, owner)
	if d.Payer != nil {
		queueRoles(rows, act, *d.Payer, []string{"payer"})
	}
	for _, c := range d.Collectors {
		queueRoles(rows, act, c, []string{"collector"})
	}
}

func queueRoles(rows *pgx.Batch, act Act, p Person, roles []string) {
	rows.Queue(`
		WITH known AS (`+knowPerson+`)
		INSERT INTO animal_people (animal_id, person_id, role, since) SELECT $11, known.id, role, $7 FROM known, unnest($12::text[]) AS role`,
		append(p.known(act.At), act.ID, roles)...)
}

// queueFound ties the animal to what was found in the bay, and keeps the pictures.
func (d Drop) queueFound(rows *pgx.Batch, act Act) {
	if d.Found != uuid.Nil {
		rows.Queue(`UPDATE night_finds SET animal_id = $2 WHERE id = $1`, d.Found, act.ID)
	}
	queueDoorPhoto(rows, act, doorPhoto{Animal: act.ID, Jpeg: d.Photo})
	queueDoorPhoto(rows, act, doorPhoto{Animal: act.ID, Jpeg: d.DamagePhoto})
}

// queueLeft keeps what the owner left with the meat, one line for each thing.
func (d Drop) queueLeft(rows *pgx.Batch, act Act) {
	for _, thing := range strings.Split(d.Left, ",") {
		if thing = strings.TrimSpace(thing); thing != "" {
			rows.Queue(`INSERT INTO left_things (id, animal_id, what, left_at, left_by) VALUES ($1, $2, $3, $4, $5)`,
				uuid.Must(uuid.NewV7()), act.ID, thing, act.At, act.Staff)
		}
	}
}

// nobodys reports whether the carcass was found in the bay without its card.
func (d Drop) nobodys(k atDoor) bool { return d.Found != uuid.Nil && k.bay.CardID == nil }

// queueHolds holds an animal whose tag does not fit, of which nobody knows whose it
// is, or which the lead took in against the door check.
func (d Drop) queueHolds(rows *pgx.Batch, act Act, k atDoor) {
	reasons := map[hold.Kind]string{}
	if d.nobodys(k) {
		reasons[hold.Identity] = "found in the bay without a card"
	}
	if why := strings.Join(slices.DeleteFunc([]string{d.TagDiffers, k.late}, func(s string) bool { return s == "" }), "; "); why != "" {
		reasons[hold.Tag] = why
	}
	if d.Worst() == animal.RefuseGrade {
		reasons[hold.Quality] = "door check said refuse; taken in by the lead"
	}
	for kind, why := range reasons {
		rows.Queue(`
			INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), act.ID, kind, why, act.At, act.Staff)
	}
}

// queueWeighIns keeps the weights taken at the door.
func (d Drop) queueWeighIns(rows *pgx.Batch, act Act) {
	for purpose, kg := range map[string]*domain.Kilogram{"field-dressed": d.FieldWeight, "hanging": d.HangingWeight} {
		if kg != nil {
			queueWeighIn(rows, act, act.ID, uuid.Nil, purpose, *kg, 0, readFrom{})
		}
	}
}

// weighIn keeps what the scale said for the animal, or for one piece of it, and
// which scale read it.
func weighIn(ctx context.Context, tx pgx.Tx, act Act, animal, piece uuid.UUID, purpose string, gross, tare domain.Kilogram, from readFrom) error {
	rows := &pgx.Batch{}
	queueWeighIn(rows, act, animal, piece, purpose, gross, tare, from)
	return tx.SendBatch(ctx, rows).Close()
}

func queueWeighIn(rows *pgx.Batch, act Act, animal, piece uuid.UUID, purpose string, gross, tare domain.Kilogram, from readFrom) {
	rows.Queue(`
		INSERT INTO weigh_ins (id, animal_id, piece_id, purpose, gross_kg, tare_kg, at, by_staff, typed, scale, read_at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9::text = '', $9, $10)`,
		uuid.Must(uuid.NewV7()), animal, orNull(piece), purpose, gross, tare, act.At, act.Staff, from.Scale, from.at())
}

// registerFields is what the register is told at drop-off, by field name; times
// are written in the shop's zone. What nobody said is left out, and owed.
func (d Drop) registerFields(loc *time.Location) map[string]string {
	f := map[string]string{
		"received": d.ReceivedAt.In(loc).Format(RegisterTime), "species": string(d.Species), "sex": string(d.Sex), "form": string(d.Form),
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
	return f
}

// RegisterTime writes an instant in the register so that nobody need ask which
// zone it was.
const RegisterTime = "2006-01-02 15:04 -07:00"

func killed(d Drop, loc *time.Location) string {
	if d.KilledDayOnly {
		return d.KilledAt.In(loc).Format(time.DateOnly)
	}
	return d.KilledAt.In(loc).Format(RegisterTime)
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
