package db_test

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/batch"
	"coldrail/domain/billing"
	"coldrail/domain/hold"
	"coldrail/domain/message"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// causing is one thing done in the shop of which owners are told.
type causing struct {
	name   string
	about  message.Kind
	by     db.Staff
	at     time.Time
	before func(running int) domain.ShopNumber // what leads there; it has no owner yet
	do     func(db.Act, domain.ShopNumber) error
	refuse func(db.Act, domain.ShopNumber) error // the same verb, refused
}

// causes are all of them: ready, part-ready, date moved, test result and storage
// (when meat is ready, trade.md 8, 1), each by the verb a person taps.
func causes(t *testing.T, s *dbtest.Shop) []causing {
	ctx, noon, letterDay := t.Context(), dbtest.Noon, dbtest.Noon.AddDate(0, 0, 14)
	act := func() db.Act { return s.Act(s.Bob, noon) }
	type verb = func(db.Act, domain.ShopNumber) error
	box := func(all bool) verb {
		return func(a db.Act, n domain.ShopNumber) error { return s.BoxUp(ctx, a, n, oneBox(t, s, n, all)) }
	}
	bill := func(ticked ...billing.Done) verb {
		return func(a db.Act, n domain.ShopNumber) error { return s.BillPart(ctx, a, n, ticked...) }
	}
	split := func(cuts ...string) func(int) domain.ShopNumber {
		return func(running int) domain.ShopNumber {
			n := s.CutDeer(t, running, animal.InPieces)
			for _, cut := range cuts {
				s.Packed(t, n, cut, 8)
			}
			must(t, bill()(act(), n))
			return n
		}
	}
	give := func(place int) verb {
		return func(a db.Act, n domain.ShopNumber) error { return s.GiveShare(ctx, a, 1, n, place) }
	}
	promise := func(years, days int) verb {
		return func(a db.Act, n domain.ShopNumber) error { return s.Promise(ctx, a, n, noon.AddDate(years, 0, days)) }
	}
	result := func(word string) verb {
		return func(a db.Act, n domain.ShopNumber) error {
			return s.SeeResult(ctx, a, n, db.Result{Word: word, Day: seen, Source: hold.LabReport})
		}
	}
	sampled := func(running int) domain.ShopNumber {
		n := s.HangDeer(t, running, running)
		must(t, s.DrawSample(ctx, act(), n, db.NewSample{Number: "S-" + string(n), DrawnOn: seen, Elsewhere: true}))
		return n
	}
	free := func(note string) verb {
		return func(a db.Act, n domain.ShopNumber) error {
			holds, err := s.Holds(ctx, n)
			must(t, err)
			return s.CloseHold(ctx, a, holds[0].ID, hold.Evidence{Note: note})
		}
	}
	return []causing{
		{"box up", message.Ready, s.Bob, noon, split("Steaks", "Summer sausage"), box(true), box(false)},
		{"box up, sausage is to come", message.PartReady, s.Bob, noon, split("Steaks"), box(true), box(false)},
		{"the bill was missing", message.Ready, s.Bob, noon, func(running int) domain.ShopNumber { return inBoxes(t, s, running) },
			bill(), bill(billing.Done{Code: "no such price"})},
		{"a hold stood", message.Ready, s.Bob, noon, func(running int) domain.ShopNumber {
			n := inBoxes(t, s, running)
			must(t, s.OpenHold(ctx, act(), n, hold.Payment, "owes for last year", time.Time{}))
			must(t, bill()(act(), n))
			return n
		}, free("paid"), free(" ")},
		{"share given", message.Ready, s.Bob, later(13 * time.Hour), func(running int) domain.ShopNumber { return smokedShare(t, s, running) }, give(firstSpot(t, s)), give(0)},
		{"letter about storage", message.Storage, s.Ann, letterDay, func(running int) domain.ShopNumber {
			n := inBoxes(t, s, running)
			must(t, bill()(act(), n))
			must(t, s.SetFetching(ctx, s.Act(s.Ann, noon), db.Fetching{Ladder: animal.Ladder{On: true, SecondDays: 3, LetterDays: 14, DecideDays: 14, AfterLetterDays: 10}}))
			must(t, s.LogCall(ctx, act(), n, "call", "left word", ""))
			must(t, s.WriteLetter(ctx, s.Act(s.Bob, letterDay), n, []string{"Please come for it."}))
			return n
		}, func(a db.Act, n domain.ShopNumber) error { return s.ApproveLetter(ctx, a, n) },
			func(a db.Act, n domain.ShopNumber) error { a.Staff = s.Bob.ID; return s.ApproveLetter(ctx, a, n) }},
		{"storage approved", message.Storage, s.Ann, noon, func(running int) domain.ShopNumber {
			n := inBoxes(t, s, running)
			must(t, bill()(act(), n))
			rules, err := s.StorageRules(ctx)
			must(t, err)
			storageOn(t, s, noon, len(rules), false)
			must(t, s.LogCall(ctx, act(), n, "call", "left word", ""))
			return n
		}, func(a db.Act, n domain.ShopNumber) error { return s.ApproveStorage(ctx, a, n, "told by phone") },
			func(a db.Act, n domain.ShopNumber) error { return s.ApproveStorage(ctx, a, n, " ") }},
		{"date moved", message.Moved, s.Bob, noon, func(running int) domain.ShopNumber {
			n := s.HangDeer(t, running, running)
			must(t, promise(0, 3)(act(), n))
			return n
		}, promise(0, 9), promise(-1, 0)},
		{"result, not detected", message.Result, s.Bob, noon, sampled, result(db.LabNotDetected), result("clean")},
		{"result, detected", message.Result, s.Bob, noon, sampled, result(db.LabDetected), result("clean")},
	}
}

