package browser

import (
	"strings"
	"testing"

	"coldrail/db/dbtest"
	"coldrail/web/webtest"
)

// The owner of the shop shortens a rule at the desk; at the rail the longer hang
// of one deer is signed on a tablet.
func TestRuleAndSignatures(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	n := string(s.HangDeer(t, 1, 1))
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
		UPDATE animals SET class = 'mature', wish = 'long-hang', killed_at = $2, received_at = $2::timestamptz + interval '2 hours', revision = 2,
		       protocol_id = (SELECT id FROM protocols WHERE key = 'deer-mature') WHERE number = $1`, n, dbtest.Noon.AddDate(0, 0, -13)); err != nil {
		t.Fatal(err)
	}
	desk := open(t, s.URL, desktop)
	desk.signIn("AK", "correct horse battery", "Ann Kessler")
	desk.goTo("/office/protocols/deer-mature")
	desk.picture("rule")
	desk.form("Make it the rule", map[string]string{"ceiling": "12", "usual_to": "11", "why": "we cut sooner this season", "pin": "4711"})
	if text := ask[string](desk, `document.querySelector("main").innerText`); !strings.Contains(text, "Why: we cut sooner this season") || !strings.Contains(text, "1 still hangs by an older version") {
		t.Errorf("after the edit: %.1500s", text)
	}
	desk.picture("rule-changed")

	s.CutSeason(t, 24)
	desk.goTo("/office/learned")
	desk.sees("whitetail, grown, of the hanging weight", "the shop's own")
	desk.fits(desktop)
	desk.picture("own-numbers")

	rail := open(t, s.URL, tablet)
	rail.signIn("AK", "correct horse battery", "Ann Kessler")
	rail.goTo("/animals/" + n + "/signoff")
	rail.picture("signoff")
	rail.form("The owner has signed", map[string]string{"days": "21", "note": "on the cut sheet, in the binder"})
	rail.form("Sign it off", map[string]string{"note": "cold, dry, good cover", "pin": "4711"})
	if text := ask[string](rail, `document.querySelector("main").innerText`); !strings.Contains(text, "It may hang to day 21") {
		t.Errorf("after signing: %.1500s", text)
	}
	rail.picture("signed")
	desk.fits(desktop)
	rail.fits(tablet)
}
