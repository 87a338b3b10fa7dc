package office

import (
	"slices"
	"strconv"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/day"
)

func (m *maker) plan() *Plan {
	out := &Plan{Day: m.Head(), Say: "What you change here is on everybody's phone as soon as it is shared. Call times and the call sheet are on the call sheet."}
	out.Lists = m.lists()
	if m.Day.ID != "" {
		out.Ahead, _ = day.AheadOf(m.State, m.c.Context) // whoever is shown the plan is somebody
		out.Parts = append(out.Parts, m.planShots())
	}
	out.Parts = append(out.Parts, m.planSetups(), m.planHeroes())
	if m.Day.ID != "" {
		out.Parts = append(out.Parts, m.planLight())
	}
	if m.Me.Role == shoot.Producer {
		if m.Day.ID != "" {
			out.Parts = append(out.Parts, m.planMeals(), m.planPayDays())
		}
		out.Parts = append(out.Parts, m.planPeople(), m.planShoot())
	}
	for i, p := range out.Parts {
		if n := len(p.Rows); n > 0 && p.Key != "meals" && p.Key != "paydays" && p.Key != "shoot" && p.Key != "light" { // which have rows of several kinds
			out.Parts[i].Title += " (" + view.Itoa(n) + ")"
		}
	}
	return out
}

// labelled is a button with another word on it than its form has.
func labelled(label string, a view.Action) view.Action {
	a.Label = label
	return a
}

// row is one thing that an action changes.
func row(key, title string, change view.Action, says ...string) PlanRow {
	return PlanRow{Key: key, Name: title, Says: says, Actions: []view.Action{labelled("Change", change)}}
}

// fresh is the button for a new thing.
func fresh(label string, a view.Action) []view.Action { return []view.Action{labelled(label, a)} }

// written is the form for something that has an id of its own; a new one gets
// it when it is filled in.
func (m *maker) written(name string, id string, version int, f view.Fields, fm view.Form) view.Action {
	f["base"] = version
	if fm.Submit = "Keep"; id == "" {
		fm.Fresh = true
	} else {
		f["id"] = id
	}
	return m.Entry(fm.Title, name, f, fm)
}