// oneBox puts all packs of an animal into one box, or all but the last.
func oneBox(t *testing.T, s *dbtest.Shop, n domain.ShopNumber, all bool) []db.NewBox {
	t.Helper()
	packs, err := s.Packs(t.Context(), n)
	must(t, err)
	if !all {
		packs = packs[1:]
	}
	b := db.NewBox{N: 1, Place: firstSpot(t, s)}
	for _, p := range packs {
		b.Packs = append(b.Packs, p.ID)
	}
	return []db.NewBox{b}
}

func firstSpot(t *testing.T, s *dbtest.Shop) int {
	t.Helper()
	spots, err := s.FreezerSpots(t.Context())
	must(t, err)
	return spots[0].ID
}

// inBoxes is a deer of which all that was ordered is in a box, not billed.
func inBoxes(t *testing.T, s *dbtest.Shop, running int) domain.ShopNumber {
	t.Helper()
	n := s.BoxDeer(t, running, 1)
	s.Packed(t, n, "Steaks", 8)
	s.Packed(t, n, "Summer sausage", 4)
	boxAll(t, s, n)
	return n
}

func boxAll(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) {
	t.Helper()
	_, err := s.Pool().Exec(t.Context(), `UPDATE packs k SET box_id = b.id FROM boxes b JOIN animals a ON a.id = b.animal_id WHERE a.number = $1 AND k.animal_id = a.id`, n)
	must(t, err)
}

// smokedShare is a deer in boxes and billed, its sausage finished in the shop's first
// batch and not given to it yet.
func smokedShare(t *testing.T, s *dbtest.Shop, running int) domain.ShopNumber {
	t.Helper()
	ctx, n := t.Context(), poolDeer(t, s, running)
	boxAll(t, s, n)
	number := begun(t, s, batch.Own, "no")
	must(t, s.AddToBatch(ctx, s.Act(s.Bob, dbtest.Noon), number, n, 20))
	must(t, s.Cure(ctx, s.Act(s.Bob, later(1)), number, cured(s, 20)))
	must(t, s.Mix(ctx, s.Act(s.Bob, later(2)), number))
	smoked(t, s, number, later(time.Hour))
	must(t, s.FinishBatch(ctx, s.Act(s.Bob, later(12*time.Hour)), number, db.Finished{Packs: 18, PackedKg: 18}))
	must(t, s.BillPart(ctx, s.Act(s.Bob, later(12*time.Hour)), n))
	return n
}

// owned gives the animal three owners: one who is texted, one who asked for no more
// texts, one who wants a call.
func owned(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) {
	t.Helper()
	running := string(n[3:7])
	s.OwnedBy(t, n, "Wade Tolliver", "555-1"+running, "text", "")
	rosa := s.OwnedBy(t, n, "Rosa Lunt", "555-2"+running, "text", "")
	must(t, s.SetReach(t.Context(), s.Act(s.Bob, dbtest.Noon), n, rosa, message.Reach{TellBy: "text", NoTexts: true}))
	s.OwnedBy(t, n, "Ike Orrin", "555-3"+running, "call", "")
}

