package ui

import (
	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/ageing"
	"coldrail/domain/animal"
	"coldrail/domain/closing"
	"coldrail/domain/cutting"
	"coldrail/domain/logger"
	"coldrail/domain/message"
	"coldrail/domain/round"
	"coldrail/domain/statute"
)

// tableOrigins says the same of the words for findings, decisions and states that stand in
// tables of their own, each behind the name of its table.
var tableOrigins = map[string]string{
	"look clean":                             "trade: what a nose says first",
	"look gamey":                             "trade: the smell of rut and wild meat",
	"look musty":                             "trade: the smell of an old cellar",
	"look fishy":                             "trade: a smell every buyer of meat knows",
	"look sour":                              "trade: sour meat, sour bone",
	"look putrid":                            "standard: putrid, as inspection texts write (9 CFR 301.2, adulterated)",
	"look rotten eggs":                       "ours: what people say for sulphur",
	"look wet":                               "trade: what a hand feels",
	"look drying":                            "trade: what a hand feels",
	"look dry":                               "trade: what a hand feels",
	"look sticky":                            "trade: what a hand feels",
	"look slimy":                             "trade: slime on meat",
	"look inside the ribs":                   "trade: where white threads grow first",
	"look fat":                               "trade: a part of a carcass",
	"look meat":                              "trade: a part of a carcass",
	"look neck":                              "trade: a part of a carcass",
	"look flank":                             "trade: a part of a carcass",
	"look white":                             "ours: plain words for what an eye sees",
	"look gray":                              "ours: plain words for what an eye sees",
	"look black":                             "ours: plain words for what an eye sees",
	"look blue-green":                        "ours: plain words for what an eye sees",
	"look yellow":                            "ours: plain words for what an eye sees",
	"look pink":                              "ours: plain words for what an eye sees",
	"decision carry on":                      "ours: plain words",
	"decision trim and cut first":            "trade: trimmed, and next on the table",
	"decision condemn a part":                "standard: 9 CFR 301.2, condemned; a person's decision, with a second name for all of it",
	"decision condemn all of it":             "standard: 9 CFR 301.2, condemned; a person's decision, with a second name for all of it",
	"thermometer in service":                 "trade: in use",
	"thermometer ice check due":              "standard: the ice point, as the FDA Food Code has thermometers checked",
	"thermometer out of service":             "trade: hung on its nail",
	"door clean":                             "trade: a clean carcass",
	"door small fault":                       "ours: plain words for what is wiped or trimmed",
	"door bad fault":                         "ours: plain words for what is cut first",
	"door refuse":                            "trade: turned away",
	"batch open: meat goes in":               "ours: plain words",
	"batch mixed":                            "trade: a batch is mixed",
	"batch finished, not given back yet":     "ours: plain words",
	"batch given back":                       "ours: plain words",
	"batch destroyed":                        "standard: 9 CFR 314, denatured and destroyed",
	"reading kept":                           "ours: plain words",
	"reading twice the same moment":          "ours: plain words",
	"reading no temperature a room can have": "ours: plain words",
	"reading stuck for more than 12 hours":   "ours: plain words for a sensor that hangs",
	"reading in the future":                  "ours: plain words",
	"unclaimed nobody was told yet: call them":                    "ours: plain words for what to do next",
	"unclaimed tell them a second time":                           "ours: plain words for what to do next",
	"unclaimed a letter is due":                                   "standard: statutes on abandoned property ask for a letter",
	"unclaimed a letter waits for the owner of the shop":          "ours: plain words for what to do next",
	"unclaimed a letter is approved: print and send it":           "ours: plain words for what to do next",
	"unclaimed the letter is out":                                 "trade: the letter is in the post",
	"unclaimed the state wants a report: make it":                 "standard: statutes on abandoned game ask for a report",
	"unclaimed the owner of the shop decides":                     "ours: plain words for what to do next",
	"message ready to fetch":                                      "trade: what a customer is called for",
	"message part of it ready to fetch":                           "trade: what a customer is called for",
	"message the day has moved":                                   "ours: plain words",
	"message test result":                                         "standard: test result, as the laboratories write",
	"message nobody has fetched it":                               "ours: plain words",
	"piece tub of trim":                                           "trade: a tub under the table",
	"piece quarter":                                               "trade: a part of a carcass",
	"piece head":                                                  "trade: a part of a carcass",
	"piece cape":                                                  "trade: the skin a taxidermist mounts",
	"piece antlers":                                               "trade: what a hunter keeps",
	"piece hide":                                                  "trade: the skin",
	"piece heart":                                                 "trade: a part of a carcass",
	"door takes whole animals":                                    "trade: whole, quartered or boned",
	"door takes quarters":                                         "trade: whole, quartered or boned",
	"door takes boned meat":                                       "trade: whole, quartered or boned",
	"turned away no legal tag, or not checked in":                 "standard: state rules on accepting game: tagged, and checked in where asked",
	"turned away tag does not fit the animal":                     "ours: plain words",
	"turned away spoiled: green, putrid, maggots or gas":          "trade: what a nose and an eye refuse",
	"turned away warm too long after the kill":                    "ours: plain words",
	"turned away looked sick, thin, abscesses, odd behavior":      "standard: the signs wildlife agencies list for a sick animal",
	"turned away whole carcass past its time to be moved":         "standard: state rules on moving carcasses out of a test zone",
	"turned away whole carcass or head from another state":        "standard: state rules on bringing carcasses in",
	"turned away disease test not back yet":                       "ours: plain words",
	"turned away meat in bags that are not for food":              "trade: trash bags are not food bags",
	"turned away road-kill or nuisance animal without its permit": "standard: road-kill and nuisance permits of the states",
	"turned away cooler full, or this form closed":                "ours: plain words",
	"turned away livestock down, sick, lame or treated":           "standard: 9 CFR 309, non-ambulatory and treated livestock",
	"open Rooms that were too warm, not settled":                  "ours: plain words",
	"open Rounds missed":                                          "trade: a round nobody walked",
	"open Rounds due and not walked":                              "trade: a round is due",
	"open Found out of its limit and not put right":               "ours: plain words",
	"open Still on the table":                                     "trade: the cutter's table",
	"open Cut and not all in boxes":                               "ours: plain words",
	"open Tubs open":                                              "trade: a tub under the table",
	"open Found in the bay, not paired":                           "ours: a card and a carcass that belong together",
	"open Held":                                                   "trade: a held carcass",
	"open Hanging without a whole order":                          "trade: the cut order",
	"open In boxes and not billed":                                "trade: the bill",
	"open Billed and not paid":                                    "trade: the bill",
	"open Owners to call":                                         "ours: plain words",
	"open Notices to send":                                        "standard: notice, as statutes write",
	"open The register still lacks something":                     "standard: register, as state rules write",
	"rule What the register asks":                                 "standard: register, as state rules write",
	"rule What is needed to take it in":                           "ours: plain words for proof of lawful possession",
	"rule Zones and hours on the road":                            "standard: state rules on moving carcasses",
	"rule The official tag":                                       "standard: state rules on tags",
	"rule Reports":                                                "standard: state rules on reports",
	"rule Disease tests":                                          "standard: state rules on tests",
	"rule How long records are kept":                              "standard: state rules on records",
	"rule Receipts":                                               "standard: state rules on receipts",
	"rule Meat nobody fetches":                                    "ours: plain words for abandoned meat",
	"rule Giving meat away":                                       "ours: plain words for donation",
	"rule Livestock and its marks":                                "standard: 9 CFR 303.1 and 316.16",
	"rule Game and livestock in one plant":                        "standard: 9 CFR 303.1, and state rules",
	"rule How long parts may be held":                             "standard: possession limits of the states",
	"proof carcass tag":                                           "standard: the states' carcass tags",
	"proof permit":                                                "standard: the states' permits",
	"proof seal":                                                  "standard: the states' seals",
	"proof confirmation number":                                   "standard: the number of a check-in by phone or on line",
	"proof ear tag":                                               "trade: the tag in an animal's ear",
	"proof license of whoever brings it":                          "standard: hunting license",
	"proof donation certificate":                                  "standard: state rules on donation",
	"proof written certification":                                 "standard: state rules on lawful possession",
}

