package rail

import (
	"regexp"
	"strconv"
	"strings"

	"coldrail/domain"
)

// Build is so many rails or shelves alike, as an owner types a room: "4 rails of 12".
type Build struct {
	Count  int
	Places int // hooks or spots on each
	Kind   Kind
}

// Apart is how far apart two hooks or spots hang, common practice, no source: 40 cm
// (16 in) for a deer's shoulders with air between.
const Apart domain.Metre = 0.4

// Length is how long a rail of so many places is drawn.
func (b Build) Length() domain.Metre { return Apart * domain.Metre(b.Places) }

// The most that one room is built of at a time.
const (
	mostRails  = 40
	mostPlaces = 80
)

var built = regexp.MustCompile(`^(\d+)?\s*(.*?)\s*(?:of|x|×)\s*(\d+)$`)

// kindOf says what a word before "of" makes of a rail; a plain rail is for bare
// carcasses. Any other word is not guessed at.
var kindOf = map[string]Kind{
	"rail": "", "rails": "", "on": "", "bare": Bare, "hide-on": HideOn, "hide": HideOn, "hold": Hold, "held": Hold,
	"livestock": Livestock, "beef": Livestock, "hog": Livestock, "shelf": Shelf, "shelves": Shelf,
}

// ReadBuild reads what an owner types of a room, parts set apart by commas or
// lines: "4 rails of 12, 1 hide-on rail of 12, 2 shelves of 10". Plain "4 x 12"
// are bare rails. Each part has 1 to 40 rails of 1 to 80 places.
func ReadBuild(field, typed string) ([]Build, error) {
	var list []Build
	rails := 0
	for part := range strings.FieldsFuncSeq(typed, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "" {
			continue
		}
		b, ok := readBuild(part)
		if !ok {
			return nil, domain.Wrong(field, "%s is not clear. Type each like this: 4 rails of 12.", strconv.Quote(part))
		}
		list, rails = append(list, b), rails+b.Count
	}
	if len(list) == 0 {
		return nil, domain.Wrong(field, "Type the rails, such as: 4 rails of 12.")
	}
	if rails > mostRails {
		return nil, domain.Wrong(field, "At most %d rails and shelves in one room.", mostRails)
	}
	return list, nil
}

func readBuild(part string) (b Build, ok bool) {
	m := built.FindStringSubmatch(part)
	if m == nil {
		return b, false
	}
	b.Count = 1
	if m[1] != "" {
		b.Count, _ = strconv.Atoi(m[1]) // digits by the pattern; too many come out as the largest number, refused below
	}
	b.Places, _ = strconv.Atoi(m[3])
	b.Kind = Bare
	for word := range strings.FieldsSeq(m[2]) {
		kind, known := kindOf[word]
		if !known {
			return b, false
		}
		if kind != "" {
			b.Kind = kind
		}
	}
	return b, b.Count >= 1 && b.Count <= mostRails && b.Places >= 1 && b.Places <= mostPlaces
}

// letters begin the names of rails by kind, so that a name tells what hangs there:
// R1 bare, L1 livestock, S1 a shelf.
var letters = map[Kind]string{Bare: "R", HideOn: "R", Livestock: "L", Hold: "H", Shelf: "S"}

// Named gives each rail of the room its name, in the order typed; taken are the
// names the room has already.
func Named(list []Build, taken []string) (names []string, of []Build) {
	next := map[string]int{}
	has := map[string]bool{}
	for _, t := range taken {
		has[t] = true
	}
	for _, b := range list {
		for range b.Count {
			letter := letters[b.Kind]
			name := ""
			for name == "" || has[name] {
				next[letter]++
				name = letter + strconv.Itoa(next[letter])
			}
			has[name] = true
			names, of = append(names, name), append(of, b)
		}
	}
	return names, of
}
