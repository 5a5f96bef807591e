package db_test

import (
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/incident"
	"coldrail/domain/round"

	"github.com/google/uuid"
)

// warm gives the main cooler readings of one temperature every ten minutes.
func warm(t *testing.T, s *dbtest.Shop, c float64, from, until time.Time) {
	t.Helper()
	_, err := s.Pool().Exec(t.Context(), `
		INSERT INTO readings (sensor_id, cooler_id, at, c, raw_value, raw_unit, raw_at, flag, source)
		SELECT s.id, s.cooler_id, at, $1::float8, $1::float8::text, 'C', at::text, 'ok', 'file'
		FROM sensors s, generate_series($2::timestamptz, $3::timestamptz, interval '10 minutes') AS at WHERE s.name = 'main air'`, c, from, until)
	if err != nil {
		t.Fatal(err)
	}
}

func onlyIncident(t *testing.T, s *dbtest.Shop) db.Incident {
	t.Helper()
	list, err := s.IncidentsOf(t.Context(), s.Cooler.ID)
	if err != nil || len(list) != 1 {
		t.Fatalf("%d incidents, %v; want one", len(list), err)
	}
	return list[0]
}

func watch(t *testing.T, s *dbtest.Shop, now time.Time) {
	t.Helper()
	if err := s.WatchIncidents(t.Context(), now); err != nil {
		t.Fatal(err)
	}
}

// A room at 12 °C for eight hours: opened by the rule once, the deer set to stop,
// decided together, closed when cold.
func TestIncidentFromReadingsToClosing(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	one, two := s.HangDeer(t, 1, 1), s.HangDeer(t, 2, 3)
	began := dbtest.Noon.Add(10 * time.Minute)
	warm(t, s, 12, began, began.Add(8*time.Hour))
	now := began.Add(8 * time.Hour)
	watch(t, s, began.Add(-5*time.Minute))
	if open, err := s.OpenIncidents(ctx); err != nil || len(open) != 0 {
		t.Fatalf("%d incidents before the room was warm, %v", len(open), err)
	}
	watch(t, s, now)
	watch(t, s, now)
	i := onlyIncident(t, s)
	if i.EndedAt != nil || i.Stopped != 2 || i.Waiting != 2 || i.BeganAt.After(began) || i.BeganAt.Before(dbtest.Noon) {
		t.Fatalf("%+v: want it open, two stopped", i)
	}
	a := animalOf(t, s, one)
	v, _, err := s.VerdictOf(ctx, a.ID, a.Revision, now)
	if err != nil || v.Condition != ageing.Stop {
		t.Fatalf("%v %v: want stop", v, err)
	}
	f, err := s.IncidentFile(ctx, i, now)
	if err != nil || len(f.Animals) != 2 || f.Failure != nil || len(f.Readings) < 50 {
		t.Fatalf("%d animals, failure %v, %d readings, %v", len(f.Animals), f.Failure, len(f.Readings), err)
	}
	if w := f.Animals[0].Worst; f.Animals[0].Standing != incident.Stopped || w.Above[1] < 7*time.Hour || w.Surface < 8 || f.Animals[0].Best != w {
		t.Errorf("%+v", f.Animals[0])
	}

	// The warm room is not closed, nor are animals decided about without a reason.
	closing := s.CloseIncident(ctx, s.Act(s.Ann, now), i.ID, "fan motor burnt out, replaced")
	wants(t, closing, domain.Refused, "still too warm")
	warm(t, s, 2, now.Add(10*time.Minute), now.Add(time.Hour))
	now = now.Add(time.Hour)
	watch(t, s, now)
	if i = onlyIncident(t, s); i.EndedAt == nil {
		t.Fatal("the room is cold again and the incident does not say so")
	}
	wants(t, s.CloseIncident(ctx, s.Act(s.Ann, now), i.ID, "fan motor"), domain.Refused, "2 animals wait")
	wants(t, s.CloseIncident(ctx, s.Act(s.Ann, now), i.ID, " "), domain.Invalid, "what was wrong")
	wants(t, s.DecideIncident(ctx, s.Act(s.Ann, now), i.ID, nil, round.CarryOn, "x"), domain.Invalid, "Tick the animals")
	wants(t, s.DecideIncident(ctx, s.Act(s.Ann, now), i.ID, []domain.ShopNumber{one}, round.CarryOn, ""), domain.Invalid, "reason")

	// Meat readings, one of an animal.
	wants(t, s.MeasureMeat(ctx, s.Act(s.Bob, now), i.ID, "roof", "", 8), domain.Invalid, "where you measured")
	wants(t, s.MeasureMeat(ctx, s.Act(s.Bob, now), i.ID, "old", "", 88), domain.Invalid, "Read the thermometer")
	act := s.Act(s.Bob, now)
	for range 2 {
		if err := s.MeasureMeat(ctx, act, i.ID, "door", one, 8.5); err != nil {
			t.Fatal(err)
		}
	}

	decideAct := s.Act(s.Ann, now)
	for range 2 {
		if err := s.DecideIncident(ctx, decideAct, i.ID, []domain.ShopNumber{two, one, two}, round.TrimCutFirst, "smelled clean, surface dry"); err != nil {
			t.Fatal(err)
		}
	}
	a = animalOf(t, s, one)
	if v, _, err = s.VerdictOf(ctx, a.ID, a.Revision, now); err != nil || v.Condition != ageing.FirstToCut {
		t.Errorf("%v %v: want cut first", v, err)
	}
	if f, err = s.IncidentFile(ctx, onlyIncident(t, s), now); err != nil || len(f.Meat) != 1 || *f.Meat[0].Number != one || *f.Animals[0].DecidedBy != "AK" || f.Animals[0].Waits() {
		t.Errorf("%+v %v", f.Meat, err)
	}

	// Two people close it at once: one does, the other is told.
	var wait sync.WaitGroup
	errs := make([]error, 2)
	for n, who := range []db.Staff{s.Ann, s.Bob} {
		wait.Go(func() { errs[n] = s.CloseIncident(ctx, s.Act(who, now), i.ID, "fan motor burnt out, replaced") })
	}
	wait.Wait()
	if (errs[0] == nil) == (errs[1] == nil) {
		t.Fatalf("want exactly one winner, got %v and %v", errs[0], errs[1])
	}
	watch(t, s, now.Add(time.Minute))
	if i = onlyIncident(t, s); i.ClosedAt == nil || i.Found == "" || i.ClosedBy == "" {
		t.Errorf("%+v: want it closed and not opened again", i)
	}
	wants(t, s.MeasureMeat(ctx, s.Act(s.Bob, now), i.ID, "far", "", 3), domain.Refused, "closed already")
}

