package animal

import (
	"strings"

	"coldrail/domain"
)

// Authority is by what right somebody takes the meat home (trade.md 8, 4).
type Authority string

// The rights to collect. The stub is the part of the receipt with the number.
const (
	ByOwner Authority = "owner"
	ByName  Authority = "named by owner"
	ByStub  Authority = "receipt stub"
)

// Collection is a hand-over as it stands at the counter.
type Collection struct {
	Collector string
	Authority Authority
	Seen      string // what was shown: licence, stub, or known by face
	Here      int    // boxes of this animal in the shop
	Taken     int    // boxes that leave now
	Remains   string // what else stays or is still to come, such as sausage
	TagBack   bool   // the state's tag goes along
}

// Whole reports whether nothing of the animal stays behind.
func (c Collection) Whole() bool {
	return c.Taken == c.Here && strings.TrimSpace(c.Remains) == ""
}

// Collect hands boxes over and returns where the animal stands then, or says
// what is in the way. Holds are asked before by hold.May, the balance by
// billing.Invoice.MayRelease.
//
// Rules: trade.md 8, 4 and 5. Whether the official tag has to go along is the state's to
// say, in a rule (statute.MayGoBack); where none does, the counter's tick decides.
func (t Tracks) Collect(c Collection) (Tracks, error) {
	if err := t.checkRelease(); err != nil {
		return t, err
	}
	if err := c.check(); err != nil {
		return t, err
	}
	to, step, err := t, HandOverPart, error(nil)
	if c.Whole() {
		step = HandOver
	}
	if to.Physical, err = t.Physical.Do(step); err != nil {
		return t, err
	}
	if c.TagBack && t.Legal != TagReturned {
		if to.Legal, err = t.Legal.Do(ReturnTag); err != nil {
			return t, err
		}
	}
	return to, nil
}

// checkRelease asks the tracks.
func (t Tracks) checkRelease() error {
	if _, err := t.Physical.Do(HandOver); err != nil {
		return err
	}
	switch {
	case t.Legal == WardenHold:
		return domain.Refuse("legal", "The warden has stopped it. Nothing of it leaves the shop.")
	case t.Legal == Query:
		return domain.Refuse("legal", "Its tag is in question. Settle that before anything leaves.")
	case t.Money == Quoted || t.Money == DepositTaken:
		return domain.Refuse("money", "It is not billed yet. Make the bill first.")
	}
	return nil
}

// check asks whether the form is filled in.
func (c Collection) check() error {
	switch {
	case strings.TrimSpace(c.Collector) == "":
		return domain.Wrong("collector", "Write down who takes it home.")
	case c.Authority != ByOwner && c.Authority != ByName && c.Authority != ByStub:
		return domain.Wrong("authority", "Choose by what right: the owner, somebody the owner named, or the receipt stub.")
	case strings.TrimSpace(c.Seen) == "":
		return domain.Wrong("seen", "Write down what was shown: license, receipt stub, or known by face.")
	case c.Taken < 1:
		return domain.Wrong("boxes", "Scan or tick the boxes that leave.")
	}
	return nil
}
