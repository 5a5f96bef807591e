package db

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/rail"
	"coldrail/domain/register"
	"coldrail/domain/statute"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Drop is everything said, measured and decided when an animal comes in. What
// was not told stays empty and is owed.
type Drop struct {
	animal.Drop         // ReceivedAt zero: the time of the act
	Owner       Person  // whose meat it is, and who is called about it
	Taker       *Person // who killed it, if somebody else; not asked for livestock
	Deliverer   *Person // who brought it, if somebody else
	Tag         OfficialTag
	// TagDiffers says in a few words how tag and animal do not fit each other; the
	// animal then hangs, held until the question is settled.
	TagDiffers   string
	KillState    string
	County       string
	Unit         string
	Property     string
	EarTag       string // livestock: ear tag or brand
	Age          string // livestock: age and how it is known
	DoorNote     string
	Keeps        string     // head, cape, antlers, hide the owner wants kept
	Wish         string     // "", cut-when-cold or long-hang
	LeftCounty   *time.Time // when it left the county of kill; nil: not told
	RoadTold     string     // past its hours on the road: whom the counter told
	Shown        []statute.Evidence
	SampleWanted bool

	Weather       string    // since the kill, as it was told
	EarlierSample string    // number of a disease sample drawn before it came
	Payer         *Person   // who pays, if somebody else
	Collectors    []Person  // who may come for it beside the owner
	Found         uuid.UUID // the carcass of the bay this is; zero: it came by hand
	Booking       uuid.UUID // it was booked; zero: it was not
	Left          string    // coolers, tubs and bags left here, to be given back
	Photo         []byte    // tag and animal; nil: none taken
	DamagePhoto   []byte    // what the door check found; nil: none taken
	Place         int       // 0: the program chooses
	NotHung       bool      // it waits outside the cooler, until it is hung as it is or skinned and weighed
}

// Receive takes an animal in: its row, its people, its official tag, its line in
// the register and its place, all or nothing. The act's id becomes the animal's,
// so that a form sent twice makes one animal. Refused are a shop number or a
// hook that another animal has, a tag number read before, and whatever
// animal.Check finds; a door check that says "refuse" needs the lead.
func (db *DB) Receive(ctx context.Context, act Act, d Drop) error {
	fresh, sent := false, before{}
	receive := func(tx pgx.Tx) error {
		d, err := d.check(act)
		if err != nil {
			return err
		}
		k, err := db.ask(ctx, tx, act, d)
		if err != nil || k.before.Done {
			sent = k.before
			return err
		}
		if err := d.mayComeIn(act, k); err != nil {
			return err
		}
		fresh = true
		l, err := d.receive(ctx, tx, act, k)
		if err != nil {
			return err
		}
		return addLine(ctx, tx, act, l)
	}
	err := db.once(ctx, act, "receive", receive)
	for tries := 0; tries < 3 && d.Place == 0 && breaks(err, "one_hook_one_animal"); tries++ {
		err = db.once(ctx, act, "receive", receive) // somebody hung another there since it was proposed: the next hook
	}
	if e := domain.As(err); err != nil && act.Kept() && e.Kind == domain.Conflict && e.At == "number" {
		return cmp.Or(db.doubtNumber(ctx, act, d.Number), err)
	}
	if err != nil || fresh {
		return err
	}
	if err := db.sameAnimal(ctx, act, d.Number); err != nil {
		return err
	}
	_, err = sent.same(act)
	return err
}

// sameAnimal refuses a form that was sent before for another number, as happens
// when somebody goes back to the form and only changes the tag.
func (db *DB) sameAnimal(ctx context.Context, act Act, number domain.ShopNumber) error {
	var first domain.ShopNumber
	err := db.pool.QueryRow(ctx, `SELECT number FROM animals WHERE id = $1`, act.ID).Scan(&first)
	if err == nil && first != number {
		return domain.Taken("This form was already sent, for %s. Open a new one for the next animal.", string(first))
	}
	return translate(err)
}

