package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Paper is something with a name on it that belongs to no animal. The zero Paper is none.
type Paper struct {
	Kind string // refusal, find, booking, visit or given-up
	ID   uuid.UUID
}

var paperWords = map[string]string{"refusal": "Turned away at the door", "find": "Found in the bay", "booking": "Booking", "visit": "Visit", "given-up": "Given up on a tablet"}

// Words names what it is.
func (p Paper) Words() domain.Words { return domain.Say(paperWords[p.Kind]) }

// paperRow is what the rules count from.
type paperRow struct {
	Kind    string
	ID      uuid.UUID
	Species domain.Species // empty: nobody could tell
	At      time.Time
	Open    bool // of the bay: not settled
	Visits  int
}

// papersKept are those that belong to no animal and were not blanked.
const papersKept = `
	SELECT kind, id, species, at, open, (SELECT count(*) FROM visits WHERE ended_at IS NULL)::int AS visits FROM (
	  SELECT 'refusal' AS kind, id, species, at, false AS open FROM refusals
	  UNION ALL
	  SELECT 'find', f.id, f.species, f.found_at, f.settled_at IS NULL FROM night_finds f
	  WHERE f.animal_id IS NULL AND NOT EXISTS (SELECT FROM night_finds c WHERE c.card_id = f.id AND c.animal_id IS NOT NULL)
	  UNION ALL
	  SELECT 'booking', b.id, b.species, greatest(b.made_at, d.day::timestamptz), false FROM bookings b JOIN booking_days d ON d.id = b.day_id
	  WHERE NOT EXISTS (SELECT FROM animals a WHERE a.booking_id = b.id)
	  UNION ALL
	  SELECT 'visit', id, '', ended_at, false FROM visits WHERE ended_at IS NOT NULL
	  UNION ALL
	  SELECT 'given-up', act, '', at, false FROM discarded
	) p LEFT JOIN (SELECT kind AS gone_kind, paper_id FROM blanked_papers) g ON g.gone_kind = p.kind AND g.paper_id = p.id`

// begun are the starts that came about for a paper on its own day: nothing follows it.
var begun = []statute.Start{statute.FromReceipt, statute.FromRelease, statute.FromDisposal, statute.FromPreparation, statute.FromKill, statute.FromAcceptance}

// judge says until when the rules keep it. Where nobody could tell the kind of animal
// the rules of every kind count.
func (p paperRow) judge(rules []statute.Rule, loc *time.Location) (r KeptRecord, some bool) {
	at := map[statute.Start]time.Time{}
	for _, s := range begun {
		at[s] = p.At
	}
	these := slices.DeleteFunc(slices.Clone(rules), func(r statute.Rule) bool {
		return r.Topic != statute.Retention || p.Species != "" && !r.For(p.Species, "")
	})
	until, by, unending := statute.KeepUntil(these, at, loc)
	if by == nil {
		return r, false
	}
	open := statute.Open{Visits: p.Visits, Question: p.Open, Unending: unending}
	return KeptRecord{Paper: Paper{p.Kind, p.ID}, Since: p.At, Until: until, Rule: *by, Held: open.Keeps(), id: p.ID}, true
}

// blankPapers asks of each paper again whether it may be blanked, and blanks it.
func blankPapers(ctx context.Context, tx pgx.Tx, act Act, papers []Paper) error {
	if len(papers) == 0 {
		return nil
	}
	rules, err := rulesHere(ctx, tx)
	if err != nil {
		return err
	}
	loc, err := zoneOf(ctx, tx)
	if err != nil {
		return err
	}
	for _, p := range papers {
		row, found, err := one[paperRow](ctx, tx, papersKept+` WHERE p.kind = $1 AND p.id = $2 AND g.paper_id IS NULL`, p.Kind, p.ID)
		if err == nil && !found {
			err = domain.Taken("Something on the list was blanked by somebody else meanwhile. Open the list again.")
		}
		if err != nil {
			return err
		}
		k, some := row.judge(rules, loc)
		if !some || k.Held.Format != "" || !k.Until.Before(act.At) {
			return domain.Refuse("list", "Something on the list must be kept after all: open the list again and look.")
		}
		if _, err := tx.Exec(ctx, `INSERT INTO blanked_papers (kind, paper_id, blanking_id, kept_until, rule) VALUES ($1, $2, $3, $4, $5)`, p.Kind, p.ID, act.ID, k.Until, k.Rule.Key); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `SELECT blank_paper($1, $2)`, p.Kind, p.ID); err != nil {
			return err
		}
	}
	return nil
}
