package office_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/web/webtest"
)

// The page says of each number what the table has, what the shop's own animals
// say, how many stand behind it and which is in use; the switch changes what the
// record of an animal says.
func TestOwnNumbers(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	n := string(s.HangDeer(t, 1, 1))
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET class = 'mature' WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	ann := s.As(t, s.Ann)
	const page = "/office/learned"
	ann.Get("/office").Wants(t, http.StatusOK, page)
	ann.Get(page).Wants(t, http.StatusOK, "No animal is finished yet. The tables are in use.")
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "Boneless meat to expect", "41.4 lb to 50.5 lb", "classic whitetail formula")

	s.CutSeason(t, 24)
	if p := strings.Join(strings.Fields(ann.Get(page).Body), " "); !strings.Contains(p, `<td class="num" data-name="Animals">24 </td><td data-name="In use">the shop&#39;s own</td>`) {
		t.Errorf("the page does not say how many stand behind it: %.3000s", p[strings.Index(p, "<table"):])
	}
	ann.Get(page).Wants(t, http.StatusOK, "whitetail, grown, of the hanging weight", "47 % to 57 %", "the shop&#39;s own", "deer and like game, off the bone", "Hyndman and Fan, 1996")
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "what 24 of this shop&#39;s own animals of the class gave")

	back := url.Values{"number": {"yield hanging/whitetail/mature"}, "use": {"table"}, "reason": {"a scale was off"}, "pin": {"4711"}}
	wrongPIN := url.Values{"number": back["number"], "use": back["use"], "reason": back["reason"], "pin": {"1111"}}
	ann.Post(page, wrongPIN).Wants(t, http.StatusUnprocessableEntity, "That does not fit", "a scale was off")
	ann.Post(page, url.Values{"number": back["number"], "use": {"table"}, "pin": {"4711"}}).Wants(t, http.StatusUnprocessableEntity, "Say why.")
	ann.Post(page, url.Values{"number": {"yield nothing"}, "use": {"table"}, "reason": {"x"}, "pin": {"4711"}}).Wants(t, http.StatusNotFound)
	if a := ann.Post(page, back); a.Status != http.StatusSeeOther || a.Location != page {
		t.Fatalf("%d %.600s", a.Status, a.Body)
	}
	ann.Get(page).Wants(t, http.StatusOK, "the table, by the owner&#39;s choice", "Chosen so far", "a scale was off", "Use the shop&#39;s own")
	ann.Get("/animals/"+n).Wants(t, http.StatusOK, "41.4 lb to 50.5 lb", "classic whitetail formula")
	s.As(t, s.Bob).Get(page).Wants(t, http.StatusForbidden)
}
