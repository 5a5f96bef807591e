package help

import (
	"context"
	"slices"
	"strings"

	"coldrail/domain"
	"coldrail/web/ui"
)

// entry is one word of the trade as this program uses it.
type entry struct{ word, means domain.Words }

// glossary holds the words that have a meaning here that a new hand may not know.
// It is the one place where they are told; the screens keep to them.
var glossary = []entry{
	{domain.Say("Shop number"), domain.Say("the number the shop gives an animal at the door: year, count, check digit. It goes on the carcass, each label, each box.")},
	{domain.Say("Time line"), domain.Say("what was done with an animal, when and by whom. A slip is put right by a new line, with its reason.")},
	{domain.Say("The shop's machine"), domain.Say("the computer in the shop that keeps the records. The tablets show what it has, and keep what you write while it does not answer.")},
	{domain.Say("Lead"), domain.Say("whoever answers for the day's work: decides what was stopped, signs, and closes the day.")},
	{domain.Say("Official tag"), domain.Say("the state's own tag or permit. It stays with the animal as the state asks, and the register says where it is.")},
	{domain.Say("Drop-off"), domain.Say("the animal comes in. The legal minimum is written before it leaves the bay; the rest may be owed for a day.")},
	{domain.Say("Bay, card"), domain.Say("where an animal is left after hours. The card in the slot and the tag on the carcass are two halves of one tag, put together in the morning.")},
	{domain.Say("Stub"), domain.Say("the part of the drop-off receipt with the number, which whoever collects may show.")},
	{domain.Say("Owed"), domain.Say("a field of the register that was not known at drop-off and has to be asked for.")},
	{domain.Say("Door check"), domain.Say("smell, looks and deep temperature when it comes in. It says how carefully the animal is to be watched.")},
	{domain.Say("Hide-on"), domain.Say("hung in its hide. It dries and grows mold in another way than a skinned carcass, and hangs on a rail of its own.")},
	{domain.Say("Hanging weight"), domain.Say("what the skinned carcass weighs on the rail, without head, hide and feet.")},
	{domain.Say("Rail, hook"), domain.Say("a rail has hooks counted from the door: R2-7 is the seventh hook of the second rail.")},
	{domain.Say("Round"), domain.Say("the walk through a cooler, morning and evening: the room first, then each carcass.")},
	{domain.Say("Ice check"), domain.Say("a thermometer read in ice water. It has to say 32 °F (0 °C), 2 °F (1.1 °C) either way.")},
	{domain.Say("Logger, sensor"), domain.Say("a logger keeps its readings until its file is brought in; a sensor sends them by itself.")},
	{domain.Say("Defrost, loading"), domain.Say("a time in which the room may be warm without an incident. For the meat it counts like any other.")},
	{domain.Say("A look"), domain.Say("what a person found on one carcass: smell, surface, mold, where.")},
	{domain.Say("Chilling"), domain.Say("not yet cold inside. Nothing is cut before it is.")},
	{domain.Say("Aging"), domain.Say("hanging cold until the meat is tender. The clock runs by the room's own temperatures.")},
	{domain.Say("Ready, nearly, past"), domain.Say("whether it has hung long enough. It says nothing about whether the meat is fit to eat.")},
	{domain.Say("Cut first"), domain.Say("it should be on the table before the others, for a reason the page gives.")},
	{domain.Say("Stop"), domain.Say("nobody goes on with this animal until the lead has stood before it and decided.")},
	{domain.Say("Mold, threads"), domain.Say("dry white threads on fat or inside the ribs are a sign of time. Other colors, slime, or growth on the meat are faults.")},
	{domain.Say("Rind"), domain.Say("the dry outside of an aged carcass. It is trimmed off and weighed.")},
	{domain.Say("Hold"), domain.Say("something that stops an animal by name: a sample that is out, a tag in question, a warden's word. Each hold says what it blocks and what ends it.")},
	{domain.Say("Bone and hold"), domain.Say("boned, wrapped and kept apart, uncut further, until the laboratory has answered.")},
	{domain.Say("Order"), domain.Say("how the owner wants it cut. Each order has a version; the one in force is on the cut sheet.")},
	{domain.Say("Promise"), domain.Say("the day the owner was told. The plan says when it cannot be kept, and the owner is called.")},
	{domain.Say("Share, portion"), domain.Say("what one of several owners of an animal has: a half or a quarter, with an order, a bill and boxes of its own.")},
	{domain.Say("Batch"), domain.Say("meat made together: sausage, sticks, jerky. Whose meat went in, and in which order the machines ran, is kept.")},
	{domain.Say("Pooled, own"), domain.Say("pooled: owners who agreed share one batch by weight. Own: one owner's meat alone, from clean-out to clean-out.")},
	{domain.Say("Clean-out"), domain.Say("a machine taken apart, washed and sanitized. What ran between two clean-outs may have touched.")},
	{domain.Say("Prion soak"), domain.Say("the stronger soak that agencies ask for after an animal whose test came back detected.")},
	{domain.Say("Trim"), domain.Say("meat cut off for grinding. Waste is weighed by itself.")},
	{domain.Say("Tub"), domain.Say("a tub of trim with the animal's number on it. None stands anywhere without one.")},
	{domain.Say("Piece"), domain.Say("a head, cape, hide, antlers, heart, quarter or tub that came off and is kept under its own number.")},
	{domain.Say("Barrel"), domain.Say("where spine, cord and head of older cattle go, denatured and marked, until the hauler takes it.")},
	{domain.Say("Yield"), domain.Say("wrapped pounds out of a hundred hanging pounds.")},
	{domain.Say("NOT FOR SALE"), domain.Say("the mark federal rules ask for on what is cut for its owner and never inspected.")},
	{domain.Say("Unclaimed"), domain.Say("meat nobody fetches. It goes step by step, by the state's rule and the shop's letters.")},
	{domain.Say("Food program"), domain.Say("who gives donated game to people. What it takes and which words stand on its packs is its own and the state's to say.")},
	{domain.Say("Register"), domain.Say("the book the law asks for. A line is never changed; a correction is a new line, and each line is sealed to the one before.")},
	{domain.Say("Visit"), domain.Say("an inspector's or a warden's coming, with what was shown.")},
	{domain.Say("Incident"), domain.Say("a room that was too warm for too long, with every animal it may have touched.")},
	{domain.Say("Put right"), domain.Say("something found on a round that needs doing, and somebody's word that it was done; or a slip, mended by a line that says what is true and why.")},
}

// told is an entry in the language of the screens.
type told struct{ word, means string }

// byAlphabet is the glossary as it is looked up, in the language of the screens.
func byAlphabet(ctx context.Context) []told {
	list := make([]told, len(glossary))
	for i, e := range glossary {
		list[i] = told{ui.Say(ctx, e.word), ui.Say(ctx, e.means)}
	}
	slices.SortStableFunc(list, func(a, b told) int { return strings.Compare(strings.ToLower(a.word), strings.ToLower(b.word)) })
	return list
}
