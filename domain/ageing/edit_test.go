package ageing

import (
	"testing"
	"time"

	"coldrail/domain"
)

// What the owner may and may not make of a protocol: readiness.md sections 9 and
// 10 are the table, and the field that is wrong is named.
func TestCheckEdit(t *testing.T) {
	for _, tt := range []struct {
		name, key string
		change    func(*Protocol)
		at        string // "": it may be so
	}{
		{"deer shorter", "deer-mature", func(p *Protocol) { p.Ceiling, p.Usual = 10, Days{5, 8} }, ""},
		{"deer to the mould sign", "deer-mature", func(p *Protocol) { p.Sign = SignRequired }, ""},
		{"deer not aged", "deer-mature", func(p *Protocol) { p.Aged, p.Target = false, 0 }, ""},
		{"deer with no longer hang", "deer-mature", func(p *Protocol) { p.LongCeiling = 0 }, ""},
		{"deer past the table without a signature", "deer-mature", func(p *Protocol) { p.Ceiling = 21 }, "ceiling"},
		{"deer past 28 days on any signature", "deer-mature", func(p *Protocol) { p.LongCeiling = 30 }, "long_ceiling"},
		{"a longer hang no longer than the ordinary", "deer-mature", func(p *Protocol) { p.LongCeiling = 14 }, "long_ceiling"},
		{"no days at all", "deer-mature", func(p *Protocol) { p.Ceiling = 0 }, "ceiling"},
		{"usual days past the last", "deer-mature", func(p *Protocol) { p.Ceiling = 10 }, "usual_to"},
		{"usual days turned round", "deer-mature", func(p *Protocol) { p.Usual = Days{9, 7} }, "usual_from"},
		{"target of all there is", "deer-mature", func(p *Protocol) { p.Target = 1 }, "tender"},
		{"a target where nothing is aged", "deer-mature", func(p *Protocol) { p.Aged = false }, "tender"},
		{"a sign where nothing is aged", "deer-mature", func(p *Protocol) { p.Aged, p.Target, p.Sign = false, 0, SignRequired }, "sign"},
		{"a sign nobody knows", "deer-mature", func(p *Protocol) { p.Sign = "perhaps" }, "sign"},
		{"no source", "deer-mature", func(p *Protocol) { p.Cites = []string{" "} }, "cites"},
		{"lamb to the mould sign", "lamb-goat", func(p *Protocol) { p.Sign = SignRequired }, "sign"},
		{"lamb may wait for growth", "lamb-goat", func(p *Protocol) { p.Sign = SignOptional }, "sign"},
		{"hog with a sign", "hog", func(p *Protocol) { p.Sign = SignNo }, "sign"},
		{"bear with a sign", "wild-hog-bear", func(p *Protocol) { p.Sign = SignRequired }, "sign"},
		{"quarters with a sign", "quarters", func(p *Protocol) { p.Sign = SignRequired }, "sign"},
		{"boned with a sign", "boned", func(p *Protocol) { p.Sign = SignRequired }, "sign"},
		{"hog aged", "hog", func(p *Protocol) { p.Aged, p.Target = true, 0.5 }, "aged"},
		{"damaged aged", "damaged", func(p *Protocol) { p.Aged, p.Target = true, 0.5 }, "aged"},
		{"boned to 14 days on a signature", "boned", func(p *Protocol) { p.LongCeiling = 14 }, ""},
		{"boned to 15", "boned", func(p *Protocol) { p.LongCeiling = 15 }, "long_ceiling"},
		{"a fawn longer on a signature", "deer-young", func(p *Protocol) { p.LongCeiling = 14 }, "long_ceiling"},
		{"beef to 35 without conditions", "beef-fat", func(p *Protocol) { p.Ceiling = 35 }, "ceiling"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, ok := ProtocolByKey(tt.key)
			if !ok || p.CheckEdit() != nil {
				t.Fatalf("the table's own %s: %v", tt.key, p.CheckEdit())
			}
			tt.change(&p)
			err := p.CheckEdit()
			if got := domain.As(err); tt.at == "" && err != nil || tt.at != "" && (err == nil || got.Kind != domain.Invalid || got.At != tt.at) {
				t.Errorf("got %v, want a refusal at %q", err, tt.at)
			}
		})
	}
	if domain.As(Protocol{Key: "unicorn"}.CheckEdit()).Kind != domain.NotFound {
		t.Error("a kind nobody knows may be edited")
	}
}

