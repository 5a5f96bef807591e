package help

import "coldrail/domain"

// guide is how one person of the shop works with the program, in the order of
// their day. The owner's sheet is made from the same lines.
type guide struct {
	role  string // as in domain.Roles
	title domain.Words
	day   []step
	never []domain.Words // what goes wrong most, and must not
}

// step is one thing they do, and the screen it is done on.
type step struct {
	do   domain.Words
	path string // "": no screen of its own
	key  bool   // it stands on the owner's sheet too
}

// guides are all of them, in the order of domain.Roles. What they say of the trade,
// such as how fast a room warms with its fans running, is common practice, no source,
// unless the page a step leads to names one.
var guides = []guide{
	{role: "counter", title: domain.Say("At the counter"),
		day: []step{
			{do: domain.Say("Read the season rules and who may bring what before the doors open. A form that is full is closed on “What we take”."), path: "/dropoff/forms"},
			{do: domain.Say("Take the animal in: tag of the state, who took it, when and where it was killed, how it was kept, the deep temperature. Then the shop number, tied on before the animal leaves the bay."), path: "/dropoff", key: true},
			{do: domain.Say("Whatever the register still needs stands on “Owed to the register”. Call for it the same day; a warden may ask for it tomorrow."), path: "/dropoff/owed"},
			{do: domain.Say("Turn away what the door check refuses, kindly, and write it down. The slip says why, and whom to ask."), path: "/dropoff/refused"},
			{do: domain.Say("Read the cut order back to the owner and have them sign. Each owner of a shared animal orders for their own share."), key: true},
			{do: domain.Say("When somebody asks whether it is ready, type the number or the name into the box at the top and read the line out. Promise no day that the page does not show.")},
			{do: domain.Say("Hand out only to the owner or whom they named, with the boxes scanned one by one. What is paid, and what still hangs, the page says."), path: "/pickup", key: true},
			{do: domain.Say("A hand-over written down wrong is put right beneath it on the same page: who took it, or what had not left after all."), path: "/pickup", key: true},
			{do: domain.Say("Work through “Owners to tell” once a day. Bad news is the lead's to tell, by voice."), path: "/messages"},
		},
		never: []domain.Words{
			domain.Say("Never put two numbers on one animal, and never hang one without a number."),
			domain.Say("Never tell a test result before the lead has spoken with the owner."),
			domain.Say("Never say that meat is good to eat. Say what was seen and measured."),
		}},
	{role: "cooler", title: domain.Say("In the cooler"),
		day: []step{
			{do: domain.Say("Walk the round twice a day, when “Round” says it is due: the room first, then every carcass by rail, from the door."), path: "/round", key: true},
			{do: domain.Say("Stand close, smell, look, touch. Look inside the ribs and measure the longest white threads. Press what you found; what is as it should be takes one tap for the rail."), key: true},
			{do: domain.Say("The tablet works in the steel box without the network and sends what it kept when you come out. Leave it on until it says that nothing waits.")},
			{do: domain.Say("What is “stop” or “look” goes to the lead before anything else is done to it."), path: "/"},
			{do: domain.Say("Weigh, hang where the board says, and keep hide-on animals and the shop's held ones apart."), path: "/skinning"},
			{do: domain.Say("When you move an animal, say so at once. The board is only as true as the last person who hung something."), path: "/rail/move", key: true},
			{do: domain.Say("Read a thermometer of your own at every round and write it down; the sensor may lie. Check it in ice water once a week."), path: "/round/thermometers"},
			{do: domain.Say("A warm room or silent fans: close the door, call the number on the sheet, then press the alarm. Running fans heat a room that is not cooled: how long it has stands on its page."), path: "/coolers", key: true},
		},
		never: []domain.Words{
			domain.Say("Never write a look that you did not take. An empty line is honest."),
			domain.Say("Never cut away a shop number or a state's tag, not even on a trimmed leg."),
			domain.Say("Never work alone in a room whose refrigerant smells or whose alarm sounds."),
		}},
	{role: "cutter", title: domain.Say("At the table"),
		day: []step{
			{do: domain.Say("Take the next carcass from “Cutting”: it goes by readiness, promise and your hands, not by who shouts."), path: "/cutting", key: true},
			{do: domain.Say("Scan or read the number on the carcass and on the order before the first cut. Both must be the same. One animal on the table at a time."), key: true},
			{do: domain.Say("Smell, look, and probe before the knife. If something is wrong, stop it there and call the lead.")},
			{do: domain.Say("Trim dry rind and mold off well beyond what you see. Keep trim weighed apart, so that the yield is true.")},
			{do: domain.Say("Weigh each pack, print its label, count them back before you press done."), key: true},
			{do: domain.Say("Meat goes into a batch only where the batch says it may. Clean between owners; the machines' order is kept for the day a test comes back."), path: "/batches"},
			{do: domain.Say("Weigh cure on the gram scale with a second person looking, and write the smokehouse's temperatures as they come."), path: "/batches"},
			{do: domain.Say("A batch mixed or shared out wrong goes a step back on its page, with the reason."), path: "/batches", key: true},
			{do: domain.Say("Box, weigh, and put it in the freezer place that the page names."), key: true},
			{do: domain.Say("Packs that ended up in another box, or a box on another shelf: write it down under the animal's packs, so that the counter finds them."), key: true},
		},
		never: []domain.Words{
			domain.Say("Never cut an animal that is held, whoever asks."),
			domain.Say("Never pool meat of an animal whose disease test is still out."),
			domain.Say("Never take a guard off a running machine."),
		}},
	{role: "lead", title: domain.Say("The lead"),
		day: []step{
			{do: domain.Say("Begin with “Today”, from the top: what was stopped, what is past its day, what the night did."), path: "/", key: true},
			{do: domain.Say("Stand before each stopped animal with your own nose and a probe. Decide, write why, sign. The program stops and shows; it never condemns and never releases."), key: true},
			{do: domain.Say("Look at the cut plan for the days ahead. Move a day when a cutter is away; tell the owners whose day moved."), path: "/cutting/plan", key: true},
			{do: domain.Say("Close what had to be put right, with what was done about it."), path: "/round/actions"},
			{do: domain.Say("After a warm night measure the meat, not the air, and go through the list that the incident makes."), path: "/coolers"},
			{do: domain.Say("A positive test: open the animal, press “What it may have reached”, and work down the list. Each owner is called by you."), key: true},
			{do: domain.Say("Close the day: count the drawer, read what is open, say what differs and why."), path: "/close", key: true},
		},
		never: []domain.Words{
			domain.Say("Never change what stands in the register. Add a line that says what is right and why."),
			domain.Say("Never let a hold end without its paper."),
		}},
	{role: "owner", title: domain.Say("The owner of the shop"),
		day: []step{
			{do: domain.Say("Before the season: staff and their PINs, prices, the rules of your state, rooms and rails, who is told at night."), path: "/office", key: true},
			{do: domain.Say("Read each rule of your state against its source and say that you checked it. A rule past its review day is shown as stale."), path: "/office/rules", key: true},
			{do: domain.Say("Let each tablet and phone in once, and turn away the one that was lost."), path: "/office/tablets", key: true},
			{do: domain.Say("See that the nightly copy goes to a drive that leaves the building once a week, and bring one back on a spare machine before the season."), path: "/office/backups", key: true},
			{do: domain.Say("Prices are changed by a new list with its day. What was dropped off before keeps the price of its day."), path: "/office/prices"},
			{do: domain.Say("Read the season page on a quiet evening: what came in, what hung too long, what the table made of it."), path: "/office/season"},
			{do: domain.Say("When an inspector or a warden comes, open a visit, show what is asked and nothing else, and write down what was shown."), path: "/visits", key: true},
			{do: domain.Say("After the season look through what was kept long enough. Nothing is blanked without your word."), path: "/office/forget"},
		},
		never: []domain.Words{
			domain.Say("Never rely on this program for the cold: the rooms need an alarm of their own that rings two phones."),
			domain.Say("Never share the owner's password. Each person has a PIN, and what is done in a name stays in that name."),
		}},
}