// check tidies what was typed and lets the domain judge the rest.
func (d Drop) check(act Act) (Drop, error) {
	if d.ReceivedAt.IsZero() {
		d.ReceivedAt = act.At
	}
	if err := animal.Check(d.Drop, act.At); err != nil {
		return d, err
	}
	if d.LeftCounty != nil && (d.LeftCounty.Before(d.KilledAt) || d.LeftCounty.After(d.ReceivedAt)) {
		return d, domain.Wrong("killed", "It left the county after the kill and before it came here. Ask for both again.")
	}
	d.Drop = d.WithTemperatureGrade()
	if d.Class == "" {
		d.Class = d.Species.Classes()[0]
	}
	for _, text := range []*string{&d.TagDiffers, &d.KillState, &d.County, &d.Unit, &d.Property, &d.EarTag, &d.Age, &d.DoorNote, &d.Keeps, &d.Left, &d.RoadTold, &d.Weather, &d.EarlierSample} {
		*text = tidy(*text)
	}
	var err error
	if d.Owner, err = d.checkOwner(); err != nil {
		return d, err
	}
	if d.Collectors, err = checkAll(d.Collectors, "collectors"); err != nil {
		return d, err
	}
	for _, other := range []struct {
		who   **Person
		field string
	}{{&d.Taker, "taker"}, {&d.Deliverer, "deliverer"}, {&d.Payer, "payer"}} {
		if *other.who == nil {
			continue
		}
		p, err := (*other.who).check(other.field)
		if err != nil {
			return d, err
		}
		*other.who = &p
	}
	if !slices.Contains([]string{"", "cut-when-cold", "long-hang"}, d.Wish) {
		return d, domain.Wrong("wish", "Choose how long it should hang.")
	}
	for _, e := range d.Shown {
		if !e.Known() {
			return d, domain.Wrong("proof", "Tick what was shown from the list.")
		}
	}
	d.Tag, err = d.Tag.check()
	return d, err
}

// proof is what was shown of what the rules ask for; a tag that was read off the
// animal counts as seen where a rule accepts its kind.
func (d Drop) proof(rules []statute.Rule) string {
	asking := statute.AskProof(rules, d.Species, d.Form, d.KillState)
	shown, kind := d.Shown, statute.Evidence(d.Tag.Kind)
	if d.Tag.Number != "" && slices.Contains(statute.Accepted(asking), kind) {
		shown = append(slices.Clone(shown), kind)
	}
	return statute.WriteProof(shown)
}

// checkOwner asks for a name or a phone, but not of a carcass that was found in
// the bay: it hangs held until it is known whose it is.
func (d Drop) checkOwner() (Person, error) {
	if d.Found != uuid.Nil && d.Owner.Phone == "" && d.Owner.Name == "" {
		d.Owner.Name = NoName
		return d.Owner, nil
	}
	return d.Owner.check("phone")
}

func checkAll(people []Person, field string) ([]Person, error) {
	checked := make([]Person, len(people))
	for i, p := range people {
		var err error
		if checked[i], err = p.check(field); err != nil {
			return nil, err
		}
	}
	return checked, nil
}

// receive writes everything about the animal; its rows travel in one trip.
func (d Drop) receive(ctx context.Context, tx pgx.Tx, act Act, k atDoor) (line, error) {
	place, clash, err := d.findPlace(ctx, tx, act, k)
	if err != nil {
		return line{}, err
	}
	fields := d.registerFields(Shop{Zone: k.Zone}.Location())
	if proof := d.proof(rulesOf(k.statutes)); proof != "" {
		fields["proof"] = proof
	}
	owed := statute.Owed(rulesOf(k.statutes), d.Species, d.Form, fields)
	rows := &pgx.Batch{}
	d.queueAnimal(rows, act, k, len(owed))
	d.queuePeople(rows, act)
	if d.Tag.Number != "" {
		d.Tag.queue(rows, act, act.ID, k.earlier)
	}
	d.queueHolds(rows, act, k)
	d.queueFound(rows, act)
	d.queueBooked(rows, act)
	d.queueLeft(rows, act)
	d.queueTold(rows, act)
	d.queueWeighIns(rows, act)
	d.queueReports(rows, act, k)
	e := entry{Animal: act.ID, Number: d.Number, Kind: register.Receipt, Fields: fields}
	if _, err := e.queue(rows, act, k.last, k.Initials); err != nil {
		return line{}, err
	}
	if place.ID != 0 {
		queueOccupy(rows, act, place.ID, act.ID, uuid.Nil, "")
	}
	if clash {
		rows.Queue(markBoth, place.ID)
	}
	return line{Animal: act.ID, What: string(animal.Receive), Detail: d.detail(place, k, owed), Rows: rows}, nil
}

