package browser

import (
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// prints measures the sheets of an animal on the printed PDF: paper at true
// size, and NOT FOR SALE in letters at least 3/8 in high on a box (9 CFR 317.16).
func (s *screen) prints(number string) {
	s.t.Helper()
	at := "/animals/" + number
	for _, sheet := range []struct{ path, name, inches string }{
		{"/slip", "slip", "4x6"}, {"/tag", "tag", "4x6"}, {"/cutsheet", "cutsheet", "8.5x11"}, {"/payments/1", "payment", "8.5x11"}, {"/proof", "proof", "8.5x11"},
		{"/tag?paper=letter", "tag-letter", "8.5x11"},
	} {
		s.sheet(at+sheet.path, sheet.name, sheet.inches)
	}
	s.sheet(at+"/boxes/1/label", "box", "4x6")
	s.lettersOf("box")
	s.sheet(at+"/boxes/1/label?paper=letter", "box-letter", "8.5x11")
	s.lettersOf("box-letter")
}

// sheet opens a sheet, prints it and measures its pages.
func (s *screen) sheet(path, name string, inches ...string) {
	s.t.Helper()
	s.goTo(path)
	s.wait(`document.querySelector(".sheet")`) // and not a page that says it found nothing
	if got := pages(s.t, s.paper("paper-"+name)); !slices.Equal(got, inches) {
		s.t.Errorf("%s prints on pages of %v in, want %v", path, got, inches)
	}
}

// onPaper fails where something on the open sheet is wider than its paper.
func (s *screen) onPaper() {
	s.t.Helper()
	if wide := ask[string](s, `[...document.querySelectorAll(".sheet, .label")].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.className + " " + e.scrollWidth + " in " + e.clientWidth + ": " +
		[...e.querySelectorAll("*")].filter(x => x.getBoundingClientRect().right > e.getBoundingClientRect().right + 1).slice(0, 2).map(x => x.outerHTML.slice(0, 90)).join(" | ")).slice(0, 3).join("; ")`); wide != "" {
		s.t.Errorf("%s is wider than its paper: %s", ask[string](s, "location.pathname"), wide)
	}
}

// lettersOf measures NOT FOR SALE on the first page of a sheet just printed.
func (s *screen) lettersOf(name string) {
	s.t.Helper()
	// Where the words stand on the sheet, in inches from its corner.
	at := ask[[]float64](s, `(() => { const w = document.querySelector(".not-for-sale").getBoundingClientRect(), p = document.querySelector(".sheet").getBoundingClientRect();
		return [w.left - p.left, w.top - p.top, w.width, w.height, p.width - w.width - w.left + p.left].map(v => v / 96) })()`)
	if at[4] < 0 || at[0] < 0 {
		s.t.Errorf("NOT FOR SALE runs over the edge of %s: %v", name, at)
	}
	if h := darkHeight(s.t, filepath.Join("..", "..", "artefacts", "paper-"+name+".pdf"), 1, at[:4]); h < 3.0/8 || h > 0.6 {
		s.t.Errorf("NOT FOR SALE is %.3f in high on %s, want at least 3/8 in (9 CFR 317.16)", h, name)
	}
	s.whole(name)
}

// whole reports what of a sheet is cut off at its edge, or taller than the paper it
// is on: a letter page grows on the screen and goes on to a second one in the printer.
func (s *screen) whole(name string) {
	s.t.Helper()
	if tall := ask[string](s, `[...document.querySelectorAll(".sheet-letter, .sheet-4x6")].filter(e => e.offsetHeight > 96 * (e.classList.contains("sheet-letter") ? 11 : 6) + 1).map(e => e.className + " " + e.offsetHeight).join("; ")`); tall != "" {
		s.t.Errorf("%s runs over the end of its paper: %s", name, tall)
	}
	if over := ask[string](s, `[...document.querySelectorAll(".sheet, .label, .sheet-rail")].filter(e => e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1).map(e => e.className + " " + e.scrollWidth + "x" + e.scrollHeight + " in " + e.clientWidth + "x" + e.clientHeight).slice(0, 3).join("; ")`); over != "" {
		s.t.Errorf("%s is fuller than its paper: %s", name, over)
	}
}

// codes reads every code on the first page of a sheet just printed off the paper, as a
// label printer of 203 dots an inch draws it, and fails where one does not hold these
// digits or the words beneath it are not on the page.
func (s *screen) codes(name, digits string) {
	s.t.Helper()
	at := ask[[][]float64](s, `(() => { const sheet = document.querySelector(".sheet"), p = sheet.getBoundingClientRect(), all = [...sheet.querySelectorAll(".barcode svg, svg.square")];
		return all.map(e => { const b = e.getBoundingClientRect(), under = (e.closest(".barcode") || e).getBoundingClientRect(), end = (e.closest(".label") || sheet).getBoundingClientRect();
			return [b.left - p.left, b.top - p.top, b.width, b.height, Math.min(end.bottom - under.bottom, end.right - under.right, under.left - end.left)].map(v => v / 96) }) })()`)
	if len(at) == 0 {
		s.t.Fatalf("%s has no code", name)
	}
	if small := ask[string](s, `[...document.querySelectorAll(".sheet :is(.barcode svg, svg.square)")].map(e => [e.getBoundingClientRect().width / 96 * 25.4, parseFloat(e.getAttribute("width"))]).filter(w => Math.abs(w[0] - w[1]) > 0.1).join("; ")`); small != "" {
		s.t.Errorf("codes of %s are not at true size: %s mm", name, small)
	}
	for i, part := range at {
		if part[4] < 0 {
			s.t.Errorf("code %d of %s runs over its edge by %.2f in", i, name, -part[4])
			continue
		}
		bitmap, err := gozxing.NewBinaryBitmapFromImage(drawn(s.t, name, part[:4]))
		must(s.t, err)
		got, err := oned.NewCode128Reader().Decode(bitmap, nil)
		if part[2] < 1.5*part[3] {
			got, err = qrcode.NewQRCodeReader().Decode(bitmap, nil)
		}
		if err != nil || !strings.HasPrefix(got.GetText(), digits) {
			s.t.Errorf("code %d of %s reads %v, want %s (%v)", i, name, got, digits, err)
		}
	}
}

// drawn renders a part of a PDF, given as left, top, width and height in inches.
func drawn(t testing.TB, name string, part []float64) image.Image {
	t.Helper()
	px := func(inches float64) string { return strconv.Itoa(int(inches*203 + 0.5)) }
	prefix := filepath.Join(t.TempDir(), "code")
	if out, err := exec.Command("pdftoppm", "-r", "203", "-x", px(part[0]), "-y", px(part[1]), "-W", px(part[2]), "-H", px(part[3]), "-png", "-singlefile",
		filepath.Join("..", "..", "artefacts", "paper-"+name+".pdf"), prefix).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v %s. Run: .ci/install test", err, out)
	}
	file, err := os.Open(prefix + ".png")
	must(t, err)
	defer file.Close()
	picture, err := png.Decode(file)
	must(t, err)
	return picture
}

