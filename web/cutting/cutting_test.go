package cutting_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/hold"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// sheet is an order as the page sends it: a row for every part.
func sheet() url.Values {
	v := url.Values{"source": {"counter"}, "added_meat": {"none"}, "own_meat": {"yes"}, "after": {"0"}, "fall_back": {"less stew"}, "note": {""}}
	for _, row := range [][6]string{
		{"backstrap", "chops", "1", "", "4", ""}, {"backstrap", " ", " ", "", "", ""}, {"hind", "steaks", "3/4", "", "4", "rest"},
		{"shoulder", "stew", "", "", "", ""}, {"neck", "grind", "", "", "", ""}, {"trim", "burger", "", "1 lb", "", "rest"},
	} {
		for i, field := range []string{"part", "treatment", "thickness", "size", "per_pack", "amount"} {
			v.Add(field, row[i])
		}
	}
	return v
}

// A bare number in "Packs of" or "Roasts about" is a weight, and is read back with its
// unit: "1 each" may be read as pieces.
func TestBareSizeIsAWeight(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	number := s.HangDeer(t, 147, 7)
	bob, order := s.As(t, s.Bob), "/animals/"+string(number)+"/order"
	wish := sheet()
	wish["treatment"][2], wish["thickness"][2], wish["size"][2], wish["per_pack"][2] = "roasts", "", "2 1/2-3", ""
	wish["size"][5] = "1"
	if a := bob.Post(order, wish); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get(order+"/read").Wants(t, http.StatusOK, "burger, 1 lb each", "roasts, boneless, 2 1/2-3 lb each")
	bob.Get(order).Wants(t, http.StatusOK, `value="1 lb"`)
}

