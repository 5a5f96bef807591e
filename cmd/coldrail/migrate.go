package main

import (
	"context"
	"fmt"

	"coldrail/db"
)

var migrateCommand = command{
	use:  "up | down | status",
	does: "Bring the database's schema up to date, take the newest change back, or say how far it is.",
	help: `
up      applies every change that is missing, and mends one that was interrupted.
down    takes back the newest change, with everything in the tables it made.
status  prints the version it is at and the newest this program knows.`,
	run: runMigrate,
}

func runMigrate(ctx context.Context, c call) error {
	if len(c.args) != 1 {
		return usage("migrate needs one word: up, down or status")
	}
	log := newLog(c.cfg, c.report)
	base, err := openDatabase(ctx, c.cfg, log)
	if err != nil {
		return err
	}
	defer base.close(log)
	switch c.args[0] {
	case "up":
		err = db.Migrate(ctx, base.ownerURL)
	case "down":
		err = db.MigrateDown(ctx, base.ownerURL)
	case "status":
	default:
		return usage("migrate knows up, down and status, not %q", c.args[0])
	}
	if err != nil {
		return err
	}
	s, err := db.SchemaOf(ctx, base.ownerURL)
	if err != nil {
		return err
	}
	state := "up to date"
	if problem := s.Ready(); problem != nil {
		state = problem.Error()
	}
	fmt.Fprintf(c.out, "schema version %d of %d: %s\n", s.Version, s.Newest, state)
	return nil
}
