package db

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
)

// queue puts a job into the queue in tx, to be done from due on: it is there when
// tx stands, and never otherwise.
func (db *DB) queue(ctx context.Context, tx pgx.Tx, job river.JobArgs, due time.Time) (id int64, err error) {
	jobs, err := db.jobs()
	if err != nil {
		return 0, err
	}
	put, err := jobs.InsertTx(ctx, tx, job, &river.InsertOpts{ScheduledAt: due})
	if err != nil {
		return 0, err
	}
	return put.Job.ID, nil
}

// jobs is the queue as those see it who put jobs in and work none.
func (db *DB) jobs() (*river.Client[pgx.Tx], error) {
	jobs, err := river.NewClient(riverpgxv5.New(db.pool), &river.Config{})
	if err != nil {
		return nil, fmt.Errorf("the queue: %w", err)
	}
	return jobs, nil
}
