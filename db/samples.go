package db

import (
	"context"
	"errors"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Sample is one disease sample of an animal. Its number is the agency's or the
// laboratory's, not ours; its result is in the laboratory's own words.
type Sample struct {
	ID         uuid.UUID
	Number     string
	Lab        string
	DrawnOn    time.Time
	ExpectedOn *time.Time
	Result     string // "", or one of LabNotDetected, LabDetected, LabUnsuitable
	ResultOn   *time.Time
	Source     string // where the result was read
	SeenBy     string // initials of who read it
	SeenAt     *time.Time
}

// The words of a result, as the laboratory writes them.
const (
	LabNotDetected = "not detected"
	LabDetected    = "detected"
	LabUnsuitable  = "unsuitable"
)

// resultWords are its words to people: of a list, so that they are said in every language.
var resultWords = map[string]string{LabNotDetected: "not detected", LabDetected: "detected", LabUnsuitable: "sample unsuitable"}

// ResultWords names a result.
func ResultWords(result string) domain.Words { return domain.Say(resultWords[result]) }

// NewSample is what is written on the sample's form.
type NewSample struct {
	Number     string
	Lab        string
	DrawnOn    time.Time
	ExpectedOn time.Time // zero: not told
	Elsewhere  bool      // drawn at a check station: it is already with the laboratory
}

// Result is a result as somebody of the shop read it.
type Result struct {
	Word   string // LabNotDetected, LabDetected or LabUnsuitable
	Day    time.Time
	Source hold.Source
	Note   string
}

// samplesOf reads samples, called p.
const samplesOf = `
	SELECT p.id, p.number, p.lab, p.drawn_on::timestamptz AS drawn_on, p.expected_on::timestamptz AS expected_on,
	       coalesce(p.result, '') AS result, p.result_on::timestamptz AS result_on, coalesce(p.source, '') AS source,
	       coalesce(s.initials, '') AS seen_by, p.seen_at
	FROM samples p LEFT JOIN staff s ON s.id = p.seen_by`

// Samples lists the samples of the animal, the newest first.
func (db *DB) Samples(ctx context.Context, number domain.ShopNumber) ([]Sample, error) {
	return all[Sample](ctx, db.pool, samplesOf+` WHERE p.animal_id = (SELECT id FROM animals WHERE number = $1) ORDER BY p.id DESC LIMIT 20`, number)
}

// DrawSample notes a sample that was drawn here, or elsewhere before the animal
// came. From this moment the animal is held until its result is seen: not cut,
// not pooled, not released.
func (db *DB) DrawSample(ctx context.Context, act Act, number domain.ShopNumber, n NewSample) error {
	return db.act(ctx, act, "draw sample", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := checkSample(n, act.At); err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Disease, err = drawn(to.Disease, n.Elsewhere); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		if _, err := tx.Exec(ctx, `
			INSERT INTO samples (id, animal_id, number, lab, drawn_on, expected_on) VALUES ($1, $2, $3, $4, $5, $6)`,
			uuid.Must(uuid.NewV7()), a.ID, strings.TrimSpace(n.Number), strings.TrimSpace(n.Lab), n.DrawnOn, dayOrNull(n.ExpectedOn)); err != nil {
			return line{}, err
		}
		return line{Animal: a.ID, What: "sample", Detail: map[string]any{"lab": n.Lab, "elsewhere": n.Elsewhere}}, waitForResult(ctx, tx, act, a, n)
	})
}

func checkSample(n NewSample, now time.Time) error {
	switch {
	case strings.TrimSpace(n.Number) == "":
		return domain.Wrong("sample", "Give the number on the sample: the agency's or the laboratory's.")
	case n.DrawnOn.IsZero():
		return domain.Wrong("drawn", "Give the day the sample was drawn.")
	case n.DrawnOn.After(now):
		return domain.Wrong("drawn", "The sample cannot have been drawn in the future. Check the day.")
	case !n.ExpectedOn.IsZero() && n.ExpectedOn.Before(n.DrawnOn):
		return domain.Wrong("expected", "The result cannot be due before the sample was drawn. Check the days.")
	}
	return nil
}

// drawn is the way of the disease track to a sample that exists.
func drawn(d animal.Disease, elsewhere bool) (animal.Disease, error) {
	var err error
	if d == animal.NotDetected || d == animal.NotNeeded && !elsewhere {
		if d, err = d.Do(animal.Want); err != nil {
			return d, err
		}
	}
	if elsewhere {
		return d.Do(animal.SampledElsewhere)
	}
	return d.Do(animal.Draw)
}

// waitForResult opens the hold of a sample unless an earlier one still stands.
func waitForResult(ctx context.Context, tx pgx.Tx, act Act, a Animal, n NewSample) error {
	standing, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	for _, h := range standing {
		if h.Kind == hold.TestPending {
			return nil
		}
	}
	review := n.ExpectedOn
	if !review.After(act.At) {
		review = time.Time{}
	}
	return openHold(ctx, tx, act, a, hold.TestPending, "sample "+strings.TrimSpace(n.Number), review)
}

