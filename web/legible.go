package web

import (
	"errors"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"unicode/utf8"

	"coldrail/domain"

	"golang.org/x/text/unicode/norm"
)

// longestText is the most that one field of a form holds, in bytes. Some fields are
// filled by the page itself: a signature's path, which has a limit of its own, and a
// logger's file that is shown before it is kept.
const longestText = 8000

var filledByThePage = map[string]bool{"strokes": true, "packed": true}

// legible reads the form of a request before any page does. It refuses what no
// keyboard sends and no record can hold, so that it is told as a mistake in the form
// and not met as a fault of ours further in; and it takes out signs that nobody sees,
// which turn the words around them about or make two names that look alike differ.
func legible(r *http.Request) error {
	if !plain(r.URL.Path) {
		return domain.Missing("There is no page at this address.")
	}
	err := readForm(r)
	if _, much := errors.AsType[*http.MaxBytesError](err); much {
		return domain.Wrong("", "That was too much for one form. Nothing was changed.")
	}
	if err != nil && r.Method == http.MethodPost {
		return domain.Wrong("", "This form came in damaged. Nothing was changed. Open it again and repeat.")
	}
	for _, fields := range []url.Values{r.Form, r.PostForm} {
		if err := readable(fields); err != nil {
			return err
		}
	}
	return namedPlainly(r.MultipartForm)
}

// readForm reads the form whatever it is sent as; pictures beyond a megabyte wait on
// the disk.
func readForm(r *http.Request) error {
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		return r.ParseMultipartForm(maxForm)
	}
	return r.ParseForm()
}

// readable looks at every field and puts back what is left of it.
func readable(fields url.Values) error {
	for name, values := range fields {
		for i, v := range values {
			switch {
			case !plain(name) || !plain(v):
				return domain.Wrong("", "There is a sign in this form that cannot be kept. Nothing was changed. Type it again, do not paste it.")
			case len(v) > longestText && !filledByThePage[name]:
				return domain.Wrong("", "That is too long for one field. Nothing was changed. Say it in fewer words.")
			}
			values[i] = norm.NFC.String(strings.Map(seen, v))
		}
	}
	return nil
}

// namedPlainly refuses a file whose name could not be kept.
func namedPlainly(form *multipart.Form) error {
	if form == nil {
		return nil
	}
	for _, files := range form.File {
		for _, f := range files {
			if !plain(f.Filename) || len(f.Filename) > 255 {
				return domain.Wrong("", "The file's name cannot be kept. Nothing was changed. Give the file a shorter, plain name.")
			}
		}
	}
	return nil
}

// plain is text that Postgres can hold.
func plain(text string) bool { return utf8.ValidString(text) && !strings.ContainsRune(text, 0) }

// seen drops the signs that nobody sees: those that turn the direction of writing
// (Unicode Standard Annex 9, section 2), spaces of no width, and controls other than
// tab and line end. A telephone's address book puts the first around numbers.
func seen(r rune) rune {
	switch {
	case r == '\t' || r == '\n' || r == '\r':
		return r
	case r < ' ', r >= 0x7f && r < 0xa0, r == 0x200b, r == 0x200e, r == 0x200f, r >= 0x202a && r <= 0x202e, r == 0x2060, r >= 0x2066 && r <= 0x2069, r == 0xfeff:
		return -1
	}
	return r
}
