package shoottest

import (
	"fmt"
	"slices"

	"fairday/domain/catering"
	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// generators has one for each intent, in the order of shoot's own tables.
var generators = map[string]generator{
	// The plan.
	"shoot.set": {often: 1, args: func(p *Somebody) set {
		return set{"title": one(p, "Winter tables", "Spring tables"), "client": "Oriel & Thorne", "base": p.base(p.Sees.Floor.Shoot.Version)}
	}},
	"day.set": {often: 2, args: func(p *Somebody) set {
		id, was, base := edited(p, p.Sees.Floor.Days, 30, func(d shoot.Day) int { return d.Version })
		if base == 0 && was.Version == 0 {
			was.Date, was.Zone = when.Date("2026-11-26").Add(p.Chance.Below(4)), "Europe/Lisbon"
		}
		return set{"id": id, "name": one(p, "Day 1", "Day 2", "The kitchen day"), "date": was.Date, "zone": was.Zone, "base": base}
	}},
	"person.set": {often: 2, args: func(p *Somebody) set {
		id, was, base := edited(p, p.Sees.Floor.People, 20, func(o shoot.Person) int { return o.Version })
		role := was.Role
		if role != shoot.Producer {
			role = one(p, shoot.Roles()[1:]...) // whoever produces is told so by the plan
		}
		return set{"id": id, "name": one(p, "Ines Mora", "Tom Hale"), "role": role, "department": "Camera", "job": "", "phone": "555-0142", "base": base}
	}},
	"person.access": {often: 7, args: func(p *Somebody) set {
		who := p.other()
		return set{"person": who, "revoked": !p.Sees.Floor.People[who].Revoked && p.often(60)}
	}},
	"setup.set": {often: 2, args: func(p *Somebody) set {
		id, _, base := edited(p, p.Sees.Floor.Setups, 20, func(s shoot.Setup) int { return s.Version })
		return set{"id": id, "name": one(p, "By the window", "The long table"), "minutes": p.number(0, 30), "base": base}
	}},
	"shot.order": {often: 2, args: func(p *Somebody) set {
		day := p.today()
		var order []shoot.ShotID
		for _, id := range sorting.Keys(p.Sees.Floor.Shots) {
			if p.Sees.Floor.Shots[id].Day == day {
				order = slices.Insert(order, p.Chance.Below(len(order)+1), id)
			}
		}
		return set{"day": day, "order": order, "base": p.base(p.Sees.Floor.Days[day].OrderVersion)}
	}},
	"shot.set": {often: 2, args: func(p *Somebody) set {
		id, was, base := edited(p, p.Sees.Floor.Shots, 20, func(s shoot.Shot) int { return s.Version })
		if base == 0 && was.Version == 0 {
			was.ShotPlan = shoot.ShotPlan{Day: p.today(), Number: fmt.Sprint(p.number(7, 99)), Heroes: []shoot.HeroID{p.hero()}}
		}
		return set{"id": id, "day": was.Day, "number": was.Number, "title": one(p, "The table, laid", "The table, cleared"), "setup": anyOf(p, p.Sees.Floor.Setups, nil),
			"minutes": p.number(5, 60), "priority": one(p, shoot.Must, shoot.Want, shoot.Spare), "crop": one(p, "", "4:5"), "heroes": was.Heroes,
			"talent": []shoot.PersonID{}, "fallback": one(p, "", "By the door"), "notes": "", "base": base}
	}},
	"shot.drop": {often: 2, args: func(p *Somebody) set {
		return set{"shot": anyOf(p, p.Sees.Floor.Shots, shoot.Shot.Untouched)}
	}},
	"hero.drop": {often: 20, args: func(p *Somebody) set {
		return set{"hero": anyOf(p, p.Sees.Floor.Heroes, p.spare)}
	}, due: func(p *Somebody) bool { return has(p.Sees.Floor.Heroes, p.spare) }},
	"hero.set": {often: 4, args: func(p *Somebody) set {
		id, was, base := edited(p, p.Sees.Floor.Heroes, 40, func(h shoot.Hero) int { return h.Version })
		plan := was.HeroPlan
		if base == 0 && was.Version == 0 {
			plan = shoot.HeroPlan{Plate: shoot.Plate{Designation: "LX-20", Finish: "Brass"}, Needs: 1}
		}
		food := plan.Food || p.often(10)
		hold := 0
		if food {
			hold = p.number(20, 60)
		}
		return set{"id": id, "name": one(p, "Lamp", "Jug"), "plate": plan.Plate, "checklist": plan.Checklist, "needs": p.number(1, 2), "food": food, "holdMinutes": hold, "base": base}
	}},
	// The light, and what bounds the order.
	"light.set": {often: 1, args: func(p *Somebody) set {
		day := p.today()
		return set{"day": day, "lat": 38722000, "lon": -9139000, "base": p.base(p.Sees.Floor.Lights[day].Version),
			"windows": []shoot.Window{{Name: "North", Bearing: 350, Width: 220, Sill: 90, Head: 260, Depth: 100, Height: 75, Reveal: p.number(0, 40),
				Overhang: 100, Above: p.number(0, 30), WallHigh: 900, WallFar: p.number(400, 1500), Arcs: []shoot.Arc{{From: 330, To: 20, Up: p.number(1, 40)}}}},
			"horizon": []shoot.Arc{{From: 60, To: 120, Up: p.number(1, 12)}}}
	}},
	"shot.wishes": {often: 2, args: func(p *Somebody) set {
		shot := p.shot()
		var after []shoot.ShotID
		if o := p.shot(); o > shot {
			after = []shoot.ShotID{o}
		}
		return set{"shot": shot, "light": one(p, shoot.AnyLight, shoot.NoSun), "window": "", "after": after, "fallback": p.number(0, 40), "base": p.base(p.Sees.Floor.Wishes[shot].Version)}
	}},
	"stay.until": {often: 1, args: func(p *Somebody) set {
		day, who := p.today(), p.person()
		var was, until any
		if stay, ok := p.Sees.Floor.Stays[shoot.KeyOf(day, who)]; ok {
			was = stay.Clock
		}
		if p.often(80) {
			until = p.clock()
		}
		return set{"day": day, "person": who, "until": until, "was": was}
	}},
	"meal.range": {often: 3, args: func(p *Somebody) set {
		meal := p.meal()
		from := p.clock()
		return set{"meal": meal, "earliest": from, "latest": from + 60, "base": p.base(p.Sees.Floor.MealRanges[meal].Version)}
	}},
	// The call sheet.
	"sheet.set": {often: 2, args: func(p *Somebody) set {
		day := p.today()
		return set{"day": day, "place": set{"name": "The Tannery", "address": ""}, "generalCall": "08:00", "plannedWrap": one(p, "18:00", "18:30"), "emergency": "", "safety": "",
			"notes": p.note(), "base": p.base(p.draft(day).Version)}
	}},
	"call.set": {often: 4, args: func(p *Somebody) set {
		day, who := p.today(), p.person()
		var was, call any
		if c, ok := p.draft(day).Calls[who]; ok {
			was = c
		}
		if p.often(85) {
			call = p.clock()
		}
		return set{"day": day, "person": who, "call": call, "was": was}
	}},
	"sheet.publish": {often: 4, args: func(p *Somebody) set {
		day := p.today()
		return set{"day": day, "number": p.Sees.Floor.Days[day].Published + 1}
	}},
	"sheet.seen": {often: 6, args: func(p *Somebody) set {
		day := p.today()
		return set{"day": day, "number": max(1, p.Sees.Floor.Days[day].Published)}
	}},
	// The shots.
	"shot.open":    {often: 14, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Planned)} }},
	"shot.start":   {often: 8, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Open)} }},
	"shot.capture": {often: 10, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Open, shoot.Shooting), "frames": p.frames()} }},
	"shot.frames":  {often: 5, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Captured), "frames": p.frames()} }},
	"shot.cut":     {often: 2, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Planned, shoot.Open)} }},
	"shots.cut":    {often: 2, args: func(p *Somebody) set { return set{"shots": []shoot.ShotID{p.at(shoot.Planned)}} }},
	"shots.back":   {often: 2, args: func(p *Somebody) set { return set{"shots": []shoot.ShotID{p.at(shoot.Cut)}} }},
	"shot.fallback": {often: 3, args: func(p *Somebody) set {
		shot := anyOf(p, p.Sees.Floor.Shots, func(s shoot.Shot) bool { return s.Fallback != "" })
		return set{"shot": shot, "on": !p.Sees.Floor.Shots[shot].OnFallback}
	}},
	"shot.approve": {often: 5, args: func(p *Somebody) set { return set{"shot": p.at(shoot.Captured)} }},
	"shot.reset": {often: 3, args: func(p *Somebody) set {
		shot := p.at(shoot.Captured, shoot.Cut)
		return set{"shot": shot, "was": p.Sees.Floor.Shots[shot].Progress}
	}},
	// The heroes.
	"hero.read": {often: 20, args: func(p *Somebody) set {
		id := p.hero()
		h := p.Sees.Floor.Heroes[id]
		plate, checked := h.Plate, h.Checklist
		if p.often(15) {
			plate.Serial, plate.Designation = "0000", "KT-9"
		}
		if p.often(5) {
			checked = nil
		}
		return set{"hero": id, "plate": plate, "checked": checked}
	}},
	"hero.swap":   {often: 2, args: func(p *Somebody) set { return set{"hero": p.hero(), "note": p.note()} }},
	"hero.away":   {often: 2, args: func(p *Somebody) set { return set{"hero": p.hero(), "note": p.note()} }},
	"hero.back":   {often: 3, args: func(p *Somebody) set { return set{"hero": p.hero()} }},
	"hero.refuse": {often: 2, args: func(p *Somebody) set { return set{"hero": p.hero(), "note": p.note()} }},
	// Waiting.
	"pause.start": {often: 2, args: func(p *Somebody) set { return set{"day": p.today(), "why": p.note()} }},
	"pause.end":   {often: 2, args: func(p *Somebody) set { return set{"day": p.today()} }},
	// Hours.
	"punch": {often: 12, args: func(p *Somebody) set {
		people := []shoot.PersonID{p.whose()}
		if p.often(10) {
			people = append(people, p.other())
		}
		return set{"day": p.today(), "people": people, "kind": one(p, shoot.MarkIn, shoot.MarkIn, shoot.MarkOut, shoot.MarkMealOut, shoot.MarkMealIn)}
	}},
	"punch.undo": {often: 3, args: func(p *Somebody) set {
		day, who := p.today(), p.whose()
		last := shoot.Stamp{Kind: shoot.MarkIn, At: 5}
		if seen := p.stamps(day, who); len(seen) > 0 {
			last = seen[len(seen)-1]
		}
		return set{"day": day, "person": who, "kind": last.Kind, "at": last.At}
	}},
	"hours.sign": {often: 3, args: func(p *Somebody) set { return set{"day": p.today(), "seen": p.stamps(p.today(), p.Me)} }},
	"hours.dispute": {often: 2, args: func(p *Somebody) set {
		return set{"day": p.today(), "seen": p.stamps(p.today(), p.Me), "say": "I left later."}
	}},
	"query.settle": {often: 12, args: func(p *Somebody) set {
		return set{"query": anyOf(p, p.Sees.Floor.Queries, open), "ruling": one(p, shoot.Keep, shoot.Drop), "note": p.note()}
	}, due: func(p *Somebody) bool { return has(p.Sees.Floor.Queries, open) }},
	// Meals.
	"meal.set": {often: 5, args: func(p *Somebody) set {
		id, was, base := edited(p, p.Sees.Floor.Meals, 25, func(m shoot.Meal) int { return m.Version })
		if base == 0 && was.Version == 0 {
			was.MealPlan = shoot.MealPlan{Day: p.today()}
		}
		return set{"id": id, "day": was.Day, "name": one(p, "Lunch", "Supper"), "at": p.clock(), "minutes": p.number(20, 60), "margin": p.number(0, 3), "base": base}
	}},
	"meal.drop":   {often: 4, args: func(p *Somebody) set { return set{"meal": p.meal()} }},
	"meal.guests": {often: 5, args: func(p *Somebody) set { return set{"meal": p.meal(), "delta": p.number(-1, 3)} }},
	"meal.count":  {often: 3, args: func(p *Somebody) set { return set{"meal": p.meal()} }},
	"meal.start":  {often: 3, args: func(p *Somebody) set { return set{"meal": p.mealAt(shoot.MealPlanned)} }},
	"meal.serve":  {often: 5, args: func(p *Somebody) set { return set{"meal": p.meal(), "delta": p.number(-1, 3)} }},
	"meal.end":    {often: 4, args: func(p *Somebody) set { return set{"meal": p.mealAt(shoot.MealServing)} }},
	"diet.set": {often: 7, args: func(p *Somebody) set {
		return set{"person": p.whose(), "kinds": one(p, []string{}, []string{"vegan"}, []string{"gluten-free", "vegan"}),
			"allergens": one(p, []catering.Allergen{}, []catering.Allergen{"milk"}), "note": one(p, "", "no onions")}
	}},
	"food.out": {often: 3, args: func(p *Somebody) set {
		args := set{"meal": p.meal(), "hero": "", "held": one(p, "", "hot", "cold-watched"), "air": one(p, "", "mild"), "at": p.Now - when.Instant(p.number(0, 30))*when.Minute}
		if hero := anyOf(p, p.Sees.Floor.Heroes, func(h shoot.Hero) bool { return h.Food }); hero != "" && p.often(50) {
			args["meal"], args["hero"] = "", hero
		}
		return args
	}},
	"food.away":    {often: 2, args: func(p *Somebody) set { return set{"meal": p.meal(), "hero": ""} }},
	"covers.count": {often: 1, args: func(p *Somebody) set { return set{"first": p.often(50)} }},
	// Reports of somebody who has lost access since.
	"report.settle": {often: 25, args: func(p *Somebody) set {
		return set{"report": anyOf(p, p.reports(), unsettled), "ruling": one(p, shoot.Keep, shoot.Drop), "note": p.note()}
	}, due: func(p *Somebody) bool { return has(p.reports(), unsettled) }},
	// Overtime that is asked for.
	"overtime.ask": {often: 4, args: func(p *Somebody) set {
		id := anyOf(p, p.Sees.Asks, waits)
		args := set{"id": id, "day": p.today(), "until": p.late(), "note": p.note(), "base": p.base(p.Sees.Asks[id].Version)}
		if p.often(30) {
			args["amount"] = money.Of(int64(p.number(100, 900)*100), "EUR")
		}
		return args
	}},
	"overtime.answer": {often: 12, args: func(p *Somebody) set {
		id := anyOf(p, p.Sees.Asks, waits)
		return set{"ask": id, "base": p.base(p.Sees.Asks[id].Version), "approve": p.often(60), "note": p.note()}
	}, due: func(p *Somebody) bool { return has(p.Sees.Asks, waits) }},
	"overtime.unask": {often: 4, args: func(p *Somebody) set { return set{"ask": anyOf(p, p.Sees.Asks, waits)} }, due: func(p *Somebody) bool { return has(p.Sees.Asks, waits) }},
	// Money.
	"currency.set": {often: 1, args: func(*Somebody) set { return set{"currency": "EUR"} }},
	"terms.set": {often: 3, args: func(p *Somebody) set {
		who := p.person()
		return set{"person": who, "terms": p.terms(), "employee": set{}, "base": p.base(p.money().Terms[who].Version)}
	}},
	"hire.set": {often: 1, args: func(p *Somebody) set {
		id, was, base := edited(p, p.money().Hires, 30, func(h shoot.Hire) int { return h.Version })
		if base == 0 && was.Version == 0 {
			was.Day = p.today()
		}
		return set{"id": id, "day": was.Day, "name": "The hall", "from": p.clock(), "base": base,
			"terms": overtime.Terms{Basis: overtime.Hire, Rate: money.Of(int64(p.number(500, 900)*100), "EUR"), Included: 720}}
	}},
	"overtime.approve": {often: 2, args: func(p *Somebody) set {
		return set{"id": p.fresh(), "day": p.today(), "until": p.late(), "amount": money.Of(int64(p.number(100, 900)*100), "EUR"), "note": p.note()}
	}},
	"day.kind": {often: 2, args: func(p *Somebody) set {
		return set{"day": p.today(), "person": one(p, "", p.person()), "kind": one(p, "", "shoot", "prep", "travel")}
	}},
	"day.off": {often: 3, args: func(p *Somebody) set {
		return set{"day": p.today(), "who": []shoot.PersonID{p.person()}, "how": one(p, "cancelled", "postponed", ""), "told": p.Now - when.Instant(p.number(0, 40))*when.Hour}
	}},
	"pay.share": {often: 8, args: func(p *Somebody) set {
		who := anyOf(p, p.Sees.Floor.People, func(o shoot.Person) bool { _, has := p.money().Terms[o.ID]; return has })
		return set{"day": p.today(), "people": []shoot.PersonID{who}, "on": p.often(75)}
	}},
	"pay.sign": {often: 12, args: func(p *Somebody) set {
		day, row := p.own()
		total := money.Of(1, "EUR")
		if row.Slip != nil {
			total = row.Slip.Total
		}
		return set{"day": day, "seen": max(row.Version, 1), "total": total}
	}, due: (*Somebody).shown},
	"pay.dispute": {often: 12, args: func(p *Somebody) set {
		day, row := p.own()
		return set{"day": day, "seen": max(row.Version, 1), "say": "Lunch was short."}
	}, due: (*Somebody).shown},
	"pay.settle": {often: 25, args: func(p *Somebody) set {
		key := anyOf(p, p.Sees.Pay, disputed)
		day, who := p.Sees.Pay[key].Day, p.Sees.Pay[key].Person
		return set{"day": day, "person": who, "answer": "I look at it."}
	}, due: func(p *Somebody) bool { return has(p.Sees.Pay, disputed) }},
}

