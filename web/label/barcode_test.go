package label

import (
	"image"
	"image/color"
	"image/draw"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"coldrail/domain"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
)

var rectangle = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v(\d+)h-(\d+)z`)

// ink fills the path's rectangles into an image of dots dots per module, the
// way a printer would.
func ink(t *testing.T, s Symbol, dots int) *image.Gray {
	t.Helper()
	if left := rectangle.ReplaceAllString(s.Path, ""); left != "" || s.Path == "" {
		t.Fatalf("path holds more, or less, than rectangles: %q", left)
	}
	paper := image.NewGray(image.Rect(0, 0, s.Wide*dots, s.High*dots))
	draw.Draw(paper, paper.Bounds(), image.White, image.Point{}, draw.Src)
	for _, m := range rectangle.FindAllStringSubmatch(s.Path, -1) {
		var n [5]int
		for i, text := range m[1:] {
			n[i], _ = strconv.Atoi(text)
		}
		if n[2] != n[4] {
			t.Fatalf("rectangle %q does not close", m[0])
		}
		bar := image.Rect(n[0]*dots, n[1]*dots, (n[0]+n[2])*dots, (n[1]+n[3])*dots)
		if !bar.In(paper.Bounds()) {
			t.Fatalf("rectangle %q leaves the symbol", m[0])
		}
		draw.Draw(paper, bar, image.Black, image.Point{}, draw.Src)
	}
	return paper
}

func scan(t *testing.T, paper image.Image, reader gozxing.Reader) string {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(paper)
	if err != nil {
		t.Fatal(err)
	}
	result, err := reader.Decode(bitmap, nil)
	if err != nil {
		t.Fatalf("cannot be scanned: %v", err)
	}
	return result.GetText()
}

// An independent reader has to read back what was written.
func TestQRReadsBack(t *testing.T) {
	for _, text := range []string{"26-0147-3", "2601473", "https://shop.example/s/Zk3vQ0nYxw8c2b1KJmTq5uF7aLd9eHiR",
		"Tönnies Wildhof", strings.Repeat("0123456789", 30)} {
		s, err := QR(text, Plain)
		if err != nil {
			t.Fatal(err)
		}
		if got := scan(t, ink(t, s, 4), qrcode.NewQRCodeReader()); got != text {
			t.Errorf("scanned %q, want %q", got, text)
		}
	}
}

func TestQRReadsBackDirty(t *testing.T) {
	s, err := QR("https://shop.example/s/Zk3vQ0nYxw8c2b1KJmTq5uF7aLd9eHiR", Plain)
	if err != nil {
		t.Fatal(err)
	}
	paper := ink(t, s, 4)
	// A drop of fat four modules across, away from the three finders: about 16
	// of some 1,000 modules, well below level M's 15 % of codewords.
	centre := s.Wide / 2 * 4
	draw.Draw(paper, image.Rect(centre, centre, centre+16, centre+16), image.NewUniform(color.Black), image.Point{}, draw.Src)
	if got := scan(t, paper, qrcode.NewQRCodeReader()); got != s.Text {
		t.Errorf("scanned %q, want %q", got, s.Text)
	}
}

func TestCode128ReadsBack(t *testing.T) {
	for _, text := range []string{"2601473", "26-0147-3", "26-0147-3/B2", "0000000", "A"} {
		s, err := Code128(text, Fine, 12)
		if err != nil {
			t.Fatal(err)
		}
		if got := scan(t, ink(t, s, 3), oned.NewCode128Reader()); got != text {
			t.Errorf("scanned %q, want %q", got, text)
		}
	}
}

func TestQuietZones(t *testing.T) {
	qr, err := QR("2601473", Plain)
	if err != nil {
		t.Fatal(err)
	}
	bars, err := Code128("2601473", Plain, 10)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name        string
		symbol      Symbol
		side, above int
		src         string
	}{
		{"qr", qr, 4, 4, "ISO/IEC 18004: 4 modules all round"},
		{"code 128", bars, 10, 0, "ISO/IEC 15417: 10 modules left and right"},
	} {
		paper := ink(t, tt.symbol, 1)
		b := paper.Bounds()
		dark := image.Rectangle{}
		for y := range b.Max.Y {
			for x := range b.Max.X {
				if paper.GrayAt(x, y).Y == 0 {
					dark = dark.Union(image.Rect(x, y, x+1, y+1))
				}
			}
		}
		want := image.Rect(tt.side, tt.above, b.Max.X-tt.side, b.Max.Y-tt.above)
		if dark != want {
			t.Errorf("%s: dark from %v, want %v (%s)", tt.name, dark, want, tt.src)
		}
	}
}

// True size is the point: on paper the symbol must be as wide as its modules.
func TestBarcodeIsDrawnAtTrueSize(t *testing.T) {
	s, err := Code128("2601473", Plain, 12)
	if err != nil {
		t.Fatal(err)
	}
	var page strings.Builder
	if err := Barcode(s, "26-0147-3").Render(t.Context(), &page); err != nil {
		t.Fatal(err)
	}
	wide := strconv.FormatFloat(float64(s.Wide)*0.375, 'f', -1, 64) // by hand: modules times millimetres
	for _, want := range []string{`width="` + wide + `mm"`, `height="12mm"`, `<span>26-0147-3</span>`} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("page lacks %s: %.200s", want, page.String())
		}
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	for name, text := range map[string]string{"nothing": "", "too long": strings.Repeat("x", 5000)} {
		if _, err := QR(text, Plain); err == nil {
			t.Errorf("QR took %s", name)
		}
		if _, err := Code128(text, Plain, domain.Millimetre(10)); err == nil {
			t.Errorf("Code128 took %s", name)
		}
	}
}
