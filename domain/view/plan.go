package view

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
)

// A row of the plan is named by its kind and its id, "shot:0190…"; a kind
// without an id is for a new one.
const (
	rowShot   = "shot:"
	rowSetup  = "setup:"
	rowHero   = "hero:"
	rowMeal   = "meal:"
	rowRange  = "range:" // of a meal
	rowPerson = "person:"
	rowDay    = "day:"
	rowShoot  = "shoot:"
)

func (m *maker) plan() *Plan {
	out := &Plan{Day: m.head(), Say: "What you change here is on everybody's phone as soon as it is shared. Call times and the call sheet are on the call sheet."}
	if !m.lead() {
		out.Say = "The producer and the art director change the plan."
		return out
	}
	if m.day.ID != "" {
		out.Parts = append(out.Parts, m.planShots())
	}
	out.Parts = append(out.Parts, m.planSetups(), m.planHeroes())
	if m.me.Role == shoot.Producer {
		if m.day.ID != "" {
			out.Parts = append(out.Parts, m.planMeals())
		}
		out.Parts = append(out.Parts, m.planPeople(), m.planShoot())
	}
	for i, p := range out.Parts {
		if n := len(p.Rows); n > 0 && p.Key != "meals" && p.Key != "shoot" { // which have rows of two kinds
			out.Parts[i].Title += " (" + itoa(n) + ")"
		}
	}
	return out
}

// change is the button of a row, or of a new one; its form is made when it is
// pressed.
func (m *maker) change(label, name, row string) []Action {
	return []Action{m.leave(label, name, later{Row: row, Day: m.day.ID})}
}

// row is one thing that an intent of that name changes.
func (m *maker) row(name, key, title string, says ...string) PlanRow {
	return PlanRow{Key: key, Name: title, Says: says, Actions: m.change("Change", name, key)}
}

// rowForm is the form of a row, if it is one.
func (m *maker) rowForm(row string) (Action, bool) {
	kind, id, named := strings.Cut(row, ":")
	if !named {
		return Action{}, false
	}
	f, fresh := m.s.Floor, id == ""
	onDay := fresh && m.day.ID != ""
	switch kind + ":" {
	case rowShot:
		s, ok := f.Shots[shoot.ShotID(id)]
		return m.shotForm(s), ok || onDay
	case rowSetup:
		s, ok := f.Setups[shoot.SetupID(id)]
		return m.setupForm(s), ok || fresh
	case rowHero:
		h, ok := f.Heroes[shoot.HeroID(id)]
		return m.heroForm(h), ok || fresh
	case rowMeal:
		meal, ok := f.Meals[shoot.MealID(id)]
		return m.mealForm(meal), ok || onDay
	case rowRange:
		meal, ok := f.Meals[shoot.MealID(id)]
		return m.rangeForm(meal), ok
	case rowPerson:
		p, ok := f.People[shoot.PersonID(id)]
		return m.personForm(p), ok || fresh
	case rowDay:
		d, ok := f.Days[shoot.DayID(id)]
		return m.dayForm(d), ok || fresh
	case rowShoot:
		return m.shootForm(), fresh
	}
	return Action{}, false
}

// written is the form for something that has an id of its own; a new one gets
// it when it is filled in.
func (m *maker) written(name string, id string, version int, f fields, fm Form) Action {
	f["base"] = version
	if fm.Submit = "Keep"; id == "" {
		fm.Fresh = true
	} else {
		f["id"] = id
	}
	return m.entry(fm.Title, name, f, fm)
}

