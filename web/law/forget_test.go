package law_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// trade.md 2.2: a record is kept as long as the longest rule asks (the shop's own
// five years), never goes while a hold or a visit is open, and then only from a list
// the owner approves. The chain is whole afterwards.
func TestKeptLongEnough(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob, n := s.As(t, s.Ann), s.As(t, s.Bob), string(dbtest.Tag(1))
	form := buck(1)
	form.Set("licence", "L-778812")
	bring(t, bob, form)
	bring(t, bob, buck(2)) // the same man's second deer is still here
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'released', money = 'settled' WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	approve := func() webtest.Answer { return ann.Post("/office/forget", url.Values{"animal": {n}, "pin": {"4711"}}) }
	fields := func() (kept, blanked int) {
		t.Helper()
		err := s.Pool().QueryRow(t.Context(), `SELECT count(*) FILTER (WHERE value IS NOT NULL), count(*) FILTER (WHERE value IS NULL AND salt IS NULL AND blanked_at IS NOT NULL)
			FROM register_personal p JOIN register r ON r.seq = p.seq JOIN animals a ON a.id = r.animal_id WHERE a.number = $1`, n).Scan(&kept, &blanked)
		if err != nil {
			t.Fatal(err)
		}
		return kept, blanked
	}
	if kept, blanked := fields(); kept == 0 || blanked != 0 {
		t.Fatalf("%d kept, %d blanked before", kept, blanked)
	}
	ann.Get("/office/forget").Wants(t, http.StatusOK, "Nothing has been kept long enough yet")
	approve().Wants(t, http.StatusUnprocessableEntity, "must be kept after all")

	pictured(t, s)
	s.SetNow(dbtest.Noon.AddDate(5, 0, 2))
	bob.Get("/office/forget").Wants(t, http.StatusForbidden, "not in Bob Tarrant&#39;s work")
	post(t, bob, "/visits", url.Values{"who": {"Officer Lane"}, "agency": {"DEC"}, "asked": {"every deer in the house"}})
	ann.Get("/office/forget").Wants(t, http.StatusOK, "0 may be blanked", "Kept: a visit has not ended", n)
	approve().Wants(t, http.StatusUnprocessableEntity, "must be kept after all")
	visits, err := s.Visits(t.Context())
	if err != nil || len(visits) != 1 {
		t.Fatalf("%d visits, %v", len(visits), err)
	}
	post(t, bob, "/visits/"+visits[0].ID.String()+"/end", url.Values{"findings": {"nothing"}})
	post(t, ann, "/animals/"+n+"/holds", url.Values{"kind": {"dispute"}, "why": {"two say it is theirs"}, "pin": {"4711"}})
	ann.Get("/office/forget").Wants(t, http.StatusOK, "Kept: a hold is open")
	approve().Wants(t, http.StatusUnprocessableEntity, "must be kept after all")
	if _, err := s.Pool().Exec(t.Context(), `UPDATE holds SET closed_at = $1, closed_by = opened_by, evidence = 'settled by both' WHERE closed_at IS NULL`, s.Now()); err != nil {
		t.Fatal(err)
	}
	// Without the owner's approval the database itself refuses.
	if _, err := s.Pool().Exec(t.Context(), `SELECT blank_animal(id) FROM animals WHERE number = $1`, n); err == nil || !strings.Contains(err.Error(), "not approved") {
		t.Errorf("blanked without approval: %v", err)
	}
	if _, err := s.Pool().Exec(t.Context(), `UPDATE register_personal SET value = NULL, salt = NULL, blanked_at = now()`); err == nil || !strings.Contains(err.Error(), "42501") {
		t.Errorf("the program may change the register: %v", err)
	}
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE register_personal SET value = 'somebody else'`); err == nil || !strings.Contains(err.Error(), "append-only") {
		t.Errorf("a value may be changed: %v", err)
	}
	ann.Get("/office/forget").Wants(t, http.StatusOK, "1 may be blanked", "five years", n)
	ann.Post("/office/forget", url.Values{"animal": {n}, "pin": {"1111"}}).Wants(t, http.StatusUnprocessableEntity, "PIN")
	if wins := atOnce(t, []*webtest.Browser{ann, s.As(t, s.Ann)}, "/office/forget", url.Values{"animal": {n}, "pin": {"4711"}}, "by somebody else meanwhile"); wins != 1 {
		t.Errorf("%d approved the one list", wins)
	}
	if kept, blanked := fields(); kept != 0 || blanked == 0 {
		t.Errorf("%d kept, %d blanked", kept, blanked)
	}
	if err := s.VerifyRegister(t.Context()); err != nil {
		t.Errorf("the chain is broken: %v", err)
	}
	ann.Get("/office/forget").Wants(t, http.StatusOK, "Approved before", "AK: 1 animal", "Nothing has been kept long enough yet")
	ann.Get("/dropoff/owed/"+n).Wants(t, http.StatusOK, "blanked", "T-"+n)
	ann.Get("/animals/"+string(dbtest.Tag(2))).Wants(t, http.StatusOK, "Dell Hargrove") // still his
	if n := countOf(t, s, `photos`) + countOf(t, s, `door_photos`); n != 0 {
		t.Errorf("%d pictures of it are left", n)
	}
}

// What was typed about a kill may hold a name and goes with the rest: the reason of a line
// that put it right, what its papers showed, how the sale is known; so do a mail address
// and what was sent to it. Age, owners' portions and days stay, and nobody can change a
// line otherwise.
func TestTypedWordsOfAKillGoToo(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := cow(t, s)
	bob, at := s.As(t, s.Bob), "/animals/"+string(n)
	entry := killed("yes", "teeth", [2]string{"", "Wade Tolliver"})
	entry.Set("age_note", "Wade Tolliver's vet looked")
	post(t, bob, at+"/kill", entry)
	right := killed("no", "papers", [2]string{"", "Wade Tolliver"})
	right.Set("age_note", "papers of Wade Tolliver")
	right.Set("evidence1", "bill signed by Wade Tolliver")
	right.Set("after", "0")
	right.Set("why", "Wade Tolliver brought the papers")
	post(t, bob, at+"/kill/correct", right)
	rows(t, s, `UPDATE people SET mail = 'wade@example.org' WHERE $1::timestamptz IS NOT NULL AND $2::uuid IS NOT NULL`,
		`INSERT INTO messages (id, animal_id, person_id, kind, way, state, queued_at, queued_by, due_at, words, address, ended_at)
		 SELECT a.id, a.id, p.id, 'ready', 'e-mail', 'sent', $1, $2, $1, 'Wade Tolliver, it is ready', 'wade@example.org', $1 FROM animals a, people p LIMIT 1`)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'released', money = 'settled'`); err != nil {
		t.Fatal(err)
	}
	typed := `(SELECT why || note AS w FROM kill_corrections UNION ALL SELECT note || said_by FROM kill_entries UNION ALL SELECT name || evidence FROM shares
		UNION ALL SELECT words || address FROM messages UNION ALL SELECT name || mail FROM people UNION ALL SELECT detail::text FROM time_line) x WHERE w ~* 'wade|rudd'`
	if countOf(t, s, typed) == 0 {
		t.Fatal("nothing was typed")
	}
	s.SetNow(dbtest.Noon.AddDate(6, 0, 2))
	post(t, s.As(t, s.Ann), "/office/forget", url.Values{"animal": {string(n)}, "pin": {"4711"}})
	if left := countOf(t, s, typed); left != 0 {
		t.Errorf("a name is left in %d rows", left)
	}
	if countOf(t, s, `kill_corrections WHERE thirty_months = 'no' AND known_by = 'papers' AND n = 1`) != 1 || countOf(t, s, `shares WHERE portion = '' AND sold_on = '2026-10-01'`) != 2 {
		t.Error("more than names went")
	}
	for _, sql := range []string{`UPDATE kill_corrections SET why = 'x'`, `UPDATE kill_corrections SET why = '(blanked)', thirty_months = 'yes'`} {
		if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), sql); err == nil || !strings.Contains(err.Error(), "append-only") {
			t.Errorf("%s: %v", sql, err)
		}
	}
}

