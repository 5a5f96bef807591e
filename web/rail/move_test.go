package rail_test

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// place is the form's value for the n-th hook of the first rails: R1 has 1 to
// 12, R2 13 to 24, R3 25 to 30.
func place(n int) url.Values { return url.Values{"place": {strconv.Itoa(n)}} }

func TestMoveOne(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	number, other := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 2)
	page := "/rail/move?number=" + string(number)
	b.Get("/rail").Wants(t, http.StatusOK, "/rail/move", string(number))
	b.Get("/rail/move").Wants(t, http.StatusOK, "Which one?")
	b.Get(page).Wants(t, http.StatusOK, "Main cooler, R1, place 1 since", "R1-3", "R2-12", "6 more places are free but do not fit")
	if a := b.Get(page); strings.Contains(a.Body, "R1-2<") || strings.Contains(a.Body, "R3-1") {
		t.Error("a taken hook or the livestock rail is offered")
	}
	b.Get(page+"&all=yes").Wants(t, http.StatusOK, "R3-1", "the rail is for something else")
	for _, tt := range []struct {
		form   url.Values
		status int
		says   string
	}{
		{place(2), http.StatusUnprocessableEntity, "R1, place 2 is taken: " + string(other) + " has hung there since"},
		{place(999), http.StatusUnprocessableEntity, "There is no such place"},
		{url.Values{}, http.StatusUnprocessableEntity, "Choose where it hangs"},
		{place(25), http.StatusUnprocessableEntity, "Choose another, or say why it hangs there all the same"},
	} {
		tt.form.Set("number", string(number))
		b.Post("/rail/move", tt.form).Wants(t, tt.status, tt.says)
	}
	form := place(15)
	form.Set("number", number.Digits()) // as a scanner reads it
	a := b.Post("/rail/move", form)
	if a.Status != http.StatusSeeOther || a.Location != "/rail/move?done="+string(number)+"&part=" {
		t.Fatalf("got %d to %q: %.2000s", a.Status, a.Location, a.Body)
	}
	if again := b.Post("/rail/move", form); again.Status != http.StatusSeeOther { // the same form once more
		t.Errorf("sent twice: %d", again.Status)
	}
	b.Get(a.Location).Wants(t, http.StatusOK, "now hangs on Main cooler R2-3", "Which one?")
	hung, err := s.Hanging(t.Context(), s.Now())
	if err != nil || len(hung) != 2 || hung[1].Number != number || hung[1].Place() != "R2-3" {
		t.Errorf("%+v, %v", hung, err)
	}
}

func TestMoveWhichOne(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	number := s.HangDeer(t, 147, 1)
	for typed, to := range map[string]string{"0147": "", number.Digits(): "shows", "the tag " + string(number): ""} {
		a := b.Get("/rail/move?number=" + url.QueryEscape(typed))
		if to == "" && (a.Status != http.StatusSeeOther || a.Location != "/rail/move?number="+string(number)) || to == "shows" && a.Status != http.StatusOK {
			t.Errorf("%q: %d to %q", typed, a.Status, a.Location)
		}
	}
	for typed, says := range map[string]string{"0148": "Nothing with the number 0148 hangs", "26-0147-1": "does not add up", "bob": "is not a tag number",
		"<script>": "&lt;script&gt;"} {
		b.Get("/rail/move?number="+url.QueryEscape(typed)).Wants(t, http.StatusUnprocessableEntity, says, "Which one?")
	}
	b.Get("/rail/move?number="+string(dbtest.Tag(9))).Wants(t, http.StatusNotFound, "There is no animal with the number "+string(dbtest.Tag(9)))
	if a := b.Post("/rail/move", url.Values{"number": {"nonsense"}}); a.Status != http.StatusUnprocessableEntity {
		t.Errorf("nonsense posted: %d", a.Status)
	}
	s.Nobody(t).Get("/rail/move").Wants(t, http.StatusSeeOther)
}

// What may not move, or hangs nowhere, is shown with the reason and no places.
func TestMoveIsStopped(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Ann)
	number := s.HangDeer(t, 1, 1)
	if a := b.Post("/animals/"+string(number)+"/holds", url.Values{"kind": {"warden"}, "why": {"told to wait"}, "pin": {"4711"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("hold: %d %.2000s", a.Status, a.Body)
	}
	a := b.Get("/rail/move?number=" + string(number))
	a.Wants(t, http.StatusOK, "Nobody moves it")
	if strings.Contains(a.Body, "Move it here") {
		t.Error("a place is offered under a warden's hold")
	}
	form := place(5)
	form.Set("number", string(number))
	b.Post("/rail/move", form).Wants(t, http.StatusUnprocessableEntity, "Nobody moves it")
	d := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(2), Species: domain.Whitetail, Form: domain.Whole, KilledAt: s.Now().Add(-4 * 3600e9)},
		Owner: db.Person{Name: "Dell Hargrove"}, NotHung: true}
	if err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), d); err != nil {
		t.Fatal(err)
	}
	b.Get("/rail/move?number="+string(dbtest.Tag(2))).Wants(t, http.StatusOK, "Hang it here", "It hangs as it came, and still waits to be weighed.")
	boxed := s.BoxDeer(t, 3, 1)
	b.Get("/rail/move?number="+string(boxed)).Wants(t, http.StatusOK, "hangs nowhere just now", `href="/animals/`+string(boxed))
}

