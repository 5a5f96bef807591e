package rail_test

import (
	"net/http"
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/round"
	"coldrail/web/webtest"
)

// An empty rail says where it begins and offers nothing to move; what is stopped is
// named above the rails, which slide.
func TestBoardEmptyAndStopped(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	page := s.As(t, s.Ann).Get("/rail")
	page.Wants(t, http.StatusOK, "Nothing hangs yet.", `href="/dropoff"`, "12 free", "0 % full")
	if strings.Contains(page.Body, `href="/rail/move"`) || strings.Contains(page.Body, "rail-first") {
		t.Error("a page where nothing hangs offers to move it, or names what needs a person")
	}
	n := s.HangDeer(t, 1, 1)
	stop := db.Look{Look: round.Look{At: dbtest.Noon, Smell: round.SmellSour, Surface: round.SurfaceWet}, Touched: true}
	if err := s.Look(t.Context(), s.Act(s.Bob, dbtest.Noon), n, stop); err != nil {
		t.Fatal(err)
	}
	_, first, _ := strings.Cut(s.As(t, s.Bob).Get("/rail").Body, "rail-first")
	first, _, _ = strings.Cut(first, "</p>")
	if !strings.Contains(first, "/animals/"+string(n)) || !strings.Contains(first, "cond-stop") {
		t.Errorf("above the rails stands %q, not the one that is stopped", first)
	}
}

// The board on the wall says that a room is warm, and counts places where nothing
// hangs from a hook.
func TestBoardWarmRoomAndShelf(t *testing.T) {
	t.Parallel()
	s := webtest.Open(t)
	s.Cold(t)
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE rails SET kind = 'shelf' WHERE name = 'R2'`); err != nil {
		t.Fatal(err)
	}
	page := s.As(t, s.Bob).Get("/rail")
	page.Wants(t, http.StatusOK, "0 on 12 places", "0 on 12 hooks")
	if strings.Contains(page.Body, "too warm") {
		t.Error("a cold room is called too warm")
	}
	s.HangDeer(t, 1, 1)
	if _, err := dbtest.Owner(t, s.DB).Exec(t.Context(), `UPDATE rails SET kind = 'shelf' WHERE name = 'R1'`); err != nil {
		t.Fatal(err)
	}
	s.As(t, s.Bob).Get("/rail").Wants(t, http.StatusOK, "1 on 12 places", "place 1<")
	// The panel says cold, the thermometer at the warm spot does not: the warmer counts.
	panel, air, fans := domain.Fahrenheit(36), domain.Fahrenheit(44), 3
	if err := s.CheckRoom(t.Context(), s.Act(s.Bob, dbtest.Noon), db.Walk{ID: s.Act(s.Bob, dbtest.Noon).ID, Cooler: "main", Arrived: dbtest.Noon},
		db.RoomCheck{AirPanel: &panel, AirOwn: &air, MeatOld: &air, MeatNew: &air, FansRunning: &fans, Smell: round.SmellClean}); err != nil {
		t.Fatal(err)
	}
	page = s.As(t, s.Bob).Get("/rail")
	page.Wants(t, http.StatusOK, "44.0 °F, too warm")
	if at := strings.Index(page.Body, "too warm"); at > strings.Index(page.Body, "rail-line") {
		t.Error("a warm room is not said above all rails")
	}
}
