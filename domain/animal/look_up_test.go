package animal

import (
	"testing"
	"time"
)

// By hand from the doubling: four misses free, the fifth waits a minute, then 2, 4,
// 8 ... minutes, at most a day.
func TestBrake(t *testing.T) {
	now := time.Date(2026, 11, 19, 12, 0, 0, 0, time.UTC)
	var got Tries
	want := []time.Duration{0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 1440, 1440}
	for i, minutes := range want {
		got = NumberBrake.Miss(got, now)
		if wait := max(0, got.Until.Sub(now)); wait != minutes*time.Minute || got.Misses != i+1 {
			t.Errorf("miss %d: wait %v, want %d min", i+1, wait, minutes)
		}
		if got.Waits(now) != (minutes > 0) {
			t.Errorf("miss %d: waits %v", i+1, got.Waits(now))
		}
		now = now.Add(minutes * time.Minute)
		if got.Waits(now) {
			t.Errorf("miss %d: still waits when its time is over", i+1)
		}
	}
	for range 200 {
		got = NumberBrake.Miss(got, now)
	}
	if got.Until.Sub(now) != 24*time.Hour {
		t.Errorf("after many: %v", got.Until.Sub(now))
	}
	if got = NumberBrake.Miss(got, now.Add(30*24*time.Hour)); got.Misses != 1 || got.Waits(got.Last) {
		t.Errorf("after a month of quiet: %+v", got)
	}
}

// What the doc comment says of chances, counted: whoever guesses as soon as he may,
// for a season of 60 days.
func TestChancesOfGuessing(t *testing.T) {
	for _, tt := range []struct {
		name   string
		brake  Brake
		most   int // misses in 60 days
		oneIn  int // chances at 10,000 digits, at the most this one
		reason string
	}{
		{"one number", NumberBrake, 76, 130, "10,000 / 76"},
		{"the whole shop", ShopBrake, 1600, 6, "10,000 / 1600: each guess at some number is one of 10,000"},
	} {
		now := time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)
		end, misses := now.AddDate(0, 0, 60), 0
		for tries := (Tries{}); now.Before(end); misses++ {
			tries = tt.brake.Miss(tries, now)
			if tries.Waits(now) {
				now = tries.Until
			}
		}
		if misses > tt.most || 10_000/misses < tt.oneIn {
			t.Errorf("%s: %d misses, at most %d (%s)", tt.name, misses, tt.most, tt.reason)
		}
	}
}
