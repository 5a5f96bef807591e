// Package label draws what is printed and stuck on: tags, labels and sheets.
// This file draws the two barcodes they carry, as vector paths, so that paper
// gets bars of an exact width whatever the printer.
package label

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"coldrail/domain"

	"github.com/boombuler/barcode/code128"
	goqr "github.com/piglig/go-qr"
)

// The width of the narrowest bar. Each is a whole number of dots of a common
// label printer (203 dots per inch, 0.125 mm), so that all bars come out even:
// 2, 3 and 4 dots. Fine is for pack labels and clean paper, Plain for tags that
// hang in the wet, Bold for a sign read from an arm's length.
const (
	Fine  domain.Millimetre = 0.25
	Plain domain.Millimetre = 0.375
	Bold  domain.Millimetre = 0.5
)

// Clear space a scanner needs around a symbol, in narrowest bars.
const (
	quietQR  = 4  // ISO/IEC 18004, 4 modules on all sides
	quiet128 = 10 // ISO/IEC 15417, 10 modules left and right
)

// Symbol is a barcode ready to be drawn. Path is an SVG path of its dark parts
// in modules, the clear space counted in; Wide and High are the whole symbol.
type Symbol struct {
	Text   string
	Path   string
	Wide   int
	High   int
	Module domain.Millimetre
}

// QR makes a QR code of text with medium error correction: it still reads with
// a seventh of it dirty or torn (ISO/IEC 18004, level M, about 15 %).
func QR(text string, module domain.Millimetre) (Symbol, error) {
	if text == "" {
		return Symbol{}, fmt.Errorf("qr: nothing to encode")
	}
	code, err := goqr.EncodeText(text, goqr.Medium)
	if err != nil {
		return Symbol{}, fmt.Errorf("qr of %d characters: %w", len(text), err)
	}
	size := code.Size() + 2*quietQR
	var path strings.Builder
	for y := range code.Size() {
		addRuns(&path, code.Size(), 1, quietQR, quietQR+y, func(x int) bool { return code.Module(x, y) })
	}
	return Symbol{Text: text, Path: path.String(), Wide: size, High: size, Module: module}, nil
}

// Code128 makes a Code 128 barcode of text (printable ASCII, 1 to 80
// characters) with bars of the given height.
func Code128(text string, module, height domain.Millimetre) (Symbol, error) {
	code, err := code128.Encode(text)
	if err != nil {
		return Symbol{}, fmt.Errorf("code 128 of %q: %w", text, err)
	}
	bars := code.Bounds().Dx()
	high := max(int(math.Round(float64(height/module))), 1)
	var path strings.Builder
	addRuns(&path, bars, high, quiet128, 0, func(x int) bool {
		r, _, _, _ := code.At(x, 0).RGBA()
		return r == 0
	})
	return Symbol{Text: text, Path: path.String(), Wide: bars + 2*quiet128, High: high, Module: module}, nil
}

// addRuns writes one row of modules as rectangles, one per run of dark ones.
func addRuns(path *strings.Builder, n, high, left, top int, dark func(int) bool) {
	for x := 0; x < n; x++ {
		if !dark(x) {
			continue
		}
		start := x
		for x < n && dark(x) {
			x++
		}
		fmt.Fprintf(path, "M%d %dh%dv%dh-%dz", left+start, top, x-start, high, x-start)
	}
}

// millimetres writes the length of n modules for an SVG attribute.
func (s Symbol) millimetres(n int) string {
	return strconv.FormatFloat(float64(n)*float64(s.Module), 'f', -1, 64) + "mm"
}

func (s Symbol) box() string { return fmt.Sprintf("0 0 %d %d", s.Wide, s.High) }