// tableWords are the words of the tables in which states, findings and decisions beside an
// animal's five tracks are said, each behind the name of its table.
func tableWords() []string {
	var found []string
	found = append(found, said("look", round.Smells)...)
	found = append(found, said("look", round.Surfaces)...)
	found = append(found, said("look", round.Sites)...)
	found = append(found, said("look", round.Colours)...)
	found = append(found, said("decision", round.Decisions)...)
	found = append(found, said("thermometer", []round.ThermometerState{round.InService, round.IceDue, round.OutOfService})...)
	found = append(found, said("door", []ageing.Grade{ageing.Clean, ageing.SmallFault, ageing.BadFault, ageing.RefuseIt})...)
	found = append(found, said("door takes", animal.Intakes)...)
	found = append(found, said("turned away", animal.Findings)...)
	found = append(found, said("unclaimed", []animal.Rung{animal.NotTold, animal.TellAgain, animal.WriteLetter, animal.ApproveIt, animal.SendIt, animal.LetterOut, animal.TellAgency, animal.Decide})...)
	found = append(found, said("batch", []db.BatchStatus{db.BatchOpen, db.BatchMixed, db.BatchFinished, db.BatchGiven, db.BatchDestroyed})...)
	found = append(found, said("reading", logger.Flags)...)
	found = append(found, said("message", message.Kinds())...)
	found = append(found, said("piece", cutting.PieceKinds)...)
	found = append(found, said("open", closing.OpenKinds)...)
	found = append(found, said("rule", statute.Topics)...)
	return append(found, said("proof", statute.Evidences)...)
}

// said are the words of one table, behind its name.
func said[T interface{ Words() domain.Words }](table string, list []T) (found []string) {
	for _, one := range list {
		found = append(found, table+" "+one.Words().Format)
	}
	return found
}
