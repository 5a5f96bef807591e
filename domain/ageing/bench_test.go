package ageing

import (
	"math"
	"runtime"
	"testing"
	"time"

	"coldrail/domain"
	"coldrail/domain/exposure"
)

// season is 90 days of readings in one cooler and 1,500 animals that came in
// over them, with two looks a day since.
func season(b *testing.B, step time.Duration) (*exposure.Room, []Facts, time.Time) {
	b.Helper()
	start, now := at(0), at(90)
	var readings []exposure.Reading
	for at := start; !at.After(now); at = at.Add(step) {
		h := at.Sub(start).Hours()
		c := 1.7 + 0.5*math.Sin(h/2) + 0.1*math.Sin(h*37)
		if math.Mod(h, 6) < 0.4 {
			c += 3
		}
		readings = append(readings, exposure.Reading{At: at, C: domain.Celsius(c)})
	}
	history, err := exposure.NewHistory(readings)
	if err != nil {
		b.Fatal(err)
	}
	var animals []Facts
	for i := range 1500 {
		day := 70 + 20*float64(i)/1500
		f := Facts{Species: domain.Whitetail, Form: domain.Whole, Door: DoorClean, Weight: 25 + domain.Kilogram(i%40),
			Killed: at(day - 0.3), Received: at(day), Protocol: ProtocolFor(domain.Whitetail, "", domain.Whole, false)}
		for look := day + 0.5; look < 90; look += 0.5 {
			surface := Dry
			if look < day+1.4 {
				surface = Drying
			}
			f.Looks = append(f.Looks, Look{At: at(look), Smell: CleanSmell, Surface: surface})
		}
		animals = append(animals, f)
	}
	return exposure.NewRoom(history), animals, now
}

func judgeAll(b *testing.B, room *exposure.Room, animals []Facts, now time.Time) {
	for _, f := range animals {
		if _, err := Judge(f, []exposure.Stay{{From: f.Received, In: room}}, now); err != nil {
			b.Fatal(err)
		}
	}
}

// heap returns the bytes in use.
func heap() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc)
}

// BenchmarkJudge judges 1,500 animals over 90 days of readings: the first pass
// builds the running sums, the passes timed read them. It prints ns per animal, and for ten times the readings
// the ratio (target at most 1.3).
func BenchmarkJudge(b *testing.B) {
	before := 0.0 // ns per animal of the run before
	for _, bb := range []struct {
		name string
		step time.Duration
	}{{"every 5 min", 5 * time.Minute}, {"every 30 s", 30 * time.Second}} {
		b.Run(bb.name, func(b *testing.B) {
			room, animals, now := season(b, bb.step)
			empty, began := heap(), time.Now()
			judgeAll(b, room, animals, now)
			first, sums := time.Since(began), heap()-empty
			for b.Loop() {
				judgeAll(b, room, animals, now)
			}
			each := float64(b.Elapsed().Nanoseconds()) / float64(b.N*len(animals))
			b.ReportMetric(each, "ns/animal")
			if before > 0 {
				b.ReportMetric(each/before, "ratio")
			}
			before = each
			b.ReportMetric(float64(first.Milliseconds()), "first-pass-ms")
			b.ReportMetric(sums/1e6, "MB-of-sums")
		})
	}
}
