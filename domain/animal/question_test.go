package animal

import (
	"strings"
	"testing"

	"coldrail/domain"
)

// Every question of trade.md section 10 that the head of the page does not answer
// has words and an answer, and no answer promises anything about the meat.
func TestQuestions(t *testing.T) {
	if len(Questions) != len(questions) {
		t.Fatalf("%d questions in order, %d with words", len(Questions), len(questions))
	}
	for _, q := range Questions {
		if q.Words().String() == "" || q.Usual().String() == "" {
			t.Errorf("%s has no words or no answer", q)
		}
		for _, banned := range []string{"safe", "CWD-free", "guarantee"} {
			if strings.Contains(strings.ToLower(q.Usual().String()), strings.ToLower(banned)) {
				t.Errorf("%s promises: %s", q, q.Usual())
			}
		}
		if err := CheckAnswer(q, q.Usual().String()); err != nil {
			t.Errorf("the usual answer of %s is refused: %v", q, err)
		}
	}
}

func TestCheckAnswer(t *testing.T) {
	for _, tt := range []struct {
		name string
		q    Question
		says string
		at   string
	}{
		{"empty: the usual answer", AskBring, "", ""},
		{"at the limit, counted in letters", AskBring, strings.Repeat("ü", LongestAnswer), ""},
		{"one letter more", AskBring, strings.Repeat("ü", LongestAnswer+1), string(AskBring)},
		{"no such question", "weather", "Fine.", "question"},
	} {
		if err := CheckAnswer(tt.q, tt.says); (err != nil) != (tt.at != "") || err != nil && domain.As(err).At != tt.at {
			t.Errorf("%s: %v, want it at %q", tt.name, err, tt.at)
		}
	}
}
