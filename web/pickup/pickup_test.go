package pickup_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

func form(more url.Values, boxes ...string) url.Values {
	v := url.Values{"boxes": boxes, "collector": {"Dale Orrin"}, "authority": {"owner"}, "seen": {"driver's license"}, "tag": {"yes"}, "pin": {"2222"}}
	for name, value := range more {
		v[name] = value
	}
	return v
}

// Somebody comes: found, boxes scanned, paid, handed over; then it is gone.
func TestPickUp(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, other := s.BoxDeer(t, 1, 2), s.BoxDeer(t, 2, 1)
	dale := s.Own(t, n, "Dale Orrin", "607-555-0142")
	if _, err := s.Pool().Exec(t.Context(), `
		INSERT INTO animal_people (animal_id, person_id, role, since) SELECT a.id, $2, role, $3 FROM animals a, unnest(ARRAY['taker', 'deliverer']) AS role
		WHERE a.number = $1`, n, dale, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	s.Own(t, other, "Vera Quill", "607-555-0177")
	bob, at := s.As(t, s.Bob), "/pickup/"+string(n)
	bob.Get("/pickup").Wants(t, http.StatusOK, "Packed, the longest waiting first", "Dale Orrin, whitetail", "Waits 2 days", "Freezer F1-1", "not billed yet")
	bob.Get("/pickup?q=x").Wants(t, http.StatusUnprocessableEntity, "at least two letters")
	bob.Get("/pickup?q=nobody").Wants(t, http.StatusOK, "Nothing found for nobody")
	if a := bob.Get("/pickup?q=0142"); a.Status != http.StatusSeeOther || a.Location != at {
		t.Fatalf("by the phone: %d %s", a.Status, a.Location)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Box 1: F1-1", "Freezer. 1 of 2", "Not billed yet", "Make the bill", "607-555-0142")
	if page := bob.Get(at).Body; strings.Count(page, "<dd>Dale Orrin") != 1 || !strings.Contains(page, "Owner, killed by, brought by") {
		t.Errorf("the owner, who killed and brought it, stands %d times among the people", strings.Count(page, "<dd>Dale Orrin"))
	}
	bob.Post(at, form(nil, domain.BoxCode(n, 1))).Wants(t, http.StatusUnprocessableEntity, "not billed yet")
	money := "/animals/" + string(n) + "/money"
	if a := bob.Post(money+"/bill", url.Values{"later": {"yes"}, "pin": {"2222"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("bill: %d %.600s", a.Status, a.Body)
	}
	bob.Post(at, form(nil, domain.BoxCode(n, 1))).Wants(t, http.StatusUnprocessableEntity, "$150.00 is still owed", `value="Dale Orrin"`)
	// What was scanned before the money is still ticked after it, also when the PIN was
	// wrong in between.
	code := domain.BoxCode(n, 1)
	bob.Get(at+"?scan="+code).Wants(t, http.StatusOK, "Ticked so far: 1 of 2.", `name="before" value="`+code+`"`)
	bob.Get(at+"?before="+code+"&scan="+domain.BoxCode(n, 2)).Wants(t, http.StatusOK, "Ticked so far: 2 of 2.")
	pay := url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"0000"}, "back": {"pickup"}, "boxes": {code}, "named": {"Lena Orrin"}}
	bob.Post(money+"/pay", pay).Wants(t, http.StatusUnprocessableEntity, `name="boxes" value="`+code+`"`, `name="named" value="Lena Orrin"`)
	pay.Set("pin", "2222")
	if a := bob.Post(money+"/pay", pay); a.Status != http.StatusSeeOther || a.Location != at+"?boxes="+code+"&named=Lena+Orrin" {
		t.Fatalf("pay: %d %s %.600s", a.Status, a.Location, a.Body)
	}
	bob.Get(at+"?boxes="+code+"&named=Lena+Orrin").Wants(t, http.StatusOK, "Ticked so far: 1 of 2.", `value="Lena Orrin"`)

	wrong := bob.Get(at + "?scan=" + domain.BoxCode(other, 1))
	wrong.Wants(t, http.StatusUnprocessableEntity, "That is box 1 of "+string(other), "Put it back to Freezer F1-2")
	if strings.Contains(wrong.Body, "Quill") {
		t.Error("the other owner's name is shown")
	}
	scanned := bob.Get(at + "?boxes=" + domain.BoxCode(n, 1) + "&scan=" + domain.BoxCode(n, 2))
	scanned.Wants(t, http.StatusOK)
	if strings.Count(scanned.Body, "checked") < 3 { // both boxes, the tag; the owner's right
		t.Error("scanned boxes are not ticked")
	}
	bob.Post(at, form(url.Values{"pin": {"0000"}}, domain.BoxCode(n, 1))).Wants(t, http.StatusUnprocessableEntity, "That does not fit")
	bob.Post(at, form(url.Values{"seen": {""}}, domain.BoxCode(n, 1))).Wants(t, http.StatusUnprocessableEntity, "Write down what was shown")
	bob.Post(at, form(nil)).Wants(t, http.StatusUnprocessableEntity, "Scan or tick")
	if a := bob.Post(at, form(nil, domain.BoxCode(n, 1))); a.Status != http.StatusSeeOther || a.Location != at {
		t.Fatalf("hand over: %d %.900s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "stays: 1 of 2 boxes", "tag given back", "Box 2: F1-1")
	if a := bob.Post(at, form(url.Values{"tag": nil}, domain.BoxCode(n, 2))); a.Status != http.StatusSeeOther {
		t.Fatalf("the rest: %d %.900s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Nothing to hand over now: it is picked up.")
	bob.Post(at, form(nil, domain.BoxCode(n, 2))).Wants(t, http.StatusUnprocessableEntity, "has already left", "handed over by BT")
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusOK, "$150.00", "Nothing is left here", "NOT FOR SALE", "Dale Orrin")
	bob.Get("/animals/"+string(n)+"/payments/1").Wants(t, http.StatusOK, "Receipt No. 1", "Payment, cash")
	bob.Get("/animals/"+string(n)+"/payments/2").Wants(t, http.StatusNotFound)
}

// A hold stands over everything; a call is noted without a PIN.
func TestHeldAndCalled(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `
		INSERT INTO holds (id, animal_id, kind, reason, opened_at, opened_by) SELECT $1, id, 'test-pending', 'sampled', $2, $3 FROM animals`,
		uuid.Must(uuid.NewV7()), dbtest.Noon, s.Ann.ID); err != nil {
		t.Fatal(err)
	}
	bob, at := s.As(t, s.Bob), "/pickup/"+string(n)
	bob.Get("/pickup").Wants(t, http.StatusOK, "Held", "Owner not known, whitetail")
	bob.Get(at).Wants(t, http.StatusOK, "Do not hand over", "Nothing of it leaves the shop", "Nobody has been told yet")
	bob.Post(at, form(nil, domain.BoxCode(n, 1))).Wants(t, http.StatusUnprocessableEntity, "Nothing of it leaves the shop")
	bob.Post(at+"/call", url.Values{"way": {"call"}}).Wants(t, http.StatusUnprocessableEntity, "Choose what came of it")
	if a := bob.Post(at+"/call", url.Values{"way": {"call"}, "outcome": {"busy"}, "note": {"landline"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("call: %d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Called: line busy", "landline")
	bob.Get("/pickup/"+string(dbtest.Tag(99))).Wants(t, http.StatusNotFound, "There is no animal")
}

func TestNothingWaits(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.As(t, s.Bob).Get("/pickup").Wants(t, http.StatusOK, "Nothing waits to be fetched")
}

// The wrong name, then a box that had not left, put right at the counter: with a PIN and
// a reason, everything typed kept where it is refused, the boxes fetchable again.
func TestPutAHandOverRight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := s.BoxDeer(t, 1, 1)
	bob, at := s.As(t, s.Bob), "/pickup/"+string(n)
	for path, f := range map[string]url.Values{"/animals/" + string(n) + "/money/bill": {"later": {"yes"}, "pin": {"2222"}}} {
		if a := bob.Post(path, f); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.600s", a.Status, a.Body)
		}
	}
	bob.Post("/animals/"+string(n)+"/money/pay", url.Values{"amount": {"150"}, "way": {"cash"}, "pin": {"2222"}})
	if a := bob.Post(at, form(nil, domain.BoxCode(n, 1))); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	p, err := s.Pickup(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	to := at + "/handovers/" + p.Handovers[0].ID.String()
	bob.Get(at).Wants(t, http.StatusOK, "Put this hand-over right", "Had not left")
	f := url.Values{"act": {uuid.NewString()}, "after": {"0"}, "collector": {"Wes Orrin"}, "authority": {"named by owner"}, "seen": {"known by face"}, "why": {"his brother came"}}
	bob.Post(to, f).Wants(t, http.StatusUnprocessableEntity, `value="Wes Orrin"`, "his brother came", "PIN")
	f.Set("pin", "2222")
	if a := bob.Post(to, f); a.Status != http.StatusSeeOther || a.Location != at {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "1 box to Wes Orrin", "Before: Dale Orrin. his brother came")
	f = url.Values{"after": {"1"}, "collector": {"Wes Orrin"}, "authority": {"named by owner"}, "seen": {"known by face"}, "why": {"wrong animal tapped"}, "stayed": {domain.BoxCode(n, 1)}, "pin": {"2222"}}
	if a := bob.Post(to, f); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Nothing had left", "Scan each box as it comes out", "Box 1: F1-1")
	bob.Get("/animals/"+string(n)).Wants(t, http.StatusOK, "Hand-over put right", "why: wrong animal tapped")
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusOK)
	if a := bob.Post(at+"/handovers/x", f); a.Status != http.StatusNotFound {
		t.Errorf("no such hand-over: %d", a.Status)
	}
}

// The shelf is said in the order of its places, the room once, and whose boxes stand on
// the same place as well; what was boxed within a day is not among what nobody fetches.
func TestWhereTheBoxesStand(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, other, fresh := s.BoxDeer(t, 2, 2), s.BoxDeer(t, 1, 1), s.BoxDeer(t, 3, 1)
	set := func(sql string, args ...any) {
		t.Helper()
		if _, err := s.Pool().Exec(t.Context(), sql, args...); err != nil {
			t.Fatal(err)
		}
	}
	const onto = `UPDATE boxes SET place_id = (SELECT place_id FROM boxes b JOIN animals a ON a.id = b.animal_id WHERE a.number = $2 LIMIT 1)
		WHERE n = 2 AND animal_id = (SELECT id FROM animals WHERE number = $1)`
	set(onto, n, other)
	set(`UPDATE boxes SET placed_at = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, fresh, dbtest.Noon.Add(-time.Hour))
	bob := s.As(t, s.Bob)
	bob.Get("/pickup").Wants(t, http.StatusOK, "2 boxes: Freezer F1-1 with "+string(other)+", F1-2", "1 box: Freezer F1-1 with "+string(n), "Just boxed, it freezes")
	bob.Get("/pickup/"+string(n)).Wants(t, http.StatusOK, "Box 1: F1-2", "Box 2: F1-1 with "+string(other), "Freezer: 2 boxes")
	page := bob.Get("/pickup/unclaimed")
	page.Wants(t, http.StatusOK, "Just boxed, still freezing", string(n))
	if at := strings.Index(page.Body, "Just boxed, still freezing"); strings.Index(page.Body, string(fresh)) < at || strings.Index(page.Body, string(n)) > at {
		t.Error("what still freezes stands among what nobody fetches")
	}
	set(`UPDATE boxes SET place_id = NULL, placed_at = NULL WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, n)
	set(`UPDATE boxes SET placed_at = $2 WHERE animal_id = (SELECT id FROM animals WHERE number = $1)`, other, dbtest.Noon.Add(-time.Hour))
	bob.Get("/pickup").Wants(t, http.StatusOK, "2 boxes: no place noted")
	if counter := bob.Get("/pickup/" + string(n)); strings.Contains(counter.Body, ">: 2 boxes") || !strings.Contains(counter.Body, ">2 boxes<") {
		t.Error("a room without a name is told for boxes that have no place")
	}
}

// Whoever comes for one animal is told of the others of the same owner that are here,
// and of no other's.
func TestOthersOfTheSameOwner(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, second, third, other := s.BoxDeer(t, 1, 1), s.BoxDeer(t, 2, 2), s.BoxDeer(t, 3, 1), s.BoxDeer(t, 4, 1)
	dale := s.Own(t, n, "Dale Orrin", "607-555-0142")
	s.Own(t, other, "Vera Quill", "607-555-0177")
	for sql, args := range map[string][]any{
		`INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $1, 'owner', $2 FROM animals WHERE number = ANY ($3)`: {dale, dbtest.Noon, []domain.ShopNumber{second, third}},
		`UPDATE animals SET physical = 'released' WHERE number = $1`:                                                                    {third},
	} {
		if _, err := s.Pool().Exec(t.Context(), sql, args...); err != nil {
			t.Fatal(err)
		}
	}
	page := s.As(t, s.Bob).Get("/pickup/" + string(n))
	page.Wants(t, http.StatusOK, "Here of the same owner", `href="/pickup/`+string(second)+`"`, string(second)+", whitetail: 2 boxes")
	if strings.Contains(page.Body, "/pickup/"+string(third)) || strings.Contains(page.Body, "/pickup/"+string(other)) {
		t.Error("what is gone, or another owner's, is named too")
	}
	if alone := s.As(t, s.Bob).Get("/pickup/" + string(other)); strings.Contains(alone.Body, "same owner") {
		t.Error("an owner of one animal is told of others")
	}
}

// Of whom only the phone is known, that is said in the shop's language wherever a name
// would stand.
func TestNoNameInTheShopsLanguage(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n, second := s.BoxDeer(t, 1, 1), s.BoxDeer(t, 2, 1)
	s.Own(t, n, db.NoName, "607-555-0142")
	s.Own(t, second, db.NoName, "607-555-0142 x2")
	if _, err := s.Pool().Exec(t.Context(), `UPDATE shop SET language = 'es-US'`); err != nil {
		t.Fatal(err)
	}
	bob := s.As(t, s.Bob)
	for _, path := range []string{"/pickup", "/pickup/" + string(n), "/animals/" + string(n), "/find?q=no", "/animals/" + string(n) + "/cutsheet"} {
		page := bob.Get(path)
		page.Wants(t, http.StatusOK, "aún sin nombre")
		if strings.Contains(page.Body, db.NoName) {
			t.Errorf("%s says it in English", path)
		}
	}
}
