package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"coldrail/web/trust"
)

var trustCommand = command{
	use:  "--new",
	does: "Put the certificate authority aside, so that the next start makes a new one.",
	help: `
Needed only where COLDRAIL_NAMES has a name that was added after the first start.
Every tablet, phone and desktop must trust the new one before it works again.`,
	run: runTrust,
}

func runTrust(_ context.Context, c call) error {
	if len(c.args) != 1 || c.args[0] != "--new" {
		return usage("trust wants --new")
	}
	if err := trust.PutAside(c.cfg.certificates()); err != nil {
		return err
	}
	fmt.Fprintln(c.out, "The authority is put aside. Start the program again: it makes a new one for the names in COLDRAIL_NAMES.")
	fmt.Fprintln(c.out, "Then open /trust on every tablet, phone and desktop: each must trust the new one before it works again.")
	return nil
}

// certificates is where the authority and the server's certificate lie.
func (c Config) certificates() string { return filepath.Join(c.Data, "certificates") }

// leftOut says which names no tablet can use, and what to do; nothing where there
// are none.
func (s safety) leftOut() string {
	if len(s.outside) == 0 {
		return ""
	}
	return fmt.Sprintf("Tablets cannot use %s: the certificate authority was made before that name was in COLDRAIL_NAMES. "+
		"The other names and addresses work. For a new authority run: coldrail trust --new. Each device must trust it anew.\n",
		strings.Join(s.outside, " or "))
}