// Each cause, by its own verb: a refused one and one whose transaction fails at its
// last step queue nothing; done, and sent twice, it queues one message for the owner
// who is texted, in the act's own transaction and with its job, and puts the two who
// are not on the call list.
func TestEachCauseTellsOnce(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.TellOwners(t, byBoth)
	for i, c := range causes(t, s) {
		n := c.before(i + 1)
		owned(t, s, n)
		before := queued(t, s)
		if e := domain.As(c.refuse(s.Act(c.by, c.at), n)); e == nil || e.Kind == domain.Internal {
			t.Errorf("%s: %v, want it refused", c.name, e)
		}
		lost := s.Act(c.by, c.at)
		lost.Device = uuid.Must(uuid.NewV7()) // no such device: its line on the time line, the last step, fails
		if e := domain.As(c.do(lost, n)); e == nil || e.Kind != domain.Internal {
			t.Errorf("%s: %v, want its transaction to fail", c.name, e)
		}
		wantTold(t, c.name+", nothing done", toldOf(t, s, n))
		if got := queued(t, s); got != before {
			t.Errorf("%s: %d jobs though nothing was done", c.name, got-before)
		}
		act := s.Act(c.by, c.at)
		for range 2 {
			must(t, c.do(act, n))
		}
		about := string(c.about)
		wantTold(t, c.name, toldOf(t, s, n), about+" call to-call", about+" call to-call", about+" text queued")
		if got := queued(t, s) - before; got != 1 {
			t.Errorf("%s: %d jobs, want one", c.name, got)
		}
		var together bool
		must(t, dbtest.Owner(t, s.DB).QueryRow(t.Context(), `
			SELECT bool_and(m.xmin = l.xmin AND (m.job IS NULL OR j.xmin = l.xmin AND j.args->>'id' = m.id::text))
			FROM messages m JOIN time_line l ON l.act = $2 LEFT JOIN river_job j ON j.id = m.job
			WHERE m.animal_id = (SELECT id FROM animals WHERE number = $1)`, n, act.ID).Scan(&together))
		if !together {
			t.Errorf("%s: message, job and line on the time line are not of one transaction", c.name)
		}
	}
}

// goesOut says what becomes of the text about an animal now: "call us" or "said".
func goesOut(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) string {
	t.Helper()
	for _, m := range aboutIt(t, s, n) {
		if m.State != db.MessageQueued {
			continue
		}
		e, wanted, err := s.MessageErrand(t.Context(), m.ID, dbtest.Noon)
		must(t, err)
		next := e.Next(dbtest.Noon)
		switch {
		case !wanted || next.Drop.Format != "" || next.Call.Format != "" || !next.Hold.IsZero():
			t.Fatalf("%s: %+v, want it to go out", n, next)
		case next.CallUs:
			return "call us"
		}
		return "said"
	}
	t.Fatalf("%s: nothing waits", n)
	return ""
}

func aboutIt(t *testing.T, s *dbtest.Shop, n domain.ShopNumber) []db.Message {
	t.Helper()
	list, err := s.MessagesAbout(t.Context(), n)
	must(t, err)
	return list
}

// Bad news goes by no message until the lead has spoken to the owner: whoever else
// calls leaves them on the list, and the text says only that they should call. A
// positive stays so until the owner has chosen and its hold is closed.
func TestBadNewsWaitsForTheLead(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.TellOwners(t, byBoth)
	positive, trimmed := s.HangDeer(t, 1, 1), inBoxes(t, s, 2)
	must(t, s.DrawSample(ctx, s.Act(s.Bob, dbtest.Noon), positive, db.NewSample{Number: "771", DrawnOn: seen, Elsewhere: true}))
	must(t, s.Decide(ctx, s.Act(s.Ann, dbtest.Noon), trimmed, round.CondemnPart, "one ham sour at the bone"))
	owned(t, s, positive)
	owned(t, s, trimmed)
	must(t, s.SeeResult(ctx, s.Act(s.Bob, dbtest.Noon), positive, db.Result{Word: db.LabDetected, Day: seen, Source: hold.AgencyLetter}))
	must(t, s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), trimmed))
	for _, n := range []domain.ShopNumber{positive, trimmed} {
		ike := aboutIt(t, s, n)[0]
		for _, by := range []struct {
			who     db.Staff
			outcome string
			goes    string // of the trimmed one
			state   string
		}{{s.Bob, "spoke", "call us", db.MessageToCall}, {s.Ann, "left word", "call us", db.MessageToCall}, {s.Ann, "spoke", "said", db.MessageCalled}} {
			must(t, s.CalledAbout(ctx, s.Act(by.who, dbtest.Noon), ike.ID, by.outcome, ""))
			if n == positive {
				by.goes = "call us"
			}
			if got, m := goesOut(t, s, n), aboutIt(t, s, n)[0]; got != by.goes || m.State != by.state || m.CallFirst != (by.state == db.MessageToCall) {
				t.Errorf("%s, %s %s: %s, %s, call first %v", n, by.who.Initials, by.outcome, got, m.State, m.CallFirst)
			}
		}
	}
	holds, err := s.Holds(ctx, positive)
	must(t, err)
	must(t, s.CloseHold(ctx, s.Act(s.Ann, dbtest.Noon), holds[0].ID, hold.Evidence{Result: hold.Detected, ResultDay: seen, Source: hold.AgencyLetter,
		SeenBy: "BT", Surrenders: true, Note: "agency told, landfill", Second: "Bob Tarrant"}))
	if got := goesOut(t, s, positive); got != "said" {
		t.Errorf("the owner has chosen: %s", got)
	}
}
