package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"time"

	"coldrail/db"
	"coldrail/db/demo"
)

var demoCommand = command{
	use:  "[--seasons N]",
	does: "Load an invented season into an empty database.",
	help: `
The season ends at the moment of loading. A database that holds anything else
is refused and left as it is.

--seasons  tells that many earlier seasons first, up to 20: each 1,500 animals and
           a million readings, to see how a shop with a long past runs. They
           are written in sets of rows, not act by act, and take a minute or two.`,
	run: func(ctx context.Context, c call) error {
		set, earlier := flag.NewFlagSet("demo", flag.ContinueOnError), 0
		set.SetOutput(io.Discard)
		set.IntVar(&earlier, "seasons", 0, "")
		if err := set.Parse(c.args); err != nil {
			return usage("demo: %w", err)
		}
		if set.NArg() > 0 || earlier < 0 || earlier > 20 {
			return usage("demo takes --seasons with a number up to 20, and no further words")
		}
		return withDB(ctx, c, func(d *db.DB) error {
			if err := demo.LoadAfter(ctx, d, time.Now(), demo.Earlier{Seasons: earlier, Readings: 1_000_000}); err != nil {
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