var mediaBox = regexp.MustCompile(`/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]`)

// pages returns width x height of every page in inches; a point is 1/72 in.
func pages(t testing.TB, pdf []byte) (inches []string) {
	t.Helper()
	inch := func(points []byte) float64 {
		v, err := strconv.ParseFloat(string(points), 64)
		if err != nil {
			t.Fatal(err)
		}
		return float64(int(v/72*100+0.5)) / 100
	}
	for _, m := range mediaBox.FindAllSubmatch(pdf, -1) {
		inches = append(inches, fmt.Sprintf("%gx%g", inch(m[1]), inch(m[2])))
	}
	return inches
}

// darkHeight renders a page of the PDF at 300 dots an inch and counts the rows with ink
// in a part of it, given as left, top, width and height in inches.
func darkHeight(t testing.TB, pdf string, page int, part []float64) float64 {
	t.Helper()
	const dpi = 300
	px := func(inches float64) int { return int(inches*dpi + 0.5) }
	w, h := px(part[2]), px(part[3])
	prefix := filepath.Join(t.TempDir(), "page")
	crop := []string{"-r", strconv.Itoa(dpi), "-f", strconv.Itoa(page), "-x", strconv.Itoa(px(part[0])), "-y", strconv.Itoa(px(part[1])), "-W", strconv.Itoa(w), "-H", strconv.Itoa(h),
		"-gray", "-singlefile", pdf, prefix}
	if out, err := exec.Command("pdftoppm", crop...).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v %s. Run: .ci/install test", err, out)
	}
	grey, err := os.ReadFile(prefix + ".pgm")
	if err != nil {
		t.Fatal(err)
	}
	if len(grey) < w*h {
		t.Fatalf("%s: what is to be measured is not all on the page", pdf)
	}
	pixels, dark := grey[len(grey)-w*h:], 0
	for row := range h {
		if slices.Min(pixels[row*w:(row+1)*w]) < 80 {
			dark++
		}
	}
	return float64(dark) / dpi
}
