package main

import (
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/domain/message"
	"coldrail/web/hunter"
)

// killedFor enters the kill of a shared beef: Lena and Marv gave a phone, Dot none.
func killedFor(t *testing.T, s *dbtest.Shop, running int) (domain.ShopNumber, cutting.Kill) {
	t.Helper()
	n, sold := s.SharedBeef(t, running), dbtest.Noon.AddDate(0, -2, 0)
	k := cutting.Kill{ThirtyMonths: "no", KnownBy: "papers", SaidBy: "Hollis Rudd", Household: true, Shares: []cutting.Buyer{
		{Portion: cutting.Left, Name: "Lena Ochoa", Phone: "555-0131", SoldOn: sold, Evidence: "bill of sale"},
		{Portion: cutting.RightOne, Name: "Marv Tull", Phone: "555-0132", SoldOn: sold, Evidence: "bill of sale"},
		{Portion: cutting.RightTwo, Name: "Dot Quill", SoldOn: sold, Evidence: "bill of sale"}}}
	must(t, s.EnterKill(t.Context(), s.Act(s.Bob, dbtest.Noon), n, k))
	return n, k
}

// Whoever is known only from the kill entry is told of their own share: a line of their
// own on the call list, or a text with the boxes, the money and the page of that share
// alone. Nobody reads another's name; whose share was put right is told nothing more.
func TestShareMatesAreTold(t *testing.T) {
	t.Parallel()
	s, o, out := toldShop(t)
	ctx := t.Context()
	n, _ := killedFor(t, s, 1)
	s.OwnedBy(t, n, "Hollis Rudd", "555-0130", "call", "")
	people, err := s.OwnersReached(ctx, n)
	if err != nil || len(people) != 3 || people[1].Name != "Marv Tull" || people[1].Portion != cutting.RightOne {
		t.Fatalf("%+v, %v: want Lena, Marv and the farmer", people, err)
	}
	must(t, s.SetReach(ctx, s.Act(s.Bob, dbtest.Noon), n, people[1].PersonID, message.Reach{TellBy: "text"}))
	must(t, s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), n, billing.Done{Code: "skinning"}))
	list, err := s.MessagesAbout(ctx, n)
	must(t, err)
	of := map[string]db.Message{}
	for _, m := range list {
		of[m.Name] = m
	}
	lena, marv := of["Lena Ochoa"], of["Marv Tull"]
	if len(list) != 3 || lena.State != db.MessageToCall || lena.Portion != cutting.Left || lena.Phone != "555-0131" || marv.State != db.MessageQueued || of["Hollis Rudd"].Portion != cutting.WholeAnimal {
		t.Fatalf("%+v: want each told in their own way", list)
	}
	must(t, s.WordMessage(ctx, s.Act(s.Ann, dbtest.Noon), marv.Kind, "{name}: {boxes}, to pay {owed}, {link}", 0))
	must(t, try(t, s, out, marv, 1))
	if len(o.posts) != 1 || !strings.HasPrefix(o.posts[0].Text, "Marv Tull: 1 box, to pay $") || o.posts[0].To != "555-0132" {
		t.Fatalf("%+v", o.posts)
	}
	for _, other := range []string{"Lena", "Dot", "Hollis", "Ochoa", "Quill", "Rudd"} {
		if strings.Contains(o.posts[0].Text, other) {
			t.Errorf("%s stands in %q", other, o.posts[0].Text)
		}
	}
	a, err := s.Animal(ctx, n)
	must(t, err)
	if link := hunter.ShareLink("https://meat.example", nil, a.ID, cutting.RightOne, a.LinkRevision); !strings.HasSuffix(o.posts[0].Text, link) {
		t.Errorf("%q leads not to %s", o.posts[0].Text, link)
	}

	sold, kill := killedFor(t, s, 2)
	must(t, s.Bill(ctx, s.Act(s.Bob, dbtest.Noon), sold, billing.Done{Code: "skinning"}))
	kill.Shares[1].Name, kill.Shares[1].Phone = "Nell Voss", "555-0133"
	links := func() int {
		a, err := s.Animal(ctx, sold)
		must(t, err)
		return a.LinkRevision
	}
	before := links()
	must(t, s.CorrectKill(ctx, s.Act(s.Ann, dbtest.Noon), sold, kill, 0, "the farmer had the names mixed up"))
	if links() == before {
		t.Error("the link Marv has shows what Nell owes")
	}
	kill.Note = "read off the list again"
	must(t, s.CorrectKill(ctx, s.Act(s.Ann, dbtest.Noon), sold, kill, 1, "the note"))
	if links() != before+1 {
		t.Error("links ended though every part is its buyer's still")
	}
	list, err = s.MessagesAbout(ctx, sold)
	must(t, err)
	for _, m := range list {
		if m.Name == "Marv Tull" {
			must(t, try(t, s, out, m, 1))
		}
	}
	if people, err = s.OwnersReached(ctx, sold); err != nil || len(people) != 2 || people[1].Name != "Nell Voss" || len(o.posts) != 1 {
		t.Errorf("%+v, %v, %d posts: want Marv told nothing more", people, err, len(o.posts))
	}
}

// A phone nobody could call is refused as the kill is entered.
func TestBuyersPhone(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	n, kill := killedFor(t, s, 1)
	kill.Shares[2].Phone = "555"
	if e := domain.As(s.CorrectKill(t.Context(), s.Act(s.Ann, dbtest.Noon), n, kill, 0, "asked again")); e.At != "shares" || !strings.Contains(e.Error(), "not a whole phone number") {
		t.Errorf("%v", e)
	}
}
