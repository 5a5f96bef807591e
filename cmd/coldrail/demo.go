package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"coldrail/db"
	"coldrail/db/demo"
)

var demoCommand = command{
	use:  "",
	does: "Load an invented season into an empty database.",
	help: "The season ends at the moment of loading. A database that holds anything else\nis refused and left as it is.",
	run: func(ctx context.Context, c call) error {
		if len(c.args) > 0 {
			return usage("demo takes no further words, not %q", c.args[0])
		}
		return withDB(ctx, c, func(d *db.DB) error {
			if err := demo.Load(ctx, d, time.Now()); err != nil {
				return err
			}
			fmt.Fprintln(c.out, "The demo season is loaded.")
			signIns(c.out)
			return nil
		})
	},
}

// demoIfEmpty loads the demo into an empty database and says who may sign in;
// a database that holds the demo already keeps everything done since.
func demoIfEmpty(ctx context.Context, d *db.DB, out io.Writer) error {
	empty, err := d.Empty(ctx)
	if err != nil {
		return err
	}
	if empty {
		fmt.Fprintln(out, "Loading the demo season ...")
		if err := demo.Load(ctx, d, time.Now()); err != nil {
			return err
		}
	}
	signIns(out)
	return nil
}

func signIns(out io.Writer) {
	fmt.Fprintf(out, "Let a device in as %s with the password: %s\nThen tap a name. PINs of the demo's people:\n", demo.OwnerInitials, demo.OwnerPassword)
	for _, s := range demo.Crew {
		fmt.Fprintf(out, "  %-4s %-16s %-14s %s\n", s.PIN, s.Name, s.Initials, s.Roles)
	}
}