// A deer that waits outside is found by its four digits and hung with its hide on: the
// board has it, the skinner still does, and its record says what was done.
func TestHangWithItsHideOn(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b, other := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	d := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(2), Species: domain.Whitetail, Form: domain.WholeHideOn, KilledAt: s.Now().Add(-4 * 3600e9)},
		Owner: db.Person{Name: "Dell Hargrove"}, NotHung: true}
	if err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), d); err != nil {
		t.Fatal(err)
	}
	page := "/rail/move?number=" + string(d.Number)
	for _, from := range []string{"/", "/skinning", "/skinning/" + string(d.Number)} {
		b.Get(from).Wants(t, http.StatusOK, page, "Hang it, weigh later")
	}
	if a := b.Get("/rail/move?number=0002"); a.Location != page {
		t.Fatalf("by four digits: %d to %q", a.Status, a.Location)
	}
	a := b.Get(page)
	a.Wants(t, http.StatusOK, "It hangs with its hide on, and still waits to be skinned and weighed.", "R1-3", "Hang it here")
	if strings.Contains(a.Body, "R1-2<") || strings.Contains(a.Body, "Move it here") {
		t.Error("a place beside a skinned one is offered, or it is to be moved")
	}
	form := place(1)
	form.Set("number", string(d.Number))
	b.Post("/rail/move", form).Wants(t, http.StatusUnprocessableEntity, "is taken: "+string(other), "Hang it here")
	form = place(3)
	form.Set("number", string(d.Number))
	if a = b.Post("/rail/move", form); a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	b.Get(a.Location).Wants(t, http.StatusOK, "now hangs on Main cooler R1-3")
	b.Get("/animals/"+string(d.Number)).Wants(t, http.StatusOK, "Hung, not weighed")
	b.Get("/skinning").Wants(t, http.StatusOK, "To skin: 1")
	for _, from := range []string{"/", "/skinning", "/skinning/" + string(d.Number)} {
		if strings.Contains(b.Get(from).Body, "Hang it, weigh later") {
			t.Errorf("%s still asks to hang it", from)
		}
	}
}

// Of a split beef each side moves for itself.
func TestMoveASideOfBeef(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	d := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(1), Species: domain.Beef, Form: domain.Whole, KilledAt: s.Now().Add(-4 * 3600e9)},
		Owner: db.Person{Name: "Dell Hargrove"}}
	if err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), d); err != nil {
		t.Fatal(err)
	}
	side := &db.Side{Gross: domain.Pounds(350)}
	if err := s.WeighAndHang(t.Context(), s.Act(s.Bob, s.Now()), d.Number, db.Weighing{Left: side, Right: side}); err != nil {
		t.Fatal(err)
	}
	page := "/rail/move?number=" + string(d.Number)
	b.Get("/round/main").Wants(t, http.StatusOK, "beef, left side") // the walker is told which of the two hangs at that place
	b.Get(page).Wants(t, http.StatusOK, "The left side moves", "Move the right side instead", `name="part" value="L"`, "R3-5")
	b.Get(page+"&part=R").Wants(t, http.StatusOK, "The right side moves", `name="part" value="R"`)
	form := place(29)
	form.Set("number", string(d.Number))
	form.Set("part", "R")
	a := b.Post("/rail/move", form)
	if a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	b.Get(a.Location).Wants(t, http.StatusOK, "now hangs on Main cooler, R3, place 5")
}

// Two written on one hook: the board leads to the move, and the move settles it.
func TestTwoOnOneHook(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	s.HangDeer(t, 1, 1)
	second := s.HangDeer(t, 2, 2)
	if _, err := s.Pool().Exec(t.Context(), `UPDATE occupancies SET conflict = true, place_id = 1 WHERE place_id = 2`); err != nil {
		t.Fatal(err)
	}
	b.Get("/rail").Wants(t, http.StatusOK, "Two on one hook", "/rail/move?number="+string(second))
	b.Get("/rail/move?number="+string(second)).Wants(t, http.StatusOK, "Another animal is written on the same hook")
	form := place(2)
	form.Set("number", string(dbtest.Tag(1))) // the one written first moves; the other stays
	if a := b.Post("/rail/move", form); a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	if a := b.Get("/rail"); strings.Contains(a.Body, "Two on one hook") {
		t.Error("the hook is still in question")
	}
}
