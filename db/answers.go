package db

import (
	"context"
	"strings"

	"coldrail/domain/animal"

	"github.com/jackc/pgx/v5"
)

// Answers is what the shop itself answers to owners' questions; a question that is
// not in it has the usual answer.
type Answers map[animal.Question]string

// Answers reads them.
func (db *DB) Answers(ctx context.Context) (Answers, error) {
	rows, err := all[struct {
		Question animal.Question
		Says     string
	}](ctx, db.pool, `SELECT question, says FROM answers WHERE says <> '' ORDER BY question LIMIT 100`)
	a := Answers{}
	for _, r := range rows {
		a[r.Question] = r.Says
	}
	return a, err
}

// SetAnswers writes down what the owner of the shop answers. A question that is not
// named keeps its answer; an empty one goes back to the usual. Every animal's page
// shows it within a minute.
func (db *DB) SetAnswers(ctx context.Context, act Act, says Answers) error {
	for q := range says {
		says[q] = strings.TrimSpace(strings.ReplaceAll(says[q], "\r\n", "\n"))
		if err := animal.CheckAnswer(q, says[q]); err != nil {
			return err
		}
	}
	return db.act(ctx, act, "set answers", func(tx pgx.Tx) (line, error) {
		if err := ownsShop(ctx, tx, act.Staff); err != nil {
			return line{}, err
		}
		rows, changed := &pgx.Batch{}, 0
		for _, q := range animal.Questions {
			if text, named := says[q]; named {
				changed++
				rows.Queue(`
					INSERT INTO answers (question, says, at, by_staff) VALUES ($1, $2, $3, $4)
					ON CONFLICT (question) DO UPDATE SET says = excluded.says, at = excluded.at, by_staff = excluded.by_staff`, q, text, act.At, act.Staff)
			}
		}
		return line{What: "set-answers", Detail: map[string]any{"answers": changed}, Rows: rows}, nil
	})
}
