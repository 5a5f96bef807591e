package browser

import (
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/logger"
	"coldrail/web/webtest"

	"github.com/google/uuid"
)

// After a warm night the lead measures, ticks the two that are alike, decides
// with PIN and reason on a tablet, closes the incident and prints its report.
func TestIncidentIsDecidedOnATablet(t *testing.T) {
	t.Parallel()
	site := webtest.Open(t)
	ctx, now := t.Context(), dbtest.Noon
	if _, err := site.AddSensor(ctx, db.Sensor{CoolerID: site.Cooler.ID, Name: "pencil", Kind: "logger"}); err != nil {
		t.Fatal(err)
	}
	one, two := site.HangDeer(t, 1, 1), site.HangDeer(t, 2, 4)
	file := db.ReadingsFile{Sensor: "pencil", Name: "pencil.csv", Sure: true}
	for ago := 72 * time.Hour; ago >= 0; ago -= 10 * time.Minute {
		c, said := domain.Celsius(1.8), "1.8"
		if ago%(20*time.Minute) == 0 {
			c, said = 2, "2.0"
		}
		if ago < 8*time.Hour && ago > 2*time.Hour {
			c, said = 11, "11.0"
		}
		file.Rows = append(file.Rows, logger.Row{Line: len(file.Rows) + 2, At: now.Add(-ago), C: c, Read: true, RawAt: "x", RawValue: said, Unit: logger.Celsius})
	}
	if _, err := site.ImportReadings(ctx, db.Act{ID: uuid.Must(uuid.NewV7()), At: now, Staff: site.Ann.ID}, file); err != nil {
		t.Fatal(err)
	}
	if err := site.WatchIncidents(ctx, now); err != nil {
		t.Fatal(err)
	}
	s := open(t, site.URL, tablet)
	s.signIn("AK", "correct horse battery", "Ann Kessler")
	s.sees("Incidents: 1", "2 animals wait for a decision.")
	incidents, err := site.OpenIncidents(ctx)
	if err != nil || len(incidents) != 1 {
		t.Fatalf("%d incidents, %v", len(incidents), err)
	}
	page := "/coolers/incidents/" + incidents[0].ID.String()
	s.goTo(page)
	s.sees("stopped: the lead decides", "2 hours above 40 °F", "Measure five within the hour")
	s.fits(tablet)
	s.picture("incident-open")
	s.form("Write it down", map[string]string{"place": "door", "c": "44.5", "number": string(one)})
	s.sees("44.5 °F")
	s.form("Decide", map[string]string{"numbers": string(one), "numbers#1": string(two), "verdict": "trim-and-cut-first",
		"reason": "clean smell at hip and folds, dry, probe 43 °F", "pin": "4711"})
	s.sees("decided: trim and cut first, by AK", "clean smell at hip and folds")
	s.form("Close it", map[string]string{"found": "contactor stuck, replaced", "pin": "4711"})
	s.sees("contactor stuck, replaced")
	s.picture("incident-closed")
	s.goTo(page + "/report")
	s.sees("Report of an incident", "Signed, for the shop")
	if got := pages(t, s.paper("incident-report")); len(got) != 2 { // what happened, and the air
		t.Errorf("the report prints on %d pages, want 2", len(got))
	}
	s.picture("incident-report")
	phoned := open(t, site.URL, phone)
	phoned.signIn("AK", "correct horse battery", "Ann Kessler")
	phoned.goTo(page)
	phoned.fits(phone)
	phoned.picture("incident-phone")
}
