//go:build !linux

package cluster

import (
	"context"
	"errors"
	"log/slog"
)

const port = "5432"

type process struct{}

func (*process) stop() error { return nil }

func start(context.Context, string, *slog.Logger, []string) (*Cluster, error) {
	return nil, errors.New("the built-in database runs on Linux only: set DATABASE_URL to a PostgreSQL of your own")
}
