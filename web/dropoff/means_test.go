package dropoff_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// What the door check does to ageing, pounds and price is said before anything is kept,
// with the grades and temperatures of readiness.md section 10 (common practice).
func TestWhatTheDoorCheckMeans(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	bob.Get("/dropoff").Wants(t, http.StatusOK, "40 °F or colder, or killed less than 6 h ago", "up to 50 °F, or 6 to 12 h after", "above 50 °F at 12 to 24 h", "above 50 °F after 24 h; above 60 °F and smells", "What does this mean?")
	form := func(more url.Values) url.Values {
		f := url.Values{"means": {"yes"}, "phone": {"607-555-0142"}, "species": {"whitetail"}, "shape": {"whole"}, "killed": {"yesterday"}, "place": {"next"}}
		for k, v := range more {
			f[k] = v
		}
		return f
	}
	for name, tt := range map[string]struct {
		more url.Values
		says []string
		not  string
	}{
		"clean":                  {url.Values{"door_dirt": {"clean"}}, []string{"It ages as usual: 7 to 14 days on the hook.", "It costs about", "Nothing is saved yet"}, "bad fault"},
		"small fault":            {url.Values{"door_dirt": {"small-fault"}, "weight": {"90"}}, []string{"It ages as usual", "of boneless meat"}, "A bad fault"},
		"bad fault":              {url.Values{"door_gut": {"bad-fault"}}, []string{"A bad fault: it is not aged and is cut first, within 3 days of the kill. Without it: 7 to 14 days on the hook."}, "ages as usual"},
		"shot":                   {url.Values{"door_shot": {"bad-fault"}, "weight": {"90"}}, []string{"Shot damage takes about 2.0 lb to 12.0 lb off", "It ages as usual"}, "A bad fault"},
		"refuse":                 {url.Values{"door_smell": {"refuse"}}, []string{"leave it outside and call the lead"}, "ages as usual"},
		"52 °F, 14 h after":      {url.Values{"deep": {"52"}, "time": {"22:00"}}, []string{"Deep in the ham 52 °F: Bad fault.", "not aged"}, "ages as usual"},
		"52 °F, the day alone":   {url.Values{"deep": {"52"}}, []string{"the hour of the kill decides"}, "Bad fault."},
		"52 °F, 3 h after":       {url.Values{"deep": {"52"}, "killed": {"today"}, "time": {"09:00"}}, []string{"Deep in the ham 52 °F: Clean.", "ages as usual"}, "A bad fault"},
		"found the next morning": {url.Values{"time": {"17:30"}, "recovered": {"2026-11-19T08:00"}}, []string{"smell at hip and neck before it hangs"}, "A bad fault"},
		"nothing chosen":         {url.Values{"species": {""}, "shape": {""}, "killed": {""}}, []string{"Choose the kind and how it comes"}, "It costs"},
	} {
		page := bob.Post("/dropoff", form(tt.more))
		page.Wants(t, http.StatusOK, append(tt.says, `value="607-555-0142"`)...)
		if _, after, _ := strings.Cut(page.Body, "Nothing is saved yet"); strings.Contains(strings.Split(after, "</ul>")[0], tt.not) {
			t.Errorf("%s: it says %q", name, tt.not)
		}
	}
	bob.Post("/dropoff", form(url.Values{"deep": {"warm"}})).Wants(t, http.StatusUnprocessableEntity)
	if n, err := s.NextTag(t.Context()); err != nil || n != dbtest.Tag(1) {
		t.Errorf("%s, %v: something was kept", n, err)
	}
}

// When it was found, the weather and the earlier sample are kept and stand on the record
// (trade.md 1.4, 4 and 5); a find before the kill is refused.
func TestFoundWeatherEarlierSample(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	bob := s.As(t, s.Bob)
	f := url.Values{"number": {string(dbtest.Tag(1))}, "phone": {"607-555-0142"}, "species": {"whitetail"}, "shape": {"whole"}, "killed": {"yesterday"}, "time": {"17:30"},
		"place": {"next"}, "recovered": {"2026-11-18T16:00"}, "weather": {"38 and rain"}, "sample_before": {"WS-4471"}}
	bob.Post("/dropoff", f).Wants(t, http.StatusUnprocessableEntity, "It was found after the kill and before it came here", "WS-4471")
	f.Set("recovered", "2026-11-19T08:00")
	var shot bytes.Buffer
	if err := jpeg.Encode(&shot, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	bob.PostWith("/dropoff", f, "photo_damage", shot.Bytes()).Wants(t, http.StatusSeeOther)
	bob.Get("/animals/"+string(dbtest.Tag(1))).Wants(t, http.StatusOK, "Thu Nov 19, 8:00 am", "38 and rain", "WS-4471")
	a, err := s.Animal(t.Context(), dbtest.Tag(1))
	if err != nil {
		t.Fatal(err)
	}
	if photos, err := s.DoorPhotos(t.Context(), a.ID); err != nil || len(photos) != 1 {
		t.Errorf("%v, %v: want the picture of the damage", photos, err)
	}
}
