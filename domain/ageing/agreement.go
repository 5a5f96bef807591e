package ageing

import (
	"time"

	"coldrail/domain"
)

// SignatureKind says what somebody signed about how long one animal hangs.
type SignatureKind string

// The four kinds.
const (
	OwnerLine  SignatureKind = "owner"  // the animal's owner, on paper
	LeadExtend SignatureKind = "extend" // the lead lets it hang longer
	LeadWeekly SignatureKind = "weekly" // the lead, once a week after day 14
	LeadEnd    SignatureKind = "end"    // the lead ends it: the ordinary last day counts again
)

// Signature is one of them. Days belongs to the owner's line and the lead's
// extension; the measures of the room to those of the lead that took them.
type Signature struct {
	Kind     SignatureKind
	At       time.Time
	Days     float64
	Measured *RoomAir
}

// RoomAir is the air around beef that hangs past 28 days, as measured.
type RoomAir struct {
	Humidity float64 // relative, %
	Air      float64 // past the meat, m/s
}

// Agreement is what stands signed about one animal: the last of each kind since
// the last end. The zero Agreement is no agreement.
type Agreement struct {
	Owner, Lead, Weekly *Signature
	Measured            *RoomAir // last measured
	MeasuredAt          time.Time
}

// With returns the agreement after one more signature, given in order of time.
func (a Agreement) With(s Signature) Agreement {
	switch s.Kind {
	case OwnerLine:
		a.Owner = &s
	case LeadExtend:
		a.Lead = &s
	case LeadWeekly:
		a.Weekly = &s
	case LeadEnd:
		a.Owner, a.Lead = nil, nil
	}
	if s.Measured != nil {
		a.Measured, a.MeasuredAt = s.Measured, s.At
	}
	return a
}

// Days returns the last day both signed for, as far as the protocol offers it; 0
// while a signature is missing or the protocol offers none.
func (a Agreement) Days(p Protocol) float64 {
	if a.Owner == nil || a.Lead == nil || p.LongCeiling <= p.Ceiling {
		return 0
	}
	if days := min(a.Owner.Days, a.Lead.Days, p.LongCeiling); days > p.Ceiling {
		return days
	}
	return 0
}

// Missing says what a longer hang still lacks. Empty: it counts, or is not offered.
func (a Agreement) Missing(p Protocol) []domain.Words {
	if p.LongCeiling <= p.Ceiling || a.Days(p) > 0 {
		return nil
	}
	var missing []domain.Words
	if a.Owner == nil {
		missing = append(missing, domain.Say("the owner's signed line"))
	}
	if a.Lead == nil {
		missing = append(missing, domain.Say("the lead's sign-off"))
	}
	return missing
}

// CheckOwnerLine says whether an owner's line for so many days can be taken.
func (p Protocol) CheckOwnerLine(days float64) error {
	switch {
	case p.LongCeiling <= p.Ceiling:
		return domain.Refuse("long-hang", "This kind hangs %.0f days at most, whatever is signed. Tell the owner.", p.Ceiling)
	case !(days > p.Ceiling && days <= p.LongCeiling):
		return domain.Wrong("days", "A longer hang is more than %.0f and at most %.0f days for this kind.", p.Ceiling, p.LongCeiling)
	}
	return nil
}

// CheckExtend says whether the lead may let the animal hang for so many days: the
// owner has signed for as many, and the last look found nothing that stops it.
// Past 28 days beef asks for what was measured in its room.
func (a Agreement) CheckExtend(p Protocol, days float64, last *Look, measured *RoomAir) error {
	if err := p.CheckOwnerLine(days); err != nil {
		return err
	}
	switch {
	case a.Owner == nil:
		return domain.Refuse("owner-line", "The owner has not signed for it yet. Note the owner's signed line first.")
	case days > a.Owner.Days:
		return domain.Wrong("days", "The owner signed for %.0f days, no more.", a.Owner.Days)
	case last != nil && len((&judging{}).faults(last, last.Surface)) > 0:
		return domain.Refuse("stop", "The last look found what stops it. Decide on that first.")
	case p.asksAir() && measured == nil:
		return domain.Wrong("humidity", "Past 28 days beef asks for the humidity and the air speed in its room. Measure them.")
	}
	return measured.Check()
}

// CheckWeekly says whether the lead may sign for the week: the animal is past day
// 14, and somebody looked at it in the last 24 hours.
func CheckWeekly(killed time.Time, last *Look, now time.Time) error {
	switch {
	case !LongHung(killed, now):
		return domain.Refuse("weekly", "The weekly signature is asked for after day 14. This one is at day %d.", domain.DayOfAge(killed, now))
	case last == nil || now.Sub(last.At) > freshFor:
		return domain.Refuse("look", "Touch and smell it first, and write the look down. Then sign.")
	}
	return nil
}

// Check refuses measures that cannot be. Nothing measured is nothing wrong.
func (c *RoomAir) Check() error {
	switch {
	case c == nil:
		return nil
	case !(c.Humidity >= 20 && c.Humidity <= 100):
		return domain.Wrong("humidity", "The humidity of a cooler is from 20 to 100 %.")
	case !(c.Air >= 0 && c.Air <= 5):
		return domain.Wrong("air", "The air moves from 0 to 5 m/s.")
	}
	return nil
}

// LongHung reports whether the animal is past day 14: each evening's look is then
// carcass by carcass and by touch, and the lead signs weekly. Common practice, no
// source (readiness.md section 9).
func LongHung(killed, now time.Time) bool { return now.Sub(killed).Hours()/24 > dailyLooksFrom }

// weekly is how long one signature of the lead holds.
const weekly = 7 * 24 * time.Hour

// SignatureDue reports whether the lead's weekly signature is asked for; signed is
// the last one, zero for none.
func SignatureDue(killed, signed, now time.Time) bool {
	return LongHung(killed, now) && now.Sub(signed) > weekly
}

// The conditions under which beef may hang past 28 days.
//
// Source: EFSA BIOHAZ, EFSA Journal 2023;21(1):7745: 35 days at a surface of -0.5 to
// 3 °C, humidity at most 85 %, air 0.2 to 0.5 m/s.
const (
	beefSurfaceLow, beefSurfaceHigh domain.Celsius = -0.5, 3
	beefHumidity                                   = 85.0
	beefAirLow, beefAirHigh                        = 0.2, 0.5
	beefOrdinary                                   = 28.0
)

// asksAir reports whether the protocol's longer hang stands on the recorded air.
func (p Protocol) asksAir() bool { return p.Key == "beef-fat" && p.LongCeiling > beefOrdinary }

// airHolds says whether the recorded conditions allow beef its longer hang at now:
// measured within a week, in range, and the surface in range over the last 48 h.
// What does not hold comes back in words.
func (f *Facts) airHolds(surface domain.Celsius, now time.Time) (domain.Words, bool) {
	m := f.Measured
	switch {
	case m == nil || now.Sub(f.MeasuredAt) > weekly:
		return domain.Say("Past 28 days beef asks for humidity and air speed measured within the week. They are not: 28 days count."), false
	case m.Humidity > beefHumidity:
		return domain.Say("The humidity is %.0f %%, above 85: 28 days count.", m.Humidity), false
	case m.Air < beefAirLow || m.Air > beefAirHigh:
		return domain.Say("The air moves %.1f m/s, not 0.2 to 0.5: 28 days count.", m.Air), false
	case surface < beefSurfaceLow || surface > beefSurfaceHigh:
		return domain.Say("The surface was at %v in the last 48 hours, not at -0.5 to 3 °C: 28 days count.", surface), false
	}
	return domain.Words{}, true
}
