package main

import (
	"context"
	"log/slog"
	"time"

	"coldrail/db"
	"coldrail/db/archive"
	"coldrail/domain/register"

	"github.com/google/uuid"
	"github.com/riverqueue/river"
)

// nightlyPace is how often it is looked whether a copy is due.
const nightlyPace = 5 * time.Minute

// nightlyArgs is the job that looks whether a copy of the records is due and
// makes it. River runs it on one server only.
type nightlyArgs struct{}

// Kind names the job in River's table.
func (nightlyArgs) Kind() string { return "nightly-backup" }

type nightlyWorker struct {
	river.WorkerDefaults[nightlyArgs]
	db      *db.DB
	address string // the owner's: the program's own role may not read all of it
	log     *slog.Logger
}

// Timeout leaves a large shop and a slow stick their time.
func (w *nightlyWorker) Timeout(*river.Job[nightlyArgs]) time.Duration { return 2 * time.Hour }

// Work makes the copy where one is due. What went wrong is written down for the
// office and the first page; the next try is an hour later.
func (w *nightlyWorker) Work(ctx context.Context, _ *river.Job[nightlyArgs]) error {
	now := clock()
	set, err := w.db.BackupSettings(ctx)
	if err != nil || set.Directory == "" {
		return err
	}
	shop, err := w.db.Shop(ctx)
	if err != nil {
		return err
	}
	past, err := w.db.BackupsSoFar(ctx)
	if err != nil || !past.Due(now, set.Hour, shop.Location()) {
		return err
	}
	to, err := set.To()
	if err != nil {
		return err
	}
	b := db.Backup{ID: uuid.Must(uuid.NewV7()), BeganAt: now, Sealed: to != nil}
	b.File, b.Bytes, b.Thinned, err = archive.Folder(set.Directory).Keep(ctx, w.address, to, now, shop.Location())
	b.EndedAt = clock()
	if err != nil {
		b.Wrong = sentence(err)
		w.log.Error("the nightly backup failed", "err", err)
	}
	// What became of it is written down even while the program is being stopped.
	return w.db.BackupEnded(context.WithoutCancel(ctx), b)
}

// nightly is when River looks whether a copy is due: at the start and then at its pace.
func nightly() *river.PeriodicJob {
	return river.NewPeriodicJob(river.PeriodicInterval(nightlyPace), func() (river.JobArgs, *river.InsertOpts) {
		return nightlyArgs{}, &river.InsertOpts{MaxAttempts: 1, UniqueOpts: river.UniqueOpts{ByPeriod: nightlyPace}}
	}, &river.PeriodicJobOpts{RunOnStart: true})
}

// registerArgs is the job that looks whether the register is to be walked and walks
// it. River runs it on one server only.
type registerArgs struct{}

// Kind names the job in River's table.
func (registerArgs) Kind() string { return "nightly-register" }

type registerWorker struct {
	river.WorkerDefaults[registerArgs]
	db  *db.DB
	log *slog.Logger
}

// Timeout leaves many seasons their time.
func (w *registerWorker) Timeout(*river.Job[registerArgs]) time.Duration { return time.Hour }

// Work walks the whole register where that is due. What it met is kept for the
// office, the first page, check and the metrics.
func (w *registerWorker) Work(ctx context.Context, _ *river.Job[registerArgs]) error {
	now := clock()
	shop, err := w.db.Shop(ctx)
	if err != nil {
		return err
	}
	last, _, err := w.db.LastRegisterCheck(ctx)
	if err != nil || !register.CheckDue(last.BeganAt, now, shop.Location()) {
		return err
	}
	c, err := w.db.CheckRegister(ctx, uuid.Must(uuid.NewV7()), now, clock)
	if c.Wrong != "" {
		w.log.Error("the register is not as it was written", "wrong", c.Wrong)
	}
	return err
}

// registerByNight is when River looks whether the register is to be walked.
func registerByNight() *river.PeriodicJob {
	return river.NewPeriodicJob(river.PeriodicInterval(nightlyPace), func() (river.JobArgs, *river.InsertOpts) {
		return registerArgs{}, &river.InsertOpts{MaxAttempts: 1, UniqueOpts: river.UniqueOpts{ByPeriod: nightlyPace}}
	}, &river.PeriodicJobOpts{RunOnStart: true})
}
