package main

import (
	"context"
	"fmt"
	"time"

	"coldrail/db/archive"
)

var exportCommand = command{
	use:  "DIR",
	does: "Write everything in open formats, CSV and JSON, into a new folder.",
	help: `
Each table becomes a .csv and a .json, each picture a .jpg. PINs, passwords,
sessions and keys are left out. To bring records back, use backup and restore.`,
	run: func(ctx context.Context, c call) error {
		if len(c.args) != 1 {
			return usage("export needs the name of a new folder")
		}
		log := newLog(c.cfg, c.report)
		base, err := openDatabase(ctx, c.cfg, log)
		if err != nil {
			return err
		}
		defer base.close(log)
		watched, done := c.watching(ctx, func(done, all int64) string { return fmt.Sprintf("Writing table %d of %d", done+1, all) })
		tables, rows, err := archive.Export(watched, base.ownerURL, c.args[0], time.Now())
		done()
		if err == nil {
			fmt.Fprintf(c.out, "Everything is in %s: %d tables, %d rows.\n", c.args[0], tables, rows)
		}
		return err
	},
}
