package db

import (
	"context"
	"crypto/rand"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"coldrail/domain"

	"github.com/jackc/pgx/v5"
)

// Shop is the shop itself and the settings every screen needs.
type Shop struct {
	Name          string
	Address       string
	Phone         string
	Zone          string // IANA name
	Units         string // us or metric
	Language      string
	HomeState     string
	Season        int
	MorningRound  time.Duration // after midnight
	EveningRound  time.Duration
	RoundSlack    time.Duration // either side of the due time
	CutAsTheyCome bool          // the shop does not age at all
	WardenPhone   string
}

// zones are those that were asked for: the library reads its file anew each time,
// and every page asks.
var zones sync.Map

// Location returns the shop's time zone.
func (s Shop) Location() *time.Location {
	if loc, ok := zones.Load(s.Zone); ok {
		return loc.(*time.Location)
	}
	loc, err := time.LoadLocation(s.Zone)
	if err != nil {
		return time.UTC // SaveShop refuses an unknown zone, so only a damaged row gets here
	}
	zones.Store(s.Zone, loc)
	return loc
}

// Shop reads the shop's one row.
func (db *DB) Shop(ctx context.Context) (s Shop, err error) {
	var morning, evening, slack int
	err = db.pool.QueryRow(ctx, `
		SELECT name, address, phone, zone, units, language, home_state, season, extract(epoch FROM morning_round)::int,
		       extract(epoch FROM evening_round)::int, round_slack_min, cut_as_they_come, warden_phone
		FROM shop`).Scan(&s.Name, &s.Address, &s.Phone, &s.Zone, &s.Units, &s.Language, &s.HomeState, &s.Season,
		&morning, &evening, &slack, &s.CutAsTheyCome, &s.WardenPhone)
	s.MorningRound, s.EveningRound = time.Duration(morning)*time.Second, time.Duration(evening)*time.Second
	s.RoundSlack = time.Duration(slack) * time.Minute
	if err != nil {
		return s, fmt.Errorf("shop: %w", translate(err))
	}
	return s, nil
}

// SaveShop writes the shop's row, as the shop is set up; ChangeShop is the same
// with a name under it.
func (db *DB) SaveShop(ctx context.Context, s Shop) error {
	if err := s.check(); err != nil {
		return err
	}
	return db.tx(ctx, "save shop", func(tx pgx.Tx) error { return s.save(ctx, tx) })
}

// ChangeShop changes what stands of the shop: all but the times of the rounds,
// which SetRoundHours changes.
func (db *DB) ChangeShop(ctx context.Context, act Act, s Shop) error {
	if err := s.check(); err != nil {
		return err
	}
	return db.act(ctx, act, "change shop", func(tx pgx.Tx) (line, error) {
		return line{What: "change-shop", Detail: map[string]any{"zone": s.Zone, "units": s.Units, "language": s.Language, "state": s.HomeState,
			"season": s.Season, "cut_as_they_come": s.CutAsTheyCome}}, s.save(ctx, tx)
	})
}

// languages are those the screens speak, as package ui has them.
var languages = []string{"en", "es-US"}

func (s Shop) check() error {
	if _, err := time.LoadLocation(s.Zone); err != nil || s.Zone == "" || s.Zone == "Local" {
		return domain.Wrong("zone", "%s is no time zone. Give one such as America/New_York.", s.Zone)
	}
	switch {
	case strings.TrimSpace(s.Name) == "":
		return domain.Wrong("name", "Give the shop's name.")
	case s.Units != "us" && s.Units != "metric":
		return domain.Wrong("units", "Say which units the shop works in.")
	case !slices.Contains(languages, s.Language):
		return domain.Wrong("language", "Choose one of the languages.")
	case s.Season < 0 || s.Season > 99:
		return domain.Wrong("season", "Give the season's two digits, such as 26.")
	}
	return nil
}

func (s Shop) save(ctx context.Context, tx pgx.Tx) error {
	_, err := tx.Exec(ctx, `
		UPDATE shop SET name = $1, address = $2, phone = $3, zone = $4, units = $5, language = $6, home_state = $7, season = $8,
		       cut_as_they_come = $9, warden_phone = $10`,
		s.Name, s.Address, s.Phone, s.Zone, s.Units, s.Language, s.HomeState, s.Season, s.CutAsTheyCome, s.WardenPhone)
	return err
}

// Secret returns the servers' shared key of that name, 32 bytes, making it the
// first time. Two servers that make it at once agree on one.
func (db *DB) Secret(ctx context.Context, name string) ([]byte, error) {
	fresh := make([]byte, 32)
	rand.Read(fresh) // never fails: see crypto/rand
	var value []byte
	err := db.tx(ctx, "secret "+name, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO secrets (name, value) VALUES ($1, $2) ON CONFLICT (name) DO NOTHING`, name, fresh); err != nil {
			return err
		}
		return tx.QueryRow(ctx, `SELECT value FROM secrets WHERE name = $1`, name).Scan(&value)
	})
	return value, err
}

// Empty reports whether nobody works here yet, no room was built and nothing
// was ever received: a database as the migrations leave it.
func (db *DB) Empty(ctx context.Context) (empty bool, err error) {
	err = db.pool.QueryRow(ctx, `
		SELECT NOT EXISTS (SELECT FROM staff) AND NOT EXISTS (SELECT FROM coolers) AND NOT EXISTS (SELECT FROM people)
		       AND NOT EXISTS (SELECT FROM animals) AND NOT EXISTS (SELECT FROM price_lists)`).Scan(&empty)
	return empty, translate(err)
}
