package db

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// entry is what somebody enters in the register; enter gives it its number, its
// seal and its salts.
type entry struct {
	Animal   uuid.UUID
	Number   domain.ShopNumber
	Kind     register.Kind
	Fields   map[string]string // plain and personal, by field name; blanks are left out
	Corrects int64
	Why      string // of a correction
}

// registerLock is the advisory lock under which lines of the register get their
// numbers one by one. Whoever also locks an animal's row locks that first.
const registerLock = 0x72656769 // "regi"

// lockRegister makes everybody else who enters a line wait until tx ends.
func lockRegister(ctx context.Context, tx pgx.Tx) error {
	_, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, int64(registerLock))
	return err
}

// enter adds one line to the register, sealed over the line before it, and
// returns its number. Personal values go into their side table; the line keeps
// their salted digests.
func enter(ctx context.Context, tx pgx.Tx, act Act, e entry) (seq int64, err error) {
	if err := lockRegister(ctx, tx); err != nil {
		return 0, err
	}
	last, err := lastSeal(ctx, tx)
	if err != nil {
		return 0, err
	}
	var initials string
	if err := tx.QueryRow(ctx, `SELECT initials FROM staff WHERE id = $1`, act.Staff).Scan(&initials); err != nil {
		return 0, err
	}
	batch := &pgx.Batch{}
	if seq, err = e.queue(batch, act, last, initials); err != nil {
		return 0, err
	}
	return seq, tx.SendBatch(ctx, batch).Close()
}

// queue adds the rows of the entry's line, sealed over the last one, to a batch
// and returns the line's number. The caller holds the register's lock.
func (e entry) queue(batch *pgx.Batch, act Act, last seal, initials string) (seq int64, err error) {
	seq = last.Seq + 1
	l := register.Line{Seq: seq, Animal: e.Number, Kind: e.Kind, At: act.At.Truncate(time.Microsecond), Corrects: e.Corrects,
		By: initials, Facts: map[string]string{}, Personal: map[string]string{}}
	said := map[string]string{register.Reason.Name: strings.TrimSpace(e.Why)} // empty, it is left out
	maps.Copy(said, e.Fields)
	salts := digest(&l, said)
	if err := l.Check(); err != nil {
		return 0, err
	}
	previous := [32]byte(last.Hash)
	seal := register.Seal(previous, l)
	batch.Queue(`
		INSERT INTO register (seq, animal_id, kind, at, by_staff, initials, facts, digests, corrects, previous, hash)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, nullif($9, 0::bigint), $10, $11)`,
		seq, e.Animal, l.Kind, l.At, act.Staff, l.By, l.Facts, l.Personal, l.Corrects, previous[:], seal[:])
	fields := slices.Sorted(maps.Keys(salts))
	values, beside := make([]string, len(fields)), make([][]byte, len(fields))
	for i, field := range fields {
		values[i], beside[i] = said[field], salts[field]
	}
	batch.Queue(`INSERT INTO register_personal (seq, field, value, salt) SELECT $1, * FROM unnest($2::text[], $3::text[], $4::bytea[])`, seq, fields, values, beside)
	return seq, nil
}

// digest sorts the fields into the line: plain ones as they are, personal ones
// as digests under the salts it returns.
func digest(l *register.Line, fields map[string]string) (salts map[string][]byte) {
	salts = map[string][]byte{}
	for name, value := range fields {
		if value == "" {
			continue
		}
		if !register.IsPersonal(name) {
			l.Facts[name] = value // a name nobody knows is refused by Check
			continue
		}
		salt := make([]byte, 32)
		rand.Read(salt) // never fails: see crypto/rand
		salts[name] = salt
		l.Personal[name] = register.Digest(salt, name, value)
	}
	return salts
}

// seal is the number and the hash of a line.
type seal struct {
	Seq  int64
	Hash []byte
}

// firstSeal stands before the first line.
var firstSeal = seal{Hash: make([]byte, 32)}

const lastSealed = `SELECT seq, hash FROM register ORDER BY seq DESC LIMIT 1`

func lastSeal(ctx context.Context, q querier) (seal, error) {
	last, found, err := one[seal](ctx, q, lastSealed)
	if !found {
		last = firstSeal
	}
	return last, err
}

// RegisterLine is one line of the register as it is shown and printed: with the
// personal values that are still kept.
type RegisterLine struct {
	Seq      int64
	Number   domain.ShopNumber
	Kind     register.Kind
	At       time.Time
	Initials string
	Facts    map[string]string
	Digests  map[string]string
	Personal map[string]string // what has not been blanked
	Salts    map[string][]byte
	Corrects int64
	Why      string // of a correction from before its reason stood beside it
	Previous []byte // seal of the line before
	Hash     []byte
	Beside   int // rows in the side table, blanked ones too
	Taken    int // of them: blanked, and the owner approved no blanking of the animal
}

