package db

import (
	"context"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// MayCollect writes down that the owner named somebody who may come for the meat:
// who, how the owner said so, and when. It is a contact with the owner as well.
func (db *DB) MayCollect(ctx context.Context, act Act, number domain.ShopNumber, name, how string) error {
	name = tidy(name)
	switch {
	case name == "":
		return domain.Wrong("named", "Write down who may come for it.")
	case how != "call" && how != "text" && how != "in person":
		return domain.Wrong("named_how", "Say how the owner told you: by phone, by text or in person.")
	}
	return db.act(ctx, act, "may collect", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		named, err := all[struct{ Name string }](ctx, tx, `
			SELECT p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role = 'collector' LIMIT 100`, a.ID)
		if err != nil {
			return line{}, err
		}
		for _, n := range named {
			if strings.EqualFold(n.Name, name) {
				return line{}, domain.Taken("That person is on the list already.")
			}
		}
		rows := &pgx.Batch{}
		rows.Queue(`
			WITH known AS (`+knowPerson+`)
			INSERT INTO animal_people (animal_id, person_id, role, since, note) SELECT $11, known.id, 'collector', $7, $12 FROM known`,
			append(Person{Name: name}.known(act.At), a.ID, how)...)
		rows.Queue(`INSERT INTO contacts (id, animal_id, way, outcome, note, at, by_staff) VALUES ($1, $2, $3, 'spoke', $4, $5, $6)`,
			act.ID, a.ID, how, "the owner named who may collect", act.At, act.Staff)
		return line{Animal: a.ID, What: "may-collect", Detail: map[string]any{"said": how}, Rows: rows}, touch(ctx, tx, a.ID)
	})
}

// mayTakeHome asks whether somebody may take these boxes home: the owner, the owner of
// the portion that is in each box, whom the owner named, or, where the shop has it
// so, whoever shows the stub. No name is said: what is refused may be read aloud.
func mayTakeHome(ctx context.Context, tx pgx.Tx, a Animal, c Collection, taken []Box) error {
	parties, err := all[struct{ Role, Name string }](ctx, tx, `
		SELECT ap.role, p.name FROM animal_people ap JOIN people p ON p.id = ap.person_id WHERE ap.animal_id = $1 AND ap.role IN ('owner', 'collector')
		UNION ALL SELECT 'share:' || o.portion, o.for_whom FROM orders o WHERE o.animal_id = $1 AND o.void_at IS NULL AND o.portion <> '' AND o.for_whom <> ''
		UNION ALL SELECT 'share:' || portion, name FROM shares WHERE animal_id = $1 AND `+newestShares+` LIMIT 100`, a.ID)
	if err != nil {
		return err
	}
	name := tidy(c.Collector)
	is := func(role string) bool {
		return slices.ContainsFunc(parties, func(p struct{ Role, Name string }) bool {
			return p.Role == role && strings.EqualFold(p.Name, name)
		})
	}
	known := slices.ContainsFunc(parties, func(p struct{ Role, Name string }) bool { return p.Role == "owner" && p.Name != NoName })
	switch c.Authority {
	case animal.ByName:
		if !is("collector") {
			return domain.Refuse("collector", "The owner has not named them. Call the owner; write their yes down with the hour, and then hand over.")
		}
	case animal.ByStub:
		var stub bool
		if err := tx.QueryRow(ctx, `SELECT stub_collects FROM shop`).Scan(&stub); err != nil {
			return err
		}
		if !stub {
			return domain.Refuse("collector", "This shop hands nothing out for the stub alone. Call the owner and write their yes down.")
		}
	case animal.ByOwner:
		if known && !is("owner") && !ownShare(taken, is) {
			return domain.Refuse("collector", "That is not the owner's name as it stands here. If somebody else comes, the owner names them first.")
		}
	}
	return nil
}

// ownShare reports whether every box is of a portion that is the collector's own.
func ownShare(taken []Box, is func(role string) bool) bool {
	for _, b := range taken {
		if b.Portion == cutting.WholeAnimal || !is("share:"+string(b.Portion)) {
			return false
		}
	}
	return len(taken) > 0
}

// Thing is what goes back with the meat and is no box: a piece such as antlers or a
// cape, or what the owner left here.
type Thing struct {
	ID     uuid.UUID
	Kind   string // the piece's kind, or left
	What   string // "antlers, 26-0147-3-A", "blue cooler"
	GoneAt *time.Time
}

const thingsOf = `
	SELECT id, kind, kind || ' ' || mark AS what, gone_at FROM pieces WHERE animal_id = $1 AND kind IN ('head', 'cape', 'hide', 'antlers', 'heart')
	UNION ALL
	SELECT t.id, 'left', t.what, h.at FROM left_things t LEFT JOIN handovers h ON h.id = t.handover_id WHERE t.animal_id = $1
	ORDER BY what LIMIT 60`

func things(ctx context.Context, q querier, id uuid.UUID) ([]Thing, error) {
	return all[Thing](ctx, q, thingsOf, id)
}

// giveBack notes the things that went along, and refuses a whole hand-over while
// others stay behind without a word.
func (r *release) giveBack(ctx context.Context, tx pgx.Tx, a Animal, ids []string) error {
	here, err := things(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	var stay []string
	for _, t := range here {
		switch {
		case t.GoneAt != nil:
		case slices.Contains(ids, t.ID.String()):
			if t.Kind == string(cutting.HeadPiece) {
				if err := cutting.HeadPiece.MayGo(cutting.GoneOwner, sampleWanted(a)); err != nil {
					return err
				}
			}
			r.things = append(r.things, t)
		default:
			stay = append(stay, t.What)
		}
	}
	if len(r.things) < len(ids) {
		return domain.Taken("Something of it has left already. Look at the list again.")
	}
	if len(stay) > 0 && r.Whole() {
		return domain.Wrong("things", "Still here: %s. Give it back and tick it, or write under what stays that it is fetched later.", strings.Join(stay, ", "))
	}
	return nil
}

// queueThings writes down what went along.
func (r release) queueThings(rows *pgx.Batch, act Act) {
	for _, t := range r.things {
		if t.Kind == "left" {
			rows.Queue(`UPDATE left_things SET handover_id = $2 WHERE id = $1 AND handover_id IS NULL`, t.ID, act.ID)
		} else {
			rows.Queue(`UPDATE pieces SET gone_at = $2, gone_to = 'owner', gone_by = $3, taken_by = $4 WHERE id = $1 AND gone_at IS NULL`, t.ID, act.At, act.Staff, r.Collector)
		}
	}
}