// findPlace finds where the animal hangs and keeps the place for it; the zero
// Place if it is not hung yet. It may clash with what hangs there: see takeKept.
func (d Drop) findPlace(ctx context.Context, tx pgx.Tx, act Act, k atDoor) (p Place, clash bool, err error) {
	if d.NotHung {
		return Place{}, false, nil
	}
	if d.Place == 0 { // free by what was read a moment ago; if it is not, the index says so and the next is tried
		p, _, err = k.hooks.propose(ctx, tx, rail.Hung{Number: d.Number, Species: d.Species, Form: d.Form, Held: d.held(k)})
		return p, false, err
	}
	return takeKept(ctx, tx, act, d.Place, "place")
}

// held reports whether the animal starts its life here under a hold.
func (d Drop) held(k atDoor) bool {
	return d.TagDiffers != "" || k.late != "" || d.Worst() == animal.RefuseGrade || d.nobodys(k)
}

// tracks is where the animal stands the moment it is in.
func (d Drop) tracks(k atDoor, owed int) animal.Tracks {
	t := animal.AtDoor()
	if !d.NotHung {
		t.Physical, _ = t.Physical.Do(firstHung(d.HangingWeight)) // both are allowed from the door, golden/animal_moves.txt
	}
	if d.SampleWanted {
		t.Disease, _ = t.Disease.Do(animal.Want)
	}
	if d.TagDiffers != "" || k.late != "" {
		t.Legal = animal.Query
	}
	t.Legal = legalAfter(t.Legal, d.Tag.Number != "" || !d.Species.Game(), owed)
	return t
}

// firstHung is the step of one that is hung as it came: what was weighed already hangs
// for good.
func firstHung(weight *domain.Kilogram) animal.Step {
	if weight != nil {
		return animal.Hang
	}
	return animal.Chill
}

func (d Drop) door() string {
	if d.Damaged() {
		return "damaged"
	}
	return "clean"
}

// detail is what the time line says of a drop-off: nothing about any person.
func (d Drop) detail(p Place, k atDoor, owed []register.Field) map[string]any {
	detail := map[string]any{"species": string(d.Species), "form": string(d.Form), "door": d.door(), "owed": len(owed)}
	if p.ID != 0 {
		detail["place"] = p.detail()
	}
	if said := d.roadDetail(k); said.Format != "" {
		detail["road"] = said.Kept()
	}
	for _, line := range slices.Sorted(maps.Keys(d.Door)) {
		detail["door-"+string(line)] = string(d.Door[line])
	}
	return detail
}

// NextTag is the number that should come off the roll next: the first after the
// highest taken in this season that is on no half found in the bay; "" where the roll
// is at its end.
func (db *DB) NextTag(ctx context.Context) (domain.ShopNumber, error) {
	var season, next int
	err := db.pool.QueryRow(ctx, `
		SELECT s.season, n
		FROM shop s,
		  LATERAL (SELECT coalesce((SELECT max(substr(a.number, 4, 4)) FROM animals a WHERE a.number LIKE to_char(s.season, 'FM00') || '-%')::int, 0) AS highest) l,
		  generate_series(l.highest + 1, l.highest + 1 + (SELECT count(*) FROM night_finds)) n
		WHERE NOT EXISTS (SELECT FROM night_finds f WHERE substr(f.number, 1, 7) = to_char(s.season, 'FM00') || '-' || to_char(n, 'FM0000'))
		ORDER BY n LIMIT 1`).Scan(&season, &next)
	return domain.NewShopNumber(season, next), translate(err)
}
