package db_test

import (
	"math"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"

	"github.com/jackc/pgx/v5"
)

func abs(x float64) float64 { return math.Abs(x) }

func animalOf(t *testing.T, s *dbtest.Shop, number domain.ShopNumber) db.Animal {
	t.Helper()
	a, err := s.Animal(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func readingsOf(t *testing.T, s *dbtest.Shop, cooler int16) []exposure.Reading {
	t.Helper()
	return collect[exposure.Reading](t, s, `SELECT at, c FROM readings WHERE cooler_id = $1 AND flag = 'ok' ORDER BY at`, cooler)
}

func looksOf(t *testing.T, s *dbtest.Shop, number domain.ShopNumber) []ageing.Look {
	t.Helper()
	rows, err := s.Pool().Query(t.Context(), `
		SELECT l.at, l.smell, l.surface FROM looks l JOIN animals a ON a.id = l.animal_id WHERE a.number = $1 ORDER BY l.at`, number)
	if err != nil {
		t.Fatal(err)
	}
	var looks []ageing.Look
	var l ageing.Look
	if _, err := pgx.ForEachRow(rows, []any{&l.At, &l.Smell, &l.Surface}, func() error { looks = append(looks, l); return nil }); err != nil {
		t.Fatal(err)
	}
	return looks
}

func collect[T any](t *testing.T, s *dbtest.Shop, sql string, args ...any) []T {
	t.Helper()
	rows, err := s.Pool().Query(t.Context(), sql, args...)
	if err != nil {
		t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowToStructByName[T])
	if err != nil {
		t.Fatal(err)
	}
	return list
}
