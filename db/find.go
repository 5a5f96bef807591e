package db

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// Ways is what a text typed or scanned into the find box may mean. A text can
// mean several things at once: four digits are the short number of a tag as well
// as the end of a phone number.
type Ways struct {
	Number   domain.ShopNumber // the whole number of a tag
	Misread  bool              // seven digits that do not add up as a tag
	Short    string            // the four digits people say of a tag, or the end of a phone number
	Phone    string            // all digits of a phone number
	Name     string            // how a first or last name begins
	Official string            // the state's tag
}

// numberIn finds a shop number inside a longer text, such as the address that a
// scanned code holds or the label of a box.
var numberIn = regexp.MustCompile(`(?:^|[^0-9])([0-9]{2}-[0-9]{4}-[0-9])(?:[^0-9]|$)`)

// mostFind is the longest text worth searching for; a longer one is cut.
const mostFind = 80

// WaysToFind says what a text may mean; the zero Ways for an empty one.
func WaysToFind(typed string) Ways {
	typed = strings.Join(strings.Fields(typed), " ")
	var w Ways
	if len(typed) > mostFind {
		typed = strings.ToValidUTF8(typed[:mostFind], "")
	}
	w.Official = strings.ToUpper(typed)
	if m := numberIn.FindStringSubmatch(typed); m != nil {
		typed = m[1]
	}
	digits := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, typed)
	plain := strings.Trim(typed, "0123456789-+(). ") == ""
	number, err := domain.ParseShopNumber("q", typed)
	piece, _, onPiece := cutting.ParsePieceCode("q", typed)
	sheet, _, onSheet := cutting.ParseSheetCode("q", typed)
	switch {
	case typed == "":
		return w
	case err == nil:
		w.Number = number
	case onPiece == nil:
		w.Number = piece
	case onSheet == nil:
		w.Number = sheet
	case plain && len(digits) == 7:
		w.Misread = true
	}
	switch {
	case plain && len(digits) == 4:
		w.Short = digits
	case plain && len(digits) >= 7:
		w.Phone = digits
	case !plain && len(digits) == 0:
		w.Name = strings.ToLower(typed)
	}
	return w
}

// Found is one animal as the find box shows it.
type Found struct {
	ID         uuid.UUID
	Number     domain.ShopNumber
	Species    domain.Species
	Class      domain.Class
	Form       domain.Form
	KilledAt   time.Time
	ReceivedAt time.Time
	Physical   animal.Physical
	OrderState animal.OrderTrack
	CallFirst  bool
	Revision   int
	Owner      string
	Phone      string
	Place      string // "Main cooler R2-7"; empty where it does not hang
	Boxes      int    // in the freezer
	Holds      []string
	PromisedOn *time.Time
}

// mostFound bounds what one search brings back.
const mostFound = 50

const foundColumns = `
	SELECT a.id, a.number, a.species, a.class, a.form, a.killed_at, a.received_at, a.physical, a.order_state, a.call_first, a.revision, a.promised_on,
	       coalesce(w.name, '') AS owner, coalesce(w.phone, '') AS phone,
	       coalesce((SELECT c.label || ' ' || r.name || '-' || p.position FROM occupancies o JOIN places p ON p.id = o.place_id
	                 JOIN rails r ON r.id = p.rail_id JOIN coolers c ON c.id = r.cooler_id
	                 WHERE o.animal_id = a.id AND o.until IS NULL ORDER BY o.since LIMIT 1), '') AS place,
	       (SELECT count(*) FROM boxes b WHERE b.animal_id = a.id AND b.placed_at IS NOT NULL AND b.released_at IS NULL)::int AS boxes,
	       ARRAY(SELECT h.kind FROM holds h WHERE h.animal_id = a.id AND h.closed_at IS NULL ORDER BY h.opened_at) AS holds
	FROM animals a
	LEFT JOIN LATERAL (SELECT p.name, p.phone FROM animal_people ap JOIN people p ON p.id = ap.person_id
	                   WHERE ap.animal_id = a.id AND ap.role IN ('owner', 'taker') ORDER BY ap.role, ap.since LIMIT 1) w ON true `

const inTheHouse = `('arrived', 'received', 'chilling', 'hanging', 'on-table', 'split', 'stored', 'part-released', 'unclaimed')`

const inTheHouseFirst = `a.physical IN ` + inTheHouse + ` DESC,
		a.received_at DESC, a.number`

// Find lists the animals that fit a text in any of its ways, those in the house
// first and of each the latest, at most 50. A name fits where the first or the
// last name begins so.
func (db *DB) Find(ctx context.Context, w Ways) ([]Found, error) {
	if w == (Ways{}) {
		return nil, nil
	}
	name := strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(w.Name)
	list, err := all[Found](ctx, db.pool, `
		WITH who AS MATERIALIZED (
		  SELECT id FROM people WHERE $2 <> '' AND last_four = $2
		  UNION SELECT id FROM people WHERE $3 <> '' AND phone_digits IN ($3, '1' || $3, substr($3, 2))
		  UNION SELECT id FROM people WHERE $4 <> '' AND (lower(name) LIKE $4 || '%' OR lower(name) LIKE '% ' || $4 || '%')
		), meant AS MATERIALIZED (
		  SELECT id FROM animals WHERE number = $1
		  UNION SELECT id FROM animals WHERE $2 <> '' AND substr(number, 4, 4) = $2
		  UNION SELECT animal_id FROM official_tags WHERE $5 <> '' AND upper(number) = $5
		  UNION SELECT ap.animal_id FROM who JOIN animal_people ap ON ap.person_id = who.id
		), first AS MATERIALIZED (
		  SELECT a.id FROM meant JOIN animals a ON a.id = meant.id ORDER BY `+inTheHouseFirst+` LIMIT $6
		)`+foundColumns+`WHERE a.id IN (SELECT id FROM first) ORDER BY `+inTheHouseFirst, w.Number, w.Short, w.Phone, name, w.Official, mostFound)
	if err != nil {
		return nil, fmt.Errorf("find: %w", err)
	}
	return list, nil
}

// FoundAnimal is one animal by its number, as the find box shows it.
func (db *DB) FoundAnimal(ctx context.Context, number domain.ShopNumber) (Found, error) {
	f, found, err := one[Found](ctx, db.pool, foundColumns+`WHERE a.number = $1`, number)
	if err == nil && !found {
		err = domain.Missing("There is no animal with the number %s.", string(number))
	}
	return f, err
}
