package main

import (
	"context"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"coldrail/db"
	"coldrail/db/cluster"
	"coldrail/domain/backup"
	"coldrail/domain/register"
)

var checkCommand = command{
	use:  "",
	does: "Look over configuration, disk, database, schema, clock, register, backups and certificate, a line each.",
	help: "Ends with status 1 if anything needs a person.",
	run:  runCheck,
}

// findings are the lines of a check.
type findings struct {
	call
	bad bool
}

// say writes one line: what is fine, or what is wrong and what to do.
func (f *findings) say(what string, err error, fine string) {
	state := "fine    "
	if err != nil {
		f.bad, state, fine = true, "TROUBLE ", sentence(err)
	}
	fmt.Fprintf(f.out, "%-15s %s %s\n", what, state, fine)
}

func runCheck(ctx context.Context, c call) error {
	log, f := newLog(c.cfg, c.report), &findings{call: c}
	f.say("configuration", nil, "listens on "+c.cfg.Addr+", data in "+c.cfg.Data)
	room, err := diskRoom(c.cfg.Data)
	f.say("disk", err, room)
	ends, err := certificateEnds(c.cfg, time.Now())
	f.say("certificate", err, ends)
	base, err := openDatabase(ctx, c.cfg, log)
	f.say("database", err, "answers")
	if err != nil {
		return silent(statusFailed)
	}
	defer base.close(log)
	schema, err := db.SchemaOf(ctx, base.ownerURL)
	if err == nil {
		err = schema.Ready()
	}
	f.say("schema", err, fmt.Sprintf("version %d", schema.Version))
	if err == nil {
		f.records(ctx, base.url)
	}
	if f.bad {
		return silent(statusFailed)
	}
	return nil
}

// records looks at what only a database of the right schema can tell.
func (f *findings) records(ctx context.Context, url string) {
	d, err := db.Open(ctx, url)
	if err != nil {
		f.say("records", err, "")
		return
	}
	defer d.Close()
	off, err := clockOff(ctx, d)
	f.say("clock", err, fmt.Sprintf("within %s of the database", off.Abs().Round(time.Millisecond)))
	major, err := d.ServerMajor(ctx)
	if err == nil {
		_, err = cluster.Tool("pg_dump", major)
	}
	f.say("PostgreSQL", err, fmt.Sprintf("version %d, with its pg_dump for backups", major))
	f.say("register", d.VerifyRegister(ctx), "every line is as it was written")
	night, walked, err := d.LastRegisterCheck(ctx)
	fine, trouble := nightSaid(night, walked, time.Now())
	f.say("register, night", errors.Join(err, trouble), fine)
	past, err := d.BackupsSoFar(ctx)
	fine, trouble = backupsSaid(past, time.Now())
	f.say("backups", errors.Join(err, trouble), fine)
}

// nightSaid words how the program's own last walk of the register ended.
func nightSaid(c db.RegisterCheck, walked bool, now time.Time) (fine string, err error) {
	age := now.Sub(c.EndedAt).Round(time.Minute)
	switch {
	case !walked:
		return "the program has not walked it yet; it does so as it serves", nil
	case c.Wrong != "":
		return "", fmt.Errorf("%s (found %s ago)", c.Wrong, age)
	case register.CheckOld(c.BeganAt, now):
		return "", fmt.Errorf("last walked %s ago: is the program running by night?", age)
	}
	return fmt.Sprintf("%d lines whole, %s ago", c.Lines, age), nil
}

// backupsSaid words how the nightly copies stand.
func backupsSaid(b db.BackupsSoFar, now time.Time) (fine string, err error) {
	switch age := now.Sub(b.Good).Round(time.Minute); {
	case b.Stands(now) == backup.Off:
		return "none are made by themselves: turn them on at /office/backups", nil
	case b.Stands(now) == backup.Old && b.Good.IsZero():
		return "", fmt.Errorf("none is good since they were turned on; the last try: %s", b.Wrong)
	case b.Stands(now) == backup.Old:
		return "", fmt.Errorf("the last good one is %s old; the last try: %s", age, b.Wrong)
	case b.Good.IsZero():
		return "turned on; none was made yet", nil
	default:
		return fmt.Sprintf("the last good one is %s old", age), nil
	}
}

// clockOff compares this machine's clock with the database's. Rounds and
// incidents stand or fall with true times.
func clockOff(ctx context.Context, d *db.DB) (time.Duration, error) {
	theirs, err := d.Clock(ctx)
	off := time.Since(theirs)
	if err == nil && off.Abs() > time.Minute {
		err = fmt.Errorf("this machine and the database differ by %s: set the clock", off.Round(time.Second))
	}
	return off, err
}

// leastRoom is how much of the disk has to be free: Postgres stops on a full one.
const leastRoom = 1 << 30

// diskRoom says how much is free where the records lie, or will.
func diskRoom(data string) (string, error) {
	for _, err := os.Stat(data); errors.Is(err, fs.ErrNotExist) && data != "/"; _, err = os.Stat(data) {
		data = filepath.Dir(data)
	}
	var disk syscall.Statfs_t
	if err := syscall.Statfs(data, &disk); err != nil {
		return "", fmt.Errorf("how much room %s has cannot be told: %w", data, err)
	}
	free := int64(disk.Bavail) * int64(disk.Bsize)
	if free < leastRoom {
		return "", fmt.Errorf("only %s are free on the disk of %s: make room before it is full, or nothing can be written", size(free), data)
	}
	return size(free) + " free", nil
}

// certificateEnds says until when tablets can trust this machine. Our own is
// renewed by itself while the program runs; the shop's own is not.
func certificateEnds(cfg Config, now time.Time) (string, error) {
	if cfg.TLSAddr == "" {
		return "none: there is no HTTPS (COLDRAIL_TLS_ADDR)", nil
	}
	file, own := cfg.CertFile, cfg.CertFile != ""
	if !own {
		file = filepath.Join(cfg.certificates(), "server.crt")
	}
	text, err := os.ReadFile(file)
	if !own && errors.Is(err, fs.ErrNotExist) {
		return "made at the next start", nil
	}
	if err != nil {
		return "", err
	}
	block, _ := pem.Decode(text)
	if block == nil {
		return "", fmt.Errorf("%s holds no certificate", file)
	}
	leaf, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, err)
	}
	left := int(leaf.NotAfter.Sub(now).Hours() / 24)
	if now.After(leaf.NotAfter) || own && left < 14 {
		return "", fmt.Errorf("the certificate ends on %s: put a new one in its place", leaf.NotAfter.Format(time.DateOnly))
	}
	return fmt.Sprintf("good until %s, %d days", leaf.NotAfter.Format(time.DateOnly), left), nil
}
