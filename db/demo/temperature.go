package demo

import (
	"crypto/sha256"
	"fmt"
	"math"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/cooler"
	"coldrail/domain/logger"
)

// The back cooler's bad night: its compressor stopped at two past nine in the
// evening, the fans went on, and it was found at seven.
const failedDaysAgo = 6

func (s *season) failedFrom() time.Time  { return s.day(failedDaysAgo, 21, 2) }
func (s *season) failedUntil() time.Time { return s.day(failedDaysAgo-1, 7, 10) }

func (s *season) failing(room string, at time.Time) bool {
	return room == "back" && !at.Before(s.failedFrom()) && at.Before(s.failedUntil())
}

// air is the true air of a room at an instant: 35 °F give or take the
// compressor's cycle, four defrosts a day, and the bad night.
func (s *season) air(room string, at time.Time) domain.Celsius {
	hour := float64(at.Unix()) / 3600
	wave := 0.35*math.Sin(hour*2*math.Pi/0.55) + 0.2*math.Sin(hour*2*math.Pi/24+1)
	if room == "freezer" {
		return domain.Celsius(-20.5 + wave)
	}
	c := 1.5 + wave
	if room == "back" {
		c = 1.7 + wave
	}
	if minute := at.In(s.zone).Hour()%6*60 + at.In(s.zone).Minute(); minute >= 120 && minute < 160 { // defrost at 2, 8, 14 and 20 h
		c += 1.7 * math.Sin(math.Pi*float64(minute-120)/40)
	}
	if room != "back" {
		return domain.Celsius(c)
	}
	switch down := at.Sub(s.failedFrom()).Hours(); {
	case down <= 0:
	case at.Before(s.failedUntil()):
		return s.warming().After(down).Air
	default: // cooling again: two hours pull it most of the way down
		end := s.failedUntil()
		peak := s.warming().After(end.Sub(s.failedFrom()).Hours()).Air
		c += (float64(peak) - c) * math.Exp(-at.Sub(end).Hours()/1.3)
	}
	return domain.Celsius(c)
}

// warming is the back cooler with its compressor off and a few animals in it.
func (s *season) warming() cooler.Warmup {
	return cooler.Warmup{UA: cooler.RoomUA(cooler.Polystyrene, 6, 4, 3), Fan: 300, Air: cooler.RoomAir(6, 4, 3), Outside: 14, StartAir: 2.2, StartMeat: 2.2,
		Animals: 6, Animal: 60}
}

// measureRooms puts a logger into each room and brings in its file: one reading
// every five minutes. On the bad night the back cooler's logger lost its
// connection at twenty to midnight.
func (s *season) measureRooms() error {
	for _, name := range []string{"main", "back", "freezer"} {
		room, err := s.db.Cooler(s.ctx, name)
		if err != nil {
			return err
		}
		sensor, err := s.db.AddSensor(s.ctx, db.Sensor{CoolerID: room.ID, Name: name + "-logger"})
		if err != nil {
			return err
		}
		rows := s.logged(name)
		act := s.act("MT", s.now.Add(-minutes(4)))
		sum := sha256.Sum256([]byte(name))
		if _, err := s.db.ImportReadings(s.ctx, act, db.ReadingsFile{Sensor: sensor.Name, Name: name + ".csv", Sum: sum, Rows: rows}); err != nil {
			return err
		}
	}
	return nil
}

// logged is a logger's file of the last weeks, to a tenth of a °F.
func (s *season) logged(room string) []logger.Row {
	var rows []logger.Row
	lost, found := s.failedFrom().Add(158*time.Minute), s.failedUntil()
	for at := s.day(roundDays+2, 0, 0); at.Before(s.now.Add(-minutes(5))); at = at.Add(minutes(5)) {
		if room == "back" && at.After(lost) && at.Before(found) {
			continue
		}
		shown := fmt.Sprintf("%.1f", s.air(room, at).F())
		f, err := strconv.ParseFloat(shown, 64)
		if err != nil {
			panic(err) // it was written a line above
		}
		rows = append(rows, logger.Row{Line: len(rows) + 2, At: at.UTC(), C: domain.Fahrenheit(f), Read: true,
			RawAt: at.Format("01/02/2006 15:04:05"), RawValue: shown, Unit: logger.Fahrenheit})
	}
	return rows
}
