package skinning_test

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
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

func receive(t *testing.T, s *webtest.Site, running int, species domain.Species, form domain.Form) string {
	t.Helper()
	deep := domain.Fahrenheit(62)
	d := db.Drop{Drop: animal.Drop{Number: dbtest.Tag(running), Species: species, Form: form, KilledAt: s.Now().Add(-4 * 3600e9), DeepTemp: &deep},
		Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142"}, Keeps: "antlers and cape", SampleWanted: true}
	if err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), d); err != nil {
		t.Fatal(err)
	}
	return "/skinning/" + string(dbtest.Tag(running))
}

func TestSkinning(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	b.Get("/skinning").Wants(t, http.StatusOK, "Nothing waits")
	deer := receive(t, s, 1, domain.Whitetail, domain.WholeHideOn)
	b.Get("/skinning").Wants(t, http.StatusOK, "Keep: antlers and cape", "Sample wanted", "Warm when it came", deer)
	b.Get(deer).Wants(t, http.StatusOK, "Keep: antlers and cape", "It stays on R1-1", "On the scale")
	receive(t, s, 2, domain.Whitetail, domain.WholeHideOn)
	for _, tt := range []struct{ field, value, says string }{
		{"weight", "", "Type a weight in lb"},
		{"weight", "700", "Really 700.0 lb?"},
		{"tare", "90", "cannot weigh as much as the whole"},
		{"place", "2", "R1, place 2 is taken: " + string(dbtest.Tag(2))},
		{"place", "roof", "Choose where it hangs"},
	} {
		form := url.Values{"weight": {"88.5"}, "tare": {"0"}, "place": {"next"}}
		form.Set(tt.field, tt.value)
		b.Post(deer, form).Wants(t, http.StatusUnprocessableEntity, tt.says)
	}
	if a := b.Post(deer, url.Values{"weight": {"88.5"}, "tare": {"3.5"}, "place": {"15"}}); a.Status != http.StatusSeeOther || a.Location != "/skinning?hung="+string(dbtest.Tag(1)) {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	// Whoever holds the carcass reads on which hook it goes, and how to label what is kept.
	hung := b.Get("/skinning?hung=" + string(dbtest.Tag(1)))
	hung.Wants(t, http.StatusOK, "R2-3</strong> Main cooler", "85.0 lb", "/animals/"+string(dbtest.Tag(1))+"/pieces")
	b.Get("/skinning?hung=nobody").Wants(t, http.StatusOK, "Skinning")
	b.Post(deer, url.Values{"weight": {"88.5"}}).Wants(t, http.StatusConflict, "it is hanging")
	b.Get(deer).Wants(t, http.StatusNotFound, "does not wait for the skinner")
	list, err := s.Hanging(t.Context(), s.Now())
	if err != nil || len(list) != 2 || list[1].Place() != "R2-3" || list[1].HangingKg == nil {
		t.Errorf("%+v, %v", list, err)
	}
}

// One that is skinned among hides does not stay there: a place that fits is chosen, and
// what does not fit says why. The weight says that the hide is off.
func TestSkinnedAmongHides(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	deer := receive(t, s, 1, domain.Whitetail, domain.WholeHideOn)
	receive(t, s, 2, domain.Whitetail, domain.WholeHideOn)
	b.Get(deer).Wants(t, http.StatusOK, "With the hide off", "It stays on R1-1: ")
	if page := b.Get(deer).Body; strings.Contains(page, `value="next" selected`) || !strings.Contains(page, " selected>") {
		t.Errorf("it is to stay among hides: %.3000s", page)
	}
	skinned := receive(t, s, 3, domain.Whitetail, domain.Whole)
	if page := b.Get(skinned).Body; !strings.Contains(page, `value="next" selected`) || strings.Contains(page, "With the hide off") {
		t.Errorf("what fits where it hangs is to stay there: %.3000s", page)
	}
}

// A weight that a scale has sent is taken by one tap, once, less what was typed
// for the hook, and the record says which scale read it.
func TestHangingWeightFromAScale(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b, ctx := s.As(t, s.Bob), t.Context()
	token, err := s.MakeScale(ctx, s.Act(s.Ann, s.Now()), "rail-1", uuid.Nil)
	if err != nil {
		t.Fatal(err)
	}
	deer, other := receive(t, s, 1, domain.Whitetail, domain.WholeHideOn), receive(t, s, 2, domain.Whitetail, domain.WholeHideOn)
	if known, err := s.ReadScale(ctx, "rail-1", token, domain.Pounds(92), "92 lb", s.Now()); !known || err != nil {
		t.Fatal(known, err)
	}
	b.Get(deer).Wants(t, http.StatusOK, "Take 92.0 lb from scale rail-1")
	weights, err := s.WeightsAt(ctx, s.Device, s.Now())
	if err != nil || len(weights) != 1 {
		t.Fatalf("%+v, %v", weights, err)
	}
	taken := func(place string) url.Values {
		return url.Values{"reading": {weights[0].ID.String()}, "tare": {"3.5"}, "place": {place}}
	}
	b.Post(deer, url.Values{"reading": {"the scale"}}).Wants(t, http.StatusUnprocessableEntity, "That weight cannot be read. Type it.")
	if a := b.Post(deer, taken("15")); a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	b.Post(other, taken("next")).Wants(t, http.StatusUnprocessableEntity, "That weight was used already")
	b.Get("/animals/"+string(dbtest.Tag(1))).Wants(t, http.StatusOK, "hanging, read from scale rail-1", "88.5 lb")
}

// What is not in the cooler yet stands first and urgent, whatever came before it;
// hide-on and skinned are two parts, and a temperature tells its moment.
func TestSkinningParts(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	receive(t, s, 1, domain.Whitetail, domain.WholeHideOn)
	receive(t, s, 2, domain.Whitetail, domain.Whole)
	if page := b.Get("/skinning"); strings.Contains(page.Body, "Not in the cooler yet") || strings.Contains(page.Body, "line urgent") {
		t.Error("what hangs in the cooler is told to be outside")
	}
	s.SetNow(s.Now().Add(2 * time.Hour))
	err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), db.Drop{Drop: animal.Drop{Number: dbtest.Tag(3), Species: domain.Whitetail, Form: domain.Whole, KilledAt: s.Now().Add(-3 * time.Hour)},
		Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142"}, NotHung: true})
	if err != nil {
		t.Fatal(err)
	}
	page := b.Get("/skinning")
	page.Wants(t, http.StatusOK, "Not in the cooler yet: 1", "line urgent", "To skin: 1", "To weigh: 1", "62 °F deep at the door, Thu Nov 19, 12:00 pm.", "came 2 hours ago.")
	at := func(n int) int { return strings.Index(page.Body, "/skinning/"+string(dbtest.Tag(n))) }
	if at(3) > at(1) || at(1) > at(2) {
		t.Errorf("the order is %d, %d, %d", at(3), at(1), at(2))
	}
}

func TestTwoSides(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	b := s.As(t, s.Bob)
	beef := receive(t, s, 1, domain.Beef, domain.Whole)
	b.Get("/skinning").Wants(t, http.StatusOK, "In two sides")
	elk := receive(t, s, 2, domain.Elk, domain.Quarters) // quarters have no sides any more
	if a := b.Get("/skinning"); strings.Contains(a.Body, elk+"?sides=yes") {
		t.Error("an elk in quarters is offered in two sides")
	}
	if a := b.Get(elk + "?sides=yes"); strings.Contains(a.Body, "Left side (L)") {
		t.Error("the scale asks for the sides of an elk in quarters")
	}
	b.Get(beef+"?sides=yes").Wants(t, http.StatusOK, "Left side (L)", "Right side (R)")
	b.Post(beef, url.Values{"sides": {"yes"}, "left": {"352"}}).Wants(t, http.StatusUnprocessableEntity, "Type a weight in lb", `value="352"`)
	if a := b.Post(beef, url.Values{"sides": {"yes"}, "left": {"352"}, "right": {"348"}, "left_tare": {"4"}, "right_tare": {"4"}}); a.Status != http.StatusSeeOther {
		t.Fatalf("got %d: %.2000s", a.Status, a.Body)
	}
	hung, err := s.Hanging(t.Context(), s.Now())
	if err != nil || len(hung) != 3 || hung[1].Part != "L" || hung[2].Part != "R" {
		t.Errorf("%+v, %v", hung, err)
	}
}
