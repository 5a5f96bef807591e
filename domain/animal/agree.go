package animal

import "coldrail/domain"

// Agreed is what the owner is told at drop-off and signs for.
type Agreed struct {
	From, To  string // the days the meat may be home, in words; empty: none named
	Least     domain.Kilogram
	Most      domain.Kilogram // 0: nothing could be said
	Damaged   bool            // a bad fault at the door
	Sausage   bool            // the order has meat for the sausage kitchen
	OwnMeat   bool            // and none of it with other people's
	FetchDays int             // to come within, after the call

	StorageAfter int          // days after they were told; 0: no storage is charged
	StorageADay  domain.Cents // by the shop's fee of that day
}

// Sentences are what is read out and signed, in the order of the conversation at the
// counter (trade.md 1.4, 8 to 10).
func (a Agreed) Sentences() []domain.Words {
	var said []domain.Words
	switch {
	case a.Sausage && a.OwnMeat:
		said = append(said, domain.Say("My sausage is made from my own meat only."))
	case a.Sausage:
		said = append(said, domain.Say("My meat for sausage may be put together with other hunters'; I get my share by weight."))
	}
	if a.Most > 0 {
		said = append(said, domain.Say("I was told to expect about %v to %v of meat. It is a guess; holds, sausage and what is found under the hide change it.", a.Least, a.Most))
	}
	switch {
	case a.To != "" && a.From == a.To:
		said = append(said, domain.Say("I was told it may be ready about %s, and why that may move.", a.To))
	case a.To != "":
		said = append(said, domain.Say("I was told it may be ready between %s and %s, and why that may move.", a.From, a.To))
	}
	if a.Damaged {
		said = append(said, domain.Say("I was told of the bad fault found at the door: it is not aged, it is cut first, and there may be much less meat."))
	}
	said = append(said, domain.Say("I fetch it within %d days of the call, or somebody I named does, and pay before it leaves.", a.FetchDays))
	if a.StorageAfter > 0 {
		said = append(said, StorageAgreed(a.StorageAfter, a.StorageADay))
	}
	return append(said, domain.Say("What nobody fetches is never sold. After letters and the time the state asks for it may be given away."))
}

// ShotLoss is about how much meat shot damage takes off, by the grade of its line at
// the door, kg: a shoulder 4 to 6 lb each, the loin 2 to 4 lb, a ham 6 to 12 lb.
// Source: trade.md, expected-pounds formula (common practice, no source). Clean:
// nothing; a grade outside the four: nothing.
func ShotLoss(g Grade) (least, most domain.Kilogram) {
	switch g {
	case SmallFault: // one shoulder
		return domain.Pounds(4), domain.Pounds(6)
	case BadFault: // two shoulders, or the loin
		return domain.Pounds(2), domain.Pounds(12)
	case RefuseGrade: // ham and loin
		return domain.Pounds(8), domain.Pounds(16)
	}
	return 0, 0
}

// StorageAgreed is the sentence by which an owner is told, as they sign, what meat that
// nobody fetches may cost.
func StorageAgreed(afterDays int, aDay domain.Cents) domain.Words {
	return domain.Say("From %d days after I was told, storage may cost %s a day.", afterDays, aDay.String())
}