const registerColumns = `
	r.seq, a.number, r.kind, r.at, r.initials, r.facts, r.digests, coalesce(r.corrects, 0) AS corrects, r.why, r.previous, r.hash,
	(SELECT coalesce(jsonb_object_agg(p.field, p.value), '{}') FROM register_personal p WHERE p.seq = r.seq AND p.value IS NOT NULL) AS personal,
	(SELECT coalesce(jsonb_object_agg(p.field, encode(p.salt, 'base64')), '{}')
	 FROM register_personal p WHERE p.seq = r.seq AND p.value IS NOT NULL) AS salts,
	(SELECT count(*) FROM register_personal p WHERE p.seq = r.seq) AS beside,
	(SELECT count(*) FROM register_personal p WHERE p.seq = r.seq AND p.value IS NULL AND NOT EXISTS (SELECT FROM blanked b WHERE b.animal_id = r.animal_id)) AS taken`

// registerBatch is how many lines are read at once.
const registerBatch = 500

// RegisterLines lists the lines made from one instant until before another, in
// order, those after line number after: at most 500, so that a caller asks again
// until none come.
func (db *DB) RegisterLines(ctx context.Context, from, until time.Time, after int64) ([]RegisterLine, error) {
	return db.RegisterAbout(ctx, from, until, after, About{})
}

// About is what the lines that are asked for have to be about; what is left empty is
// not asked. An animal is known by the newest its lines say, whenever that was said.
type About struct{ Species, County, Tag string }

// RegisterAbout lists the lines as RegisterLines does, of the animals asked for.
func (db *DB) RegisterAbout(ctx context.Context, from, until time.Time, after int64, a About) ([]RegisterLine, error) {
	return all[RegisterLine](ctx, db.pool, `
		SELECT `+registerColumns+` FROM register r JOIN animals a ON a.id = r.animal_id
		WHERE r.seq > $3 AND r.at >= $1 AND r.at < $2 AND ($5 = '' OR a.species = lower($5))
		  AND ($6 = '' OR lower($6) = lower((SELECT n.facts ->> 'county' FROM register n WHERE n.animal_id = a.id AND n.facts ? 'county' ORDER BY n.seq DESC LIMIT 1)))
		  AND ($7 = '' OR EXISTS (SELECT FROM official_tags t WHERE t.animal_id = a.id AND lower(t.number) = lower($7)))
		ORDER BY r.seq LIMIT $4`, from, until, after, registerBatch, tidy(a.Species), tidy(a.County), tidy(a.Tag))
}

// RegisterOf lists every line about one animal, the receipt first.
func (db *DB) RegisterOf(ctx context.Context, number domain.ShopNumber) ([]RegisterLine, error) {
	return all[RegisterLine](ctx, db.pool, `
		SELECT `+registerColumns+` FROM register r JOIN animals a ON a.id = r.animal_id
		WHERE a.number = $1 ORDER BY r.seq LIMIT $2`, number, registerBatch)
}

// sealed is the line with its seal, as the domain walks it.
func (l RegisterLine) sealed() register.Sealed {
	s := register.Sealed{Line: register.Line{Seq: l.Seq, Animal: l.Number, Kind: l.Kind, At: l.At, By: l.Initials,
		Facts: l.Facts, Personal: l.Digests, Corrects: l.Corrects, Why: l.Why}}
	copy(s.Seal[:], l.Hash)
	return s
}

// matchBeside holds what no seal is over against it: the seal before as the line repeats
// it, and the names beside each line. Those that are gone went with an approval.
func matchBeside(last register.Sealed, lines []RegisterLine, walked []register.Sealed) error {
	for i, l := range lines {
		if !bytes.Equal(l.Previous, last.Seal[:]) {
			return domain.Refuse("register", "Line %d of the register is not as it was written.", l.Seq)
		}
		last = walked[i]
		if l.Taken > 0 {
			return domain.Refuse("register", "A name beside line %d of the register was taken away, and nobody approved that.", l.Seq)
		}
		if l.Beside != len(l.Digests) {
			return domain.Refuse("register", "A name beside line %d of the register is missing.", l.Seq)
		}
		for field, value := range l.Personal {
			if !walked[i].Matches(l.Salts[field], field, value) {
				return domain.Refuse("register", "What stands beside line %d of the register is not what it was sealed with.", l.Seq)
			}
		}
	}
	return nil
}

// RegisterHeader names the columns of Row.
func RegisterHeader() []string {
	head := []string{"line", "number", "kind", "entered", "by", "corrects", "why"}
	for _, f := range register.Fields {
		head = append(head, f.Name)
	}
	return head
}

// Row is the line as one row of a table, times in loc.
func (l RegisterLine) Row(loc *time.Location) []string {
	corrects := ""
	if l.Corrects != 0 {
		corrects = strconv.FormatInt(l.Corrects, 10)
	}
	row := []string{strconv.FormatInt(l.Seq, 10), string(l.Number), string(l.Kind), l.At.In(loc).Format("2006-01-02 15:04"), l.Initials, corrects, l.Reason()}
	for _, f := range register.Fields {
		row = append(row, l.Value(f))
	}
	return row
}

// Reason is why the line corrects another; "" where it corrects none.
func (l RegisterLine) Reason() string { return cmp.Or(l.Why, l.Value(register.Reason)) }

// Value is what the line says in a field; a personal value blanked in its time
// is said to be so.
func (l RegisterLine) Value(f register.Field) string {
	if !f.Personal {
		return l.Facts[f.Name]
	}
	if v, kept := l.Personal[f.Name]; kept {
		return v
	}
	if _, was := l.Digests[f.Name]; was {
		return "blanked"
	}
	return ""
}
