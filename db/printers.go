package db

import (
	"context"
	"fmt"
	"time"

	"coldrail/domain"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// PrinterCheck is what a ruler said of a printer's test label. A printer is known by
// the paper in it.
type PrinterCheck struct {
	Paper    string // pack, 4x6 or letter
	Drawn    domain.Millimetre
	Measured domain.Millimetre
	Capital  domain.Millimetre // height of the letters of NOT FOR SALE it prints
	At       time.Time
	By       string // initials
}

// leastCapital is the height of NOT FOR SALE that the law asks for: 9 CFR 316.16 and
// 317.16, at least 3/8 inch.
var leastCapital = domain.Inches(3.0 / 8)

// Blocks reports whether the printer's letters come out too small.
func (c PrinterCheck) Blocks() bool { return c.Capital > 0 && c.Capital < leastCapital }

// PaperOf is the paper that a kind of label is printed on, where not on plain letter
// paper.
func PaperOf(what string, letter bool) string {
	switch {
	case letter:
		return "letter"
	case what == "pack":
		return "pack"
	}
	return "4x6"
}

// NotePrinter keeps what a ruler said of a printer.
func (db *DB) NotePrinter(ctx context.Context, act Act, c PrinterCheck) error {
	return db.act(ctx, act, "check printer", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `INSERT INTO printer_checks (id, paper, drawn_mm, measured_mm, capital_mm, at, by_staff) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
			uuid.Must(uuid.NewV7()), c.Paper, c.Drawn, c.Measured, c.Capital, act.At, act.Staff)
		return line{What: "check-printer", Detail: map[string]any{"paper": c.Paper, "letters": fmt.Sprintf("%.1f mm", float64(c.Capital))}}, err
	})
}

// Printer is the newest check of a printer; zero where it was never measured.
func (db *DB) Printer(ctx context.Context, paper string) (PrinterCheck, error) {
	return printer(ctx, db.pool, paper)
}

func printer(ctx context.Context, q querier, paper string) (c PrinterCheck, err error) {
	c, _, err = one[PrinterCheck](ctx, q, `
		SELECT c.paper, c.drawn_mm AS drawn, c.measured_mm AS measured, c.capital_mm AS capital, c.at, s.initials AS by
		FROM printer_checks c JOIN staff s ON s.id = c.by_staff WHERE c.paper = $1 ORDER BY c.at DESC, c.id DESC LIMIT 1`, paper)
	return c, err
}

// mayPrint refuses labels of a printer whose letters come out too small.
func mayPrint(ctx context.Context, q querier, paper string) error {
	c, err := printer(ctx, q, paper)
	if err == nil && c.Blocks() {
		err = domain.Refuse("printer", "This printer makes NOT FOR SALE %s mm high, measured by %s, %s. The law asks for 9.5 mm. Put it right and measure its test label again.",
			fmt.Sprintf("%.1f", float64(c.Capital)), c.By, c.At)
	}
	return err
}

// AtFault counts the labels a printer has made since it was last found to print large
// enough, or ever: those may carry letters that are too small.
func (db *DB) AtFault(ctx context.Context, paper string) (labels, animals int, err error) {
	err = db.pool.QueryRow(ctx, `
		SELECT coalesce(sum(p.labels), 0), count(DISTINCT p.animal_id) FROM prints p
		WHERE (p.paper = $1 OR p.paper = '' AND $1 = CASE p.what WHEN 'pack' THEN 'pack' ELSE '4x6' END)
		  AND p.at > coalesce((SELECT max(at) FROM printer_checks WHERE paper = $1 AND capital_mm >= $2), '-infinity')`, paper, leastCapital).Scan(&labels, &animals)
	return labels, animals, translate(err)
}
