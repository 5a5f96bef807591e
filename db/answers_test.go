package db_test

import (
	"strings"
	"testing"

	"coldrail/db"
	"coldrail/db/dbtest"
	"coldrail/domain"
	"coldrail/domain/animal"
)

// The owner of the shop alone writes the answers; sent twice it is written once, what
// is not named stays, and an empty one is the usual again.
func TestSetAnswers(t *testing.T) {
	t.Parallel()
	s := dbtest.OpenShop(t)
	ctx := t.Context()
	act := s.Act(s.Ann, dbtest.Noon)
	for range 2 {
		must(t, s.SetAnswers(ctx, act, db.Answers{animal.AskBring: " Every day until nine. ", animal.AskSell: "No."}))
	}
	if n := len(collect[struct{ What string }](t, s, `SELECT what FROM time_line WHERE what = 'set-answers'`)); n != 1 {
		t.Errorf("%d lines on the time line", n)
	}
	must(t, s.SetAnswers(ctx, s.Act(s.Ann, dbtest.Noon), db.Answers{animal.AskSell: ""}))
	says, err := s.Answers(ctx)
	if err != nil || len(says) != 1 || says[animal.AskBring] != "Every day until nine." {
		t.Errorf("%v, %v", says, err)
	}
	err = s.SetAnswers(ctx, s.Act(s.Bob, dbtest.Noon), db.Answers{animal.AskSell: "Yes."})
	if e := domain.As(err); err == nil || e.Kind != domain.Refused || !strings.Contains(e.Error(), "Only the owner") {
		t.Errorf("the counter: %v", err)
	}
}
