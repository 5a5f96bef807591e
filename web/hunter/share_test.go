package hunter_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"coldrail/domain/cutting"
	"coldrail/web/webtest"
)

var ownLink = regexp.MustCompile(`http://coldrail\.example(/s/[A-Za-z0-9_-]+)`)

// Each owner of a shared beef has a link of their own. On no page that goes to one of
// them, on glass or on paper, stands another's name, pounds or money.
func TestAnOwnerSeesOneShareAlone(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.SharedBeef(t, 1)
	at := "/animals/" + string(n) + "/money"
	bob.Post(at+"/bill", url.Values{"pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Post(at+"/pay", url.Values{"amount": {"77.77"}, "way": {"cash"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Choose whose share the money is for")
	bob.Post(at+"/pay", url.Values{"amount": {"77.77"}, "way": {"cash"}, "portion": {"L"}, "payer": {"Aunt Fay"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "Share by share", "Lena Ochoa", "paid by Aunt Fay", "$363.77", "$286.00")

	counter := bob.Get("/pickup/" + string(n))
	counter.Wants(t, http.StatusOK, "To pay, share by share", "$286.00", "$303.07", "$424.25")
	links := ownLink.FindAllStringSubmatch(counter.Body, -1)
	seen := map[string]bool{}
	var paths []string
	for _, l := range links {
		if !seen[l[1]] {
			seen[l[1]], paths = true, append(paths, l[1])
		}
	}
	if len(paths) != 3 {
		t.Fatalf("three owners, %d links: %v", len(paths), paths)
	}
	shares := []cutting.Portion{cutting.Left, cutting.RightOne, cutting.RightTwo}
	money := []string{"286.00", "303.07", "424.25"} // what each owes; by hand in TestBillIsPartedAmongShares, less 77.77 paid
	pounds := []string{"132.3", "88.2", "44.1"}     // 60, 40 and 20 kg
	names := []string{"Lena", "Marv", "Dot", "Aunt Fay", "77.77", "1,091", "1091.09", "264.6"}
	stranger := s.Nobody(t)
	check := func(what, body string, own int, allowed ...string) {
		t.Helper()
		body = html.UnescapeString(body)
		for i := range shares {
			if i != own && (strings.Contains(body, money[i]) || strings.Contains(body, pounds[i])) {
				t.Errorf("%s of %s tells of %s", what, shares[own], shares[i])
			}
		}
		for _, name := range names {
			told := false
			for _, a := range allowed {
				told = told || a == name
			}
			if !told && strings.Contains(body, name) {
				t.Errorf("%s of %s says %q", what, shares[own], name)
			}
		}
	}
	for i, path := range paths {
		a := stranger.Get(path)
		a.Wants(t, http.StatusOK, money[i], pounds[i]+" lb")
		check("the page", a.Body, i, map[bool]string{true: "77.77"}[i == 0])
		paper := bob.Get("/animals/" + string(n) + "/receipt?share=" + string(shares[i]))
		paper.Wants(t, http.StatusOK, money[i], "your share")
		check("the receipt", paper.Body, i, []string{"Lena", "Marv", "Dot"}[i], map[bool]string{true: "77.77"}[i == 0])
	}
	bob.Get("/animals/"+string(n)+"/payments/1").Wants(t, http.StatusOK, "Lena Ochoa", "77.77")
	check("the receipt of the payment", bob.Get("/animals/"+string(n)+"/payments/1").Body, 0, "Lena", "77.77")
	bob.Get("/animals/"+string(n)+"/receipt").Wants(t, http.StatusConflict, "Print each owner")
	bob.Get("/animals/"+string(n)+"/receipt?share=R").Wants(t, http.StatusNotFound)

	// A new link takes the owners' links with it, and a changed one opens nothing.
	for _, path := range []string{paths[0] + "A", paths[0][:len(paths[0])-2], strings.Replace(paths[0], "/s/", "/s/B", 1)} {
		stranger.Get(path).Wants(t, http.StatusNotFound, "This link does not work")
	}
	bob.Post("/pickup/"+string(n)+"/link", url.Values{}).Wants(t, http.StatusSeeOther)
	stranger.Get(paths[0]).Wants(t, http.StatusNotFound, "This link does not work")
}

// The link of the whole animal says how far a shared one is, and no money or pounds.
func TestWholeLinkOfASharedAnimal(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	ann := s.As(t, s.Ann)
	n := s.BoxDeer(t, 2, 3)
	counter := ann.Get("/pickup/" + string(n))
	link := ownLink.FindStringSubmatch(counter.Body)
	if link == nil {
		t.Fatal("no link")
	}
	if _, err := s.Pool().Exec(t.Context(), `
		UPDATE orders SET portion = 'L', for_whom = 'Lena Ochoa' FROM animals a WHERE a.id = orders.animal_id AND a.number = $1`, n); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Pool().Exec(t.Context(), `UPDATE animals SET revision = revision + 1 WHERE number = $1`, n); err != nil {
		t.Fatal(err)
	}
	a := s.Nobody(t).Get(link[1])
	a.Wants(t, http.StatusOK, "It is shared. Each owner has a link of their own")
	for _, word := range []string{"$", "Lena", " lb"} {
		if strings.Contains(a.Body, word) {
			t.Errorf("it says %q", word)
		}
	}
}

// A line goes to one owner whole, from the page: with a PIN, once.
func TestALineIsPutOnOneOwner(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob, n := s.As(t, s.Bob), s.SharedBeef(t, 1)
	at := "/animals/" + string(n) + "/money"
	bob.Post(at+"/charge", url.Values{"label": {"Kill"}, "amount": {"80"}, "why": {"on the farm"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Post(at+"/bill", url.Values{"pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	page := bob.Get(at)
	line := regexp.MustCompile(`name="line"[^>]*value="([0-9a-f-]{36})"`).FindStringSubmatch(page.Body)
	if line == nil {
		t.Fatalf("no line to choose: %.2000s", page.Body)
	}
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "Choose whose line it is")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"0000"}}).Wants(t, http.StatusUnprocessableEntity, "PIN")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"2222"}}).Wants(t, http.StatusSeeOther)
	bob.Get(at).Wants(t, http.StatusOK, "Whoever brought it", "$80.00")
	bob.Post(at+"/give", url.Values{"line": {line[1]}, "to": {"-"}, "pin": {"2222"}}).Wants(t, http.StatusUnprocessableEntity, "theirs already")
}
