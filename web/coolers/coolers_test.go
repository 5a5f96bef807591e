package coolers_test

import (
	"crypto/sha256"
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/logger"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

var now = time.Date(2026, 11, 19, 17, 0, 0, 0, time.UTC) // noon in New York

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// small is the room of readiness.md section 7: 3.0 x 3.6 x 2.4 m, one fan of
// 150 W, 77 °F outside, with twelve deer of 40 kg that have hung for days at 2 °C.
func small(t testing.TB, deer int) *webtest.Site {
	t.Helper()
	s := webtest.Open(t)
	s.SetNow(now)
	room, err := s.AddCooler(t.Context(), db.Cooler{Name: "small", Label: "Small cooler", Kind: "cooler", LengthM: 3.6, WidthM: 3, HeightM: 2.4,
		Panel: "polyurethane", Fans: 1, FanW: 150, OutsideC: 25}, []db.Rail{{Name: "S1", Kind: "bare", LengthM: 4, Places: 12}})
	must(t, err)
	_, err = s.AddSensor(t.Context(), db.Sensor{CoolerID: room.ID, Name: "pencil"})
	must(t, err)
	for n := range deer {
		_, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `
			WITH a AS (
			  INSERT INTO animals (id, number, species, class, form, killed_at, received_at, received_by, hanging_kg, physical, legal, disease, order_state, money,
			         protocol_id, price_list_id)
			  VALUES (gen_random_uuid(), $1, 'whitetail', 'mature', 'whole', $2::timestamptz - interval '3 hours', $2, $3, 40, 'hanging', 'verified',
			         'not-needed', 'none', 'quoted', (SELECT id FROM protocols WHERE key LIKE 'deer%' ORDER BY id LIMIT 1), $4) RETURNING id
			)
			INSERT INTO occupancies (id, place_id, animal_id, since, by_staff)
			SELECT gen_random_uuid(), p.id, a.id, $2, $3 FROM a, places p JOIN rails r ON r.id = p.rail_id WHERE r.name = 'S1' AND p.position = $5`,
			dbtest.Tag(n+1), now.AddDate(0, 0, -7), s.Bob.ID, s.Prices.ID, n+1)
		must(t, err)
	}
	return s
}

// bring stores readings of the pencil: every ten minutes from hours before now,
// with what each says.
func bring(t testing.TB, s *webtest.Site, hours int, c func(ago time.Duration) (domain.Celsius, bool)) {
	t.Helper()
	var text strings.Builder
	text.WriteString("time,temp C\n")
	for ago := time.Duration(hours) * time.Hour; ago >= 0; ago -= 10 * time.Minute {
		if v, seen := c(ago); seen {
			fmt.Fprintf(&text, "%s,%.2f\n", now.Add(-ago).Format(time.RFC3339), float64(v)+0.01*float64(int(ago.Minutes())%3))
		}
	}
	rows, err := logger.Parse([]byte(text.String()), logger.Told{})
	must(t, err)
	_, err = s.ImportReadings(t.Context(), s.Act(s.Ann, now), db.ReadingsFile{Sensor: "pencil", Name: "pencil.csv", Sum: sha256.Sum256([]byte(text.String())), Rows: rows, Sure: true})
	must(t, err)
}

// The worked example of readiness.md section 7a: air past 40 °F in 18 min,
// surface past 41 °F in about 50 min, meat past 40 °F in 3.5 h.
func TestIfCoolingStops(t *testing.T) {
	t.Parallel()
	s := small(t, 12)
	bring(t, s, 7*24, func(time.Duration) (domain.Celsius, bool) { return 2, true })
	a := s.As(t, s.Bob).Get("/coolers/small")
	a.Wants(t, http.StatusOK, "If cooling stops now", "Air past 40 °F: 18 min.", "Meat on average past 40 °F: 3.5 h.", "fans off", "fans running on", "not the alarm", "1058.2 lb", "100 %", "as it should be")
	var surface int
	if _, after, ok := strings.Cut(a.Body, "Meat surface past 41 °F: "); !ok {
		t.Error("no word of the surface")
	} else if _, err := fmt.Sscanf(after, "%d min.", &surface); err != nil || surface < 47 || surface > 53 {
		t.Errorf("surface after %d min, want about 50", surface)
	}
	if strings.Count(a.Body, `<td class="num">`) < 3*6 { // three limits, air, surface and meat, fans on and off
		t.Error("the table with fans on and off is not whole")
	}
}

