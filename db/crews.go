package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/plan"

	"github.com/jackc/pgx/v5"
)

// CrewDay is one line of the crew's calendar: a weekday of the pattern, or a day
// that differs from it.
type CrewDay struct {
	Weekday    *int       // 0 is Sunday; nil: a day of its own
	Day        *time.Time // midnight UTC
	Cutters    int        // 0: closed
	Size       int        // minutes of each or of the line, or carcasses a day
	Takes      string     // both, game or livestock
	AsTheyCome bool       // that day nothing waits to be ready
	Version    int        // 0: not written down yet
}

// takes is the word of the calendar as the planner's run.
var takes = map[string]plan.Run{"both": plan.AnyRun, "game": plan.Game, "livestock": plan.Livestock}

func (d CrewDay) shift() plan.Shift {
	return plan.Shift{Cutters: d.Cutters, Size: d.Size, Takes: takes[d.Takes], AsTheyCome: d.AsTheyCome}
}

// CrewWorks is how the crew counts its day.
func (db *DB) CrewWorks(ctx context.Context) (works plan.Works, err error) {
	err = db.pool.QueryRow(ctx, `SELECT crew_works FROM shop`).Scan(&works)
	return works, translate(err)
}

// CrewDays lists the week from Sunday, then the days from a day on that differ.
func (db *DB) CrewDays(ctx context.Context, from time.Time) ([]CrewDay, error) {
	return all[CrewDay](ctx, db.pool, `
		SELECT weekday, day, cutters, size, takes, as_they_come, version
		FROM crew_days WHERE weekday IS NOT NULL OR day >= $1::date ORDER BY weekday NULLS LAST, day LIMIT 400`, from)
}

// crew reads the whole calendar for the planner.
func (db *DB) crew(ctx context.Context, from time.Time) (c plan.Crew, err error) {
	if c.Works, err = db.CrewWorks(ctx); err != nil {
		return c, err
	}
	days, err := db.CrewDays(ctx, from)
	c.Dates = map[time.Time]plan.Shift{}
	for _, d := range days {
		if d.Weekday != nil {
			c.Week[*d.Weekday] = d.shift()
		} else {
			c.Dates[d.Day.UTC()] = d.shift()
		}
	}
	return c, err
}

// SetCrewDay writes one line of the calendar. Of two people who change the same
// line at once the second is told.
func (db *DB) SetCrewDay(ctx context.Context, act Act, d CrewDay) error {
	if err := d.check(); err != nil {
		return err
	}
	return db.act(ctx, act, "crew", func(tx pgx.Tx) (line, error) {
		sql := `
			INSERT INTO crew_days (weekday, day, cutters, size, takes, as_they_come) SELECT $1, $2, $3, $4, $5, $6 WHERE $7 = 0
			ON CONFLICT DO NOTHING`
		if d.Version > 0 {
			sql = `
			UPDATE crew_days SET cutters = $3, size = $4, takes = $5, as_they_come = $6, version = version + 1
			WHERE (weekday = $1 OR day = $2) AND version = $7`
		}
		tag, err := tx.Exec(ctx, sql, d.Weekday, d.Day, d.Cutters, d.Size, d.Takes, d.AsTheyCome, d.Version)
		if err != nil {
			return line{}, err
		}
		if tag.RowsAffected() == 0 {
			return line{}, domain.Taken("Somebody else has just changed this day. Look at it again.")
		}
		return line{What: "crew", Detail: d.detail()}, nil
	})
}

func (d CrewDay) detail() map[string]any {
	detail := map[string]any{"cutters": d.Cutters, "size": d.Size, "takes": d.Takes, "as-they-come": d.AsTheyCome}
	if d.Weekday != nil {
		detail["weekday"] = time.Weekday(*d.Weekday).String()
	} else {
		detail["day"] = d.Day.Format(time.DateOnly)
	}
	return detail
}

// check refuses a line that no crew can work.
func (d CrewDay) check() error {
	_, known := takes[d.Takes]
	switch {
	case (d.Weekday == nil) == (d.Day == nil):
		return domain.Wrong("day", "Choose a weekday or a date.")
	case d.Cutters < 0 || d.Cutters > 20:
		return domain.Wrong("cutters", "From 0 to 20 cutters.")
	case d.Size < 0 || d.Size > plan.MostMinutes:
		return domain.Wrong("size", "A day has at most %d minutes.", plan.MostMinutes)
	case (d.Cutters == 0) != (d.Size == 0):
		return domain.Wrong("size", "Give both: how many cut, and how long. On a closed day both are 0.")
	case !known:
		return domain.Wrong("takes", "Choose what the day takes.")
	}
	return nil
}

// SetCrewWorks says how the crew counts its day.
func (db *DB) SetCrewWorks(ctx context.Context, act Act, works plan.Works) error {
	switch works {
	case plan.Each, plan.Line, plan.Carcasses:
	default:
		return domain.Wrong("works", "Choose how the crew counts its day.")
	}
	return db.act(ctx, act, "crew", func(tx pgx.Tx) (line, error) {
		_, err := tx.Exec(ctx, `UPDATE shop SET crew_works = $1`, works)
		return line{What: "crew", Detail: map[string]any{"works": string(works)}}, err
	})
}
