package photo

import (
	"bytes"
	"image"
	"image/jpeg"
	"testing"
)

func picture(t *testing.T, wide, high int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, wide, high)), nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// An APP1 segment is where a camera writes place and time (Exif 2.32, 4.7.2).
func TestSmallAndPlain(t *testing.T) {
	raw := picture(t, 3200, 800)
	exif := append([]byte{0xff, 0xe1, 0, 12}, []byte("Exif\x00\x00GPS!")...)
	raw = append(append(append([]byte{}, raw[:2]...), exif...), raw[2:]...)
	small, err := Small(raw)
	if err != nil {
		t.Fatal(err)
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(small))
	if err != nil || size.Width != 1600 || size.Height != 400 {
		t.Errorf("%+v, %v; want 1600 by 400", size, err)
	}
	if bytes.Contains(small, []byte("Exif")) {
		t.Error("what the camera wrote is still in it")
	}
}

func TestHostilePictures(t *testing.T) {
	huge := picture(t, 8, 8)
	i := bytes.Index(huge, []byte{0xff, 0xc0}) // the frame header: height and width follow (ITU-T T.81, B.2.2)
	copy(huge[i+5:], []byte{0xff, 0xff, 0xff, 0xff})
	for name, raw := range map[string][]byte{"no picture": []byte("<svg onload=alert(1)>"), "cut off": picture(t, 900, 900)[:200], "65535 by 65535": huge} {
		if out, err := Small(raw); err == nil {
			t.Errorf("%s was taken: %d bytes", name, len(out))
		}
	}
}
