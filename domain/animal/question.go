package animal

import (
	"slices"
	"unicode/utf8"

	"coldrail/domain"
)

// Question is one of those that owners ask, beside the four that their page answers
// at its head: where, when, how much meat, how much money (trade.md 10).
type Question string

// The questions.
const (
	AskLittle  Question = "little"
	AskMine    Question = "mine"
	AskMould   Question = "mould"
	AskEat     Question = "eat"
	AskTest    Question = "test"
	AskSausage Question = "sausage"
	AskThings  Question = "things"
	AskChange  Question = "change"
	AskOther   Question = "other"
	AskStorage Question = "storage"
	AskLonger  Question = "longer"
	AskSell    Question = "sell"
	AskFirst   Question = "first"
	AskLast    Question = "last"
	AskBring   Question = "bring"
	AskState   Question = "state"
	AskDoor    Question = "door"
)

// Questions lists them in the order in which a page shows them.
var Questions = []Question{AskMould, AskMine, AskLittle, AskEat, AskTest, AskSausage, AskThings, AskChange, AskOther, AskLonger,
	AskStorage, AskFirst, AskLast, AskSell, AskDoor, AskBring, AskState}

// asked is a question as an owner says it, and the answer while the shop has none
// of its own.
type asked struct{ ask, usual string }

// The usual answers: common practice, no source. None of them promises anything
// about the meat.
var questions = map[Question]asked{
	AskLittle: {"Why is there not more meat?",
		"Head, hide, legs and bone stay behind, the outside dries while it hangs, and what was shot or dirty is cut away. We weigh it before and after; ask us, and we go through the sums with you."},
	AskMine: {"Is the meat I get really mine?",
		"Its number goes on at the truck. The same number stands on the hook, on each tub at the table, on each pack and on each box."},
	AskMould: {"Why is there mold, or why is it so dark?",
		"Dry white threads on the inside of the rib cage are common after a week or two of hanging. They grow on the skin of the ribs and on fat, and show that time has passed. We cut them off well beyond what we see. Dark means dried: that rind is cut off too. Any other color, slime, or growth on the meat itself is a fault, and a person decides about it before anything is cut."},
	AskEat: {"Can I eat it without a worry?",
		"That is not ours to promise. We can show you how cold it was here and what we saw. Keep it frozen, thaw it cold, and cook it through. Ask your health department if you are in doubt."},
	AskTest: {"Was mine tested, and what came back?",
		"A sample is drawn where the state asks for it, or where you do. The result comes from the laboratory; we wait for it before we cut."},
	AskSausage: {"Is my sausage made of my own meat?",
		"It is, unless you agreed to a batch with others. Then each gets back his part by weight."},
	AskThings: {"Where are my antlers, my head, my cooler?",
		"We keep what you asked us to keep, under its number. What nobody asked for goes with the waste."},
	AskChange: {"Can I change the order, or cancel?",
		"Call us. Until it is on the table nearly everything can be changed. Work that is done already is charged."},
	AskOther: {"Can my wife or my brother pick it up?",
		"Yes, if you tell us the name before they come. They show who they are, and what is owed is paid then."},
	AskStorage: {"Why is there a storage fee?",
		"The freezer is full in the season. We tell you when it is ready; if it then waits for long, we may charge for the room, as you were told at drop-off."},
	AskLonger: {"Can you hold it for a month longer?",
		"On the hook there is a last day, whatever we wish. Frozen it can wait a little if you call us before."},
	AskSell: {"May I sell it, or give it away?",
		"It may not be sold: it was cut for you and not inspected for sale. For a gift some states ask for a slip with your name and license. Your wildlife agency knows."},
	AskFirst: {"Can you do mine first?",
		"We go by what each carcass needs and by who came before. Ask us; sometimes there is room."},
	AskLast: {"Can I have what I had last year?",
		"Yes. Say so at drop-off or call us: we read your last order back to you."},
	AskBring: {"Do you take quarters or boned meat, on a Sunday, after nine?",
		"Call before you drive. When the cooler is full we close one kind after the other."},
	AskState: {"May I bring a deer from another state?",
		"Many states let in no whole carcass, and no head or backbone, from places with chronic wasting disease. Tell us state and county before you drive; your wildlife agency has the list."},
	AskDoor: {"How was it when I brought it?",
		"We look at each one at the door and write down what we see, with the hour. Ask us, and we read it to you."},
}

// Words is the question as an owner asks it.
func (q Question) Words() domain.Words { return domain.Say(questions[q].ask) }

// Usual is what the page answers while the shop has written nothing of its own.
func (q Question) Usual() domain.Words { return domain.Say(questions[q].usual) }

// LongestAnswer is how many letters the shop's own answer may have, so that a page
// with all of them still comes quickly on a poor line.
const LongestAnswer = 500

// CheckAnswer says whether the shop's own answer can be kept; an empty one means
// the usual.
func CheckAnswer(q Question, says string) error {
	switch {
	case !slices.Contains(Questions, q):
		return domain.Wrong("question", "That question is not on the list. Open the page again.")
	case utf8.RuneCountInString(says) > LongestAnswer:
		return domain.Wrong(string(q), "Keep it to %d letters: it is read on a phone.", LongestAnswer)
	}
	return nil
}
