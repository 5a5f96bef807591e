// Package migrations carries the schema: numbered pairs of SQL files, one
// change each, applied in order by db.Migrate. A merged file is never edited.
package migrations

import "embed"

// FS holds every .sql file of this folder.
//
//go:embed *.sql
var FS embed.FS