// pageNames are what the screens of the steps are headed with.
var pageNames = map[string]domain.Words{
	"/": domain.Say("Today"), "/dropoff": domain.Say("Drop-off"), "/dropoff/forms": domain.Say("What we take"), "/dropoff/owed": domain.Say("Owed to the register"),
	"/dropoff/refused": domain.Say("Turned away"), "/pickup": domain.Say("Pick-up"), "/messages": domain.Say("Owners to tell"), "/round": domain.Say("Round"),
	"/round/actions": domain.Say("To be put right"), "/round/thermometers": domain.Say("Thermometers"), "/skinning": domain.Say("Skinning"), "/rail/move": domain.Say("Move one"),
	"/coolers": domain.Say("Rooms"), "/cutting": domain.Say("Cutting"), "/cutting/plan": domain.Say("Cut plan"), "/batches": domain.Say("Batches"), "/close": domain.Say("Close the day"),
	"/office": domain.Say("Office"), "/office/rules": domain.Say("Rules by state"), "/office/tablets": domain.Say("Tablets and phones"), "/office/backups": domain.Say("Backups"),
	"/office/prices": domain.Say("Prices"), "/office/season": domain.Say("The season"), "/office/forget": domain.Say("Kept long enough"), "/visits": domain.Say("Visits"),
}