// Two warm times of a room, the first of them never closed: each is an incident of its
// own that stops the animals and is told, and so is a warm night that a file brings late.
func TestIncidentWhileAnOlderIsOpen(t *testing.T) {
	t.Parallel()
	s, ctx := dbtest.OpenShop(t), t.Context()
	s.Cold(t)
	number := s.HangDeer(t, 1, 1)
	begin := func(h int) time.Time { return dbtest.Noon.Add(time.Duration(h)*time.Hour + 10*time.Minute) }
	told := func(now time.Time, want int) {
		t.Helper()
		watch(t, s, now)
		if err := s.RaiseAlarms(ctx, now); err != nil {
			t.Fatal(err)
		}
		list, err := s.OpenIncidents(ctx)
		alarms, alarmErr := s.OpenAlarms(ctx)
		if err != nil || alarmErr != nil || len(list) != want || len(alarms) != want {
			t.Fatalf("%d incidents, %v, %d alarms, %v; want %d of each", len(list), err, len(alarms), alarmErr, want)
		}
		for _, i := range list {
			if i.Stopped != 1 {
				t.Errorf("the incident of %v stopped %d animals, want the one that hangs", i.BeganAt, i.Stopped)
			}
		}
	}
	warm(t, s, 12, begin(0), begin(3))
	warm(t, s, 2, begin(4), begin(4))
	told(begin(5), 1)
	if err := s.DecideIncident(ctx, s.Act(s.Ann, begin(5)), onlyIncident(t, s).ID, []domain.ShopNumber{number}, round.CarryOn, "smelled clean, dry"); err != nil {
		t.Fatal(err)
	}

	// Warm again, and a program of before had used the act up without an incident.
	warm(t, s, 2, begin(30), begin(30))
	warm(t, s, 12, begin(30).Add(10*time.Minute), begin(38))
	for at := begin(30); at.Before(begin(30).Add(10 * time.Minute)); at = at.Add(time.Second) { // it began between two readings
		_, err := s.Pool().Exec(ctx, `INSERT INTO time_line (act, cooler_id, what, at) VALUES ($1, $2, 'incident', $3)`,
			uuid.NewSHA1(uuid.NameSpaceOID, []byte("incident main "+strconv.FormatInt(at.Unix(), 10))), s.Cooler.ID, begin(38))
		if err != nil {
			t.Fatal(err)
		}
	}
	told(begin(38), 2)
	told(begin(38), 2)
	a := animalOf(t, s, number)
	if v, _, err := s.VerdictOf(ctx, a.ID, a.Revision, begin(38)); err != nil || v.Condition != ageing.Stop {
		t.Errorf("%v %v: want stop, whatever was decided after the first", v, err)
	}
	list, err := s.OpenIncidents(ctx)
	if err != nil || list[0].EndedAt != nil || list[1].EndedAt == nil || list[0].Waiting != 1 || list[1].Waiting != 0 {
		t.Errorf("%+v, %v: want the running one first and its animal waiting, the other decided", list, err)
	}

	warm(t, s, 2, begin(22), begin(22))
	warm(t, s, 12, begin(22).Add(10*time.Minute), begin(27)) // the late file
	warm(t, s, 2, begin(28), begin(28))
	told(begin(38).Add(time.Minute), 3)
	told(begin(38).Add(2*time.Minute), 3)
}

// A sensor silent over night: the file says when the cooling can have failed, and
// the worst case is worse than the best.
func TestIncidentAfterASilentNight(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	s.Cold(t)
	s.HangDeer(t, 1, 1)
	morning := dbtest.Noon.Add(14 * time.Hour)
	warm(t, s, 9, morning, morning)
	watch(t, s, morning.Add(time.Minute))
	f, err := s.IncidentFile(t.Context(), onlyIncident(t, s), morning.Add(time.Minute))
	if err != nil || f.Failure == nil || len(f.Animals) != 1 {
		t.Fatalf("%+v, %v: want a failure nobody saw", f.Failure, err)
	}
	a := f.Animals[0]
	if earliest, latest, _ := f.Failure.Moments(); !earliest.Equal(dbtest.Noon) || !latest.After(earliest) || !latest.Before(morning) {
		t.Errorf("failed between %v and %v", earliest, latest)
	}
	if !a.Known || a.Best.Growth >= a.Worst.Growth || a.Best.Above[0] >= a.Worst.Above[0] || a.Worst.Surface < a.Best.Surface {
		t.Errorf("best %+v, worst %+v", a.Best, a.Worst)
	}
}

func wants(t *testing.T, err error, kind domain.Kind, say string) {
	t.Helper()
	if e := domain.As(err); err == nil || e.Kind != kind || !strings.Contains(e.Error(), say) {
		t.Errorf("got %v, want kind %d saying %q", err, kind, say)
	}
}