// One deer through the pages: order, start, packs, finish, boxes, labels.
func TestCuttingFromOrderToBox(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	number := s.HangDeer(t, 147, 7)
	s.Own(t, number, "Wade Tolliver", "555-0147")
	bob, at := s.As(t, s.Bob), "/cutting/"+string(number)
	bob.Get("/cutting").Wants(t, http.StatusOK, "Nothing may be cut now", "The order is not complete. Call the owner.", "Whitetail, R1-7", "Wade Tolliver. ", "1 not now", "Its order")
	order := "/animals/" + string(number) + "/order"
	bob.Get(order).Wants(t, http.StatusOK, "May we mix pork or beef", "backstraps", "whitetail, no order yet")
	wish := sheet()
	wish.Set("note", "tie one with string")
	if a := bob.Post(order, wish); a.Status != http.StatusSeeOther || a.Location != order+"/read" {
		t.Fatalf("%d %s %.900s", a.Status, a.Location, a.Body)
	}
	bob.Get(order+"/read").Wants(t, http.StatusOK, "chops, boneless, 1 in thick, 4 to a pack", "No pork and no beef in it.", "The order is complete, version 1.",
		`<a class="button" href="/animals/`+string(number)+`">It is right`, `<a class="button quiet" href="`+order+`">Change it`)
	// The field with the focus stands above the order, or it would take the number off the screen.
	if room := bob.Get("/cutting").Body; strings.Index(room, `name="tag"`) > strings.Index(room, "backstraps") {
		t.Error("the tag is asked below the order")
	} else if note := strings.Index(room, "Note: tie one with string"); note < 0 || note > strings.Index(room, "backstraps") {
		t.Error("the owner's wish does not stand above the lines it changes")
	}
	bob.Get("/cutting").Wants(t, http.StatusOK, "R1-7", "cond-ready", "Whitetail, killed", "1 ready", "<p>chops, boneless", "the rest: burger, 1 lb each", "Start cutting", "does not say the meat is fit to eat")

	bob.Post(at+"/start", url.Values{"tag": {number.Digits()}, "card": {number.Digits() + "V7"}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "Tear the old one up")
	wrong := bob.Post(at+"/start", url.Values{"tag": {string(dbtest.Tag(148))}, "version": {"1"}})
	wrong.Wants(t, http.StatusUnprocessableEntity, "Put the knife down", string(dbtest.Tag(148)))
	bob.Post(at+"/start", url.Values{"tag": {"2601470"}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "does not add up")
	bob.Post(at+"/start", url.Values{"tag": {number.Digits()}, "version": {"0"}}).Wants(t, http.StatusUnprocessableEntity, "version 1 counts now")
	if a := bob.Post(at+"/start", url.Values{"tag": {number.Digits()}, "version": {"1"}}); a.Status != http.StatusSeeOther || a.Location != at {
		t.Fatalf("start: %d %.600s", a.Status, a.Body)
	}
	table := bob.Get(at)
	table.Wants(t, http.StatusOK, "How many packs", "3/4 in thick", "Finish cutting")
	if strings.Contains(table.Body, "autofocus") {
		t.Error("the table opens below the order that is still to be read")
	}
	bob.Get(order).Wants(t, http.StatusOK, "The order cannot be changed any more")
	bob.Post(at+"/pack", url.Values{"cut": {"chops"}, "count": {"8"}, "weight": {"heavy"}}).Wants(t, http.StatusUnprocessableEntity, "cannot be read", `value="chops"`)
	bob.Post(at+"/pack", url.Values{"cut": {"chops"}, "count": {"lots"}, "weight": {"9"}}).Wants(t, http.StatusUnprocessableEntity, "number of packs, 1 to 500")
	for _, form := range []url.Values{{"cut": {"chops"}, "count": {"8"}, "weight": {"9"}}, {"cut": {"burger"}, "count": {"30"}, "weight": {"31 lb"}}} {
		if a := bob.Post(at+"/pack", form); a.Status != http.StatusSeeOther {
			t.Fatalf("pack: %d %.600s", a.Status, a.Body)
		}
	}
	if a := bob.Post(at+"/trim", url.Values{"kind": {"bone"}, "trim_weight": {"35"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("trim: %d %.600s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "40.0 lb", ">38<", "35.0 lb", "autofocus")
	bob.Post(at+"/finish", url.Values{}).Wants(t, http.StatusUnprocessableEntity, "Look first")
	if a := bob.Post(at+"/finish", url.Values{"labelled": {"yes"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("finish: %d %.600s", a.Status, a.Body)
	}
	bob.Get("/cutting").Wants(t, http.StatusOK, "Cut, not all in boxes", "Box it")
	boxThem(t, s, bob, number)
}

// boxThem fills two boxes and looks at their labels.
func boxThem(t *testing.T, s *webtest.Site, bob *webtest.Browser, number domain.ShopNumber) {
	t.Helper()
	packs, err := s.Packs(t.Context(), number)
	if err != nil {
		t.Fatal(err)
	}
	at := "/cutting/" + string(number)
	bob.Get(at).Wants(t, http.StatusOK, "Which packs into which box", "Freezer F1-3, empty", "One more box")
	form := url.Values{"pack": {packs[0].ID.String(), packs[1].ID.String()}, "box": {"1", "2"}, "place": {"", "", ""}}
	bob.Post(at+"/boxes", form).Wants(t, http.StatusUnprocessableEntity, "Say where box 1 stands")
	spots, err := s.FreezerSpots(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	form.Del("act")
	form["place"] = []string{strconv.Itoa(spots[2].ID), strconv.Itoa(spots[3].ID), ""}
	if a := bob.Post(at+"/boxes", form); a.Status != http.StatusSeeOther {
		t.Fatalf("boxes: %d %.900s", a.Status, a.Body)
	}
	bob.Get(at).Wants(t, http.StatusOK, "Box label", "Freezer F1-4")
	bob.Get("/animals/"+string(number)+"/boxes/2/label").Wants(t, http.StatusOK, "Wade Tolliver", "Box 2 of 2", "31.0 lb", "NOT FOR SALE", string(number))
	bob.Get("/animals/"+string(number)+"/boxes/3/label").Wants(t, http.StatusNotFound, "has no box 3")
	bob.Get("/animals/"+string(number)+"/cutsheet").Wants(t, http.StatusOK, "version 1", "OWN MEAT ONLY", "No pork and no beef in it.")
}

func TestLeadTakesAnother(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, ann := s.As(t, s.Bob), s.As(t, s.Ann)
	first, second := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	for _, n := range []domain.ShopNumber{first, second} {
		if a := bob.Post("/animals/"+string(n)+"/order", sheet()); a.Status != http.StatusSeeOther {
			t.Fatalf("order: %d %.600s", a.Status, a.Body)
		}
	}
	if a := bob.Get("/cutting"); strings.Contains(a.Body, "Take this instead") {
		t.Error("a cutter is offered to take another than the first")
	}
	ann.Get("/cutting").Wants(t, http.StatusOK, "Take this instead")
	ann.Get("/cutting?take="+string(second)).Wants(t, http.StatusOK, "Instead of "+string(first), "Why this one, in a word")
	start := "/cutting/" + string(second) + "/start"
	ann.Post(start, url.Values{"tag": {string(second)}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "comes first. Say in a word why")
	bob.Post(start, url.Values{"tag": {string(second)}, "version": {"1"}, "why": {"nearer"}}).Wants(t, http.StatusUnprocessableEntity, "Only the lead takes another")
	if a := ann.Post(start, url.Values{"tag": {string(second)}, "version": {"1"}, "why": {"nearer"}}); a.Status != http.StatusSeeOther {
		t.Errorf("start: %d %.600s", a.Status, a.Body)
	}
	bob.Post("/cutting/"+string(second)+"/start", url.Values{"tag": {string(second)}, "version": {"1"}}).Wants(t, http.StatusUnprocessableEntity, "Ann Kessler started on "+string(second))
}

func TestStopHangsItBack(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	bob.Post("/animals/"+string(number)+"/order", sheet())
	at := "/cutting/" + string(number)
	bob.Post(at+"/start", url.Values{"tag": {string(number)}, "version": {"1"}})
	bob.Post(at+"/pack", url.Values{"cut": {"chops"}, "count": {"8"}, "weight": {"9"}}).Wants(t, http.StatusSeeOther)
	bob.Post(at+"/stop", url.Values{"place": {""}}).Wants(t, http.StatusUnprocessableEntity, "on which hook")
	places, err := s.FreePlaces(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if a := bob.Post(at+"/stop", url.Values{"place": {strconv.Itoa(places[4].ID)}}); a.Status != http.StatusSeeOther {
		t.Fatalf("stop: %d %.600s", a.Status, a.Body)
	}
	page := bob.Get(at)
	page.Wants(t, http.StatusOK, "It is not on the table.", "hanging, ", "R1-5")
	if strings.Contains(page.Body, "/take-back") {
		t.Error("a line of what hangs is offered to be taken back, and that is refused")
	}
	if strings.Contains(page.Body, "such an animal gives") {
		t.Error("the pounds of a whole animal are missed while half of it hangs")
	}
	bob.Get("/cutting").Wants(t, http.StatusOK, "R1-5", "Start cutting", "Begun and hung back; packs of it so far: 8.")
}

// A line that was a slip goes, and only with a word why.
func TestTakeBackALine(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	bob.Post("/animals/"+string(number)+"/order", sheet())
	at := "/cutting/" + string(number)
	bob.Post(at+"/start", url.Values{"tag": {string(number)}, "version": {"1"}})
	bob.Post(at+"/pack", url.Values{"cut": {"chops"}, "count": {"80"}, "weight": {"9"}})
	packs, err := s.Packs(t.Context(), number)
	if err != nil || len(packs) != 1 {
		t.Fatalf("%v, %v", packs, err)
	}
	bob.Post(at+"/take-back", url.Values{"line": {packs[0].ID.String()}, "why": {" "}}).Wants(t, http.StatusUnprocessableEntity, "Say in a word what was wrong")
	if a := bob.Post(at+"/take-back", url.Values{"line": {packs[0].ID.String()}, "why": {"8"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	bob.Post(at+"/take-back", url.Values{"line": {packs[0].ID.String()}, "why": {"8"}}).Wants(t, http.StatusUnprocessableEntity, "gone already")
}

// What is wrong with an order comes back with everything that was typed.
func TestOrderPageRefuses(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	order := "/animals/" + string(number) + "/order"
	both := sheet()
	both["treatment"][1] = "whole"
	bob.Post(order, both).Wants(t, http.StatusUnprocessableEntity, "The backstraps cannot be all of one and something else too", "less stew")
	unasked := sheet()
	unasked.Del("added_meat")
	bob.Post(order, unasked)
	bob.Get(order+"/read").Wants(t, http.StatusOK, "Still to ask", "Whether pork or beef may be mixed in.", "add nothing", `<a class="button" href="`+order+`">Change it`)
	bob.Post(order, sheet()).Wants(t, http.StatusUnprocessableEntity, "Version 1 of this order was written by BT")
	bob.Get("/animals/26-9999-1/order").Wants(t, http.StatusNotFound, "There is no animal with the number")
}

// A steer in halves: two pages of one sheet, each with its owner; the animal is
// not complete before both are.
func TestOrderOfHalves(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET species = 'beef', class = 'mature', hanging_kg = 300`); err != nil {
		t.Fatal(err)
	}
	order := "/animals/" + string(number) + "/order"
	bob.Get(order).Wants(t, http.StatusOK, "short loin", "T-bones and porterhouse", "Counts as 30 months or older", "/kill", "left half, second quarter")
	half := func(portion, whom, after string) url.Values {
		v := url.Values{"source": {"phone"}, "caller": {"Dell Marrow, 555-0150"}, "portion": {portion}, "for_whom": {whom}, "after": {after},
			"added_meat": {"none"}, "own_meat": {"yes"}}
		for _, row := range [][3]string{{"chuck", "roasts", ""}, {"rib", "steaks", "1"}, {"short-loin", "t-bones", "1"}, {"sirloin", "steaks", "3/4"},
			{"round", "cubed", ""}, {"brisket", "whole", ""}, {"trim", "grind", ""}} {
			v.Add("part", row[0])
			v.Add("treatment", row[1])
			v.Add("thickness", row[2])
		}
		return v
	}
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO kill_entries (animal_id, thirty_months, known_by, said_by, at, by_staff) SELECT id, 'no', 'papers', 'Hollis Rudd', killed_at, received_by FROM animals`); err != nil {
		t.Fatal(err)
	}
	noCaller := half("L", "Wade Tolliver", "0")
	noCaller.Set("caller", " ")
	bob.Post(order, noCaller).Wants(t, http.StatusUnprocessableEntity, "Write down who is on the phone")
	for _, form := range []url.Values{half("L", "Wade Tolliver", "0"), half("R", "", "1")} {
		if a := bob.Post(order, form); a.Status != http.StatusSeeOther {
			t.Fatalf("%d %.900s", a.Status, a.Body)
		}
	}
	bob.Get(order+"/read").Wants(t, http.StatusOK, "left half, Wade Tolliver", "right half: Whose portion it is.")
	if a := bob.Post(order, half("R", "Marla Finch", "2")); a.Status != http.StatusSeeOther {
		t.Fatalf("%d %.900s", a.Status, a.Body)
	}
	bob.Get(order+"/read").Wants(t, http.StatusOK, "right half, Marla Finch", "The order is complete, version 3.")
	bob.Get(order).Wants(t, http.StatusOK, "left half: Wade Tolliver", "void since", "called: Dell Marrow, 555-0150")
	bob.Get("/animals/"+string(number)+"/cutsheet").Wants(t, http.StatusOK, "Marla Finch", "Wade Tolliver")
}

// The same as last year is offered, filled in, and read back before it counts.
func TestSameAsLastTime(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, last, now := s.As(t, s.Bob), s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	owner := s.Own(t, last, "Wade Tolliver", "555-0147")
	if _, err := s.Pool().Exec(t.Context(), `INSERT INTO animal_people (animal_id, person_id, role, since) SELECT id, $2, 'owner', $3 FROM animals WHERE number = $1`, now, owner, dbtest.Noon); err != nil {
		t.Fatal(err)
	}
	bob.Post("/animals/"+string(last)+"/order", sheet())
	order := "/animals/" + string(now) + "/order"
	bob.Get(order).Wants(t, http.StatusOK, "Same as last time", "What "+string(last)+" had")
	bob.Get(order+"?last=1").Wants(t, http.StatusOK, `value="less stew"`, `value="repeat" checked`, `<option value="chops" selected>`)
	if a := bob.Get(order); strings.Contains(a.Body, `value="less stew"`) {
		t.Error("last year's order is taken without asking")
	}
}

// With nothing hanging the page says so; what is held is listed with what holds it.
func TestCuttingEmptyAndHeld(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob := s.As(t, s.Bob)
	bob.Get("/cutting").Wants(t, http.StatusOK, "Nothing can be cut yet.")
	held := s.HangDeer(t, 1, 1)
	if err := s.OpenHold(t.Context(), s.Act(s.Ann, dbtest.Noon), held, hold.Quality, "odd smell", time.Time{}); err != nil {
		t.Fatal(err)
	}
	bob.Get("/cutting").Wants(t, http.StatusOK, "Held: quality in question.", "Its holds")
}

// What still ages is no next one: the page says when the first will be ready, and
// whoever cuts it all the same says so first.
func TestNothingIsReady(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	first, second := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET class = 'mature', protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature'), revision = revision + 1`); err != nil {
		t.Fatal(err)
	}
	for _, n := range []domain.ShopNumber{first, second} {
		dry(t, s, n)
	}
	ordered(t, s, first, second)
	ann, bob := s.As(t, s.Ann), s.As(t, s.Bob)
	page := bob.Get("/cutting")
	page.Wants(t, http.StatusOK, "Nothing is ready. The first will be about", "2 not ready yet", "Not ready yet", "Ready about", "Its last day is", "/cutting?take="+string(first))
	if strings.Contains(page.Body, "Start cutting") || strings.Contains(page.Body, "/cutting?take="+string(second)) {
		t.Error("what is not ready is offered as the next, or a cutter is offered another than the first")
	}
	bob.Get("/cutting?take="+string(first)).Wants(t, http.StatusOK, "<h2>Not ready yet</h2>", "Start cutting", "Back to the list")
	ann.Get("/cutting?take="+string(second)).Wants(t, http.StatusOK, "Instead of "+string(first), "Why this one, in a word")
}

// For what an animal is cut before others, the knife reads before it begins, whoever
// takes over at the table reads, and who cuts from paper.
func TestWhyItIsCutFirst(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	bob, n := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	bob.Post("/animals/"+string(n)+"/order", sheet()).Wants(t, http.StatusSeeOther)
	sheetAt := "/animals/" + string(n) + "/cutsheet"
	if strings.Contains(bob.Get(sheetAt).Body, "sticky") {
		t.Error("the sheet says sticky, and nobody has looked")
	}
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellClean, Surface: round.SurfaceSticky, Mould: []round.Mould{{Site: round.SiteNeck, Length: 2, Colour: round.White}}}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), n, look); err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{"/cutting", "/cutting/plan"} {
		bob.Get(page).Wants(t, http.StatusOK, "cond-cut-first", "The surface is sticky.", "Gloves and mask.")
	}
	bob.Post("/cutting/"+string(n)+"/start", url.Values{"tag": {string(n)}, "version": {"1"}}).Wants(t, http.StatusSeeOther)
	for _, page := range []string{"/cutting/" + string(n), sheetAt} {
		bob.Get(page).Wants(t, http.StatusOK, "The surface is sticky.", "Gloves and mask.")
	}
	look.At, look.Smell = dbtest.Noon.Add(time.Minute), round.SmellSour
	if err := s.Look(t.Context(), s.Act(s.Bob, look.At), n, look); err != nil {
		t.Fatal(err)
	}
	s.SetNow(look.At)
	bob.Get(sheetAt).Wants(t, http.StatusOK, "Stopped. The lead has not decided yet.", "It smells sour.")

	// What the lead condemns of it, and why, stays at the knife whatever is found later.
	if err := s.Decide(t.Context(), s.Act(s.Ann, look.At), n, round.CondemnPart, "left ham sour at the joint"); err != nil {
		t.Fatal(err)
	}
	for _, page := range []string{"/cutting/" + string(n), sheetAt} {
		bob.Get(page).Wants(t, http.StatusOK, "Decided: a part is condemned. Cut the rest first.", "condemn a part. left ham sour at the joint")
	}
	s.SetNow(look.At.AddDate(0, 0, 9))
	for _, page := range []string{"/cutting/" + string(n), sheetAt} {
		bob.Get(page).Wants(t, http.StatusOK, "condemn a part. left ham sour at the joint")
	}
}

// dry keeps a look by touch that found the surface dry.
func dry(t *testing.T, s *webtest.Site, n domain.ShopNumber) {
	t.Helper()
	look := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellClean, Surface: round.SurfaceDry}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), n, look); err != nil {
		t.Fatal(err)
	}
}

// What may not be cut leads to the act that clears its reason, the fewest days left
// first.
func TestNotNowByDaysLeft(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	early, late := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET legal = 'unchecked', revision = revision + 1 WHERE number = $1`, late); err != nil {
		t.Fatal(err)
	}
	dry(t, s, early) // and keeps longer than what nobody has touched
	page := s.As(t, s.Ann).Get("/cutting")
	page.Wants(t, http.StatusOK, "/dropoff/owed/"+string(late), "Fill in", "/animals/"+string(early)+"/order")
	if strings.Index(page.Body, late.Short()) > strings.Index(page.Body, early.Short()) {
		t.Error("what has fewer days left does not come first")
	}
	// Who asks for one of them reads at once why not, and is not shown another in silence.
	s.SetNow(dbtest.Noon)
	next := s.HangDeer(t, 3, 3)
	ordered(t, s, next)
	body := s.As(t, s.Ann).Get("/cutting?take=" + string(late)).Body
	if asked, start := strings.Index(body, "/dropoff/owed/"+string(late)), strings.Index(body, "Start cutting"); asked < 0 || start < 0 || asked > start {
		t.Errorf("what may not be cut is asked for and another is shown: %d %d", asked, start)
	}
}
