package billing

import (
	"slices"
	"strconv"
	"strings"

	"coldrail/domain"
)

// maxItems bounds a price list.
const maxItems = 300

// Reserved are the codes of lines that stand on no price list.
var Reserved = []string{"credit", "extra", TaxCode, "storage", "deposit-kept"}

// CheckList says whether the items make a price list.
func CheckList(items []Item) error {
	if len(items) == 0 {
		return domain.Wrong("items", "A price list needs at least one price.")
	}
	if len(items) > maxItems {
		return domain.Wrong("items", "A price list holds at most %d prices.", maxItems)
	}
	seen := map[string]bool{}
	for _, i := range items {
		if err := i.Check(); err != nil {
			return err
		}
		if seen[i.Code] || slices.Contains(Reserved, i.Code) {
			return domain.Wrong("label", "Two prices of the list are called %s. Give one another name.", i.Label)
		}
		seen[i.Code] = true
	}
	return nil
}

// CodeFor makes the code of a new price from its name, such as "cape-for-a-mount";
// one that is taken or reserved gets a number.
func CodeFor(label string, taken func(code string) bool) string {
	code := strings.Trim(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(label)), "-")
	for strings.Contains(code, "--") {
		code = strings.ReplaceAll(code, "--", "-")
	}
	if code = strings.Trim(code[:min(len(code), 40)], "-"); code == "" {
		code = "price"
	}
	free := func(c string) bool { return !taken(c) && !slices.Contains(Reserved, c) }
	for n := 2; ; n++ {
		if free(code) {
			return code
		}
		if numbered := code + "-" + strconv.Itoa(n); free(numbered) {
			return numbered
		}
	}
}

// Change is how one price of a list differs from the list before.
type Change struct {
	Code, Label string
	Was, Now    *Item // nil: it was not there, it is dropped
}

// Changes lists what differs between two lists, in the order of the newer one, what
// was dropped last.
func Changes(was, now []Item) (list []Change) {
	find := func(items []Item, code string) *Item {
		if at := slices.IndexFunc(items, func(i Item) bool { return i.Code == code }); at >= 0 {
			return &items[at]
		}
		return nil
	}
	for n := range now {
		old := find(was, now[n].Code)
		if old == nil || !old.same(now[n]) {
			list = append(list, Change{Code: now[n].Code, Label: now[n].Label, Was: old, Now: &now[n]})
		}
	}
	for n := range was {
		if find(now, was[n].Code) == nil {
			list = append(list, Change{Code: was[n].Code, Label: was[n].Label, Was: &was[n]})
		}
	}
	return list
}

func (i Item) same(other Item) bool {
	return i.Label == other.Label && i.Basis == other.Basis && i.Price == other.Price && i.Minimum == other.Minimum && i.Taxable == other.Taxable &&
		slices.Equal(i.Species, other.Species) && slices.Equal(i.Forms, other.Forms) && slices.Equal(i.Treatments, other.Treatments)
}