func (m *maker) planShots() PlanPart {
	out := PlanPart{Key: "shots", Title: "Shots of this day", Say: "This day has no shots yet."}
	if len(m.State.Floor.Setups) > 0 {
		out.New = fresh("Add a shot", m.shotForm(shoot.Shot{}))
	} else {
		out.Say = "Add a set-up first; every shot belongs to one."
	}
	for _, s := range m.Run(m.Day) {
		row := row("shot:"+string(s.ID), s.Number+", "+s.Title, m.shotForm(s),
			m.ShotMark(s).Word, view.Lasts(int64(s.Minutes)), view.Priority(s.Priority), m.State.Floor.Setups[s.Setup].Name)
		if s.Untouched() {
			m.Offer(&row.Actions, m.Action("Delete", "shot.drop", view.Fields{"shot": s.ID}).Confirming("Delete shot "+s.Number+"? Nothing has happened to it.").Dangerous())
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (m *maker) shotForm(s shoot.Shot) view.Action {
	p, f := s.ShotPlan, m.State.Floor
	title := "Shot " + p.Number
	if p.ID == "" {
		p = shoot.ShotPlan{Day: m.Day.ID, Number: m.nextNumber(), Minutes: 30, Priority: shoot.Want}
		if run := m.Run(m.Day); len(run) > 0 {
			p.Setup = run[len(run)-1].Setup
		}
		title = "A new shot"
	}
	setup := view.Field{Key: "setup", Label: "Set-up", Kind: view.KindChoice, Value: string(p.Setup), Needed: true, As: view.AsText, List: listSetups}
	day := view.Field{Key: "day", Label: "Day", Kind: view.KindChoice, Value: string(p.Day), Needed: true, As: view.AsText, List: listDays}
	rank := view.Field{Key: "priority", Label: "How much it matters", Kind: view.KindChoice, Value: string(p.Priority), Needed: true, As: view.AsText}
	for _, r := range []shoot.Priority{shoot.Must, shoot.Want, shoot.Spare} {
		rank.Options = append(rank.Options, view.Option{Value: string(r), Label: view.Priority(r), On: r == p.Priority})
	}
	heroes := view.Field{Key: "heroes", Label: "Heroes it needs", Kind: view.KindTicks, Value: spaced(p.Heroes), As: view.AsList, List: listHeroes, Hint: "It stays held until each of them is confirmed."}
	talent := view.Field{Key: "talent", Label: "Who is in it", Kind: view.KindTicks, As: view.AsList, List: listTalent}
	var listed []shoot.PersonID
	for _, who := range p.Talent {
		if bookable(f.People[who]) {
			listed = append(listed, who)
		} else {
			talent.Options = append(talent.Options, view.Option{Value: string(who), Label: m.Who(who), On: true})
		}
	}
	talent.Value = spaced(listed)
	form := view.Form{Title: title, Fields: []view.Field{
		{Key: "number", Label: "Number", Kind: view.KindText, Value: p.Number, Needed: true, As: view.AsText},
		{Key: "title", Label: "What it shows", Kind: view.KindText, Value: p.Title, Needed: true, As: view.AsText},
		setup,
		{Key: "minutes", Label: "Planned minutes", Kind: view.KindNumber, Value: view.Itoa(p.Minutes), Needed: true, As: view.AsNumber, Hint: "Without the change of set-up."},
		rank,
	}}
	if len(f.Heroes) > 0 {
		form.Fields = append(form.Fields, heroes)
	}
	if len(talent.Options) > 0 || slices.ContainsFunc(m.People(), bookable) {
		form.Fields = append(form.Fields, talent)
	}
	if len(f.Days) > 1 {
		form.Fields = append(form.Fields, day)
	}
	form.Fields = append(form.Fields,
		view.Field{Key: "crop", Label: "Crop", Kind: view.KindText, Value: p.Crop, As: view.AsText},
		view.Field{Key: "fallback", Label: "Fallback", Kind: view.KindLines, Value: p.Fallback, As: view.AsText, Hint: "What to make instead where it does not work out."},
		view.Field{Key: "notes", Label: "Notes", Kind: view.KindLines, Value: p.Notes, As: view.AsText})
	return m.written("shot.set", string(p.ID), s.Version, view.Fields{"day": p.Day, "heroes": []string{}, "talent": []string{}}, form)
}

// nextNumber is one more than the highest number of all shots: no two have the same.
func (m *maker) nextNumber() string {
	most := 0
	for _, s := range m.State.Floor.Shots {
		n, _ := view.Leading(s.Number)
		most = max(most, n)
	}
	return view.Itoa(most + 1)
}

func (m *maker) planSetups() PlanPart {
	out := PlanPart{Key: "setups", Title: "Set-ups", Say: "There is no set-up yet.", New: fresh("Add a set-up", m.setupForm(shoot.Setup{}))}
	for _, s := range m.setups() {
		out.Rows = append(out.Rows, row("setup:"+string(s.ID), s.Name, m.setupForm(s), view.Lasts(int64(s.Minutes))+" to change over"))
	}
	return out
}

func (m *maker) setupForm(s shoot.Setup) view.Action {
	title := s.Name
	if s.ID == "" {
		title = "A new set-up"
	}
	return m.written("setup.set", string(s.ID), s.Version, view.Fields{}, view.Form{Title: title, Fields: []view.Field{
		{Key: "name", Label: "Name", Kind: view.KindText, Value: s.Name, Needed: true, As: view.AsText, Hint: "Where the camera and the light stand."},
		{Key: "minutes", Label: "Minutes to change over to it", Kind: view.KindNumber, Value: view.Itoa(s.Minutes), Needed: true, As: view.AsNumber},
	}})
}

func (m *maker) planHeroes() PlanPart {
	out := PlanPart{Key: "heroes", Title: "Heroes", Say: "There is no hero yet.", New: fresh("Add a hero", m.heroForm(shoot.Hero{}))}
	for _, h := range m.allHeroes() {
		var words []string
		for _, p := range view.Plate(h.Plate) {
			words = append(words, p.Value)
		}
		row := row("hero:"+string(h.ID), h.Name, m.heroForm(h), words...)
		if len(h.History) == 0 {
			m.Offer(&row.Actions, m.Action("Delete", "hero.drop", view.Fields{"hero": h.ID}).Confirming("Delete "+h.Name+"? Nothing has happened to it.").Dangerous())
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

func (m *maker) heroForm(h shoot.Hero) view.Action {
	p := h.HeroPlan
	form := view.Form{Title: "The brief of " + p.Name, Say: "A change of the plate, the checklist, the number of readers or the hold ends what was confirmed: it has to be read again."}
	if p.ID == "" {
		p.Needs, form.Title, form.Say = 2, "A new hero", "What is on its plate is what people type or scan on the day."
	}
	hold := ""
	if p.Food {
		hold = view.Itoa(p.HoldMinutes)
	}
	form.Fields = []view.Field{{Key: "name", Label: "Name", Kind: view.KindText, Value: p.Name, Needed: true, As: view.AsText}}
	for _, l := range view.PlateLines(p.Plate) {
		form.Fields = append(form.Fields, view.Field{Key: l.Key, Label: l.Label, Kind: view.KindText, Value: l.Value, As: view.AsText})
	}
	form.Fields = append(form.Fields,
		view.Field{Key: "needs", Label: "Who has to read it", Kind: view.KindChoice, Value: view.Itoa(p.Needs), Needed: true, As: view.AsNumber,
			Options: []view.Option{{Value: "1", Label: "One person", On: p.Needs == 1}, {Value: "2", Label: "Two people", On: p.Needs == 2}}},
		view.Field{Key: "checklist", Label: "Checklist", Kind: view.KindLines, Value: strings.Join(p.Checklist, "\n"), As: view.AsLines, Hint: "One line for each thing to tick."},
		view.Field{Key: "food", Label: "Is it food?", Kind: view.KindChoice, Value: strconv.FormatBool(p.Food), Needed: true, As: view.AsTruth,
			Options: []view.Option{{Value: "false", Label: "No", On: !p.Food}, {Value: "true", Label: "Yes, it holds for a while only", On: p.Food}}},
		view.Field{Key: "holdMinutes", Label: "Minutes that food holds", Kind: view.KindNumber, Value: hold, As: view.AsNumber, Hint: "From its first reading. Leave it empty for what is not food."})
	return m.written("hero.set", string(p.ID), h.Version, view.Fields{"plate": view.Fields{}, "checklist": []string{}, "holdMinutes": 0}, form)
}
