package hold

import (
	"slices"

	"coldrail/domain"
)

// Kind is the reason of a hold.
type Kind string

// The kinds of hold.
const (
	TestPending     Kind = "test-pending"
	Positive        Kind = "positive"
	Tag             Kind = "tag"
	Warden          Kind = "warden"
	OrderIncomplete Kind = "order-incomplete"
	Payment         Kind = "payment"
	Quality         Kind = "quality"
	Temperature     Kind = "temperature"
	Identity        Kind = "identity"
	ShareMate       Kind = "share-mate"
	Dispute         Kind = "dispute"
)

// Kinds lists every kind, the hardest first.
var Kinds = []Kind{Warden, Positive, TestPending, Identity, Tag, Dispute, Temperature, Quality, ShareMate, OrderIncomplete, Payment}

// Act is something a hold can forbid.
type Act string

// The acts a hold can forbid.
const (
	Cut     Act = "cut"
	Pool    Act = "pool" // put meat into a batch with other people's
	Release Act = "release"
	Move    Act = "move"
)

// Acts lists every act.
var Acts = []Act{Cut, Pool, Release, Move}

// blocks is what each kind forbids.
//
// Test pending: do not cut while it waits (MSU), never pool (trade.md 2.4).
// Positive: everything with that number stands (2.5), but it may be moved to
// the hold rail, apart from the rest. Warden: nobody touches or moves it (5.4).
// Payment stops release (7.2), and cutting where the shop's policy says so;
// that policy is asked before the hold is opened. Share-mate: the other half's order must be known
// before a shared animal is cut (3.2). The rest: gates of 6.1.
var blocks = map[Kind][]Act{
	TestPending:     {Cut, Pool, Release},
	Positive:        {Cut, Pool, Release},
	Tag:             {Cut, Pool, Release},
	Warden:          {Cut, Pool, Release, Move},
	OrderIncomplete: {Cut, Pool},
	Payment:         {Release},
	Quality:         {Cut, Pool, Release},
	Temperature:     {Cut, Pool, Release},
	Identity:        {Cut, Pool, Release},
	ShareMate:       {Cut},
	Dispute:         {Cut, Pool, Release},
}

var kindWords = map[Kind]string{
	TestPending: "test result not in", Positive: "test came back detected", Tag: "tag or papers in question",
	Warden: "stopped by the warden", OrderIncomplete: "order not complete", Payment: "bill not paid",
	Quality: "quality in question", Temperature: "was in a warm room", Identity: "not certain whose it is",
	ShareMate: "waiting for the other owner's order", Dispute: "owners in dispute",
}

// Known reports whether k is one of Kinds.
func (k Kind) Known() bool { return slices.Contains(Kinds, k) }

// Blocks reports whether a hold of this kind forbids the act.
func (k Kind) Blocks(a Act) bool { return slices.Contains(blocks[k], a) }

// TellByMouth reports whether the owner hears of such a hold from a person and
// never first from a page: all but a test that waits, an order that is not
// complete, a bill and the other owner's order, which are no bad news.
func (k Kind) TellByMouth() bool {
	return k != TestPending && k != OrderIncomplete && k != Payment && k != ShareMate
}

// Disease reports whether only a laboratory's result ends the hold.
func (k Kind) Disease() bool { return k == TestPending || k == Positive }

// Words names the kind as the shop says it.
func (k Kind) Words() domain.Words {
	if w, ok := kindWords[k]; ok {
		return domain.Say(w)
	}
	return domain.Say("%s", string(k))
}
