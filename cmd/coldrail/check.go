package main

import (
	"context"
	"fmt"
	"time"

	"coldrail/db"
)

var checkCommand = command{
	use:  "",
	does: "Look over configuration, database, schema and clock, a line each.",
	help: "Ends with status 1 if anything needs a person.",
	run:  runCheck,
}

func runCheck(ctx context.Context, c call) error {
	log := newLog(c.cfg, c.report)
	bad := false
	say := func(what string, err error, fine string) {
		if err != nil {
			bad = true
			fmt.Fprintf(c.out, "%-14s TROUBLE  %s\n", what, sentence(err))
			return
		}
		fmt.Fprintf(c.out, "%-14s fine     %s\n", what, fine)
	}
	say("configuration", nil, "listens on "+c.cfg.Addr+", data in "+c.cfg.Data)
	base, err := openDatabase(ctx, c.cfg, log)
	say("database", err, "answers")
	if err != nil {
		return silent(statusFailed)
	}
	defer base.close(log)
	schema, err := db.SchemaOf(ctx, base.ownerURL)
	if err == nil {
		err = schema.Ready()
	}
	say("schema", err, fmt.Sprintf("version %d", schema.Version))
	if err == nil {
		off, err := clockOff(ctx, base.url)
		say("clock", err, fmt.Sprintf("within %s of the database", off.Abs().Round(time.Millisecond)))
	}
	if bad {
		return silent(statusFailed)
	}
	return nil
}

// clockOff compares this machine's clock with the database's. Rounds and
// incidents stand or fall with true times.
func clockOff(ctx context.Context, url string) (time.Duration, error) {
	d, err := db.Open(ctx, url)
	if err != nil {
		return 0, err
	}
	defer d.Close()
	theirs, err := d.Clock(ctx)
	off := time.Since(theirs)
	if err == nil && off.Abs() > time.Minute {
		err = fmt.Errorf("this machine and the database differ by %s: set the clock", off.Round(time.Second))
	}
	return off, err
}
