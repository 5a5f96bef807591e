package animal

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"coldrail/domain"
)

var update = flag.Bool("update", false, "write the golden text anew")

const golden = "../../testdata/golden/animal_moves.txt"

// TestMoves puts every state of every track through every step. What is
// allowed must be, line by line, what the golden text says; everything else
// must be refused with a sentence and leave the state as it was.
func TestMoves(t *testing.T) {
	var b strings.Builder
	b.WriteString("Every allowed move of an animal. What is not listed is refused.\n")
	writeTrack(t, &b, "WHERE IT IS", AllPhysical, Physical.Do)
	writeTrack(t, &b, "TAG AND REGISTER", AllLegal, Legal.Do)
	writeTrack(t, &b, "DISEASE TEST", AllDisease, Disease.Do)
	writeTrack(t, &b, "CUT ORDER", AllOrder, OrderTrack.Do)
	writeTrack(t, &b, "MONEY", AllMoney, Money.Do)
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("the moves changed; read the new text, then run go test ./domain/animal -update:\n%s", b.String())
	}
}

func writeTrack[S state](t *testing.T, b *strings.Builder, title string, all []S, do func(S, Step) (S, error)) {
	t.Helper()
	fmt.Fprintf(b, "\n%s\n", title)
	for _, from := range all {
		moves := 0
		for _, step := range AllSteps {
			to, err := do(from, step)
			if err == nil {
				moves++
				fmt.Fprintf(b, "%-32s %-20s -> %s\n", from.Words(), step, to.Words())
				continue
			}
			e := domain.As(err)
			if e.Kind != domain.Refused || to != from || !strings.HasPrefix(e.Error(), "Cannot ") || strings.Contains(e.Error(), "%!") {
				t.Errorf("%s, %s: got %q, %v; want a refusal in words and no move", from, step, to, err)
			}
		}
		if moves == 0 {
			fmt.Fprintf(b, "%-32s the end\n", from.Words())
		}
	}
}

// Every move must lead to a known state, by a known step, and every state and
// step must have words of its own.
func TestTablesAreWhole(t *testing.T) {
	used := map[Step]bool{}
	known(t, used, physicalMoves, AllPhysical, physicalWords)
	known(t, used, legalMoves, AllLegal, legalWords)
	known(t, used, diseaseMoves, AllDisease, diseaseWords)
	known(t, used, orderMoves, AllOrder, orderWords)
	known(t, used, moneyMoves, AllMoney, moneyWords)
	for _, s := range AllSteps {
		if !used[s] || stepWords[s] == "" {
			t.Errorf("step %s is used by no move or has no words", s)
		}
		delete(used, s)
	}
	for s := range used {
		t.Errorf("step %s is not in AllSteps", s)
	}
}

func known[S state](t *testing.T, used map[Step]bool, moves map[S]map[Step]S, all []S, words map[S]string) {
	t.Helper()
	listed := map[S]bool{}
	for _, s := range all {
		listed[s] = true
		if words[s] == "" {
			t.Errorf("state %s has no words", s)
		}
	}
	for from, steps := range moves {
		for step, to := range steps {
			used[step] = true
			if !listed[from] || !listed[to] {
				t.Errorf("%s %s -> %s: a state is not listed", from, step, to)
			}
		}
	}
}

// The guards of trade.md that the tables alone must keep.
func TestMovesThatMustNotBe(t *testing.T) {
	for _, tt := range []struct {
		name string
		err  error
		src  string
	}{
		{"cut before it is weighed and hung", second(Chilling.Do(Start)), "Annex B: hanging, then the table"},
		{"hand over straight from the rail as meat", second(Hanging.Do(HandOver)), "Annex B: stored, then released"},
		{"give away what is still in the freezer", second(Stored.Do(Transfer)), "trade.md 8.7: only after the unclaimed ladder"},
		{"change an order on the table", second(Locked.Do(TakeOrder)), "trade.md 6.2: allowed until the carcass is on the table"},
		{"turn a detected result back", second(Detected.Do(ReportNotDetected)), "trade.md 2.5: a positive holds everything"},
		{"pass a tag under the warden's hold", second(WardenHold.Do(Verify)), "trade.md 5.4: nobody moves it"},
	} {
		if tt.src == "" || domain.As(tt.err).Kind != domain.Refused {
			t.Errorf("%s: got %v, want Refused (%s)", tt.name, tt.err, tt.src)
		}
	}
}

func second[S any](_ S, err error) error { return err }

func ExamplePhysical_Do() {
	next, _ := Hanging.Do(Start)
	_, err := Chilling.Do(Split)
	fmt.Println(next)
	fmt.Println(err)
	// Output:
	// on-table
	// Cannot finish cutting it: it is chilling. It has to be on the table first.
}
