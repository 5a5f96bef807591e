package browser

import (
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/web/webtest"
)

// wordy is a wish of as many letters as a form takes, in the capitals of somebody who
// means it.
func wordy(letters int) string {
	return strings.ToUpper(strings.Repeat("Both hind quarters whole on the bone, backstraps in one piece, head and cape for the wall; ", 3))[:letters]
}

// The wish, the names and the rail of a deer are as long as their forms take: each of
// its papers still has all its codes, and they can be scanned off the paper.
func TestLongWordsOnPaper(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	site.Cold(t)
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Ann Kessler")
	number := ordered(t, site, 1)
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE animals SET keeps = $1, door = 'damaged'`, wordy(120))
	must(t, err)
	s.longTag(t, site, number)
}

// longTag prints the rail tag with the longest wish, on its own paper and on a letter page.
func (s *screen) longTag(t *testing.T, site *webtest.Site, number domain.ShopNumber) {
	_, err := dbtest.Owner(t, site.DB).Exec(t.Context(), `UPDATE rails SET name = 'North wall ' || name`)
	must(t, err)
	for _, paper := range []struct{ ask, name, inches string }{{"", "tag-long", "4x6"}, {"?paper=letter", "tag-long-letter", "8.5x11"}} {
		s.sheet("/animals/"+string(number)+"/tag"+paper.ask, paper.name, paper.inches)
		s.sees("CUT FIRST", wordy(120), "North wall")
		s.whole(paper.name)
		s.codes(paper.name, number.Digits())
	}
}
