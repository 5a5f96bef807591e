package ui

import (
	"strings"
	"testing"

	"coldrail/domain"
)

func TestRailWidth(t *testing.T) {
	for _, tt := range []struct {
		along domain.Metre
		want  string
		src   string
	}{
		{0.45, "u9", "45 cm are nine steps of 5 cm"},
		{0.46, "u9", "rounded to the nearest step"},
		{0, "u1", "never less than one step, or the tag is gone"},
		{9, "u80", "the stylesheet ends at 4 m"},
	} {
		if got := RailWidth(tt.along); got != tt.want {
			t.Errorf("RailWidth(%v) = %s, want %s (%s)", tt.along, got, tt.want, tt.src)
		}
	}
}

// The tag is written by hand, so what a template does by itself is checked.
func TestHangTagEscapes(t *testing.T) {
	html := render(t, shopContext(t), HangTag(Hung{Number: `"><script>`, Condition: `x"y`, Part: "<b>", Hook: "<i>"}))
	for _, bad := range []string{"<script>", `x"y`, "<b>", "<i>"} {
		if strings.Contains(html, bad) {
			t.Errorf("%q got through: %s", bad, html)
		}
	}
}

func TestHangTagSaysWhatItShows(t *testing.T) {
	html := render(t, shopContext(t), HangTag(Hung{Number: "26-0147-3", Days: 15, Condition: "past", Held: true, Hook: "hook 7", Part: "left side"}))
	for _, want := range []string{"0147", "day 15", "past its day", ">held<", "is-held", "hook 7", "left side", `href="/animals/26-0147-3"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the tag lacks %q: %s", want, html)
		}
	}
}

func BenchmarkHangTag(b *testing.B) {
	ctx := WithShop(b.Context(), Shop{})
	tag := HangTag(Hung{Number: "26-0147-3", Days: 15, Condition: "past", Held: true})
	var page strings.Builder
	b.ReportAllocs()
	for b.Loop() {
		page.Reset()
		if err := tag.Render(ctx, &page); err != nil {
			b.Fatal(err)
		}
	}
}

// Free places in a row are one gap with one label, however long; only where the widths
// of the stylesheet end another begins, without words.
func TestGap(t *testing.T) {
	for places, want := range map[int]string{
		12:  `<li class="gap u12"><span>12 free</span></li>`,
		100: `<li class="gap u80"><span>12 free</span></li><li class="gap u20"><span></span></li>`,
	} {
		if got := render(t, shopContext(t), Gap(places, "12 free")); got != want {
			t.Errorf("%d places: %s, want %s", places, got, want)
		}
	}
}
