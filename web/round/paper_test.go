package round_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/domain/round"
)

// Work on paper: both times, both names, and a sheet to print.
func TestPaper(t *testing.T) {
	t.Parallel()
	s := open(t)
	ann := s.As(t, s.Ann)
	ann.Get("/round/main/sheet").Wants(t, http.StatusOK, "walked by", "R1-3", string(dbtest.Tag(3)), "(look at this one)", "Counted")
	ann.Get("/round/main/paper").Wants(t, http.StatusOK, "done on paper", "Who walked it")
	good := func() url.Values {
		return url.Values{"written": {"2026-11-19T17:30"}, "walker": {s.Bob.ID.String()}, "smell": {"clean"}, "panel": {"35"}, "independent": {"36"}, "meat-old": {"36"},
			"meat-new": {"55"}, "fans": {"3"}, "count-1": {"3"}, "count-2": {"1"}, "count-3": {"0"}, "number-0": {string(dbtest.Tag(3))}, "surface-0": {"wet"}, "smell-0": {"clean"}}
	}
	for _, tt := range []struct{ field, value, says string }{
		{"written", "", "wrong"}, {"written", "2026-11-01T17:30", "older than a week"}, {"written", "2026-11-19T23:30", "in the future"},
		{"walker", "", "Say who walked"}, {"count-1", "", "Type how many"}, {"fans", "", "Count the fans that turn"}, {"humidity", "120", "from 0 to 100"}, {"right-door", "no", "Look at it and say"}, {"surface-0", "", "how it feels"}, {"panel", "", "Measure it"},
	} {
		f := good()
		f.Set(tt.field, tt.value)
		ann.Post("/round/main/paper", f).Wants(t, http.StatusUnprocessableEntity, tt.says)
		if t.Failed() {
			t.Fatal(tt.field, tt.value)
		}
	}
	f := good()
	f.Set("number-0", "")
	f.Set("number-3", string(dbtest.Tag(3)))
	f.Set("smell-3", "clean")
	ann.Post("/round/main/paper", f).Wants(t, http.StatusUnprocessableEntity, "how it feels", `<details class="sums" open>`)
	a := ann.Post("/round/main/paper", good())
	ann.Get(a.Location).Wants(t, http.StatusOK, "The evening round was done on paper, typed in by AK", "by BT", "No picture of the sheet was taken.")
}

// Paper asks what the tablet asks: the sheet and the page it is typed in on have
// every item of the long list, in its order.
func TestPaperAsksTheWholeList(t *testing.T) {
	t.Parallel()
	s := open(t)
	ann := s.As(t, s.Ann)
	sheet, form := ann.Get("/round/main/sheet").Body, ann.Get("/round/main/paper").Body
	asked := 0
	for _, i := range round.Full() {
		if i.Key == round.ItemCount {
			continue // of each rail by itself, at the end
		}
		label := ">" + i.Label.String() + "<"
		for name, left := range map[string]*string{"sheet": &sheet, "page": &form} {
			_, after, found := strings.Cut(*left, label)
			if !found {
				t.Fatalf("the %s does not ask for %q after the items before it", name, i.Label)
			}
			*left = after
		}
		asked++
	}
	if asked < 12 || !strings.Contains(sheet, "Anything else") || !strings.Contains(form, "Anything else") {
		t.Errorf("%d items asked", asked)
	}
}

// What was not right on paper becomes something to put right, as on the tablet;
// the long list counts for its day.
func TestPaperFindsADoorFault(t *testing.T) {
	t.Parallel()
	s := open(t)
	ann := s.As(t, s.Ann)
	form := url.Values{"written": {"2026-11-19T17:30"}, "walker": {s.Bob.ID.String()}, "smell": {"clean"}, "panel": {"35"}, "independent_exact": {"36.5"}, "meat-old": {"36"},
		"meat-new": {"55"}, "fans": {"3"}, "count-1": {"3"}, "count-2": {"1"}, "count-3": {"0"}, "humidity": {"80"},
		"right-frost": {"yes"}, "right-drip": {"yes"}, "right-floor": {"yes"}, "right-door": {"no"}, "right-light": {"yes"}}
	if strings.Contains(ann.Get("/round/actions").Body, "Door and latch") {
		t.Fatal("the door was to be put right before the sheet came in")
	}
	a := ann.Post("/round/main/paper", form)
	ann.Get(a.Location).Wants(t, http.StatusOK, "Door and latch", "A door that does not open from inside comes first.")
	ann.Get("/round/actions").Wants(t, http.StatusOK, "Door and latch")
	if strings.Contains(ann.Get("/round/main").Body, "right-door") {
		t.Error("the long list is asked a second time on its day")
	}
}

// Whoever reads Spanish gets the words to write on the sheet in Spanish.
func TestSheetInTheirLanguage(t *testing.T) {
	t.Parallel()
	s := open(t)
	bob := s.As(t, s.Bob)
	bob.Post("/who/language", url.Values{"language": {"es-US"}, "next": {"/round"}})
	sheet := bob.Get("/round/main/sheet")
	sheet.Wants(t, http.StatusOK, "babosa", "pegajosa")
	if strings.Contains(sheet.Body, "slimy") {
		t.Error("the sheet names surfaces in English")
	}
}

// The picture of the sheet stands with the round that was typed in from it.
func TestPaperWithPicture(t *testing.T) {
	t.Parallel()
	s := open(t)
	ann := s.As(t, s.Ann)
	var sheet bytes.Buffer
	if err := jpeg.Encode(&sheet, image.NewGray(image.Rect(0, 0, 600, 800)), nil); err != nil {
		t.Fatal(err)
	}
	form := url.Values{"written": {"2026-11-19T17:30"}, "walker": {s.Bob.ID.String()}, "smell": {"clean"}, "panel": {"35"}, "independent": {"36"}, "meat-old": {"36"},
		"meat-new": {"55"}, "fans": {"3"}, "count-1": {"3"}, "count-2": {"1"}, "count-3": {"0"}}
	ann.PostWith("/round/main/paper", form, "photo-sheet", []byte("no picture")).Wants(t, http.StatusUnprocessableEntity, "The picture cannot be read.")
	a := ann.PostWith("/round/main/paper", form, "photo-sheet", sheet.Bytes())
	page := ann.Get(a.Location)
	page.Wants(t, http.StatusOK, "The sheet this round was written on")
	_, after, _ := strings.Cut(page.Body, `src="/photos/`)
	id, _, _ := strings.Cut(after, `"`)
	if picture := ann.Get("/photos/" + id); picture.Status != http.StatusOK || picture.Header.Get("Content-Type") != "image/jpeg" {
		t.Errorf("the picture answers %d, %s", picture.Status, picture.Header.Get("Content-Type"))
	}
	s.Nobody(t).Get("/photos/"+id).Wants(t, http.StatusSeeOther)
}
