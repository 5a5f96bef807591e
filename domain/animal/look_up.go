package animal

import "time"

// Tries is how often somebody asked in vain, for one shop number, from one address,
// or in the whole shop.
type Tries struct {
	Misses int
	Last   time.Time
	Until  time.Time // nobody is answered before
}

// Brake is how guessing is slowed: the miss that makes them Free brings the first
// wait, and each further one doubles it up to the longest. After a while without a miss
// all is forgotten.
type Brake struct {
	Free    int
	First   time.Duration
	Longest time.Duration
	Forget  time.Duration
}

// The three brakes on the look-up by number and the last four digits of the phone.
// A number has 10,000 such digits. Whoever guesses at one number without end gets
// 4 misses free, some ten more on the first day, then one a day: about 75 in a season of
// 60 days, one chance in 130. Whoever goes through many numbers is slowed at the
// address, and from many addresses by the shop's own brake: 100 misses and then some
// 24 a day are, over the season, one chance in six of opening one page of the shop's
// hundreds. Owners have the private link besides, which none of this slows.
// Common practice, no source.
var (
	NumberBrake  = Brake{Free: 5, First: time.Minute, Longest: 24 * time.Hour, Forget: 30 * 24 * time.Hour}
	AddressBrake = Brake{Free: 10, First: time.Minute, Longest: time.Hour, Forget: 24 * time.Hour}
	ShopBrake    = Brake{Free: 100, First: time.Minute, Longest: time.Hour, Forget: 24 * time.Hour}
)

// Miss counts one more miss.
func (b Brake) Miss(t Tries, now time.Time) Tries {
	if now.Sub(t.Last) >= b.Forget {
		t = Tries{}
	}
	t.Misses, t.Last = t.Misses+1, now
	if over := t.Misses - b.Free; over >= 0 {
		wait := b.Longest
		if over < 20 { // beyond it the doubling is longer than any longest
			wait = min(b.First<<over, b.Longest)
		}
		t.Until = now.Add(wait)
	}
	return t
}

// Waits reports whether nobody is answered yet.
func (t Tries) Waits(now time.Time) bool { return now.Before(t.Until) }

// OwnerBrake slows guesses at an owner's password, from however many addresses they
// come: ten free, then at most four an hour, some 5,800 in a season of 60 days, where
// the weakest password that is taken asks for a hundred million. It ends soon, since
// the owner waits as well. Common practice, no source.
var OwnerBrake = Brake{Free: 10, First: 30 * time.Second, Longest: 15 * time.Minute, Forget: 24 * time.Hour}
