package register

import (
	"slices"
	"testing"

	"coldrail/domain"
)

func names(fields []Field) []string {
	var out []string
	for _, f := range fields {
		out = append(out, f.Name)
	}
	return out
}

func TestOwed(t *testing.T) {
	deer := []string{"received", "deliverer", "taker", "taker_address", "licence", "owner", "phone", "tag", "tag_state",
		"species", "sex", "form", "kill_state", "county", "killed"}
	for _, tt := range []struct {
		name    string
		species domain.Species
		form    domain.Form
		given   map[string]string
		want    []string
		src     string
	}{
		{"deer, nothing known", domain.Whitetail, domain.Whole, nil, deer, "trade.md 2.1"},
		{"deer, a blank is not an answer", domain.Whitetail, domain.Whole, map[string]string{"county": "  "}, deer, "trade.md 2.1"},
		{"boned deer owes its weight", domain.Whitetail, domain.Boned, given(deer...), []string{"weight"}, "trade.md 1.10, Illinois"},
		{"steer", domain.Beef, domain.Whole, given("received", "deliverer", "species", "sex", "form", "killed"),
			[]string{"owner", "owner_address", "phone", "ear_tag", "age"}, "trade.md 3.1; 9 CFR 310.22 for the age"},
		{"lamb owes no age", domain.Lamb, domain.Whole, given("received", "deliverer", "species", "sex", "form", "killed", "owner", "owner_address", "phone", "ear_tag"),
			nil, "trade.md 3.1"},
	} {
		if got := names(Owed(tt.species, tt.form, tt.given)); tt.src == "" || !slices.Equal(got, tt.want) {
			t.Errorf("%s: owed %v, want %v (%s)", tt.name, got, tt.want, tt.src)
		}
	}
}

func given(fields ...string) map[string]string {
	m := map[string]string{}
	for _, f := range fields {
		m[f] = "x"
	}
	return m
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
