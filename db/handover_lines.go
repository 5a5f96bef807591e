package db

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// tookPlace picks hand-overs that a later line did not take back, of the table named.
func tookPlace(handovers string) string {
	return `NOT EXISTS (SELECT FROM handover_corrections u WHERE u.handover_id = ` + handovers + `.id AND u.undone)`
}

// Handovers lists who took what of an animal, in order, as the last line about each has
// it; without those that turned out to be none.
func (db *DB) Handovers(ctx context.Context, id uuid.UUID) ([]Handover, error) {
	list, err := handoversOf(ctx, db.pool, id)
	return slices.DeleteFunc(list, func(h Handover) bool { return h.Undone }), err
}

// handoversOf lists them all, for whoever puts one right.
func handoversOf(ctx context.Context, q querier, id uuid.UUID) ([]Handover, error) {
	return all[Handover](ctx, q, `
		SELECT h.id, coalesce(c.collector, h.collector) AS collector, coalesce(c.authority, h.authority) AS authority, coalesce(c.seen, h.seen) AS seen,
		       (SELECT count(*)::int FROM boxes b WHERE b.handover_id = h.id) AS boxes, h.tag_returned, h.remains, h.balance_cents, h.balance_why,
		       h.strokes, h.at, s.initials AS by, coalesce(c.n, 0) AS lines, coalesce(c.undone, false) AS undone
		FROM handovers h JOIN staff s ON s.id = h.by_staff
		LEFT JOIN LATERAL (SELECT n, collector, authority, seen, undone FROM handover_corrections WHERE handover_id = h.id ORDER BY n DESC LIMIT 1) c ON true
		WHERE h.animal_id = $1 ORDER BY h.at LIMIT 50`, id)
}

// HandoverLine put a hand-over right.
type HandoverLine struct {
	Handover  uuid.UUID
	Collector string // who took it
	Before    string // who it said had
	Stayed    string // boxes that had not left, such as "1, 3"
	Undone    bool
	Why       string
	At        time.Time
	By        string // initials
}

func handoverLines(ctx context.Context, q querier, id uuid.UUID) ([]HandoverLine, error) {
	return all[HandoverLine](ctx, q, `
		SELECT c.handover_id AS handover, c.collector, lag(c.collector, 1, h.collector) OVER (PARTITION BY h.id ORDER BY c.n) AS before,
		       c.stayed, c.undone, c.why, c.at, s.initials AS by
		FROM handover_corrections c JOIN handovers h ON h.id = c.handover_id JOIN staff s ON s.id = c.by_staff
		WHERE h.animal_id = $1 ORDER BY c.at, c.n LIMIT 100`, id)
}

// HandoverRight is a hand-over as it should have been written down. After is how many
// lines had put it right before, as the writer read it.
type HandoverRight struct {
	Handover  uuid.UUID
	After     int
	Collector string
	Authority animal.Authority
	Seen      string
	Stayed    []string // labels of boxes that had not left and stand here
	Why       string
}

