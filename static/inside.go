package static

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"regexp"
	"strings"
)

// The stylesheet marks what the owners' pages show of it, piece by piece.
var (
	ownersPiece = regexp.MustCompile(`(?s)/\* owner's page \{ \*/(.*?)/\* \} owner's page \*/`)
	comment     = regexp.MustCompile(`(?s)/\*.*?\*/`)
	space       = regexp.MustCompile(`\s*\n\s*`)
)

// OwnersStyle is that part of css/coldrail.css, in its order and packed a little. It
// stands inside an owner's page: a phone far from any mast shows the first words one
// way to the shop sooner. The shop's own screens read the whole sheet once and keep it.
var OwnersStyle = ownersStyle()

// OwnersStyleHash lets the content policy allow OwnersStyle and no other style inside
// a page (W3C Content Security Policy Level 3, 2.3.1).
var OwnersStyleHash = hashOf(OwnersStyle)

// screenStyle is the stylesheet of the shop's screens.
const screenStyle = "css/coldrail.css"

// ScreenStyle is all of it, for the first page of a browser that has not fetched it yet;
// ScreenStyleHash lets it stand there.
var (
	ScreenStyle     = packStyle(string(mustRead(screenStyle)))
	ScreenStyleHash = hashOf(ScreenStyle)
)

// styleCookie holds the address of the stylesheet that this browser fetched last.
const styleCookie = "style"

// HasScreenStyle reports whether the browser that asks has fetched the stylesheet as it
// is today.
func HasScreenStyle(r *http.Request) bool {
	c, err := r.Cookie(styleCookie)
	return err == nil && c.Value == URL(screenStyle)
}

func ownersStyle() string {
	var pieces []string
	for _, m := range ownersPiece.FindAllStringSubmatch(string(mustRead(screenStyle)), -1) {
		pieces = append(pieces, m[1])
	}
	return packStyle(strings.Join(pieces, ""))
}

// packStyle leaves out what only a reader of the source needs, about a seventh of what
// goes over the line.
func packStyle(sheet string) string {
	return strings.TrimSpace(space.ReplaceAllString(comment.ReplaceAllString(sheet, ""), "\n"))
}

func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
