package sim

import (
	"encoding/json"
	"fmt"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/sync/wire"
)

// ShootID is the shoot of the small plan.
const ShootID = "0191d3f0-0000-7000-8000-000000000001"

// Start is the morning of the shoot day: 2026-11-25T07:00:00Z.
const Start = when.Instant(1795590000000)

// Server is the device of the plan's own edits.
const Server = shoot.DeviceID("0191d3f0-0000-7000-8000-00000000ffff")

// ID makes the nth id of the plan.
func ID(n int) string { return fmt.Sprintf("0191d3f0-0000-7000-8000-%012x", n) }

// The things of the plan.
var (
	day     = shoot.DayID(ID(0x10))
	setups  = []shoot.SetupID{shoot.SetupID(ID(0x20)), shoot.SetupID(ID(0x21))}
	heroes  = []shoot.HeroID{shoot.HeroID(ID(0x30)), shoot.HeroID(ID(0x31)), shoot.HeroID(ID(0x32))}
	shots   = []shoot.ShotID{shoot.ShotID(ID(0x40)), shoot.ShotID(ID(0x41)), shoot.ShotID(ID(0x42)), shoot.ShotID(ID(0x43)), shoot.ShotID(ID(0x44)), shoot.ShotID(ID(0x45))}
	meal    = shoot.MealID(ID(0x50))
	plates  = []shoot.Plate{{Designation: "KT-4", Finish: "Ash"}, {Serial: "1107"}, {Designation: "Broth, deep bowl"}}
	allRole = []shoot.Role{shoot.Producer, shoot.ArtDirector, shoot.Photographer, shoot.Digitech, shoot.PropStylist, shoot.FoodStylist, shoot.Client, shoot.Caterer, shoot.Crew, shoot.Talent}
)

// Person is the id of the nth person of the plan; there are ten, one of each
// role, in the order of shoot.Roles except that talent comes last.
func Person(n int) shoot.PersonID { return shoot.PersonID(ID(0x100 + n)) }

// People is how many people the plan has.
const People = 10

// planner makes edits with dense numbers.
type planner struct{ edits []wire.Edit }

func (p *planner) add(name string, args any) {
	n := len(p.edits) + 1
	p.edits = append(p.edits, wire.Edit{ID: shoot.IntentID(ID(0x1000 + n)), Seq: uint64(n), Name: name,
		Version: shoot.Version(name), Args: Args(args), Happened: Start})
}

// Args encodes arguments.
func Args(v any) json.RawMessage {
	b, err := json.Marshal(v)
	if err != nil { // the plan's own values can always be encoded
		panic(err)
	}
	return b
}

// Set is a map of arguments.
type Set map[string]any

// Plan gives the edits that make a small shoot: a day, ten people, two set-ups,
// three heroes, six shots, a meal, a call sheet, and terms.
func Plan() []wire.Edit {
	var p planner
	p.add("shoot.set", Set{"title": "Winter tables", "client": "Oriel & Thorne"})
	p.add("day.set", Set{"id": day, "name": "Day 1", "date": "2026-11-25", "zone": "Europe/Lisbon"})
	for i, role := range allRole {
		p.add("person.set", Set{"id": Person(i), "name": fmt.Sprintf("Person %d", i), "role": role, "phone": fmt.Sprintf("555-01%02d", i)})
	}
	for i, s := range setups {
		p.add("setup.set", Set{"id": s, "name": fmt.Sprintf("Set %d", i+1), "minutes": 15})
	}
	for i, h := range heroes {
		p.add("hero.set", struct {
			shoot.HeroPlan
			Base int `json:"base"`
		}{shoot.HeroPlan{ID: h, Name: fmt.Sprintf("Hero %d", i+1), Plate: plates[i], Needs: 1 + i%2, Food: i == 2, HoldMinutes: 40 * (i / 2)}, 0})
	}
	for i, s := range shots {
		p.add("shot.set", struct {
			shoot.ShotPlan
			Base int `json:"base"`
		}{shoot.ShotPlan{ID: s, Day: day, Number: fmt.Sprint(i + 1), Title: fmt.Sprintf("Table %d", i+1), Setup: setups[i%2],
			Minutes: 25, Priority: shoot.Must, Heroes: heroes[i%3 : i%3+1], Fallback: "By the window"}, 0})
	}
	p.add("meal.set", struct {
		shoot.MealPlan
		Base int `json:"base"`
	}{shoot.MealPlan{ID: meal, Day: day, Name: "Lunch", At: 13 * 60, Minutes: 45, Margin: 2}, 0})
	p.add("diet.set", Set{"person": Person(8), "kinds": []string{"vegan"}, "allergens": []string{}})
	p.add("sheet.set", Set{"day": day, "place": Set{"name": "The Tannery"}, "generalCall": "08:00", "plannedWrap": "18:00"})
	for i := range People {
		p.add("call.set", Set{"day": day, "person": Person(i), "call": "08:00", "was": nil})
	}
	p.add("sheet.publish", Set{"day": day, "number": 1})
	return append(p.edits, Money(len(p.edits), 1)...)
}

// Money gives edits about money only, numbered after last; with another amount
// each time.
func Money(last, amount int) []wire.Edit {
	var p planner
	p.edits = make([]wire.Edit, last)
	if amount == 1 {
		p.add("currency.set", Set{"currency": "EUR"})
	}
	p.add("terms.set", Set{"person": Person(2), "base": amount - 1, "terms": overtime.Terms{Basis: overtime.Day,
		Rate: money.Of(int64(70000+amount), "EUR"), Included: 600, Bands: []overtime.Band{{After: 600, Times: money.Ratio{Num: 3, Den: 2}}}}})
	p.add("overtime.approve", Set{"id": ID(0x2000 + amount), "day": day, "until": Start + 14*when.Hour,
		"amount": money.Of(int64(10000+amount), "EUR"), "note": "as needed"})
	return p.edits[last:]
}
