// Command coldrail is the whole program: the site, the database it brings along,
// and the acts of whoever looks after both.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"coldrail/domain"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Getenv, os.Stdin, os.Stdout, os.Stderr))
}

// Exit statuses.
const (
	statusOK     = 0
	statusFailed = 1 // the act could not be done
	statusUsage  = 2 // the words or the input were wrong; nothing was done
)

// call is what a subcommand gets to work with.
type call struct {
	cfg    Config
	args   []string
	in     io.Reader
	out    io.Writer // answers
	report io.Writer // progress and trouble
}

// command is one subcommand; each lives in a file of its own.
type command struct {
	use  string // the line after its name
	does string // one sentence
	help string // the rest, for --help
	run  func(ctx context.Context, c call) error
}

// usageError is a call that cannot be understood.
type usageError struct{ error }

func usage(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// silent ends the program with a status after everything has been said.
type silent int

func (s silent) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

func commands() map[string]command {
	return map[string]command{
		"serve": serveCommand, "demo": demoCommand, "migrate": migrateCommand, "staff": staffCommand,
		"calc": calcCommand, "readings": readingsCommand, "check": checkCommand,
		"trust": trustCommand, "backup": backupCommand, "restore": restoreCommand, "export": exportCommand,
		"publish": publishCommand,
	}
}

// order in which --help lists the commands: as somebody would need them.
var helpOrder = []string{"serve", "demo", "migrate", "staff", "readings", "backup", "restore", "export", "publish", "trust", "calc", "check"}

// run is main without the process around it. It returns the exit status.
func run(ctx context.Context, args []string, env func(string) string, in io.Reader, out, report io.Writer) int {
	err := dispatch(ctx, args, env, in, out, report)
	if s, ok := errors.AsType[silent](err); ok {
		return int(s)
	}
	if err == nil {
		return statusOK
	}
	fmt.Fprintln(report, "coldrail:", sentence(err))
	if _, ok := errors.AsType[usageError](err); ok {
		fmt.Fprintln(report, "See: coldrail --help")
		return statusUsage
	}
	if domain.As(err).Kind == domain.Invalid {
		return statusUsage
	}
	return statusFailed
}

// sentence is what a person reads of err: the shop's own words where it has
// any, the whole chain where it is the program's trouble.
func sentence(err error) string {
	if e, ok := errors.AsType[*domain.Error](err); ok && e.Kind != domain.Internal {
		return e.Error()
	}
	return err.Error()
}

func dispatch(ctx context.Context, args []string, env func(string) string, in io.Reader, out, report io.Writer) error {
	if len(args) == 0 || isHelp(args[0]) {
		fmt.Fprint(out, overview())
		if len(args) == 0 {
			return silent(statusUsage)
		}
		return nil
	}
	c, known := commands()[args[0]]
	if !known {
		return usage("there is no command %q", args[0])
	}
	for _, a := range args[1:] {
		if isHelp(a) {
			fmt.Fprintf(out, "coldrail %s %s\n\n%s\n", args[0], c.use, c.does)
			if c.help != "" {
				fmt.Fprintf(out, "\n%s\n", strings.TrimSpace(c.help))
			}
			return nil
		}
	}
	cfg, err := readConfig(env)
	if err != nil {
		return err
	}
	return c.run(ctx, call{cfg: cfg, args: args[1:], in: in, out: out, report: report})
}

func isHelp(arg string) bool { return arg == "--help" || arg == "-h" || arg == "help" }

func overview() string {
	var b strings.Builder
	b.WriteString("Coldrail keeps a custom meat shop's animals, from drop-off to pick-up.\n\nUse: coldrail COMMAND [--help]\n\n")
	all := commands()
	for _, name := range helpOrder {
		fmt.Fprintf(&b, "  %-9s %s\n", name, all[name].does)
	}
	b.WriteString("\nSettings are environment variables:\n\n")
	for _, s := range settings {
		fmt.Fprintf(&b, "  %-21s %s (default: %s)\n", s.name, s.means, s.def)
	}
	return b.String()
}
