package demo

import (
	"fmt"
	"strings"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/cutting"

	"github.com/google/uuid"
)

// actor is one animal of the season and what is planned for it.
type actor struct {
	drop   db.Drop
	id     uuid.UUID
	weight domain.Kilogram
	story  string
	keep   bool // a story that must still hang at the end
	split  bool // hung as two sides
	sample bool // drawn and pending
	halves []cutting.Buyer
	cuts   []cut // what its order bids to pack
}

// readPeople gives the invented people their 555 numbers and licences.
func (s *season) readPeople() error {
	rows, err := table("people.csv")
	if err != nil {
		return err
	}
	for i, row := range rows {
		s.people = append(s.people, db.Person{
			Name: row["name"], Phone: fmt.Sprintf("607-555-%04d", 200+i*7), Address: row["road"] + ", " + row["town"],
			Licence: fmt.Sprintf("WK-%06d", 210047+i*3791), TellBy: pick(s, "text", "text", "call"),
		})
	}
	return nil
}

// castStories takes the animals that have a story from story.csv.
func (s *season) castStories() error {
	rows, err := table("story.csv")
	if err != nil {
		return err
	}
	for _, row := range rows {
		after := number(row, "received_after_h")
		received := s.nearestOpen(s.ago(number(row, "killed_days") - after/24))
		a := &actor{story: row["story"], keep: true, weight: domain.Pounds(number(row, "weight_lb"))}
		a.drop = s.drop(domain.Species(row["species"]), domain.Class(row["class"]), domain.Form(row["form"]), animal.Sex(row["sex"]), int(number(row, "points")))
		a.drop.KilledAt, a.drop.ReceivedAt = received.Add(-time.Duration(after*float64(time.Hour))), received
		if a.drop.Species.Game() {
			a.drop.KilledAt = s.daylight(a.drop.KilledAt)
		}
		kept, deep := domain.Fahrenheit(number(row, "kept_f")), domain.Fahrenheit(number(row, "deep_f"))
		a.drop.KeptTemp, a.drop.DeepTemp, a.drop.Kept = &kept, &deep, animal.Kept(row["kept"])
		a.drop.Wish = row["wish"]
		s.tell(a)
	}
	return nil
}

// tell adds what only this story has.
func (s *season) tell(a *actor) {
	switch a.story {
	case "gut-shot and warm":
		a.drop.Door = map[animal.DoorLine]animal.Grade{animal.DoorGut: animal.BadFault, animal.DoorShot: animal.SmallFault}
		a.drop.DoorNote = "Paunch spilled over the left ham; cut out wide, cut first."
	case "held for a disease test":
		a.drop.SampleWanted, a.sample = true, true
	case "a beef in two sides":
		a.split = true
		s.shareSteer(a)
	case "long hang agreed and mould under way":
		a.drop.Keeps = "Antlers back to the owner; wired to tag."
		s.agreeLongHang(a)
	case "bull elk":
		a.drop.Keeps = "Cape and head for the taxidermist; cut the cape long before the knife."
		s.keepCape(a)
	}
	s.enter(a)
}

// agreeLongHang has the owner sign for 28 days at the counter, the lead sign it off
// and, past day 14, sign for the week after an evening look.
func (s *season) agreeLongHang(a *actor) {
	n, received := a.drop.Number, a.drop.ReceivedAt
	s.on(received.Add(10*time.Minute), "owner's line", func(at time.Time) error {
		return s.db.OwnerSigned(s.ctx, s.act("PN", at), n, 28, "on the cut sheet, in the binder")
	})
	s.on(s.nextOpen(received.Add(40*time.Hour)), "lead's sign-off", func(at time.Time) error {
		return s.db.Extend(s.ctx, s.act("MT", at), n, 28, nil, "clean kill, cold by morning, good cover; owner waits for the white growth")
	})
	s.on(s.day(5, 19, 55), "lead's week", func(at time.Time) error {
		return s.db.SignWeek(s.ctx, s.act("MT", at), n, nil, "dry, smells clean, white growth inside the ribs only")
	})
}

// drop is what everybody tells at the counter.
func (s *season) drop(species domain.Species, class domain.Class, form domain.Form, sex animal.Sex, points int) db.Drop {
	d := db.Drop{Owner: s.people[s.random.IntN(len(s.people))]}
	d.Number = domain.NewShopNumber(s.now.Year()%100, len(s.cast)+101)
	d.Species, d.Class, d.Form, d.Sex, d.Points = species, class, form, sex, points
	if species.Game() {
		d.Tag = db.OfficialTag{Number: fmt.Sprintf("NY-%07d", 4400213+len(s.cast)*977), State: "NY"}
		d.KillState, d.County = "NY", pick(s, "Wick", "Wick", "Barlow", "Tamsin", "Harker")
		d.Unit, d.Property = pick(s, "7J", "7M", "4O"), pick(s, "", "", "state forest", "own land", "Whetstone farm")
	} else {
		d.EarTag, d.Age = fmt.Sprintf("WK %04d", 1180+len(s.cast)*13), pick(s, "18 months, farm papers", "20 months, farm papers")
		if class == domain.Lean {
			d.Age = "26 months, farm papers"
		}
	}
	return d
}

// forget leaves a field owed now and then, as it goes with a line at the door.
// What was owed for longer than a few days has been told by phone.
func (s *season) forget(d *db.Drop) {
	if d.ReceivedAt.Before(s.ago(4)) {
		return
	}
	switch s.random.IntN(4) {
	case 0:
		d.County, d.Unit = "", ""
	case 1:
		d.Owner.Licence = ""
	}
}