// So do the reasons typed about a hold, a notice, storage and meat given away, what was
// said at the door, who signed for a lost tag, and the reasons that stand beside the time
// line: the line itself never held them, and its record shows them until then.
func TestTypedReasonsGoToo(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, bob := s.HangDeer(t, 1, 1), s.As(t, s.Bob)
	if err := s.Reweigh(t.Context(), s.Act(s.Bob, dbtest.Noon), n, db.Reweighed{Gross: 36, Tare: 2, Why: "Wade Tolliver read the scale"}); err != nil {
		t.Fatal(err)
	}
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Weight put right", "why: Wade Tolliver read the scale")
	rows(t, s, `INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by, closed_at, closed_by, evidence) SELECT id, id, 'dispute', 'Wade says it is his', $1, $2, $1, $2, 'Wade Tolliver came' FROM animals`,
		`INSERT INTO notices (id, animal_id, statute_id, raised_at, raised_by, due_at, sent_at, sent_by, how, wrong_at, wrong_by, wrong_why)
		 SELECT a.id, a.id, (SELECT id FROM statutes LIMIT 1), $1, $2, $1, $1, $2, 'Wade Tolliver, by phone', $1, $2, 'Wade was not in' FROM animals a`,
		`INSERT INTO storage_rules (id, running, after_days, day_cents, taxable, why, made_at, made_by) SELECT id, true, 7, 100, false, 'posted', $1, $2 FROM animals`,
		`INSERT INTO storage_approvals (id, animal_id, rule_id, why, approved_at, approved_by, ended_at, ended_by, ended_why) SELECT id, id, id, 'told Wade', $1, $2, $1, $2, 'Wade called' FROM animals`,
		`INSERT INTO donations (id, animal_id, recipient, kg, signer, why, at, by_staff) SELECT id, id, 'Mill Street Pantry', 3, 'Rosa Lunt', 'Wade Tolliver wrote back', $1, $2 FROM animals`,
		`INSERT INTO told_at_door (animal_id, weather, earlier_sample) SELECT id, 'warm, says Wade', 'of Wade''s buck' FROM animals WHERE $1::timestamptz IS NOT NULL AND $2::uuid IS NOT NULL`,
		`INSERT INTO official_tags (id, animal_id, kind, number, state, custody, read_at, read_by) SELECT id, id, 'carcass-tag', '7731', 'NY', 'lost', $1, $2 FROM animals`,
		`INSERT INTO tag_moves (id, tag_id, was, now, note, warden, at, by_staff, signer, strokes) SELECT id, id, 'on-carcass', 'lost', 'Wade lost it', 'called', $1, $2, 'Wade Tolliver', 'M1 1' FROM animals`)
	typedAtWork(t, s, n)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET physical = 'released', money = 'settled'`); err != nil {
		t.Fatal(err)
	}
	typed := `(SELECT 'time line' AS w, detail::text AS x FROM time_line UNION ALL SELECT 'reasons', why FROM typed_reasons UNION ALL SELECT 'holds', reason FROM holds
		UNION ALL SELECT 'evidence', evidence FROM holds UNION ALL SELECT 'notices', wrong_why FROM notices UNION ALL SELECT 'how told', how FROM notices
		UNION ALL SELECT 'storage', why FROM storage_approvals UNION ALL SELECT 'storage ended', ended_why FROM storage_approvals UNION ALL SELECT 'donations', why FROM donations
		UNION ALL SELECT 'charges', why FROM charges UNION ALL SELECT 'payments', why || payer FROM payments UNION ALL SELECT 'owed', balance_why FROM handovers
		UNION ALL SELECT 'hand-overs put right', collector || why FROM handover_corrections UNION ALL SELECT 'batches', accepted_why || ended_why FROM batches
		UNION ALL SELECT 'labels', why FROM prints UNION ALL SELECT 'hooks', reason FROM occupancies UNION ALL SELECT 'weather', weather FROM told_at_door UNION ALL SELECT 'sample', earlier_sample FROM told_at_door
		UNION ALL SELECT 'register', why FROM register UNION ALL SELECT 'beside the register', value FROM register_personal
		UNION ALL SELECT 'tags', note || signer || CASE strokes WHEN '' THEN '' ELSE ' wade' END FROM tag_moves) x WHERE x ~* 'wade'`
	if n := countOf(t, s, typed+` AND w <> 'time line'`); n != 24 || countOf(t, s, typed) != 24 {
		t.Fatalf("%d typed, want 24 and none of them on the time line", n)
	}
	s.SetNow(dbtest.Noon.AddDate(6, 0, 2))
	post(t, s.As(t, s.Ann), "/office/forget", url.Values{"animal": {string(n)}, "pin": {"4711"}})
	var left string
	if err := s.Pool().QueryRow(t.Context(), `SELECT coalesce(string_agg(w, ', '), '') FROM `+typed).Scan(&left); err != nil || left != "" {
		t.Errorf("a name is left in: %s, %v", left, err)
	}
}

// typedAtWork is what people type at their work beside the law's papers: why the register
// was put right, a line added to a bill, money given back, meat left unpaid, an entry taken
// back, a batch let pass, a label printed again, another hook.
func typedAtWork(t *testing.T, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	ctx, at := t.Context(), dbtest.Noon
	rows(t, s, `INSERT INTO register (seq, animal_id, kind, at, by_staff, initials, facts, digests, previous, hash)
		SELECT 1, id, 'receipt', $1, $2, 'BT', '{}', '{}', decode(repeat('00', 32), 'hex'), decode(repeat('00', 32), 'hex') FROM animals`)
	for _, err := range []error{
		s.Tell(ctx, s.Act(s.Bob, at), n, db.Told{Fields: map[string]string{"county": "Delaware"}, Why: "Wade told by phone"}),
		s.AddCharge(ctx, s.Act(s.Bob, at), n, "Rush", 500, "Wade Tolliver asked"),
		s.Move(ctx, s.Act(s.Bob, at), n, "", 3, "Wade wants it by the door"),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.TakeDeposit(ctx, s.Act(s.Bob, at), n, 5000, "cash"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Refund(ctx, s.Act(s.Ann, at), n, 1000, "cash", "Wade took it back"); err != nil {
		t.Fatal(err)
	}
	rows(t, s, `INSERT INTO handovers (id, animal_id, collector, authority, tag_returned, balance_cents, balance_why, at, by_staff) SELECT id, id, 'Dale Orrin', 'owner', false, 100, 'Wade pays Friday', $1, $2 FROM animals`,
		`INSERT INTO handover_corrections (id, handover_id, n, collector, authority, undone, was_gone, why, at, by_staff) SELECT id, id, 1, 'Wade Tolliver', 'owner', false, false, 'he came', $1, $2 FROM animals`,
		`INSERT INTO batches (id, number, product, kind, pork, beef, status, started_at, started_by, accepted_by, accepted_why) SELECT id, 1, 'jerky-ground', 'own', false, false, 'open', $1, $2, $2, 'Wade knows' FROM animals`,
		`INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT id, id, id, 3, $1, $2 FROM animals`,
		`INSERT INTO prints (id, animal_id, what, which, labels, why, at, by_staff) SELECT id, id, 'tag', 'x', 1, 'Wade lost it', $1, $2 FROM animals`)
	var input uuid.UUID
	if err := s.Pool().QueryRow(ctx, `SELECT id FROM batch_inputs`).Scan(&input); err != nil {
		t.Fatal(err)
	}
	if err := s.TakeOut(ctx, s.Act(s.Bob, at), 1, input, "Wade changed his mind"); err != nil {
		t.Fatal(err)
	}
	rows(t, s, `INSERT INTO batch_inputs (id, batch_id, animal_id, kg, at, by_staff) SELECT id, id, id, 3, $1, $2 FROM animals`)
}

// pictured gives every animal a look with a picture, and the first one a bay it was
// found in with another.
func pictured(t *testing.T, s *webtest.Site) {
	t.Helper()
	rows(t, s, `INSERT INTO looks (id, animal_id, at, arrived_at, by_staff, smell, surface) SELECT id, id, $1, $1, $2, 'clean', 'dry' FROM animals WHERE number = $3`,
		`INSERT INTO photos (id, look_id, at, by_staff, jpeg) SELECT id, id, $1, $2, decode(repeat('ff', 100), 'hex') FROM animals WHERE number = $3`,
		`INSERT INTO night_finds (id, kind, reads, animal_id, found_at, found_by) SELECT id, 'carcass', 'Dell H.', id, $1, $2 FROM animals WHERE number = $3`,
		`INSERT INTO door_photos (id, find_id, at, by_staff, jpeg) SELECT id, id, $1, $2, decode(repeat('ff', 100), 'hex') FROM animals WHERE number = $3`)
}

// rows writes rows of the first animal's day: $1 the moment, $2 who, $3 its number.
func rows(t *testing.T, s *webtest.Site, sql ...string) {
	t.Helper()
	for _, q := range sql {
		args := []any{dbtest.Noon, s.Bob.ID, string(dbtest.Tag(1))}
		if _, err := s.Pool().Exec(t.Context(), q, args[:2+strings.Count(q, "$3")]...); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
}

func countOf(t *testing.T, s *webtest.Site, what string) (n int) {
	t.Helper()
	if err := s.Pool().QueryRow(t.Context(), `SELECT count(*) FROM `+what).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

// Names beside no animal go by the same rules and the same list: who was turned away,
// a card of the bay that came to nothing, a booking nobody came for. What is not
// settled, and everything while a visit is open, stays.
func TestPapersKeptLongEnough(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	rows(t, s, `INSERT INTO refusals (id, finding, reason, name, phone, at, by_staff) VALUES (gen_random_uuid(), 'spoiled', 'green at the hip', 'Marla Finch', '555-0101', $1, $2)`,
		`INSERT INTO door_photos (id, refusal_id, at, by_staff, jpeg) SELECT id, id, $1, $2, decode(repeat('ff', 100), 'hex') FROM refusals`,
		`INSERT INTO night_finds (id, kind, reads, phone, found_at, found_by, settled, settled_at, settled_by) VALUES (gen_random_uuid(), 'card', 'Orrin Beck', '555-0102', $1, $2, 'took it home again', $1, $2)`,
		`INSERT INTO night_finds (id, kind, reads, found_at, found_by) VALUES (gen_random_uuid(), 'card', 'Lena Prather', $1, $2)`,
		`INSERT INTO booking_days (id, day, kind, heads, made_at, made_by) VALUES (gen_random_uuid(), $1::date, 'kill', 2, $1, $2)`,
		`INSERT INTO bookings (id, day_id, species, heads, name, phone, state, why, made_at, made_by) SELECT gen_random_uuid(), id, 'beef', 1, 'Wade Tolliver', '555-0103', 'no-show', 'Wade never came', $1, $2 FROM booking_days`)
	ann.Get("/office/forget").Wants(t, http.StatusOK, "Nothing has been kept long enough yet")
	s.SetNow(dbtest.Noon.AddDate(5, 0, 2))
	post(t, bob, "/visits", url.Values{"who": {"Officer Lane"}, "agency": {"DEC"}, "asked": {"the refusals"}})
	ann.Get("/office/forget").Wants(t, http.StatusOK, "0 may be blanked, 4 are kept", "Kept: a visit has not ended")
	visits, err := s.Visits(t.Context())
	if err != nil || len(visits) != 1 {
		t.Fatalf("%d visits, %v", len(visits), err)
	}
	post(t, bob, "/visits/"+visits[0].ID.String()+"/end", url.Values{"findings": {"nothing"}})
	page := ann.Get("/office/forget")
	page.Wants(t, http.StatusOK, "3 may be blanked, 1 are kept", "Turned away at the door", "Found in the bay", "Booking", "five years", "Kept: whose it is was not settled")
	list := url.Values{"pin": {"4711"}}
	for _, part := range strings.Split(page.Body, `name="paper" value="`)[1:] {
		value, _, _ := strings.Cut(part, `"`)
		list.Add("paper", value)
	}
	var open string
	if err := s.Pool().QueryRow(t.Context(), `SELECT 'find ' || id FROM night_finds WHERE settled_at IS NULL`).Scan(&open); err != nil {
		t.Fatal(err)
	}
	ann.Post("/office/forget", url.Values{"paper": {open}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "must be kept after all")
	if _, err := s.Pool().Exec(t.Context(), `SELECT blank_paper('refusal', id) FROM refusals`); err == nil || !strings.Contains(err.Error(), "not approved") {
		t.Errorf("blanked without approval: %v", err)
	}
	if wins := atOnce(t, []*webtest.Browser{ann, s.As(t, s.Ann)}, "/office/forget", list, "by somebody else meanwhile"); wins != 1 {
		t.Errorf("%d approved the one list", wins)
	}
	if n := countOf(t, s, `refusals WHERE name <> '(blanked)' OR phone <> ''`) + countOf(t, s, `bookings WHERE name <> '(blanked)' OR phone <> '' OR why <> '(blanked)'`) + countOf(t, s, `door_photos`); n != 0 {
		t.Errorf("%d names or pictures are left", n)
	}
	if n := countOf(t, s, `night_finds WHERE reads = 'Lena Prather'`); n != 1 {
		t.Error("the open question of the bay was blanked")
	}
	ann.Get("/office/forget").Wants(t, http.StatusOK, "papers that belong to no animal: 3", "Nothing has been kept long enough yet")
	if n := countOf(t, s, `refusals WHERE finding = 'spoiled' AND reason <> ''`); n != 1 {
		t.Error("what was turned away and why is gone")
	}
}