// CorrectHandover puts a hand-over right by a line with its reason: somebody else took
// it, or boxes had not left. With none gone it was no hand-over: tag and things are here
// again too. What was written stays, the register gets a correction, money is not touched.
func (db *DB) CorrectHandover(ctx context.Context, act Act, number domain.ShopNumber, c HandoverRight) error {
	return db.act(ctx, act, "correct hand-over", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		r, err := c.read(ctx, tx, a)
		if err != nil {
			return line{}, err
		}
		if err := r.putBack(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO handover_corrections (id, handover_id, n, collector, authority, seen, stayed, undone, was_gone, why, at, by_staff)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`, act.ID, r.was.ID, c.After+1, r.Collector, r.Authority, r.Seen,
			r.numbers(), r.undone(), len(r.taken) > 0 && a.Physical == animal.Released, r.Why, act.At, act.Staff); err != nil {
			return line{}, err
		}
		if err := r.enter(ctx, tx, act, a); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "correct-hand-over", Detail: r.detail(), Why: r.Why}, nil
	})
}

// handoverRight is a correction on its way: what the form said, checked.
type handoverRight struct {
	HandoverRight
	was   Handover
	all   []Box // of the animal
	taken []Box // by the hand-over, and had not left
}

func (c HandoverRight) read(ctx context.Context, tx pgx.Tx, a Animal) (r handoverRight, err error) {
	c.Collector, c.Seen, c.Why = tidy(c.Collector), tidy(c.Seen), tidy(c.Why)
	r.HandoverRight = c
	made, err := handoversOf(ctx, tx, a.ID)
	if err != nil {
		return r, err
	}
	at := slices.IndexFunc(made, func(h Handover) bool { return h.ID == c.Handover })
	if at < 0 {
		return r, domain.Missing("There is no such hand-over of %s.", string(a.Number))
	}
	if r.was = made[at]; r.was.Lines != c.After {
		return r, domain.Taken("Somebody has put this hand-over right meanwhile. Read that first.")
	}
	if r.all, err = boxesAt(ctx, tx, a.ID); err != nil {
		return r, err
	}
	if err := r.stayed(a); err != nil {
		return r, err
	}
	return r, r.check()
}

// stayed finds the boxes whose labels were read: of this hand-over, each once.
func (r *handoverRight) stayed(a Animal) error {
	for _, label := range r.Stayed {
		number, n, err := domain.ParseBoxCode("stayed", label)
		if err != nil {
			return err
		}
		b, found := boxNumbered(r.all, n)
		if number != a.Number || !found || b.Handover != r.was.ID {
			return domain.Wrong("stayed", "%s did not leave with this hand-over as it is written down.", label)
		}
		if !slices.ContainsFunc(r.taken, func(t Box) bool { return t.N == n }) {
			r.taken = append(r.taken, b)
		}
	}
	return nil
}

func (r *handoverRight) check() error {
	same := r.Collector == r.was.Collector && r.Authority == r.was.Authority && r.Seen == r.was.Seen
	switch {
	case r.was.Undone:
		return domain.Refuse("why", "It was taken back already: nothing had left.")
	case r.was.Collector == blankedName:
		return domain.Refuse("why", "The names of this hand-over were blanked, as the law asks. It stays as it is.")
	case r.Collector == "":
		return domain.Wrong("collector", "Write down who takes it home.")
	case r.Authority != animal.ByOwner && r.Authority != animal.ByName && r.Authority != animal.ByStub:
		return domain.Wrong("authority", "Choose by what right: the owner, somebody the owner named, or the receipt stub.")
	case same && len(r.taken) == 0:
		return domain.Wrong("collector", "Nothing is changed yet. Say who took it, or tick the boxes that are still here.")
	case r.Why == "":
		return domain.Wrong("why", "Say what happened, such as: box 2 was left in the freezer.")
	}
	return nil
}

// blankedName stands where a name was blanked.
const blankedName = "(blanked)"

// undone reports whether no box of it had left.
func (r *handoverRight) undone() bool { return len(r.taken) > 0 && len(r.taken) == r.was.Boxes }

// numbers lists the boxes that had not left, such as "1, 2".
func (r *handoverRight) numbers() string { return boxNumbers(r.taken) }

// boxNumbers lists boxes by their numbers, such as "1, 2".
func boxNumbers(boxes []Box) string {
	n := make([]string, len(boxes))
	for i, b := range boxes {
		n[i] = fmt.Sprint(b.N)
	}
	return strings.Join(n, ", ")
}

// putBack puts what had not left back on its place and the animal's tracks where they
// belong then.
func (r *handoverRight) putBack(ctx context.Context, tx pgx.Tx, act Act, a Animal) (err error) {
	to, rows := a.Tracks(), &pgx.Batch{}
	rows.Queue(`UPDATE pieces SET taken_by = $3 WHERE animal_id = $1 AND gone_to = 'owner' AND gone_at = $2`, a.ID, r.was.At, r.Collector)
	if len(r.taken) > 0 {
		step := animal.Stay
		if len(stillHere(r.all))+len(r.taken) < len(r.all) {
			step = animal.StayPart
		}
		if to.Physical, err = to.Physical.Do(step); err != nil {
			return err
		}
		for _, b := range r.taken {
			rows.Queue(`UPDATE boxes SET released_at = NULL, handover_id = NULL WHERE id = $1`, b.ID)
		}
	}
	if r.undone() {
		rows.Queue(`UPDATE pieces SET gone_at = NULL, gone_to = '', gone_by = NULL, taken_by = '' WHERE animal_id = $1 AND gone_to = 'owner' AND gone_at = $2`, a.ID, r.was.At)
		rows.Queue(`UPDATE left_things SET handover_id = NULL WHERE handover_id = $1`, r.was.ID)
	}
	if r.undone() && r.was.TagReturned {
		if to.Legal, err = to.Legal.Do(animal.KeepTag); err != nil {
			return err
		}
		if err := takeTags(ctx, tx, act, a.ID, []string{"returned"}, "with-boxes"); err != nil {
			return err
		}
	}
	if err := setTracks(ctx, tx, a, to); err != nil {
		return err
	}
	return tx.SendBatch(ctx, rows).Close()
}

// enter adds the correction to the register, beneath the line of the hand-over.
func (r *handoverRight) enter(ctx context.Context, tx pgx.Tx, act Act, a Animal) error {
	wrong, found, err := one[struct{ Seq int64 }](ctx, tx, `
		SELECT seq FROM register WHERE animal_id = $1 AND kind = 'handover' AND at = $2 ORDER BY seq LIMIT 1`, a.ID, r.was.At)
	if err == nil && !found {
		err = domain.Refuse("register", "The register has no line of this hand-over, so nothing can be added to it.")
	}
	if err != nil {
		return err
	}
	_, err = enter(ctx, tx, act, entry{Animal: a.ID, Number: a.Number, Kind: register.Correction, Fields: r.fields(), Corrects: wrong.Seq, Why: r.Why})
	return err
}

// fields is what the register keeps of it.
func (r *handoverRight) fields() map[string]string {
	if r.undone() {
		f := map[string]string{"handed_over": "not handed over", "boxes": "none", "disposition": "all of it is here"}
		if r.was.TagReturned {
			f["tag_returned"] = "no"
		}
		return f
	}
	f := map[string]string{"collector": r.Collector}
	if len(r.taken) > 0 {
		left := slices.DeleteFunc(slices.Clone(r.all), func(b Box) bool {
			return b.Handover != r.was.ID || slices.ContainsFunc(r.taken, func(t Box) bool { return t.ID == b.ID })
		})
		f["boxes"], f["disposition"] = boxNumbers(left), fmt.Sprintf("%d of %d boxes", len(stillHere(r.all))+len(r.taken), len(r.all))
	}
	return f
}

// detail is what the time line says of it: no name.
func (r *handoverRight) detail() map[string]any {
	d := map[string]any{}
	if len(r.taken) > 0 {
		d["boxes that had not left"] = r.numbers()
	}
	if !r.undone() && (r.Collector != r.was.Collector || r.Authority != r.was.Authority || r.Seen != r.was.Seen) {
		d["collector"] = string(r.Authority)
	}
	return d
}
