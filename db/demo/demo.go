// Package demo tells the database a believable season, wholly invented, that
// ends at the moment of loading. It does so through the same verbs as the shop:
// every animal in it was received, weighed, looked at, cut and handed over by
// somebody, and stands on the time line and in the register.
package demo

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"coldrail/db"
	"coldrail/domain"

	"github.com/google/uuid"
)

// Sign-ins of the demo's owner. Everybody's PIN is on the list that
// `coldrail demo` prints.
const (
	OwnerInitials = "JH"
	OwnerPassword = "first frost on the hill"
)

// Sign is how one person of the demo signs in.
type Sign struct{ Name, Initials, Roles, PIN string }

// season is the demo while it is being told.
type season struct {
	ctx    context.Context
	db     *db.DB
	now    time.Time
	zone   *time.Location
	random *rand.Rand // seeded: the same season every time
	crew   map[string]db.Staff
	device uuid.UUID
	people []db.Person
	events []event
	cast   []*actor
}

// event is one thing that happens at its time.
type event struct {
	at   time.Time
	what string
	do   func(at time.Time) error
}

// Load tells the season to an empty database. A database that holds any animal,
// person or room is refused and left as it is.
func Load(ctx context.Context, d *db.DB, now time.Time) error {
	return LoadAfter(ctx, d, now, Earlier{})
}

// Earlier is how many seasons of 1,500 animals came before, and how many readings
// each of them has.
type Earlier struct{ Seasons, Readings int }

// LoadAfter tells earlier seasons first (past.go).
func LoadAfter(ctx context.Context, d *db.DB, now time.Time, earlier Earlier) error {
	empty, err := d.Empty(ctx)
	if err != nil {
		return err
	}
	if !empty {
		return domain.Refuse("demo", "This database is not empty. The demo loads only into an empty one; give another COLDRAIL_DATA or DATABASE_URL.")
	}
	s := &season{ctx: ctx, db: d, now: now.Truncate(time.Second), random: rand.New(rand.NewPCG(26, 1107)), crew: map[string]db.Staff{}}
	for _, step := range []func() error{s.openShop, func() error { return s.tellPast(earlier, s.crew["LG"]) }, s.readPeople, s.measureRooms, s.castStories, s.castCrowd, s.planRounds, s.planTable, s.planPickups, s.planKitchen, s.planCounter, s.play, s.leaveToday} {
		if err := step(); err != nil {
			return fmt.Errorf("demo: %w", err)
		}
	}
	return nil
}

// on plans something to happen, unless it lies in the future.
func (s *season) on(at time.Time, what string, do func(at time.Time) error) {
	if at.Before(s.now) {
		s.events = append(s.events, event{at, what, do})
	}
}

// play lets everything that was planned happen, in order of time.
func (s *season) play() error {
	slices.SortStableFunc(s.events, func(a, b event) int { return a.at.Compare(b.at) })
	for _, e := range s.events {
		if err := e.do(e.at); err != nil {
			return fmt.Errorf("%s at %s: %w", e.what, e.at.In(s.zone).Format(time.DateTime), err)
		}
	}
	return nil
}

// act is a fresh act of somebody.
func (s *season) act(initials string, at time.Time) db.Act {
	return db.Act{ID: uuid.Must(uuid.NewV7()), At: at, Staff: s.crew[initials].ID, Device: s.device}
}

// days returns the moment so many days before now at the hour of the shop's day.
func (s *season) day(ago int, hour, minute int) time.Time {
	d := s.now.In(s.zone).AddDate(0, 0, -ago)
	return time.Date(d.Year(), d.Month(), d.Day(), hour, minute, 0, 0, s.zone)
}

// ago returns the moment so many days before now.
func (s *season) ago(days float64) time.Time {
	return s.now.Add(-time.Duration(days * 24 * float64(time.Hour)))
}

// between picks a number of a range.
func (s *season) between(low, high float64) float64 { return low + (high-low)*s.random.Float64() }

// pick takes one of a few.
func pick[T any](s *season, of ...T) T { return of[s.random.IntN(len(of))] }
