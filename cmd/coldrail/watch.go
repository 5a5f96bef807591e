package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"coldrail/db"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
)

// watchArgs is the job of each minute: rounds that come due become rows, rounds
// nobody walked become missed. River runs it on one server only, however many
// share the database.
type watchArgs struct{}

// Kind names the job in River's table.
func (watchArgs) Kind() string { return "watch" }

type watchWorker struct {
	river.WorkerDefaults[watchArgs]
	db  *db.DB
	out sender
}

// Work does one minute's watch. Done twice it changes nothing the second time.
// The heartbeat goes out last and only where all went well: whoever listens
// outside then notices a watch that fails as well as a machine that is off.
func (w *watchWorker) Work(ctx context.Context, _ *river.Job[watchArgs]) error {
	now := clock()
	err := errors.Join(w.db.WatchRounds(ctx, now), w.db.WatchIncidents(ctx, now), w.db.DropOldForms(ctx, now))
	if err := errors.Join(err, w.db.RaiseAlarms(ctx, now)); err != nil {
		return err
	}
	return w.out.beat(ctx, w.db, now)
}

// startWatch begins the watch and returns how to stop it.
func startWatch(ctx context.Context, d *db.DB, ownerURL string, out sender, log *slog.Logger) (stop func(context.Context), err error) {
	if err := d.WatchRounds(ctx, clock()); err != nil { // what fell due while the program was down
		return nil, err
	}
	secret, err := d.Secret(ctx, "hunter links")
	if err != nil {
		return nil, err
	}
	workers := river.NewWorkers()
	river.AddWorker(workers, &watchWorker{db: d, out: out})
	river.AddWorker(workers, &alarmWorker{db: d, out: out})
	river.AddWorker(workers, &messageWorker{db: d, out: out, secret: secret})
	river.AddWorker(workers, &nightlyWorker{db: d, address: ownerURL, log: log})
	river.AddWorker(workers, &registerWorker{db: d, log: log})
	quiet := slog.New(leastLevel{log.Handler(), slog.LevelWarn})
	client, err := river.NewClient(riverpgxv5.New(d.Pool()), &river.Config{
		Logger:  quiet,
		Queues:  map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: 2}, db.MessageQueue: {MaxWorkers: 1}},
		Workers: workers,
		PeriodicJobs: []*river.PeriodicJob{river.NewPeriodicJob(river.PeriodicInterval(time.Minute),
			func() (river.JobArgs, *river.InsertOpts) {
				return watchArgs{}, &river.InsertOpts{UniqueOpts: river.UniqueOpts{ByPeriod: time.Minute}}
			}, nil), nightly(), registerByNight()},
	})
	if err != nil {
		return nil, fmt.Errorf("watch: %w", err)
	}
	// Not under ctx: SIGTERM must let a running job finish, which Stop sees to.
	if err := client.Start(context.WithoutCancel(ctx)); err != nil {
		return nil, fmt.Errorf("watch: %w", err)
	}
	return func(finish context.Context) {
		if err := client.Stop(finish); err != nil {
			log.Error("the watch did not stop cleanly", "err", err)
		}
	}, nil
}

// leastLevel drops what River says about its own routine.
type leastLevel struct {
	slog.Handler
	level slog.Level
}

// Enabled implements slog.Handler.
func (l leastLevel) Enabled(ctx context.Context, level slog.Level) bool {
	return level >= l.level && l.Handler.Enabled(ctx, level)
}