// Where two ceilings apply the lower wins, in the longer hang too.
func TestUnder(t *testing.T) {
	quarters, _ := ProtocolByKey("quarters")
	for kind, want := range map[string][2]float64{"deer-mature": {5, 14}, "pronghorn": {3, 0}, "deer-young": {5, 0}, "beef-fat": {5, 14}} {
		k, _ := ProtocolByKey(kind)
		if got := quarters.Under(k); got.Ceiling != want[0] || got.LongCeiling != want[1] {
			t.Errorf("quarters of %s: %g and %g, want %v", kind, got.Ceiling, got.LongCeiling, want)
		}
	}
}

// A longer hang counts only with the owner's line and the lead's sign-off, for
// as many days as both allow (readiness.md section 9).
func TestAgreement(t *testing.T) {
	deer, _ := ProtocolByKey("deer-mature")
	fawn, _ := ProtocolByKey("deer-young")
	beef, _ := ProtocolByKey("beef-fat")
	day := func(d float64) time.Time {
		return time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(d * 24 * float64(time.Hour)))
	}
	none := Agreement{}
	owner := none.With(Signature{Kind: OwnerLine, At: day(1), Days: 21})
	both := owner.With(Signature{Kind: LeadExtend, At: day(2), Days: 21})
	for name, got := range map[string]float64{"nothing": none.Days(deer), "owner alone": owner.Days(deer),
		"lead alone": none.With(Signature{Kind: LeadExtend, Days: 21}).Days(deer), "ended": both.With(Signature{Kind: LeadEnd}).Days(deer), "a fawn": both.Days(fawn)} {
		if got != 0 {
			t.Errorf("%s: %g days agreed", name, got)
		}
	}
	if both.Days(deer) != 21 || len(none.Missing(deer)) != 2 || len(owner.Missing(deer)) != 1 || len(both.Missing(deer)) != 0 || len(none.Missing(fawn)) != 0 {
		t.Errorf("%g days; missing %v, %v, %v", both.Days(deer), none.Missing(deer), owner.Missing(deer), none.Missing(fawn))
	}
	sour := &Look{At: day(1), Smell: Sour, Surface: Dry}
	damp := &RoomAir{Humidity: 800}
	for name, tt := range map[string]struct {
		err error
		at  string
	}{
		"a fawn":                {fawn.CheckOwnerLine(14), "long-hang"},
		"too few days":          {deer.CheckOwnerLine(14), "days"},
		"too many days":         {deer.CheckOwnerLine(29), "days"},
		"no owner's line":       {none.CheckExtend(deer, 21, nil, nil), "owner-line"},
		"more than signed":      {owner.CheckExtend(deer, 22, nil, nil), "days"},
		"it smells":             {owner.CheckExtend(deer, 21, sour, nil), "stop"},
		"beef, not measured":    {none.With(Signature{Kind: OwnerLine, Days: 35}).CheckExtend(beef, 35, nil, nil), "humidity"},
		"beef, no such air":     {none.With(Signature{Kind: OwnerLine, Days: 35}).CheckExtend(beef, 35, nil, damp), "humidity"},
		"weekly before day 14":  {CheckWeekly(day(0), sour, day(13)), "weekly"},
		"weekly without a look": {CheckWeekly(day(0), sour, day(15)), "look"},
	} {
		if e := domain.As(tt.err); tt.err == nil || e.At != tt.at {
			t.Errorf("%s: %v at %q, want %q", name, tt.err, e.At, tt.at)
		}
	}
	if err := owner.CheckExtend(deer, 21, nil, nil); err != nil {
		t.Error(err)
	}
	if err := CheckWeekly(day(0), &Look{At: day(14.8)}, day(15)); err != nil {
		t.Error(err)
	}
	if SignatureDue(day(0), time.Time{}, day(14)) || !SignatureDue(day(0), time.Time{}, day(14.1)) || SignatureDue(day(0), day(12), day(18)) || !SignatureDue(day(0), day(12), day(19.1)) {
		t.Error("the weekly signature: due after day 14 and a week after the last")
	}
}