func TestEmptyRooms(t *testing.T) {
	t.Parallel()
	s := small(t, 0)
	bob := s.As(t, s.Bob)
	bob.Get("/coolers").Wants(t, http.StatusOK, "Small cooler", "Main cooler", "Freezer", "No reading of this room yet.")
	bob.Get("/round").Wants(t, http.StatusOK, "No reading of this room yet.")
	never := bob.Get("/coolers/small")
	never.Wants(t, http.StatusOK, "No reading of this room yet. Read the thermometer.", "No round yet", "0 %")
	if strings.Contains(never.Body, "in two weeks") {
		t.Error("a room nobody could read yet is scolded")
	}
	bob.Get("/coolers/attic").Wants(t, http.StatusNotFound, "no room called attic")
	bring(t, s, 5, func(time.Duration) (domain.Celsius, bool) { return 2, true })
	bob.Get("/coolers/small").Wants(t, http.StatusOK, "Nothing hangs in it.")
	s.SetNow(now.AddDate(0, 0, 20))
	bob.Get("/coolers/small").Wants(t, http.StatusOK, "Nobody has read a thermometer here in two weeks.")
	bob.Get("/coolers").Wants(t, http.StatusOK, "No reading in the last two days.")
}

// A warm night, a silent logger and a missed round all stand on the page.
func TestTrouble(t *testing.T) {
	t.Parallel()
	s := small(t, 3)
	bring(t, s, 48, func(ago time.Duration) (domain.Celsius, bool) {
		h := ago.Hours()
		warm := domain.Celsius(2)
		if h < 4 {
			warm = domain.Fahrenheit(43)
		}
		return warm, !(h > 20 && h < 27) && h >= 1.4
	})
	must(t, s.WatchRounds(t.Context(), now.Add(-30*time.Hour)))
	must(t, s.WatchRounds(t.Context(), now))
	a := s.As(t, s.Bob).Get("/coolers/small")
	a.Wants(t, http.StatusOK, "too warm: act now", "The sensor has been silent for 1.5 hours: nobody is watching.", "not seen, 7 h", "missed", "Thu Nov 19, morning", "pencil: a logger, air")
	s.As(t, s.Bob).Get("/coolers").Wants(t, http.StatusOK, "Air too warm: act now")
}

func TestRoundsAndFreezer(t *testing.T) {
	t.Parallel()
	s := small(t, 0)
	must(t, s.WatchRounds(t.Context(), now.Add(-6*time.Hour)))
	cold, fans := domain.Fahrenheit(12), 1
	act := s.Act(s.Bob, now.Add(-5*time.Hour))
	must(t, s.SaveRound(t.Context(), act, db.Round{Cooler: "freezer", WalkedFrom: now.Add(-5*time.Hour - time.Minute), WalkedTo: now.Add(-5 * time.Hour),
		RoomCheck: db.RoomCheck{AirPanel: &cold, AirOwn: &cold, FansRunning: &fans, Smell: round.SmellClean}}))
	bob := s.As(t, s.Bob)
	bob.Get("/coolers/freezer").Wants(t, http.StatusOK, "Above 10 °F", "Between rounds nobody is watching.", "by BT", "/round/walked/"+act.ID.String(), "12.0 °F", "done", "By hand: air at the warm spot, air at the panel")
	if strings.Contains(bob.Get("/coolers/freezer").Body, "If cooling stops") {
		t.Error("a freezer's boxes are in no model")
	}
}

// The logger files of testdata go in and come out as days.
func TestReadingsByDay(t *testing.T) {
	t.Parallel()
	s := small(t, 0)
	text, err := os.ReadFile("../../testdata/logger/fahrenheit_gap.csv")
	must(t, err)
	zone, err := time.LoadLocation("America/New_York")
	must(t, err)
	rows, err := logger.Parse(text, logger.Told{Zone: zone})
	must(t, err)
	_, err = s.ImportReadings(t.Context(), s.Act(s.Ann, now), db.ReadingsFile{Sensor: "pencil", Name: "fahrenheit_gap.csv", Sum: sha256.Sum256(text), Rows: rows})
	must(t, err)
	s.As(t, s.Bob).Get("/coolers/small").Wants(t, http.StatusOK, "Wed Nov 18", "Tue Nov 17", "Wed Nov 18, 1:00 am to 8:00 am", "not seen, 7 h")
}
