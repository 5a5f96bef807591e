package logger

import (
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"coldrail/domain"
)

// decode turns the file's bytes into text: UTF-8, UTF-16 of either order, or the
// old one-byte letters of western Europe, in which only the degree sign matters.
func decode(text []byte) (string, error) {
	switch {
	case len(text) == 0:
		return "", domain.Wrong("file", "The file is empty.")
	case len(text) >= 3 && string(text[:3]) == "\xef\xbb\xbf":
		text = text[3:]
	case len(text) >= 2 && text[0] == 0xff && text[1] == 0xfe:
		return wide(text[2:], binary.LittleEndian), nil
	case len(text) >= 2 && text[0] == 0xfe && text[1] == 0xff:
		return wide(text[2:], binary.BigEndian), nil
	case len(text) >= 4 && text[1] == 0 && text[3] == 0:
		return wide(text, binary.LittleEndian), nil
	case len(text) >= 4 && text[0] == 0 && text[2] == 0:
		return wide(text, binary.BigEndian), nil
	}
	s := string(text)
	if strings.IndexByte(s, 0) >= 0 {
		return "", domain.Wrong("file", "This is no text file. Export it from the logger again as text (CSV).")
	}
	if !utf8.ValidString(s) {
		letters := make([]rune, len(text))
		for i, b := range text { // ISO 8859-1: each byte is its own code point
			letters[i] = rune(b)
		}
		s = string(letters)
	}
	return s, nil
}

func wide(text []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(text)/2)
	for i := range units {
		units[i] = order.Uint16(text[2*i:])
	}
	return string(utf16.Decode(units))
}
