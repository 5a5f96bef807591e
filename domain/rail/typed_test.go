package rail

import (
	"slices"
	"strings"
	"testing"

	"coldrail/domain"

	"github.com/google/go-cmp/cmp"
)

func TestReadBuild(t *testing.T) {
	for typed, want := range map[string][]Build{
		"4 rails of 12":    {{4, 12, Bare}},
		"4 x 12":           {{4, 12, Bare}},
		"4x12":             {{4, 12, Bare}},
		"four rails of 12": nil,
		"rail of 9":        {{1, 9, Bare}},
		"4 rails of 12, 1 hide-on rail of 12; 2 shelves of 10\n1 hold rail of 6": {{4, 12, Bare}, {1, 12, HideOn}, {2, 10, Shelf}, {1, 6, Hold}},
		"2 livestock rails of 8":  {{2, 8, Livestock}},
		"2 Beef Rails Of 8":       {{2, 8, Livestock}},
		"":                        nil,
		"four rails":              nil,
		"0 rails of 12":           nil,
		"4 rails of 0":            nil,
		"4 rails of 81":           nil,
		"41 rails of 2":           nil,
		"30 rails of 2, 11x2":     nil,
		"4 hats of 12":            nil,
		"9999999999999999999 x 3": nil,
	} {
		got, err := ReadBuild("rails", typed)
		if (err != nil) != (want == nil) || err != nil && domain.As(err).At != "rails" {
			t.Errorf("%q: %v, %v", typed, got, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q: %s", typed, diff)
		}
	}
}

// Names run on from what the room has and never repeat.
func TestNamed(t *testing.T) {
	list, err := ReadBuild("rails", "2 rails of 12, 1 hide-on rail of 6, 2 shelves of 10")
	if err != nil {
		t.Fatal(err)
	}
	names, of := Named(list, []string{"R1", "S2"})
	if got := strings.Join(names, " "); got != "R2 R3 R4 S1 S3" {
		t.Errorf("names %s", got)
	}
	if of[2].Kind != HideOn || of[4].Kind != Shelf {
		t.Errorf("kinds %+v", of)
	}
	slices.Sort(names)
	if len(slices.Compact(names)) != 5 {
		t.Errorf("a name repeats: %v", names)
	}
}

func FuzzReadBuild(f *testing.F) {
	f.Add("4 rails of 12, 1 hold rail of 6")
	f.Fuzz(func(t *testing.T, typed string) {
		list, err := ReadBuild("rails", typed)
		total := 0
		for _, b := range list {
			total += b.Count
			if b.Places < 1 || b.Places > mostPlaces {
				t.Errorf("%q makes %d places", typed, b.Places)
			}
		}
		if err == nil && (total < 1 || total > mostRails) {
			t.Errorf("%q makes %d rails", typed, total)
		}
	})
}