func (m *maker) planShots() PlanPart {
	out := PlanPart{Key: "shots", Title: "Shots of this day", Say: "This day has no shots yet."}
	if len(m.s.Floor.Setups) > 0 {
		out.New = m.change("Add a shot", "shot.set", rowShot)
	} else {
		out.Say = "Add a set-up first; every shot belongs to one."
	}
	for _, s := range m.run(m.day) {
		row := m.row("shot.set", rowShot+string(s.ID), s.Number+", "+s.Title,
			m.shotMark(s).Word, lasts(int64(s.Minutes)), priority(s.Priority), m.s.Floor.Setups[s.Setup].Name)
		if s.Untouched() {
			m.offer(&row.Actions, m.action("Delete", "shot.drop", fields{"shot": s.ID}).confirm("Delete shot "+s.Number+"? Nothing has happened to it.").danger())
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (m *maker) shotForm(s shoot.Shot) Action {
	p, f := s.ShotPlan, m.s.Floor
	title := "Shot " + p.Number
	if p.ID == "" {
		p = shoot.ShotPlan{Day: m.day.ID, Number: m.nextNumber(), Minutes: 30, Priority: shoot.Want}
		if run := m.run(m.day); len(run) > 0 {
			p.Setup = run[len(run)-1].Setup
		}
		title = "A new shot"
	}
	setup := Field{Key: "setup", Label: "Set-up", Kind: KindChoice, Value: string(p.Setup), Needed: true, As: AsText}
	for _, s := range m.setups() {
		setup.Options = append(setup.Options, Option{string(s.ID), s.Name, s.ID == p.Setup})
	}
	day := Field{Key: "day", Label: "Day", Kind: KindChoice, Value: string(p.Day), Needed: true, As: AsText}
	for _, d := range m.s.DaysInOrder() {
		day.Options = append(day.Options, Option{string(d.ID), d.Name, d.ID == p.Day})
	}
	rank := Field{Key: "priority", Label: "How much it matters", Kind: KindChoice, Value: string(p.Priority), Needed: true, As: AsText}
	for _, r := range []shoot.Priority{shoot.Must, shoot.Want, shoot.Spare} {
		rank.Options = append(rank.Options, Option{string(r), priority(r), r == p.Priority})
	}
	heroes := Field{Key: "heroes", Label: "Heroes it needs", Kind: KindTicks, As: AsList, Hint: "It stays held until each of them is confirmed."}
	for _, h := range m.allHeroes() {
		heroes.Options = append(heroes.Options, Option{string(h.ID), h.Name, slices.Contains(p.Heroes, h.ID)})
	}
	talent := Field{Key: "talent", Label: "Who is in it", Kind: KindTicks, As: AsList}
	for _, who := range sorting.Values(f.People, byName) {
		if in := slices.Contains(p.Talent, who.ID); in || who.Role == shoot.Talent && !who.Revoked {
			talent.Options = append(talent.Options, Option{string(who.ID), who.Name, in})
		}
	}
	form := Form{Title: title, Fields: []Field{
		{Key: "number", Label: "Number", Kind: KindText, Value: p.Number, Needed: true, As: AsText},
		{Key: "title", Label: "What it shows", Kind: KindText, Value: p.Title, Needed: true, As: AsText},
		setup,
		{Key: "minutes", Label: "Planned minutes", Kind: KindNumber, Value: itoa(p.Minutes), Needed: true, As: AsNumber, Hint: "Without the change of set-up."},
		rank,
	}}
	for _, f := range []Field{heroes, talent} {
		if len(f.Options) > 0 {
			form.Fields = append(form.Fields, f)
		}
	}
	if len(day.Options) > 1 {
		form.Fields = append(form.Fields, day)
	}
	form.Fields = append(form.Fields,
		Field{Key: "crop", Label: "Crop", Kind: KindText, Value: p.Crop, As: AsText},
		Field{Key: "fallback", Label: "Fallback", Kind: KindLines, Value: p.Fallback, As: AsText, Hint: "What to make instead where it does not work out."},
		Field{Key: "notes", Label: "Notes", Kind: KindLines, Value: p.Notes, As: AsText})
	return m.written("shot.set", string(p.ID), s.Version, fields{"day": p.Day, "heroes": []string{}, "talent": []string{}}, form)
}

// nextNumber is one more than the highest number of all shots: no two have the same.
func (m *maker) nextNumber() string {
	most := 0
	for _, s := range m.s.Floor.Shots {
		n, _ := leading(s.Number)
		most = max(most, n)
	}
	return itoa(most + 1)
}

func (m *maker) setups() []shoot.Setup {
	return sorting.Values(m.s.Floor.Setups, func(a, b shoot.Setup) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
}

func (m *maker) allHeroes() []shoot.Hero {
	return sorting.Values(m.s.Floor.Heroes, byHeroName)
}

func byName(a, b shoot.Person) int {
	return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
}

func (m *maker) planSetups() PlanPart {
	out := PlanPart{Key: "setups", Title: "Set-ups", Say: "There is no set-up yet.", New: m.change("Add a set-up", "setup.set", rowSetup)}
	for _, s := range m.setups() {
		out.Rows = append(out.Rows, m.row("setup.set", rowSetup+string(s.ID), s.Name, lasts(int64(s.Minutes))+" to change over"))
	}
	return out
}

func (m *maker) setupForm(s shoot.Setup) Action {
	title := s.Name
	if s.ID == "" {
		title = "A new set-up"
	}
	return m.written("setup.set", string(s.ID), s.Version, fields{}, Form{Title: title, Fields: []Field{
		{Key: "name", Label: "Name", Kind: KindText, Value: s.Name, Needed: true, As: AsText, Hint: "Where the camera and the light stand."},
		{Key: "minutes", Label: "Minutes to change over to it", Kind: KindNumber, Value: itoa(s.Minutes), Needed: true, As: AsNumber},
	}})
}

func (m *maker) planHeroes() PlanPart {
	out := PlanPart{Key: "heroes", Title: "Heroes", Say: "There is no hero yet.", New: m.change("Add a hero", "hero.set", rowHero)}
	for _, h := range m.allHeroes() {
		var words []string
		for _, p := range plate(h.Plate) {
			words = append(words, p.value)
		}
		row := m.row("hero.set", rowHero+string(h.ID), h.Name, words...)
		if len(h.History) == 0 {
			m.offer(&row.Actions, m.action("Delete", "hero.drop", fields{"hero": h.ID}).confirm("Delete "+h.Name+"? Nothing has happened to it.").danger())
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (m *maker) heroForm(h shoot.Hero) Action {
	p := h.HeroPlan
	form := Form{Title: "The brief of " + p.Name, Say: "A change of the plate, the checklist, the number of readers or the hold ends what was confirmed: it has to be read again."}
	if p.ID == "" {
		p.Needs, form.Title, form.Say = 2, "A new hero", "What is on its plate is what people type or scan on the day."
	}
	hold := ""
	if p.Food {
		hold = itoa(p.HoldMinutes)
	}
	form.Fields = []Field{{Key: "name", Label: "Name", Kind: KindText, Value: p.Name, Needed: true, As: AsText}}
	for _, l := range plateLines(p.Plate) {
		form.Fields = append(form.Fields, Field{Key: l.key, Label: l.label, Kind: KindText, Value: l.value, As: AsText})
	}
	form.Fields = append(form.Fields,
		Field{Key: "needs", Label: "Who has to read it", Kind: KindChoice, Value: itoa(p.Needs), Needed: true, As: AsNumber,
			Options: []Option{{"1", "One person", p.Needs == 1}, {"2", "Two people", p.Needs == 2}}},
		Field{Key: "checklist", Label: "Checklist", Kind: KindLines, Value: strings.Join(p.Checklist, "\n"), As: AsLines, Hint: "One line for each thing to tick."},
		Field{Key: "food", Label: "Is it food?", Kind: KindChoice, Value: strconv.FormatBool(p.Food), Needed: true, As: AsTruth,
			Options: []Option{{"false", "No", !p.Food}, {"true", "Yes, it holds for a while only", p.Food}}},
		Field{Key: "holdMinutes", Label: "Minutes that food holds", Kind: KindNumber, Value: hold, As: AsNumber, Hint: "From its first reading. Leave it empty for what is not food."})
	return m.written("hero.set", string(p.ID), h.Version, fields{"plate": fields{}, "checklist": []string{}, "holdMinutes": 0}, form)
}
