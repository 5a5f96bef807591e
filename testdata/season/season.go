// Package season holds one believable, wholly invented season of one shop, for
// the demo, for tests of pages and for screenshots.
package season

import "embed"

// Files are the season's tables; README.md says what each holds.
//
//go:embed *.csv
var Files embed.FS