// castCrowd makes the rest of the season: the rush of the opening weekend that is
// mostly cut by now, the weeks after, and last night's arrivals that still wait.
func (s *season) castCrowd() error {
	for _, wave := range []struct {
		animals      int
		first, until float64 // days ago
	}{{22, 20.5, 14.5}, {42, 13.4, 10.6}, {30, 9.5, 1.2}} {
		for i := range wave.animals {
			s.enter(s.deer(s.opened(wave.first + (wave.until-wave.first)*(float64(i)+s.random.Float64())/float64(wave.animals))))
		}
	}
	for i := range 25 {
		a := s.deer(s.opened(0.75 - 0.70*float64(i)/25))
		a.weight = 0 // waits for the skinner
		// What was skinned elsewhere has no cape and no hide.
		wishes := []string{"", "", "Antlers", "Antlers; skull to the owner", "Heart", "Heart and tenderloins in a bag"}
		if i%3 == 0 {
			a.drop.Form = domain.WholeHideOn
			wishes[3], wishes[4] = "Cape for a shoulder mount; skull to the owner", "Hide back, salted"
		}
		a.drop.Keeps = pick(s, wishes...)
		a.drop.NotHung = i%6 == 0
		s.enter(a)
	}
	return nil
}

// deer is one ordinary deer received at a moment.
func (s *season) deer(received time.Time) *actor {
	sex, class, points := animal.Male, domain.Mature, 2+2*s.random.IntN(5)
	lb := s.between(82, 138)
	switch s.random.IntN(10) {
	case 0, 1, 2, 3:
		sex, points, lb = animal.Female, 0, s.between(66, 98)
	case 4:
		class, points, lb = domain.Young, 0, s.between(34, 52)
	}
	a := &actor{weight: domain.Pounds(float64(int(lb*2)) / 2)}
	a.drop = s.drop(domain.Whitetail, class, domain.Whole, sex, points)
	a.drop.ReceivedAt = received
	a.drop.KilledAt = s.daylight(received.Add(-time.Duration(s.between(2, 9) * float64(time.Hour))))
	deep, kept := domain.Fahrenheit(s.between(48, 84)), domain.Fahrenheit(s.between(36, 46))
	if received.Sub(a.drop.KilledAt) > 6*time.Hour {
		deep = domain.Fahrenheit(s.between(41, 50))
	}
	a.drop.DeepTemp, a.drop.KeptTemp, a.drop.Kept = &deep, &kept, animal.KeptHung
	a.drop.Wish = pick(s, "", "", "", "", "", "", "cut-when-cold")
	return a
}

// enter puts an animal on the stage: received at the counter, weighed and hung
// the same evening or next morning, its order taken within a day.
func (s *season) enter(a *actor) {
	s.cast = append(s.cast, a)
	s.forget(&a.drop)
	s.on(a.drop.ReceivedAt, "receive "+string(a.drop.Number), func(at time.Time) error {
		act := s.act(pick(s, "PN", "LG"), at)
		a.id = act.ID
		return s.db.Receive(s.ctx, act, a.drop)
	})
	if !a.drop.Species.Game() {
		s.on(a.drop.ReceivedAt.Add(2*time.Minute), "kill", func(at time.Time) error { return s.kill(a, at) })
	}
	if n := s.random.IntN(8); n > 0 || a.drop.ReceivedAt.Before(s.ago(3)) {
		s.on(a.drop.ReceivedAt.Add(6*time.Minute), "deposit", func(at time.Time) error {
			_, err := s.db.TakeDeposit(s.ctx, s.act("PN", at), a.drop.Number, 5000, pick(s, "cash", "cash", "check", "card"))
			return err
		})
		s.on(s.nextOpen(a.drop.ReceivedAt.Add(time.Duration(4+s.random.IntN(200))*time.Minute)), "order", func(at time.Time) error {
			return s.takeOrder(a, at, n > 1 || a.drop.ReceivedAt.Before(s.ago(3)))
		})
	}
	if a.sample {
		s.on(a.drop.ReceivedAt.Add(20*time.Minute), "sample", func(at time.Time) error {
			return s.db.DrawSample(s.ctx, s.act("MT", at), a.drop.Number, db.NewSample{Number: "CWD-26-01183", Lab: "State diagnostic laboratory",
				DrawnOn: at, ExpectedOn: at.AddDate(0, 0, 9)})
		})
		s.on(s.nextOpen(a.drop.ReceivedAt.Add(15*time.Hour)), "send sample", func(at time.Time) error {
			return s.db.SendSample(s.ctx, s.act("MT", at), a.drop.Number, at.AddDate(0, 0, 8))
		})
	}
	if a.weight > 0 {
		s.on(a.drop.ReceivedAt.Add(time.Duration(25+s.random.IntN(50))*time.Minute), "weigh "+string(a.drop.Number), func(at time.Time) error { return s.weigh(a, at) })
	}
}

func (s *season) weigh(a *actor, at time.Time) error {
	tare := domain.Pounds(5)
	w := db.Weighing{Gross: a.weight + tare, Tare: tare, Confirmed: true}
	if a.split {
		w = db.Weighing{Confirmed: true, Left: &db.Side{Gross: a.weight*0.51 + tare, Tare: tare}, Right: &db.Side{Gross: a.weight*0.49 + tare, Tare: tare}}
	}
	return s.db.WeighAndHang(s.ctx, s.act(pick(s, "SB", "LG"), at), a.drop.Number, w)
}

func split(list string) []string { return strings.Split(list, ",") }