// A visit is written down as it happens: who, what was asked, what was shown, what
// was found; ended once. Annex E 29 asks that the warden's be logged.
func TestVisitIsWrittenDown(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	bob.Post("/visits", url.Values{"who": {"Officer Lane"}, "agency": {""}, "asked": {"the deer"}}).Wants(t, http.StatusUnprocessableEntity, "which agency", "Officer Lane")
	begin := url.Values{"who": {"Officer Lane"}, "agency": {"DEC"}, "asked": {"every deer in, and who brought 7731"}}
	post(t, bob, "/visits", begin)
	post(t, bob, "/visits", begin) // sent twice
	visits, err := s.Visits(t.Context())
	if err != nil || len(visits) != 1 {
		t.Fatalf("%d visits, %v", len(visits), err)
	}
	at := "/visits/" + visits[0].ID.String()
	bob.Post(at+"/shown", url.Values{"shown": {""}}).Wants(t, http.StatusUnprocessableEntity, "what they were shown")
	post(t, bob, at+"/shown", url.Values{"shown": {"the sheet of the house, printed"}})
	bob.Post(at+"/end", url.Values{"findings": {""}}).Wants(t, http.StatusUnprocessableEntity, "nothing is an answer too")
	if wins := atOnce(t, []*webtest.Browser{bob, ann}, at+"/end", url.Values{"findings": {"one deer without its tag"}, "due": {"2026-12-01"}}, "was ended by"); wins != 1 {
		t.Errorf("%d ended the one visit", wins)
	}
	ann.Get("/visits").Wants(t, http.StatusOK, "Visits before", "Officer Lane, DEC", "who brought 7731", "the sheet of the house, printed", "one deer without its tag", "Dec 1, 2026")
}

