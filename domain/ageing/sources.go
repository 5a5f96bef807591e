package ageing

import "coldrail/domain"

// SourceOf says where a reason or an assumption of a Verdict comes from: what
// was published, or that it is common practice without a source. It is empty for
// a sentence that Judge does not say.
func SourceOf(reason domain.Words) domain.Words { return sources[reason.Format] }

// BidsToCut reports whether a reason says to cut the animal, which is not said of one
// that a hold keeps from the knife.
func BidsToCut(reason domain.Words) bool {
	switch reason.Format {
	case "It is cold and is not aged: cut it.", "Past its day. Cut it.", "It will not be ready in time: cut it.",
		"Cut it between day %.0f and day %.0f.", "Cut it on day %.0f.":
		return true
	}
	return false
}

// What several reasons lean on.
var (
	citePractice = domain.Say("Common practice, no source.")
	citeOdour    = domain.Say("James & James, Meat Refrigeration, 2002, p. 209: meat is judged spoiled at log 7 to 8 per cm2, the smell before the slime. That it stops the animal is common practice, no source.")
	citeCeilings = domain.Say("Field & Means, Aging Big Game, University of Wyoming B-513R, 2002: deer, elk and moose two weeks at most, pronghorn 3 days. EFSA Journal 2023;21(1):7745: beef 35 days in a room that is watched. All other limits, 28 days too, are common practice, no source. The shop can set its own.")
	cite35       = domain.Say("EFSA Journal 2023;21(1):7745: beef up to 35 days at a surface of -0.5 to 3 °C, humidity to 85 % and air of 0.2 to 0.5 m/s. How old a measurement may be is common practice, no source.")
	citeWindow   = domain.Say("Worked out, with the air of the last 48 hours going on. Tenderness: Dransfield et al. 1981, Meat Sci. 5:139-147. Growth: Koutsoumanis et al. 2006, Appl. Environ. Microbiol. 72:124-134, and Gill & Jones 1992, Food Microbiol. 9:335-343; on a dry surface EFSA Journal 2023;21(1):7745. The most days stand with the rule, under the sums.")
	citeGerms    = domain.Say("E. coli O157:H7: Huang 2011, Food Microbiol. 28:770-776. Salmonella on meat: EFSA 2014. Both without a lag. That growth of one log asks for a person is common practice, no source.")
)