// mealAt is a meal that has come so far.
func (p *Somebody) mealAt(s shoot.Service) shoot.MealID {
	return anyOf(p, p.Sees.Floor.Meals, func(m shoot.Meal) bool { return m.Service == s })
}

func has[K ~string, V any](rows map[K]V, fits func(V) bool) bool {
	for _, row := range rows {
		if fits(row) {
			return true
		}
	}
	return false
}

// spare tells whether nothing happened to a hero, and no shot needs it.
func (p *Somebody) spare(h shoot.Hero) bool {
	return len(h.History) == 0 && !has(p.Sees.Floor.Shots, func(s shoot.Shot) bool { return slices.Contains(s.Heroes, h.ID) })
}

func open(q shoot.Query) bool       { return q.Ruling == "" }
func unsettled(r shoot.Report) bool { return r.Ruling == "" }
func disputed(row shoot.Pay) bool   { return row.Dispute != nil && row.Dispute.Open() }
func (p *Somebody) shown() bool     { _, row := p.own(); return row.Slip != nil }

// reports are of people who have lost access since, for whoever sees them.
func (p *Somebody) reports() map[shoot.ReportID]shoot.Report {
	if p.Sees.Office == nil {
		return nil
	}
	return p.Sees.Office.Reports
}

func waits(a shoot.Ask) bool { return a.Reply == "" }

