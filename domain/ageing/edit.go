package ageing

import (
	"strings"

	"coldrail/domain"
)

// The least and the most tenderness a shop may ask for. The last twentieth takes
// as long as all before it, so more than 0.95 is never reached in time. Common
// practice, no source.
const leastTarget, mostTarget = 0.10, 0.95

// CheckEdit says whether the owner may have the protocol of p.Key so. The table's
// own protocol is the limit: it may be made shorter and stricter at will, but
//
//	no kind whose meat hanging does not make tender, or that is cut first, is aged;
//	growth is never a sign where the table says never (lamb, goat, hog, bear, quarters, boned, damaged);
//	no ceiling is longer than the table's, and longer than the ordinary one only on signatures (Agreement).
//
// What cannot be comes back as an Invalid error at the field: aged, tender, sign,
// usual_from, usual_to, ceiling, long_ceiling or cites.
//
// Source: readiness.md sections 9 and 10.
func (p Protocol) CheckEdit() error {
	table, known := ProtocolByKey(p.Key)
	if !known {
		return domain.Missing("There is no kind %q to set a rule for.", p.Key)
	}
	if err := p.checkAged(table); err != nil {
		return err
	}
	if err := p.checkSign(table); err != nil {
		return err
	}
	if err := p.checkDays(table); err != nil {
		return err
	}
	for _, c := range p.Cites {
		if strings.TrimSpace(c) != "" {
			return nil
		}
	}
	return domain.Wrong("cites", "Say where these numbers come from. \"Our own practice\" will do if that is so.")
}

func (p Protocol) checkAged(table Protocol) error {
	switch {
	case p.Aged && !table.Aged && table.Sign == SignNever:
		return domain.Wrong("aged", "This kind is not aged: hanging does nothing for it but risk. It is cut once it is cold.")
	case p.Aged && !(p.Target >= leastTarget && p.Target <= mostTarget):
		return domain.Wrong("tender", "The tenderness to wait for is from %.0f to %.0f %%.", 100*leastTarget, 100*mostTarget)
	case !p.Aged && p.Target != 0:
		return domain.Wrong("tender", "What is not aged waits for no tenderness. Leave it empty.")
	}
	return nil
}

func (p Protocol) checkSign(table Protocol) error {
	switch p.Sign {
	case SignNever:
		return nil
	case SignNo, SignOptional, SignRequired:
	default:
		return domain.Wrong("sign", "Say whether white or grey growth inside the ribs is waited for.")
	}
	switch {
	case table.Sign == SignNever:
		return domain.Wrong("sign", "On this kind growth is never waited for. It is always a fault.")
	case p.Sign == SignRequired && !p.Aged:
		return domain.Wrong("sign", "Only what is aged can wait for the growth inside the ribs.")
	}
	return nil
}

// checkDays: the first thing wrong with the days.
func (p Protocol) checkDays(table Protocol) error {
	switch {
	case !(p.Ceiling >= 1 && p.Ceiling <= table.Ceiling):
		if table.LongCeiling > table.Ceiling {
			return domain.Wrong("ceiling", "The last day is from 1 to %.0f for this kind. A longer hang, up to %.0f, is signed for animal by animal.", table.Ceiling, table.LongCeiling)
		}
		return domain.Wrong("ceiling", "The last day is from 1 to %.0f for this kind.", table.Ceiling)
	case !(p.Usual.From >= 0 && p.Usual.From <= p.Usual.To):
		return domain.Wrong("usual_from", "The usual days start at 0 or later, and end on that day or after it.")
	case p.Usual.To > p.Ceiling:
		return domain.Wrong("usual_to", "The usual days cannot end after the last day, %.0f.", p.Ceiling)
	case p.LongCeiling == 0:
		return nil
	case table.LongCeiling <= table.Ceiling:
		return domain.Wrong("long_ceiling", "This kind may not hang longer, whatever is signed. Leave it empty.")
	case !(p.LongCeiling > p.Ceiling && p.LongCeiling <= table.LongCeiling):
		return domain.Wrong("long_ceiling", "The last day on signatures is more than %.0f and at most %.0f for this kind. Leave it empty to offer none.", p.Ceiling, table.LongCeiling)
	}
	return nil
}

// Same reports whether two protocols ask the same of an animal and cite the same.
func (p Protocol) Same(q Protocol) bool {
	return p.Key == q.Key && p.Aged == q.Aged && p.Target == q.Target && p.Sign == q.Sign && p.Usual == q.Usual &&
		p.Ceiling == q.Ceiling && p.LongCeiling == q.LongCeiling && strings.Join(p.Cites, "; ") == strings.Join(q.Cites, "; ")
}

// Under lowers p's ceilings to those of the animal's kind: where two apply the
// lower wins.
func (p Protocol) Under(kind Protocol) Protocol {
	p.LongCeiling = min(p.LongCeiling, max(kind.Ceiling, kind.LongCeiling))
	p.Ceiling = min(p.Ceiling, kind.Ceiling)
	if p.LongCeiling <= p.Ceiling {
		p.LongCeiling = 0
	}
	return p
}
