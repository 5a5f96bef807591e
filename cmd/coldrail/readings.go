package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/logger"

	"github.com/google/uuid"
)

var readingsCommand = command{
	use:  "--sensor NAME [--unit F|C] [--zone ZONE] [--create COOLER] [--sure] FILE",
	does: "Bring a temperature logger's file in, and say what was kept and what was not.",
	help: `
The file is text as a logger exports it: a header row that names a time and a
temperature column, parted by commas, semicolons or tabs, UTF-8 or UTF-16.

  --sensor NAME    the sensor that wrote it
  --create COOLER  add that sensor to this room first, if it is new
  --unit F|C       where the file does not say so itself
  --zone ZONE      of the logger's clock, such as America/New_York or Etc/GMT+5;
                   without it the sensor's own, else the shop's
  --sure           bring it in even though it is far from what was read by hand

Every row is kept; those left out of the record carry the reason. The same file
twice changes nothing. A file that cannot be read is refused with the line.`,
	run: runReadings,
}

// readingsCall is what was asked for.
type readingsCall struct {
	sensor, zone, create string
	unit                 logger.Unit
	sure                 bool
	path                 string
	tell                 func(done, all int64) // hears how many rows are in
}

func runReadings(ctx context.Context, c call) error {
	asked, err := readReadingsCall(c.args)
	if err != nil {
		return err
	}
	text, err := os.ReadFile(asked.path)
	if err != nil {
		return usage("the file cannot be opened: %v", err)
	}
	return withDB(ctx, c, func(d *db.DB) error {
		tell, end := c.line(rowsSaid("Bringing the readings in"))
		defer end()
		asked.tell = tell
		return bringIn(ctx, d, asked, text, c.out, time.Now())
	})
}

func readReadingsCall(args []string) (readingsCall, error) {
	var a readingsCall
	var unit string
	f := flag.NewFlagSet("readings", flag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.StringVar(&a.sensor, "sensor", "", "")
	f.StringVar(&a.zone, "zone", "", "")
	f.StringVar(&a.create, "create", "", "")
	f.StringVar(&unit, "unit", "", "")
	f.BoolVar(&a.sure, "sure", false, "")
	if err := f.Parse(args); err != nil {
		return a, usage("readings: %v", err)
	}
	a.unit = logger.Unit(strings.ToUpper(unit))
	switch {
	case a.sensor == "":
		return a, usage("readings needs --sensor and the sensor's name")
	case unit != "" && a.unit != logger.Fahrenheit && a.unit != logger.Celsius:
		return a, usage("--unit is F or C, not %q", unit)
	case f.NArg() != 1:
		return a, usage("readings needs one file")
	}
	a.path = f.Arg(0)
	return a, nil
}

// bringIn reads the text, stores it and says what became of it.
func bringIn(ctx context.Context, d *db.DB, asked readingsCall, text []byte, out io.Writer, now time.Time) error {
	zone, err := zoneOf(ctx, d, asked)
	if err != nil {
		return err
	}
	rows, err := logger.Parse(text, logger.Told{Unit: asked.unit, Zone: zone})
	if err != nil {
		return err
	}
	if err := createSensor(ctx, d, asked); err != nil {
		return err
	}
	act := db.Act{ID: uuid.Must(uuid.NewV7()), At: now}
	in, err := d.ImportReadings(ctx, act, db.ReadingsFile{Sensor: asked.sensor, Name: filepath.Base(asked.path), Sum: sha256.Sum256(text), Rows: rows, Sure: asked.sure, Tell: asked.tell})
	if err != nil {
		return err
	}
	report(out, in, zone)
	return nil
}

// zoneOf is the zone of the logger's clock: as asked, as the sensor has it, or
// the shop's.
func zoneOf(ctx context.Context, d *db.DB, asked readingsCall) (*time.Location, error) {
	name := asked.zone
	if name == "" {
		s, err := d.Sensor(ctx, asked.sensor)
		if err != nil && !(asked.create != "" && domain.As(err).Kind == domain.NotFound) {
			return nil, err
		}
		name = s.Zone
	}
	if name == "" {
		shop, err := d.Shop(ctx)
		return shop.Location(), err
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil, usage("%q is no time zone; give one such as America/New_York", name)
	}
	return zone, nil
}

// createSensor adds the sensor to the room asked for, unless it is there.
func createSensor(ctx context.Context, d *db.DB, asked readingsCall) error {
	if asked.create == "" {
		return nil
	}
	room, err := d.Cooler(ctx, asked.create)
	if err != nil {
		return err
	}
	s, err := d.Sensor(ctx, asked.sensor)
	switch {
	case err == nil && s.CoolerID != room.ID:
		return errors.New("that sensor stands in another room; leave --create out, or give the new one another name")
	case err == nil:
		return nil
	case domain.As(err).Kind != domain.NotFound:
		return err
	}
	_, err = d.AddSensor(ctx, db.Sensor{CoolerID: room.ID, Name: asked.sensor, Zone: asked.zone})
	return err
}

// report says what became of the file.
func report(out io.Writer, in db.Imported, zone *time.Location) {
	const when = "Mon Jan 2 2006 15:04"
	fmt.Fprintf(out, "Read %d rows for the room %q, kept %d, left out %d.\n", in.Read, in.Cooler, in.Kept, in.Read-in.Kept)
	for _, f := range logger.Flags {
		if n := in.LeftOut[f]; n > 0 {
			fmt.Fprintf(out, "  %6d %s\n", n, f.Words())
		}
	}
	if in.Kept == 0 {
		return
	}
	fmt.Fprintf(out, "They run from %s to %s (%s).\n", in.From.In(zone).Format(when), in.To.In(zone).Format(when), zone)
	for _, g := range in.Gaps {
		fmt.Fprintf(out, "Nobody watched from %s to %s: %.1f hours.\n", g.From.In(zone).Format(when), g.To.In(zone).Format(when), g.To.Sub(g.From).Hours())
	}
}