// draft is the call sheet in preparation, of whoever sees it.
func (p *Somebody) draft(day shoot.DayID) shoot.Draft {
	if p.Sees.Office == nil {
		return shoot.Draft{}
	}
	return p.Sees.Office.Drafts[day]
}

func (p *Somebody) money() shoot.Money {
	if p.Sees.Money == nil {
		return shoot.Money{}
	}
	return *p.Sees.Money
}

func (p *Somebody) frames() string { return one(p, "", fmt.Sprint(p.Chance.Below(1000))) }

// late is a time in the evening.
func (p *Somebody) late() when.Instant { return p.Now + when.Instant(p.number(1, 10))*when.Hour }

func (p *Somebody) stamps(day shoot.DayID, who shoot.PersonID) []shoot.Stamp {
	return p.Sees.Floor.Hours[shoot.KeyOf(day, who)].Stamps()
}

// own is one's own pay, as it is shown.
func (p *Somebody) own() (shoot.DayID, shoot.Pay) {
	day := p.today()
	return day, p.Sees.Pay[shoot.KeyOf(day, p.Me)]
}

func (p *Somebody) terms() overtime.Terms {
	if p.often(40) {
		return overtime.Terms{Basis: overtime.AllIn, Rate: money.Of(int64(p.number(100, 900)*100), "EUR")}
	}
	return overtime.Terms{Basis: overtime.Day, Rate: money.Of(int64(p.number(300, 900)*100), "EUR"), Included: 600,
		Bands: []overtime.Band{{After: 600, Times: money.Ratio{Num: 3, Den: 2}}}, Cancel: []overtime.Notice{{Within: 1440, Share: money.Ratio{Num: 1, Den: 2}}},
		Other: []overtime.OtherDay{{Kind: "travel", Share: money.Ratio{Num: 1, Den: 2}}}}
}
