package ui

import "testing"

// Tiles are as wide as what stands on them needs, by letters as a reader counts them.
func TestTiled(t *testing.T) {
	for _, tt := range []struct {
		options []Option
		want    string
	}{
		{[]Option{{Label: "Male"}, {Label: "Female"}}, "tiles tight"},
		{[]Option{{Label: "Añojo Ñañú"}}, "tiles tight"},
		{[]Option{{Label: "Yesterday"}}, "tiles"},      // one word of nine letters
		{[]Option{{Label: "Boned meat, up"}}, "tiles"}, // fourteen letters in all
		{[]Option{{Label: "Male"}, {Label: "Female", Note: "with young"}}, "tiles wide-tiles"},
		{[]Option{{Label: "Whole, with the hide on"}}, "tiles wide-tiles"},
	} {
		if got := tiled(tt.options); got != tt.want {
			t.Errorf("%v: %q, want %q", tt.options, got, tt.want)
		}
	}
}
