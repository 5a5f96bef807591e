// Package photo makes a picture taken with a phone small and plain before it is
// kept: nothing of what a camera writes into it (place, time, device) is left.
package photo

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png" // a screenshot is a picture too
	"io"
	"net/http"

	"coldrail/domain"

	"golang.org/x/image/draw"
)

// Limits of what comes in and of what is kept.
const (
	maxBytes  = 20 << 20
	maxPixels = 50_000_000 // 200 MB while it is being made small
	side      = 1600       // px on the longer side: a mould of 1/16 in can still be seen
	quality   = 80
)

// Read reads the picture in a field of the form, as a small JPEG; nil where none
// was taken.
func Read(r *http.Request, field string) ([]byte, error) {
	file, head, err := r.FormFile(field)
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if head.Size > maxBytes {
		return nil, domain.Wrong(field, "The picture is too large. Take it again with a smaller size.")
	}
	raw, err := io.ReadAll(file)
	if err != nil || len(raw) == 0 {
		return nil, err
	}
	small, err := Small(raw)
	if err != nil {
		return nil, domain.Wrong(field, "The picture cannot be read. Take it again, as JPEG or PNG.")
	}
	return small, nil
}

// atOnce lets two pictures be made small at a time, so that a crowd of large ones
// cannot eat the machine's memory.
var atOnce = make(chan struct{}, 2)

// Small decodes a picture and makes it anew as a small JPEG.
func Small(raw []byte) ([]byte, error) {
	atOnce <- struct{}{}
	defer func() { <-atOnce }()
	size, _, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	if size.Width < 1 || size.Height < 1 || size.Width > maxPixels/size.Height {
		return nil, errors.New("too many pixels")
	}
	from, _, err := image.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	wide, high := from.Bounds().Dx(), from.Bounds().Dy()
	if longer := max(wide, high); longer > side {
		wide, high = max(1, wide*side/longer), max(1, high*side/longer)
	}
	to := image.NewRGBA(image.Rect(0, 0, wide, high))
	draw.Draw(to, to.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(to, to.Bounds(), from, from.Bounds(), draw.Over, nil)
	var out bytes.Buffer
	err = jpeg.Encode(&out, to, &jpeg.Options{Quality: quality})
	return out.Bytes(), err
}
