package db

import (
	"context"
	"strings"
	"time"

	"coldrail/domain"
	"coldrail/domain/statute"

	"github.com/google/uuid"
)

// statutesAtDoor are the rules in force that reach the shop, and those about
// transport of the state $1, where the animal was killed.
const statutesAtDoor = `
	SELECT ` + statuteColumns + `, '' AS by FROM statutes r, shop
	WHERE r.until IS NULL AND (r.state IN ('*', 'US') OR r.state = upper(shop.home_state)
	   OR r.topic = 'transport' AND (r.state = upper($1) OR lower(r.state_name) = lower($1))) AND ` + statutesStamp + ` <> $2 ORDER BY r.key LIMIT 1000`

// TransportRules lists the rules about transport that reach a carcass killed in a
// state and brought here.
func (db *DB) TransportRules(ctx context.Context, state string) ([]statute.Rule, error) {
	list, err := all[Statute](ctx, db.pool, statutesAtDoor, strings.TrimSpace(state), "")
	var rules []statute.Rule
	for _, s := range list {
		if s.Topic == statute.Transport {
			rules = append(rules, s.Rule)
		}
	}
	return rules, err
}

// road is what was said of the animal's way here.
func (d Drop) road(home string) statute.Road {
	return statute.Road{Species: d.Species, Form: d.Form, Home: home, State: d.KillState, County: d.County, Unit: d.Unit,
		Killed: d.KilledAt, DayOnly: d.KilledDayOnly, Left: d.LeftCounty}
}

// clocks are the rules that count its time on the road, the first over first.
func (d Drop) clocks(k atDoor) []statute.Clock {
	clocks, _, _ := statute.OnTheRoad(rulesOf(k.statutes), d.road(k.Home), d.ReceivedAt, Shop{Zone: k.Zone}.Location())
	return clocks
}

// overdue is the rule by which the animal is past its hours on the road, nil where
// none says so for certain.
func (d Drop) overdue(k atDoor) *statute.Clock {
	for _, c := range d.clocks(k) {
		if c.At(d.ReceivedAt) == statute.Over {
			return &c
		}
	}
	return nil
}

// late asks whom the counter told of a carcass past its hours. What hangs already,
// off a tablet without a network or out of the bay, comes in held without it.
func (d Drop) late(act Act, k atDoor) error {
	c := d.overdue(k)
	if c == nil || d.RoadTold != "" || act.Kept() || d.Found != uuid.Nil {
		return nil
	}
	return domain.Wrong("road_told", "No: by the rule of %s its hours were over %s (%s). Do not take it in; report it. If the agency says you may, write down whom you told.",
		c.State, c.Until, c.Cites)
}

// lateWhy is the reason of the hold on a carcass past its hours; "" where it is not.
func (d Drop) lateWhy(k atDoor) string {
	c := d.overdue(k)
	switch {
	case c == nil:
		return ""
	case d.RoadTold == "":
		return "past its hours on the road by rule " + c.Key + "; nobody told yet"
	}
	return "past its hours on the road by rule " + c.Key + "; told: " + d.RoadTold
}

// roadDetail is what the time line says of the hours that were left; no words where
// no rule counts them.
func (d Drop) roadDetail(k atDoor) domain.Words {
	clocks := d.clocks(k)
	if len(clocks) == 0 {
		return domain.Words{}
	}
	c := clocks[0]
	switch c.At(d.ReceivedAt) {
	case statute.InTime:
		left := int(c.Until.Sub(d.ReceivedAt).Round(time.Minute).Minutes())
		return domain.Say("%d h %d min left by rule %s", left/60, left%60, c.Key)
	case statute.Over:
		return domain.Say("its hours are over by rule %s", c.Key)
	}
	return domain.Say("ask for the hour of the kill, by rule %s", c.Key)
}
