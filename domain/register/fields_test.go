package register

import (
	"slices"
	"testing"
)

func names(fields []Field) []string {
	var out []string
	for _, f := range fields {
		out = append(out, f.Name)
	}
	return out
}

func TestOwed(t *testing.T) {
	asked := map[string]bool{"county": true, "licence": true, "tag": true, "shoe_size": true}
	if got := names(Owed(asked, map[string]string{"county": "  ", "tag": "A1"})); !slices.Equal(got, []string{"licence", "county"}) {
		t.Errorf("owed %v: a blank is no answer, and what is told is not owed", got)
	}
	if got := Owed(nil, nil); got != nil {
		t.Errorf("nothing is asked, %v owed", names(got))
	}
}

// What names or reaches a person must never be a plain fact.
func TestPersonalFields(t *testing.T) {
	personal := []string{"deliverer", "deliverer_address", "taker", "taker_address", "licence", "owner", "owner_address", "phone", "collector"}
	seen := map[string]bool{}
	for _, f := range Fields {
		if f.Personal != slices.Contains(personal, f.Name) {
			t.Errorf("%s: personal %v", f.Name, f.Personal)
		}
		if seen[f.Name] || f.Label.String() == "" {
			t.Errorf("%s stands twice or has no label", f.Name)
		}
		seen[f.Name] = true
	}
	if f, ok := FieldNamed("tag"); !ok || f.Personal {
		t.Error("the tag number is a plain fact")
	}
	if _, ok := FieldNamed("shoe_size"); ok {
		t.Error("a field nobody wrote was found")
	}
}
