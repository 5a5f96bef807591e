package batch

import (
	"slices"

	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/hold"
)

// Kind says whose meat is in a batch.
type Kind string

// The kinds: one owner's meat, from clean machine to clean machine, or several
// owners' together.
const (
	Own    Kind = "own"
	Pooled Kind = "pooled"
)

// Batch is what has to be known of a batch before meat goes in.
type Batch struct {
	Product Product
	Kind    Kind
	Pork    bool // pork is added: asked and answered when the batch begins
	Beef    bool // beef is added
	Owner   string
	Game    bool // what is in it is game
	Empty   bool // nothing is in it yet
}

// Candidate is an animal whose meat somebody wants to put in.
type Candidate struct {
	Number  domain.ShopNumber
	Species domain.Species
	Owner   string // who owns it, as the shop knows them
	Cut     bool   // on the table or cut up
	Damaged bool   // a bad fault at the door
	Disease animal.Disease
	Holds   []hold.Hold
	Ordered bool // the order asks for this product
	OwnOnly bool // the order says: nothing with other people's
	PorkOK  bool // the order says that pork may be mixed in
	BeefOK  bool
}

// MayJoin says whether the animal's meat may go into the batch; the refusal says
// why, the hardest reason first.
//
// Test and holds: nothing of an animal under a test that is out, or under a hold
// that forbids cutting, goes into any batch, so that its own batch waits too; into
// a pool only what was cleared or needs no test, was clean or nearly so at the
// door, and whose owner said yes (trade.md 2.4, 6.7 and Annex E 8). Pork and beef
// only by a plain yes (6.2). Game and livestock apart (2.6).
func MayJoin(b Batch, c Candidate) error {
	act := hold.Cut
	if b.Kind == Pooled {
		act = hold.Pool
	}
	number := string(c.Number)
	waits := c.Disease.Out() || slices.ContainsFunc(c.Holds, func(h hold.Hold) bool { return h.Open() && h.Kind == hold.TestPending })
	switch found, err := hold.Blocking(c.Holds, act), hold.May(c.Holds, act); {
	case len(found) > 0 && found[0].Kind != hold.TestPending:
		return err
	case c.Disease == animal.Detected:
		return domain.Refuse("test", "The test of %s came back detected. Nothing of it goes into a batch.", number)
	case waits:
		return domain.Refuse("test", "The test of %s is not back. Bone it, bag it, keep it apart and cold: no batch until the result is seen.", number)
	case b.Kind == Pooled && c.Disease == animal.Wanted:
		return domain.Refuse("test", "A test is wanted for %s and no sample is drawn. Until the result is seen it goes into no pool.", number)
	case !c.Cut:
		return domain.Refuse("table", "%s has not been cut. Its trim comes off the table first.", number)
	case b.Kind == Pooled && c.Damaged:
		return domain.Refuse("door", "%s came in with a bad fault. It is worked alone, never in a pool.", number)
	case b.Kind == Pooled && c.OwnOnly:
		return domain.Refuse("consent", "The owner of %s wants only their own meat. Start a batch of its own.", number)
	case !b.Empty && b.Game != c.Species.Game():
		return domain.Refuse("apart", "Game and livestock never go into one batch.")
	case b.Kind == Own && !b.Empty && b.Owner != c.Owner:
		return domain.Refuse("owner", "This batch is one owner's meat, and %s is somebody else's. Start another batch.", number)
	case b.Pork && !c.PorkOK:
		return domain.Refuse("pork", "The order of %s has no yes to pork, and this batch has pork in it.", number)
	case b.Beef && !c.BeefOK:
		return domain.Refuse("beef", "The order of %s has no yes to beef, and this batch has beef in it.", number)
	case !c.Ordered:
		return domain.Refuse("order", "The order of %s does not ask for %s. Read it again, or change it with the owner.", number, b.Product.Words())
	}
	return nil
}

// Words names the kind as the shop says it.
func (k Kind) Words() domain.Words {
	if k == Pooled {
		return domain.Say("pooled")
	}
	return domain.Say("one owner's own")
}
