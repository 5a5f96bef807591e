package db

import (
	"context"
	"fmt"
	"sync"
	"time"

	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/exposure"

	"github.com/google/uuid"
)

// bench remembers the facts of the animals that were judged, each as of a
// revision, and the last verdict on each. Every act raises the revision, so a
// remembered fact never outlives a change, here or on another server.
type bench struct {
	mu    sync.Mutex
	facts map[uuid.UUID]*known
	house house // as last read
}

// known is one animal as remembered.
type known struct {
	revision int
	facts    ageing.Facts
	stays    []stay

	mu      sync.Mutex
	basis   basis // what the verdict below was found from
	verdict *ageing.Verdict
	why     domain.Words
}

// stay is where an animal hung from an instant on.
type stay struct {
	from   time.Time
	cooler int16
}

// basis is everything outside an animal's own facts that its verdict rests on.
// While it stays the same, so does the verdict.
type basis struct {
	minute     int64
	record     *exposure.History
	asTheyCome bool
	evening    time.Time
	mould      ageing.MouldPrior
}

// house is what counts for every animal alike.
type house struct {
	readAt     time.Time
	records    map[int16]*exposure.Room
	asTheyCome bool
	mould      ageing.MouldPrior   // the shop's own where it is in use
	evening    map[int16]time.Time // when the last evening round of each room began
}

// asked is an animal to be judged, and the revision its row has now.
type asked struct {
	id       uuid.UUID
	revision int
}

// judge fills in the verdicts of the rail.
func (db *DB) judge(ctx context.Context, hung []Hung, h house, now time.Time) error {
	which := make([]asked, len(hung))
	for i := range hung {
		which[i] = asked{hung[i].ID, hung[i].Revision}
	}
	facts, err := db.refresh(ctx, which)
	if err != nil {
		return err
	}
	db.bench.keepOnly(facts)
	for i := range hung {
		hung[i].Verdict, hung[i].Why = facts[hung[i].ID].judge(h, now)
	}
	return nil
}

// VerdictOf judges one animal whose row has this revision. The rooms' records
// may be up to a quarter of a minute old: for pages that are asked for often.
// Where nothing can be said, the verdict is nil and why tells the reason.
func (db *DB) VerdictOf(ctx context.Context, id uuid.UUID, revision int, now time.Time) (v *ageing.Verdict, why domain.Words, err error) {
	db.bench.mu.Lock()
	h := db.bench.house
	db.bench.mu.Unlock()
	if age := now.Sub(h.readAt); age < 0 || age > 15*time.Second {
		if h, err = db.readHouse(ctx, now); err != nil {
			return nil, why, err
		}
	}
	facts, err := db.refresh(ctx, []asked{{id, revision}})
	if err != nil {
		return nil, why, err
	}
	v, why = facts[id].judge(h, now)
	return v, why, nil
}

// readHouse reads the rooms' records and the rules of the house, and remembers
// them.
func (db *DB) readHouse(ctx context.Context, now time.Time) (h house, err error) {
	h.readAt = now
	numbers, err := db.Numbers(ctx)
	if err != nil {
		return h, err
	}
	h.mould = numbers.mould()
	if h.records, err = db.roomRecords(ctx, now); err != nil {
		return h, err
	}
	type row struct {
		CoolerID   int16
		AsTheyCome bool
		Began      *time.Time
	}
	rows, err := all[row](ctx, db.pool, `
		SELECT c.id AS cooler_id, s.cut_as_they_come AS as_they_come, r.walked_from AS began
		FROM coolers c CROSS JOIN shop s
		LEFT JOIN LATERAL (
		  SELECT r.walked_from FROM rounds r JOIN due_rounds d ON d.id = r.due_id
		  WHERE r.cooler_id = c.id AND d.kind = 'evening' ORDER BY r.walked_to DESC LIMIT 1
		) r ON true`)
	if err != nil {
		return h, fmt.Errorf("rules of the house: %w", err)
	}
	h.evening = make(map[int16]time.Time, len(rows))
	for _, r := range rows {
		h.asTheyCome = r.AsTheyCome
		if r.Began != nil {
			h.evening[r.CoolerID] = *r.Began
		}
	}
	db.bench.mu.Lock()
	db.bench.house = h
	db.bench.mu.Unlock()
	return h, nil
}

// refresh returns the facts of these animals, reading those that are new or have
// been touched since.
func (db *DB) refresh(ctx context.Context, which []asked) (map[uuid.UUID]*known, error) {
	here := make(map[uuid.UUID]*known, len(which))
	var stale []uuid.UUID
	db.bench.mu.Lock()
	for _, a := range which {
		if k := db.bench.facts[a.id]; k != nil && k.revision == a.revision {
			here[a.id] = k
		} else if _, twice := here[a.id]; !twice {
			here[a.id] = nil
			stale = append(stale, a.id)
		}
	}
	db.bench.mu.Unlock()
	fresh, err := db.readFacts(ctx, stale)
	if err != nil {
		return nil, fmt.Errorf("facts of the animals: %w", err)
	}
	db.bench.mu.Lock()
	defer db.bench.mu.Unlock()
	if db.bench.facts == nil {
		db.bench.facts = map[uuid.UUID]*known{}
	}
	for id, k := range fresh {
		here[id], db.bench.facts[id] = k, k
	}
	return here, nil
}

// keepOnly forgets the animals that hang no longer, once they outnumber the rest.
func (b *bench) keepOnly(here map[uuid.UUID]*known) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.facts) > 2*len(here)+500 {
		b.facts = here
	}
}

// judge returns the verdict on one animal: the last one where nothing it rests
// on has changed within the minute.
func (k *known) judge(h house, now time.Time) (*ageing.Verdict, domain.Words) {
	if k == nil || len(k.stays) == 0 {
		return nil, domain.Say("It has no place in a room, so nothing can be said of its temperature.")
	}
	cooler := k.stays[len(k.stays)-1].cooler
	room := h.records[cooler]
	if room == nil {
		return nil, domain.Say("There is no temperature reading of this room yet. Read the thermometer.")
	}
	on := basis{now.Unix() / 60, room.History(), h.asTheyCome, h.evening[cooler], h.mould}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.basis != on {
		k.verdict, k.why = k.ask(h, on, now)
		k.basis = on
	}
	return k.verdict, k.why
}

// ask asks the model.
func (k *known) ask(h house, on basis, now time.Time) (*ageing.Verdict, domain.Words) {
	facts, stays := k.put(h, on.asTheyCome, on.evening)
	v, err := ageing.Judge(facts, stays, now)
	if err != nil {
		return nil, domain.As(err).Msg
	}
	return &v, domain.Words{}
}

// put lays what is known of the animal before the model.
func (k *known) put(h house, asTheyCome bool, evening time.Time) (ageing.Facts, []exposure.Stay) {
	facts := k.facts
	facts.CutWhenCold = facts.CutWhenCold || asTheyCome
	facts.Mould = h.mould
	facts.EveningFrom = evening
	stays := make([]exposure.Stay, 0, len(k.stays))
	for _, s := range k.stays {
		if room := h.records[s.cooler]; room != nil {
			stays = append(stays, exposure.Stay{From: s.from, In: room})
		}
	}
	return facts, stays
}
