package register

import (
	"testing"
	"time"

	"coldrail/domain"
)

func TestLineCheck(t *testing.T) {
	digest := Digest([]byte("0123456789abcdef"), "owner", "A. Person")
	for _, tt := range []struct {
		name string
		edit func(*Line)
		ok   bool
	}{
		{"receipt", func(*Line) {}, true},
		{"correction", func(l *Line) { l.Kind, l.Corrects, l.Why = Correction, 3, "county misheard" }, true},
		{"correction of nothing", func(l *Line) { l.Kind, l.Why = Correction, "county misheard" }, false},
		{"correction of itself", func(l *Line) { l.Kind, l.Corrects, l.Why = Correction, 7, "county misheard" }, false},
		{"correction without a reason", func(l *Line) { l.Kind, l.Corrects, l.Why = Correction, 3, " " }, false},
		{"receipt that points back", func(l *Line) { l.Corrects = 3 }, false},
		{"nobody wrote it", func(l *Line) { l.By = "" }, false},
		{"unknown kind", func(l *Line) { l.Kind = "note" }, false},
		{"a name among the facts", func(l *Line) { l.Facts["owner"] = "A. Person" }, false},
		{"a fact nobody knows", func(l *Line) { l.Facts["colour"] = "brown" }, false},
		{"a name in the clear", func(l *Line) { l.Personal["owner"] = "A. Person" }, false},
		{"a county among the personal", func(l *Line) { l.Personal["county"] = digest }, false},
	} {
		l := Line{Seq: 7, Animal: domain.NewShopNumber(26, 147), Kind: Receipt, At: time.Unix(1.79e9, 0), By: "AN",
			Facts: map[string]string{"county": "Elder"}, Personal: map[string]string{"owner": digest}}
		tt.edit(&l)
		if err := l.Check(); (err == nil) != tt.ok {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}
