package message

import (
	"time"

	"coldrail/domain"
)

// Waiting is a message whose time has come.
type Waiting struct {
	Kind     Kind
	Way      Way
	Standing Standing
	Reach    Reach // as it is now
	Quiet    Quiet
	Sending  bool // the owner of the shop has messages turned on
	Urged    bool // a person said: now
	Tried    bool // it may have arrived already
	CallsUs  bool // what was tried says only that they should call
	Asked    bool // another message asked them to call lately
}

// Next is what becomes of it. All empty: it is sent, in the shop's own words.
type Next struct {
	CallUs bool         // it is sent, and says only that they should call
	Hold   time.Time    // it waits until then
	Drop   domain.Words // it is not true any more
	Call   domain.Words // somebody calls instead
}

// At says what becomes of the message now, in the shop's zone.
func (w Waiting) At(now time.Time) Next {
	way, why := w.Reach.Way()
	end, quiet := w.Quiet.Until(now)
	over := w.Kind.Overtaken(w.Standing)
	mouth := w.Standing.ByMouth()
	switch {
	case !w.Sending:
		return Next{Call: domain.Say("Messages were turned off.")}
	case way == Call:
		return Next{Call: domain.Say("They are told by a call: %s.", why)}
	case way != w.Way:
		return Next{Call: domain.Say("They have been told another way since then.")}
	case mouth && w.Tried && !w.CallsUs:
		return Next{Call: domain.Say("The lead has something to tell them first.")}
	case mouth && w.Asked:
		return Next{Drop: domain.Say("They were asked to call already.")}
	case !mouth && w.CallsUs:
		return Next{Drop: domain.Say("The lead has spoken to them.")}
	case !mouth && over.Format != "":
		return Next{Drop: over}
	case quiet && !w.Urged:
		return Next{Hold: end}
	}
	return Next{CallUs: mouth}
}