// SendSample notes that the drawn sample is on its way to the laboratory.
func (db *DB) SendSample(ctx context.Context, act Act, number domain.ShopNumber, expectedOn time.Time) error {
	return db.act(ctx, act, "send sample", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Disease, err = to.Disease.Do(animal.Send); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		_, err = tx.Exec(ctx, `
			UPDATE samples SET expected_on = coalesce($2, expected_on) WHERE animal_id = $1 AND result IS NULL`, a.ID, dayOrNull(expectedOn))
		return line{Animal: a.ID, What: "send-sample"}, err
	})
}

// SeeResult enters what the laboratory wrote, by somebody who read it at its
// source. "Not detected" ends the hold; "detected" opens the hardest one and
// leaves the hunter's page with "please call"; "unsuitable" keeps the hold and
// asks for another sample.
func (db *DB) SeeResult(ctx context.Context, act Act, number domain.ShopNumber, r Result) error {
	return db.act(ctx, act, "see result", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		e, err := resultEvidence(ctx, tx, act, r)
		if err != nil {
			return line{}, err
		}
		to := a.Tracks()
		if to.Disease, err = to.Disease.Do(reports[r.Word]); err != nil {
			return line{}, err
		}
		if err := setTracks(ctx, tx, a, to); err != nil {
			return line{}, err
		}
		if err := writeResult(ctx, tx, act, a.ID, r); err != nil {
			return line{}, err
		}
		switch r.Word {
		case LabDetected:
			err = bringBadNews(ctx, tx, act, a, r)
			if err == nil {
				err = endTestHold(ctx, tx, act, a.ID, evidenceText(e))
			}
		case LabNotDetected:
			err = endTestHold(ctx, tx, act, a.ID, evidenceText(e))
		}
		if err == nil {
			err = db.tellResult(ctx, tx, act, a, r.Word)
		}
		return line{Animal: a.ID, What: "result", Detail: map[string]any{"result": r.Word, "read": string(r.Source), "dated": r.Day.Format(time.DateOnly)}}, err
	})
}

// reports is the step of the disease track for each word of the laboratory.
var reports = map[string]animal.Step{
	LabNotDetected: animal.ReportNotDetected, LabDetected: animal.ReportDetected, LabUnsuitable: animal.ReportUnsuitable,
}

// resultEvidence holds what was read against what ends a test's hold, so that
// hearsay and a date in the future are refused whatever the result says.
func resultEvidence(ctx context.Context, tx pgx.Tx, act Act, r Result) (hold.Evidence, error) {
	by, err := initialsOf(ctx, tx, act.Staff)
	if err != nil {
		return hold.Evidence{}, err
	}
	if _, known := reports[r.Word]; !known {
		return hold.Evidence{}, domain.Wrong("result", "Enter the result as the laboratory wrote it: not detected, detected or unsuitable.")
	}
	e := hold.Evidence{By: by, Note: r.Note, Result: hold.NotDetected, ResultDay: r.Day, Source: r.Source, SeenBy: by}
	if err := hold.CheckClose(hold.Hold{Kind: hold.TestPending}, e, act.At); err != nil {
		return e, err
	}
	if r.Word == LabDetected {
		e.Result = hold.Detected
	}
	return e, nil
}

// writeResult puts the result on the sample that waits for one. A result older than its
// sample is another one's, or a date typed wrong.
func writeResult(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID, r Result) error {
	var early bool
	err := tx.QueryRow(ctx, `
		UPDATE samples SET result = $2, result_on = $3, source = $4, seen_by = $5, seen_at = $6
		WHERE id = (SELECT id FROM samples WHERE animal_id = $1 AND result IS NULL ORDER BY id DESC LIMIT 1)
		RETURNING coalesce(result_on < drawn_on, false)`,
		id, r.Word, r.Day, strings.TrimSuffix(string(r.Source)+"; "+strings.TrimSpace(r.Note), "; "), act.Staff, act.At).Scan(&early)
	switch {
	case errors.Is(err, pgx.ErrNoRows):
		return nil
	case err == nil && early:
		return domain.Wrong("result_day", "The date on the result is before the day its sample was drawn. Is it this animal's result? Read both again.")
	}
	return err
}

// bringBadNews opens the hold of a positive before the softer one ends, so that
// at no moment nothing stops the animal.
func bringBadNews(ctx context.Context, tx pgx.Tx, act Act, a Animal, r Result) error {
	standing, err := openHolds(ctx, tx, a.ID)
	if err != nil {
		return err
	}
	for _, h := range standing {
		if h.Kind == hold.Positive {
			return callFirst(ctx, tx, a.ID, true)
		}
	}
	if err := openHold(ctx, tx, act, a, hold.Positive, "the laboratory wrote: detected", time.Time{}); err != nil {
		return err
	}
	if err := raisePositive(ctx, tx, act, a); err != nil {
		return err
	}
	return callFirst(ctx, tx, a.ID, true)
}

// endTestHold closes the hold that waited for a result, where one stands.
func endTestHold(ctx context.Context, tx pgx.Tx, act Act, id uuid.UUID, evidence string) error {
	_, err := tx.Exec(ctx, `
		UPDATE holds SET closed_at = $2, closed_by = $3, evidence = $4 WHERE animal_id = $1 AND kind = 'test-pending' AND closed_at IS NULL`,
		id, act.At, act.Staff, evidence)
	return err
}