// sources is by the format of the sentence, in the order of the conditions.
var sources = map[string]domain.Words{
	"An incident in the room stopped it.":                            domain.Say("FoodSafety.gov, when the power is out: perishable meat above 40 °F for more than 2 hours is to be discarded. That is written for kitchens; that a person decides on each carcass is common practice, no source."),
	"A decision stands for 24 hours or until a worse look.":          citePractice,
	"That was at an earlier look. A later one does not lift a stop.": citePractice,
	"Nobody cuts it before the lead has decided.":                    citePractice,
	"The surface is slimy.":                                          citeOdour,
	"It smells %s.":                                                  citeOdour,
	"There is %s mold (%s).":                                         domain.Say("EFSA Journal 2023;21(1):7745: some Aspergillus and Penicillium make toxins. Which colors stop an animal is common practice, no source."),

	"By the record its surface may smell by now (log %.1f).": domain.Say("Growth: Koutsoumanis et al. 2006, Appl. Environ. Microbiol. 72:124-134; above 3 °C the quicker of that and Gill & Jones 1992, Food Microbiol. 9:335-343; on a dry surface EFSA Journal 2023;21(1):7745. Smell from log 7: James & James, Meat Refrigeration, 2002, p. 209. The count it comes with is common practice, no source."),
	"After day 14 it is touched and smelled every evening.":  domain.Say("Field & Means, Aging Big Game, University of Wyoming B-513R, 2002: after two weeks growth goes on and tenderness gains little. The look each evening is common practice, no source."),
	"Open the folds and the hip, smell, record.":             citePractice,

	"Damaged at the door.":                                                     citePractice,
	"The surface is sticky.":                                                   domain.Say("Common practice, no source. James & James, Meat Refrigeration, 2002, p. 209: on beef sides at 0 °C smell came after 14.5 days, slime after 20."),
	"Decided: trim and cut first.":                                             domain.Say("The lead's own decision; it stands below with its reason."),
	"Decided: a part is condemned. Cut the rest first.":                        domain.Say("The lead's own decision; it stands below with its reason."),
	"That was at an earlier look. Mold that was wiped off grows again sooner.": domain.Say("Gracey's Meat Hygiene, an extract (year not shown): meat that mold was wiped or trimmed off grows it again sooner and is to be used quickly. That a clean look does not lift it is common practice, no source."),
	"Mold (%s): cut it off dry, with what is thrown out, before the carcass is cut. Gloves and mask.": domain.Say("Common practice, no source. FSIS advises to throw most moldy meat away (text not checked)."),

	"About %.0f °F (%.1f °C) at the bone.":               domain.Say("Worked out from the readings of the room and the weight. How fast a side cools: Kerens & Visser 1978, in James & James, Meat Refrigeration, 2002, p. 105. The slower air of a walk-in and the hide are common practice, no source. 40 °F is the mark of the FSIS generic plan."),
	"Not cold after %.0f hours: open the hip and smell.": domain.Say("FSIS generic plan: 40 °F within 24 hours. The 48 hours for beef and bison are common practice, no source."),
	"Not weighed and hung for good yet: do that first.":  citePractice,
	"Past its day. Cut it.":                              citeCeilings,
	"It is cold and is not aged: cut it.":                domain.Say("Field & Means, Aging Big Game, University of Wyoming B-513R, 2002: pork, veal and what has little fat cover are not aged; pronghorn is cut within 3 days. For the rest, and where the owner or the shop wishes it, common practice, no source."),

	"Tender %d %% of what hanging can give; %.0f %% is asked.": domain.Say("Dransfield et al. 1981, Meat Sci. 5:139-147, measured on beef and lamb. Deer counts as lamb: nothing is published for venison. What is asked, and the first 24 hours that do not count, are common practice, no source."),
	"Growth at ribs or fat %.1f mm; 1.5 mm is asked.":          citePractice,
	"Day %.0f of %.0f.": citeCeilings,
	"Past 28 days beef asks for humidity and air speed measured within the week. They are not: 28 days count.": cite35,
	"The humidity is %.0f %%, above 85: 28 days count.":                                                        cite35,
	"The air moves %.1f m/s, not 0.2 to 0.5: 28 days count.":                                                   cite35,
	"The surface was at %v in the last 48 hours, not at -0.5 to 3 °C: 28 days count.":                          cite35,
	"the owner's signed line": citePractice,
	"the lead's sign-off":     citePractice,

	"It will not be ready in time: cut it.":                      citeWindow,
	"Cut it between day %.0f and day %.0f.":                      citeWindow,
	"Cut it on day %.0f.":                                        citeWindow,
	"It will not be ready within 60 days as the room is now.":    citeWindow,
	"The growth is quick: %.1f mm a day.":                        citePractice,
	"The room was above 37 °F for 24 hours: mold will be quick.": domain.Say("Field & Means, Aging Big Game, University of Wyoming B-513R, 2002: game is aged at 34 to 37 °F. Mold grows quicker the warmer it is: Judet-Correia et al. 2010, Int. J. Food Microbiol. 142:106-113. The 24 hours are common practice, no source."),
	"Warm before the door: cut first.":                           citeGerms,
	"Warm in the cooler: probe and decide.":                      citeGerms,

	"Not weighed yet: taken as %v hanging.":                                          citePractice,
	"No deep temperature at the door: taken as %v.":                                  citePractice,
	"How warm it was kept before the door is not known: taken as %v for %.0f hours.": citePractice,
	"Whether it hung or was covered before the door is not known: taken as hung.":    citePractice,
	"Whether it hung or was covered before the door is not known: taken as covered.": citePractice,
}
