package static

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// tokens reads the colours of one theme from the stylesheet.
func tokens(t *testing.T, block string) map[string]string {
	t.Helper()
	found := map[string]string{}
	for _, m := range regexp.MustCompile(`(--[a-z-]+):\s*#([0-9a-f]{6})\b`).FindAllStringSubmatch(block, -1) {
		found[m[1]] = m[2]
	}
	return found
}

// luminance is the relative luminance of WCAG 2.2, section "relative
// luminance": sRGB channels made linear, weighted 0.2126, 0.7152, 0.0722.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil {
		t.Fatalf("colour %q: %v", hex, err)
	}
	linear := func(c uint64) float64 {
		v := float64(c&0xff) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n>>16) + 0.7152*linear(n>>8) + 0.0722*linear(n)
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	high, low := luminance(t, a), luminance(t, b)
	if high < low {
		high, low = low, high
	}
	return (high + 0.05) / (low + 0.05)
}

func TestContrastFormula(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want float64
		src  string
	}{
		{"000000", "ffffff", 21, "WCAG 2.2: contrast ratios range from 1 to 21"},
		{"777777", "ffffff", 4.48, "the well-known grey that just fails 4.5:1 (WebAIM, from memory)"},
	} {
		if got := contrast(t, tt.a, tt.b); math.Abs(got-tt.want) > 0.005 {
			t.Errorf("%s on %s: %.3f, want %.2f (%s)", tt.a, tt.b, got, tt.want, tt.src)
		}
	}
}

// Every pair of colours that meets as text on ground is at least 4.5:1 (WCAG
// 2.2, 1.4.3), every edge one must see at least 3:1 (1.4.11), in both themes.
func TestContrastInBothThemes(t *testing.T) {
	css, err := Read("css/coldrail.css")
	if err != nil {
		t.Fatal(err)
	}
	light, rest, ok := strings.Cut(string(css), "@media (prefers-color-scheme: dark)")
	dark, _, ends := strings.Cut(rest, "/* 2 ground */")
	if !ok || !ends {
		t.Fatal("the stylesheet has no dark theme where one was expected")
	}
	text := map[string][]string{
		"--ink":     {"--paper", "--sheet", "--shade", "--ox-wash", "--cold-wash"},
		"--soft":    {"--paper", "--sheet", "--shade", "--ox-wash"},
		"--ox":      {"--paper", "--sheet", "--shade", "--ox-wash"},
		"--cold":    {"--paper", "--sheet", "--shade", "--cold-wash"},
		"--paper":   {"--ink"},
		"--on-ox":   {"--ox-fill"},
		"--tag-ink": {"--tag"},
	}
	edges := map[string][]string{"--edge": {"--paper", "--sheet"}, "--ox-fill": {"--tag"}}
	for theme, block := range map[string]string{"light": light, "dark": dark} {
		colours := tokens(t, block)
		check := func(pairs map[string][]string, least float64) {
			for front, grounds := range pairs {
				for _, ground := range grounds {
					if got := contrast(t, colours[front], colours[ground]); got < least {
						t.Errorf("%s: %s on %s is %.2f:1, want %.1f:1", theme, front, ground, got, least)
					}
				}
			}
		}
		check(text, 4.5)
		check(edges, 3)
	}
}
