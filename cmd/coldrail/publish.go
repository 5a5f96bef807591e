package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/web/hunter"
	"coldrail/web/messages"
	"coldrail/web/ui"
)

var publishCommand = command{
	use:  "DIR [--every 5m]",
	does: "Write the owners' pages as finished files that any static host can serve.",
	help: `
One file for each link that is alive, DIR/s/LINK/index.html, with the style it
needs, a robots.txt that turns all away and an index that shows nothing. A file is
written again when its words change, and goes after pick-up, with a new link, and
sixty days after an animal that is gone was last touched. Files that others put
into DIR stay as they are. Set COLDRAIL_PUBLIC_URL, here and where the site runs,
to the address of that host: links on paper and in messages begin with it.

--every   does it again at that pace until it is told to stop`,
	run: runPublish,
}

// fastest is the quickest pace: each look reads every animal in the shop.
const fastest = 10 * time.Second

func runPublish(ctx context.Context, c call) error {
	dir, every, err := readPublishWords(c.args)
	if err != nil {
		return err
	}
	for {
		kept, links, err := publish(ctx, c, dir)
		switch {
		case err == nil && (every == 0 || kept.Written+kept.Removed > 0):
			fmt.Fprintf(c.out, "%d pages of owners in %s: %d files written, %d removed. Links begin with %s/s/\n", links, dir, kept.Written, kept.Removed, c.cfg.PublicURL)
			if len(kept.Foreign) > 0 {
				fmt.Fprintf(c.out, "Not ours, so left as they are: %s\n", strings.Join(kept.Foreign, ", "))
			}
		case every > 0 && err != nil && ctx.Err() == nil:
			fmt.Fprintf(c.report, "coldrail: %s; tried again in %s\n", sentence(err), every)
		}
		if every == 0 {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(every):
		}
	}
}

func readPublishWords(args []string) (dir string, every time.Duration, err error) {
	set := flag.NewFlagSet("publish", flag.ContinueOnError)
	set.SetOutput(io.Discard)
	set.DurationVar(&every, "every", 0, "")
	var dirs []string
	for rest := args; len(rest) > 0; { // the directory may stand before or behind
		if err := set.Parse(rest); err != nil {
			return "", 0, usage("publish: %w", err)
		}
		if rest = set.Args(); len(rest) > 0 {
			dirs, rest = append(dirs, rest[0]), rest[1:]
		}
	}
	if len(dirs) != 1 || dirs[0] == "" {
		return "", 0, usage("publish needs the name of one directory")
	}
	if every != 0 && every < fastest {
		return "", 0, usage("publish: --every is at least %s", fastest)
	}
	return dirs[0], every, nil
}

// publish brings the directory up to date once. The records are opened anew each time,
// so that a site or a database that was started again in between is found.
func publish(ctx context.Context, c call, dir string) (kept hunter.Kept, links int, err error) {
	folder, err := hunter.OpenFolder(dir)
	if err != nil {
		return kept, 0, err
	}
	defer folder.Close()
	err = withDB(ctx, c, func(d *db.DB) error {
		shop, err := d.Shop(ctx)
		if err != nil {
			return err
		}
		secret, err := d.Secret(ctx, "hunter links")
		if err != nil {
			return err
		}
		pages := &hunter.Pages{DB: d, Now: clock, Secret: secret}
		files, err := pages.Published(ui.WithShop(ctx, messages.Shop(shop)), c.cfg.PublicURL)
		if err != nil {
			return err
		}
		links = files.Links()
		kept, err = folder.Hold(files)
		return err
	})
	return kept, links, err
}
