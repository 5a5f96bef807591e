// Package season shows the owner one season: in, out, hanging, pounds, money, what
// came into the packs and how long each stage took.
package season

import (
	"net/http"
	"slices"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/learn"
	"coldrail/web/ui"
)

// Pages serves the season's page.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// view is one season, and the one before it to compare.
type view struct {
	Years        []int
	This, Before figures
	Days         []learn.DayCount
	Until        time.Time // no day is drawn past it
	Stages       map[learn.Stage]learn.Own
	Kinds        map[string]learn.Own
	Cutters      map[string]learn.Own
	Paces        map[string]learn.Own
	Money        db.SeasonMoney
}

// figures are the numbers at the top.
type figures struct {
	Year            int
	Came, Home      int
	Gone, Refused   int
	Boxes           int
	Hanging, Packed domain.Kilogram
	Billed          domain.Cents
	Late            learn.Lateness
}

// Show serves GET /office/season: the newest season, or the one that ?year= opened in.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	years, err := p.DB.Seasons(r.Context())
	if err != nil {
		return err
	}
	if len(years) == 0 {
		return ui.Render(w, r, http.StatusOK, page(view{}))
	}
	year := years[0]
	if typed := r.FormValue("year"); typed != "" {
		if year, err = strconv.Atoi(typed); err != nil || !slices.Contains(years, year) {
			return domain.Missing("No animal came in that season.")
		}
	}
	this, err := p.DB.Season(r.Context(), year)
	if err != nil {
		return err
	}
	before, err := p.DB.Season(r.Context(), year-1)
	if err != nil {
		return err
	}
	now, zone := p.Now(), ui.ShopOf(r.Context()).Zone
	v := view{Years: years, This: count(this, now, zone), Before: count(before, now, zone), Money: this.Money,
		Until: until(this, now), Days: learn.DayCounts(this.Animals, until(this, now), zone), Stages: learn.StageDays(this.Animals), Paces: learn.Paces(this.Animals)}
	v.Kinds, v.Cutters = learn.Yields(this.Animals)
	return ui.Render(w, r, http.StatusOK, page(v))
}

// until is where the days end: now, or when the last animal of a past season left.
func until(s db.Season, now time.Time) time.Time {
	last := s.From
	for _, a := range s.Animals {
		for _, t := range []*time.Time{&a.Received, a.Tabled, a.Boxed, a.Home, a.Gone} {
			if t != nil && t.After(last) {
				last = *t
			}
		}
	}
	if now.Before(s.Until) {
		return now
	}
	return last
}

// count adds a season up.
func count(s db.Season, now time.Time, zone *time.Location) figures {
	f := figures{Year: s.Year, Came: len(s.Animals), Refused: s.Refused, Boxes: s.Boxes, Billed: s.Money.Billed, Late: learn.Late(s.Animals, now, zone)}
	for _, a := range s.Animals {
		switch {
		case a.Home != nil:
			f.Home++
		case a.Gone != nil:
			f.Gone++
		}
		if a.Hanging != nil {
			f.Hanging += *a.Hanging
		}
		f.Packed += a.Packed
	}
	return f
}