// trade.md 1.11: a deer signed over is the programme's, its packs carry the
// programme's words beside NOT FOR SALE, and no more is delivered than was packed.
func TestProgrammeLedger(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, ann, n := s.As(t, s.Bob), s.As(t, s.Ann), s.HangDeer(t, 1, 1)
	bob.Post("/programmes/add", url.Values{"programme_name": {"Full Plate"}, "words": {"Donated game meat"}}).Wants(t, http.StatusForbidden, "not in Bob")
	ann.Post("/programmes/add", url.Values{"programme_name": {"Full Plate"}, "words": {""}}).Wants(t, http.StatusUnprocessableEntity, "words the food program wants", "Full Plate")
	ann.Post("/programmes/add", url.Values{"programme_name": {"Full Plate"}, "words": {"Donated game meat"}, "takes": {"none"}}).Wants(t, http.StatusUnprocessableEntity, "Choose what it takes.")
	post(t, ann, "/programmes/add", url.Values{"programme_name": {"Full Plate"}, "registration": {"FP-12"}, "words": {"Donated game meat"}, "takes": {"whole"}})
	list, err := s.Programmes(t.Context())
	if err != nil || len(list) != 1 {
		t.Fatalf("%+v, %v", list, err)
	}
	over := url.Values{"deer": {string(n)}, "programme": {list[0].ID.String()}, "signer": {""}, "pin": {"2222"}}
	bob.Post("/programmes/over", over).Wants(t, http.StatusUnprocessableEntity, "name of whoever signs")
	over.Set("signer", "Dell Hargrove")
	over.Del("act")
	post(t, bob, "/programmes/over", over)
	post(t, bob, "/programmes/over", over)
	over.Del("act")
	bob.Post("/programmes/over", over).Wants(t, http.StatusUnprocessableEntity, "signed over already")
	deliver := url.Values{"programme": {list[0].ID.String()}, "load_weight": {"40"}, "charity": {"St. Ann's Pantry"}, "receipt": {"881"}, "taken_by": {"R. Cole"}}
	bob.Post("/programmes/deliver", deliver).Wants(t, http.StatusUnprocessableEntity, "is packed and here")
	cut := s.CutDeer(t, 2, animal.Stored) // signed over before it was cut
	s.Packed(t, cut, "stew", 20)
	s.Packed(t, cut, "burger", 20) // the programme takes whole cuts only
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO programme_deer (animal_id, programme_id, signer, at, by_staff) SELECT id, $2, 'Dell Hargrove', $3, $4 FROM animals WHERE number = $1`,
		cut, list[0].ID, dbtest.Noon, s.Bob.ID); err != nil {
		t.Fatal(err)
	}
	post(t, ann, "/programmes/add", url.Values{"programme_name": {"Soup Line"}, "words": {"Donated venison"}, "takes": {"ground"}})
	takes := func(running int, cut, name, says string) {
		t.Helper()
		if _, err := s.Pool().Exec(t.Context(), `INSERT INTO programme_deer (animal_id, programme_id, signer, at, by_staff) SELECT a.id, p.id, 'Dell Hargrove', $3, $4 FROM animals a, programmes p
			WHERE a.number = $1 AND p.name = $2`, s.CutDeer(t, running, animal.InPieces), name, dbtest.Noon, s.Bob.ID); err != nil {
			t.Fatal(err)
		}
		s.Packed(t, dbtest.Tag(running), "bone", 1) // a session at the table
		bob.Post("/cutting/"+string(dbtest.Tag(running))+"/pack", url.Values{"cut": {cut}, "count": {"5"}, "weight": {"5"}}).Wants(t, http.StatusUnprocessableEntity, says)
	}
	takes(3, "burger", "Full Plate", "Full Plate takes whole cuts only")
	takes(4, "hind steaks", "Soup Line", "Soup Line takes ground meat only")
	// 40 lb are 18.1 kg of the 20 kg packed: there is not enough for two such loads.
	if wins := atOnce(t, []*webtest.Browser{bob, ann}, "/programmes/deliver", deliver, "is packed and here"); wins != 1 {
		t.Errorf("%d loads of 40 lb out of 20 kg", wins)
	}
	bob.Get("/programmes").Wants(t, http.StatusOK, "St. Ann&#39;s Pantry", "Receipt 881, taken by R. Cole", "lb to St. Ann&#39;s Pantry")
	bob.Get("/programmes").Wants(t, http.StatusOK, "Full Plate", "FP-12", "Donated game meat", string(n), "Whole cuts, no ground meat")
	if err := s.OpenHold(t.Context(), s.Act(s.Bob, dbtest.Noon), cut, hold.Quality, "odd smell at the hip", time.Time{}); err != nil {
		t.Fatal(err)
	}
	deliver.Set("load_weight", "2") // it would be there
	deliver.Del("act")
	bob.Post("/programmes/deliver", deliver).Wants(t, http.StatusUnprocessableEntity, "the meat of "+string(cut)+" is held")
	bob.Get("/programmes").Wants(t, http.StatusOK, "Held, and not to leave: "+string(cut))
}
