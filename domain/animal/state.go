package animal

import "coldrail/domain"

// Physical says where the animal is in the work of the shop.
type Physical string

// The physical states, in the order an animal passes them; then the ways out.
const (
	Expected     Physical = "expected"      // booked or called ahead
	Arrived      Physical = "arrived"       // found in the bay, card and tag not yet paired
	Received     Physical = "received"      // taken in, no place yet
	Chilling     Physical = "chilling"      // in the cooler, not yet weighed and hung for good
	Hanging      Physical = "hanging"       // weighed, tagged, on its place
	OnTable      Physical = "on-table"      // being cut
	InPieces     Physical = "split"         // cut up, every piece labelled, not all boxed
	Stored       Physical = "stored"        // in boxes, in the freezer or smokehouse
	PartReleased Physical = "part-released" // some of it has gone home
	Released     Physical = "released"      // all of it has gone home

	Refused     Physical = "refused"     // turned away at the door
	Returned    Physical = "returned"    // went home uncut
	Unclaimed   Physical = "unclaimed"   // nobody came; the letters are out
	Transferred Physical = "transferred" // given away by the state's rule
	Destroyed   Physical = "destroyed"   // denatured and hauled off
	Condemned   Physical = "condemned"   // all of it thrown out, by two people
	Seized      Physical = "seized"      // an officer has it
	Lost        Physical = "missing"     // cannot be found
)

// AllPhysical lists every physical state.
var AllPhysical = []Physical{Expected, Arrived, Received, Chilling, Hanging, OnTable, InPieces, Stored,
	PartReleased, Released, Refused, Returned, Unclaimed, Transferred, Destroyed, Condemned, Seized, Lost}

// Legal says whether tag and register are in order.
type Legal string

// The legal states.
const (
	Unchecked   Legal = "unchecked"    // tag not yet compared with the animal
	Verified    Legal = "verified"     // tag read, matches, register complete
	Query       Legal = "query"        // something does not match; a question is open
	WardenHold  Legal = "warden-hold"  // the warden says nobody touches it
	TagHeld     Legal = "tag-held"     // the tag is off the carcass and kept by the shop
	TagReturned Legal = "tag-returned" // the tag went home with the meat
)

// AllLegal lists every legal state.
var AllLegal = []Legal{Unchecked, Verified, Query, WardenHold, TagHeld, TagReturned}

// Disease says how far the disease test is.
type Disease string

// The disease states. The word for a negative is the laboratory's own, "not
// detected" (Minnesota's wording, trade.md 2.4); nothing here says more.
const (
	NotNeeded   Disease = "not-needed"
	Wanted      Disease = "wanted"
	Drawn       Disease = "drawn"
	Pending     Disease = "pending"
	NotDetected Disease = "not-detected"
	Detected    Disease = "detected"
	Resample    Disease = "resample" // the laboratory could not use the sample
)

// AllDisease lists every disease state.
var AllDisease = []Disease{NotNeeded, Wanted, Drawn, Pending, NotDetected, Detected, Resample}

// OrderTrack says how far the cut order is.
type OrderTrack string

// The order states.
const (
	NoOrder    OrderTrack = "none"
	Incomplete OrderTrack = "incomplete"
	Complete   OrderTrack = "complete"
	Locked     OrderTrack = "locked" // on the table: no more changes
	Done       OrderTrack = "done"
	Cancelled  OrderTrack = "cancelled"
)

// AllOrder lists every order state.
var AllOrder = []OrderTrack{NoOrder, Incomplete, Complete, Locked, Done, Cancelled}

// Money says how far the bill is.
type Money string

// The money states.
const (
	Quoted       Money = "quoted"
	DepositTaken Money = "deposit"
	Billed       Money = "billed"
	PartPaid     Money = "part-paid"
	Settled      Money = "settled"
	InCredit     Money = "credit" // the shop owes the owner
	WrittenOff   Money = "written-off"
)

// AllMoney lists every money state.
var AllMoney = []Money{Quoted, DepositTaken, Billed, PartPaid, Settled, InCredit, WrittenOff}

// Tracks is where one animal stands on all five.
type Tracks struct {
	Physical Physical
	Legal    Legal
	Disease  Disease
	Order    OrderTrack
	Money    Money
}

// AtDoor is where an animal stands the moment it is taken in.
func AtDoor() Tracks {
	return Tracks{Physical: Received, Legal: Unchecked, Disease: NotNeeded, Order: NoOrder, Money: Quoted}
}

// InHouse reports whether the shop still has meat of this animal in its keeping.
func (p Physical) InHouse() bool {
	switch p {
	case Arrived, Received, Chilling, Hanging, OnTable, InPieces, Stored, PartReleased, Unclaimed:
		return true
	}
	return false
}

// Checked reports whether tag and register are in order, so that it may be cut.
func (l Legal) Checked() bool { return l == Verified || l == TagHeld }

// OnRail reports whether the animal takes a place in a cooler.
func (p Physical) OnRail() bool { return p == Chilling || p == Hanging }

// TellByMouth reports whether the owner hears of this from a person, never first
// from a page: it is lost, thrown out, taken or given away, or nobody came.
func (p Physical) TellByMouth() bool {
	switch p {
	case Refused, Unclaimed, Transferred, Destroyed, Condemned, Seized, Lost:
		return true
	}
	return false
}

// Cut reports whether the animal has been cut up, so that its weights are in.
func (p Physical) Cut() bool {
	switch p {
	case InPieces, Stored, PartReleased, Unclaimed, Released:
		return true
	}
	return false
}

// Words names the state as the shop says it.
func (p Physical) Words() domain.Words { return named(physicalWords, p) }

// Words names the state as the shop says it.
func (l Legal) Words() domain.Words { return named(legalWords, l) }

// Words names the state as the shop says it.
func (d Disease) Words() domain.Words { return named(diseaseWords, d) }

// Words names the state as the shop says it.
func (o OrderTrack) Words() domain.Words { return named(orderWords, o) }

// Words names the state as the shop says it.
func (m Money) Words() domain.Words { return named(moneyWords, m) }

// named looks a state up; one nobody wrote words for shows as it is stored.
func named[S ~string](words map[S]string, s S) domain.Words {
	if w, ok := words[s]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(s))
}
