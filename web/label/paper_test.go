package label_test

import (
	"net/http"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/web/webtest"
)

// A cut sheet of an animal without an order must not send anyone to the knife.
func TestCutSheetWithoutOrder(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), s.HangDeer(t, 1, 1)
	bob.Get("/animals/"+string(number)+"/cutsheet").Wants(t, http.StatusOK, "No order yet. Do not cut.", "owner not known yet", string(number))
	bob.Get("/animals/"+string(number)+"/boxes/1/label").Wants(t, http.StatusNotFound, "has no box 1")
	bob.Get("/animals/"+string(number)+"/boxes/x/label").Wants(t, http.StatusNotFound, "There is no such box.")
}

// Receipt and rail tag of a drop-off: what Colorado asks of a receipt (trade.md
// 1.4: shop and owner with address and phone, date and time, animal, tag number),
// and the number twice.
func TestReceiptAndRailTag(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, number := s.As(t, s.Bob), dbtest.Tag(147)
	points := animal.Drop{Number: number, Species: domain.Whitetail, Form: domain.Whole, Sex: animal.Male, Points: 8, KilledAt: s.Now().AddDate(0, 0, -1)}
	err := s.Receive(t.Context(), s.Act(s.Bob, s.Now()), db.Drop{Drop: points, Owner: db.Person{Name: "Dell Hargrove", Phone: "555-0142", Licence: "H-77310"},
		Tag: db.OfficialTag{Number: "NY 4410 22", State: "NY"}})
	if err != nil {
		t.Fatal(err)
	}
	receipt := bob.Get("/animals/" + string(number) + "/slip")
	receipt.Wants(t, http.StatusOK, "Hollow Creek Custom Meats", "Dell Hargrove, address: ____________________, 555-0142", "Nov 19, 2026, 12:00 pm", "8 points", "NY 4410 22, NY", "NOT FOR SALE",
		"not inspected", "sheet-4x6", string(number))
	if strings.Contains(receipt.Body, "H-77310") {
		t.Error("the receipt shows a licence")
	}
	tag := bob.Get("/animals/" + string(number) + "/tag")
	tag.Wants(t, http.StatusOK, ">0147<", string(number), "Killed Wed Nov 18", "R1-1")
	if strings.Contains(tag.Body, "Hargrove") {
		t.Error("a rail tag names a person")
	}
	bob.Get("/animals/26-0900-1/slip").Wants(t, http.StatusNotFound, "no animal with the number")
}
