package db

import (
	"context"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/batch"
	"coldrail/domain/cutting"
	"coldrail/domain/round"
)

// Shown is what an owner may hear of their animal beside where it is: what was
// seen, what was tested, what belongs to it. It names nobody.
type Shown struct {
	Looks   int          // how often somebody stood before it
	Told    []round.Look // the last of them that the page may tell, the newest first
	Air     *AirBand     // nil: too little was measured
	Samples []Sample
	Pieces  []Piece
	Left    []Thing // coolers and bags, and when they went back
	Batches []Mixed
	Rush    *domain.Cents // what the price list in force at drop-off asks for it; nil: it has none
	Earlier bool          // the same owner had an order here before
}

// AirBand is between what nine in ten readings of the air lay where it hung.
type AirBand struct{ Low, High domain.Celsius }

// Mixed is one batch that meat of the animal went into.
type Mixed struct {
	Product batch.Product
	Kind    batch.Kind
	Kg      domain.Kilogram
	Away    bool // its packs are not back with the rest yet
	Several bool `db:"-"` // on the page of a share: of more owners of the animal than one
}

// leastAir is how many readings say something of a stay: a day of a sensor that
// measures every quarter of an hour, nearly.
const leastAir = 90

// mostTold is how many looks a page tells of.
const mostTold = 4

// show reads it.
func (o *Owned) show(ctx context.Context, q querier) (err error) {
	if err = o.showLooks(ctx, q); err != nil {
		return err
	}
	if o.Samples, err = all[Sample](ctx, q, samplesOf+` WHERE p.animal_id = $1 ORDER BY p.id DESC LIMIT 20`, o.ID); err != nil {
		return err
	}
	pieces, err := all[Piece](ctx, q, pieceColumns+` WHERE p.animal_id = $1 ORDER BY p.made_at, p.mark LIMIT 60`, o.ID)
	if err != nil {
		return err
	}
	o.Pieces = slices.DeleteFunc(pieces, func(p Piece) bool { return !p.Kind.GoesBack() })
	things, err := things(ctx, q, o.ID)
	if err != nil {
		return err
	}
	o.Left = slices.DeleteFunc(things, func(t Thing) bool { return t.Kind != "left" })
	o.Batches, err = all[Mixed](ctx, q, `
		SELECT b.product, b.kind, sum(i.kg) AS kg,
		       NOT EXISTS (SELECT FROM batch_shares h WHERE h.batch_id = b.id AND h.animal_id = $1 AND h.given_at IS NOT NULL) AS away
		FROM batch_inputs i JOIN batches b ON b.id = i.batch_id
		WHERE i.animal_id = $1 AND b.status <> 'destroyed' GROUP BY b.id, b.number, b.product, b.kind ORDER BY b.number LIMIT 20`, o.ID)
	if err != nil {
		return err
	}
	return o.showRest(ctx, q)
}

// showRest reads the air, the price of a rush, and whether there is an earlier order.
func (o *Owned) showRest(ctx context.Context, q querier) error {
	var low, high *domain.Celsius
	var readings int
	// No month of readings from before it came in is opened.
	err := q.QueryRow(ctx, `
		SELECT count(*)::int, percentile_cont(0.05) WITHIN GROUP (ORDER BY d.c), percentile_cont(0.95) WITHIN GROUP (ORDER BY d.c)
		FROM (SELECT DISTINCT r.cooler_id, o.since, coalesce(o.until, 'infinity') AS until
		      FROM occupancies o JOIN places p ON p.id = o.place_id JOIN rails r ON r.id = p.rail_id WHERE o.animal_id = $1) stay
		JOIN readings d ON d.cooler_id = stay.cooler_id AND d.at >= stay.since AND d.at < stay.until AND d.at > $2 AND d.flag = 'ok'
		JOIN sensors s ON s.id = d.sensor_id AND s.measures = 'air'`, o.ID, o.ReceivedAt.AddDate(0, 0, -1)).Scan(&readings, &low, &high)
	if err != nil {
		return err
	}
	if readings >= leastAir {
		o.Air = &AirBand{*low, *high}
	}
	return q.QueryRow(ctx, `
		SELECT (SELECT price_cents FROM price_items WHERE price_list_id = $2 AND code = 'rush' AND basis = 'animal'),
		       EXISTS (SELECT FROM animal_people mine JOIN animal_people before ON before.person_id = mine.person_id AND before.role = 'owner' AND before.animal_id <> $1
		               JOIN orders o ON o.animal_id = before.animal_id AND o.void_at IS NULL
		               WHERE mine.animal_id = $1 AND mine.role = 'owner')`, o.ID, o.PriceListID).Scan(&o.Rush, &o.Earlier)
}

// showLooks reads the looks that may be told: one whose finding stops a carcass only
// after the lead, or the owner of the shop, has spoken with the animal's owner.
func (o *Owned) showLooks(ctx context.Context, q querier) error {
	var spoke *time.Time
	err := q.QueryRow(ctx, `
		SELECT (SELECT count(*)::int FROM looks WHERE animal_id = $1),
		       (SELECT max(c.at) FROM contacts c JOIN staff s ON s.id = c.by_staff
		        WHERE c.animal_id = $1 AND c.outcome = 'spoke' AND s.roles && ARRAY['lead', 'owner'])`, o.ID).Scan(&o.Looks, &spoke)
	if err != nil {
		return err
	}
	type row struct {
		At      time.Time
		Smell   round.Smell
		Surface round.Surface
		Sites   []round.Site
		Lengths []float64
		Colours []round.Colour
	}
	rows, err := all[row](ctx, q, `
		SELECT l.at, l.smell, l.surface, array_remove(array_agg(m.site ORDER BY m.site, m.colour), NULL) AS sites,
		       array_remove(array_agg(m.length_mm ORDER BY m.site, m.colour), NULL) AS lengths, array_remove(array_agg(m.colour ORDER BY m.site, m.colour), NULL) AS colours
		FROM looks l LEFT JOIN look_moulds m ON m.look_id = l.id
		WHERE l.animal_id = $1 GROUP BY l.id ORDER BY l.at DESC, l.id DESC LIMIT 20`, o.ID)
	for _, r := range rows {
		l := round.Look{At: r.At, Smell: r.Smell, Surface: r.Surface}
		for i := range r.Sites {
			l.Mould = append(l.Mould, round.Mould{Site: r.Sites[i], Length: domain.Millimetre(r.Lengths[i]), Colour: r.Colours[i]})
		}
		if told := !l.TellByMouth() || spoke != nil && spoke.After(l.At); told && len(o.Told) < mostTold {
			o.Told = append(o.Told, l)
		}
	}
	return err
}

// WentBack reports a piece that its owner has.
func (p Piece) WentBack() bool { return p.GoneAt != nil && p.GoneTo == cutting.GoneOwner }
