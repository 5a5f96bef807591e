package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strings"
	"time"

	"coldrail/db"
)

var staffCommand = command{
	use:  "add --name NAME --initials AB --roles counter,cutter --pin 1234 [--password TEXT] | pin AB 1234 | list",
	does: "Take somebody on, give somebody a new PIN, or list who works here.",
	help: `
Roles: counter, cooler, cutter, lead, owner. An owner's password enrols devices.
A PIN has four to eight digits. A new PIN also lifts the wait after wrong tries.`,
	run: runStaff,
}

func runStaff(ctx context.Context, c call) error {
	if len(c.args) == 0 {
		return usage("staff needs a word: add, pin or list")
	}
	switch act, rest := c.args[0], c.args[1:]; act {
	case "add":
		return addStaff(ctx, c, rest)
	case "pin":
		if len(rest) != 2 {
			return usage("staff pin needs initials and the new PIN")
		}
		return withDB(ctx, c, func(d *db.DB) error {
			if err := d.SetPIN(ctx, rest[0], rest[1]); err != nil {
				return err
			}
			fmt.Fprintf(c.out, "%s has a new PIN.\n", strings.ToUpper(rest[0]))
			return nil
		})
	case "list":
		return withDB(ctx, c, func(d *db.DB) error { return listStaff(ctx, c, d) })
	default:
		return usage("staff knows add, pin and list, not %q", act)
	}
}

func addStaff(ctx context.Context, c call, args []string) error {
	var n db.NewStaff
	var roles string
	f := flag.NewFlagSet("staff add", flag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.StringVar(&n.Name, "name", "", "")
	f.StringVar(&n.Initials, "initials", "", "")
	f.StringVar(&roles, "roles", "", "")
	f.StringVar(&n.PIN, "pin", "", "")
	f.StringVar(&n.Password, "password", "", "")
	if err := f.Parse(args); err != nil {
		return usage("staff add: %v", err)
	}
	for role := range strings.SplitSeq(roles, ",") {
		if role = strings.TrimSpace(role); role != "" {
			n.Roles = append(n.Roles, role)
		}
	}
	return withDB(ctx, c, func(d *db.DB) error {
		s, err := d.AddStaff(ctx, n, time.Now())
		if err != nil {
			return err
		}
		fmt.Fprintf(c.out, "%s (%s) works here now: %s.\n", s.Name, s.Initials, strings.Join(s.Roles, ", "))
		return nil
	})
}

func listStaff(ctx context.Context, c call, d *db.DB) error {
	list, err := d.AllStaff(ctx, time.Now())
	for _, s := range list {
		fmt.Fprintf(c.out, "%-4s %-24s %s\n", s.Initials, s.Name, strings.Join(s.Roles, ", "))
	}
	return err
}
