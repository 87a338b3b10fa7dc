package plan

import (
	"fmt"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/when"
)

// readDays reads the days with all that is theirs.
func (r *reader) readDays(t *table) {
	if !t.part("days") {
		return
	}
	rows := t.rows("days", "day", maxDays, "day", "name", "zone", "kind", "kinds", "light", "sheet", "calls", "stays", "meals", "hires", "shots")
	if len(rows) == 0 && !t.bad {
		t.wrong(t.at("days"), CodeMissing, "The list of days is empty. Add one that starts with “- day: 1”.")
	}
	lines, shots := map[int]int{}, map[string]int{}
	for _, row := range rows {
		r.readDay(row, lines, shots)
	}
}

// readDay reads one day. The maps hold the lines of the days' and the shots'
// numbers, to find doubles.
func (r *reader) readDay(row *table, lines map[int]int, shots map[string]int) {
	id := r.newID()
	n := 0
	if row.needs("day", "1") {
		n = row.number("day", 0)
		switch {
		case row.bad:
		case n < 1 || n > 31:
			row.wrong(row.at("day"), CodeValue, "There is no day %d. Number the days from 1; day 1 is the first date.", n)
		case lines[n] != 0:
			row.wrong(row.at("day"), CodeDuplicate, "Day %d is there already, from line %d. Give this one its own number.", n, lines[n])
		}
		lines[n] = row.at("day")
	}
	name := row.scalar("name")
	if name == "" {
		name = fmt.Sprintf("Day %d", n)
	}
	zone := r.zone
	if row.fields["zone"] != nil {
		zone = when.Zone(row.scalar("zone"))
		row.check("zone", zone.Check())
	}
	head := *row
	head.bad = row.bad || r.date == "" || zone.Check() != nil // both were told already
	r.add(&head, id, nil, "day.set", args{"id": id, "name": name, "date": r.date.Add(n - 1), "zone": zone})
	r.readMeals(row, id)
	r.readHires(row, id)
	r.readShots(row, id, shots, r.readLight(row, id))
	r.readSheet(row, id)
	r.readStays(row, id)
	r.readKinds(row, id)
}

func (r *reader) readMeals(day *table, dayID string) {
	for _, row := range day.rows("meals", "meal", maxMeals, "name", "at", "minutes", "margin", "guests", "earliest", "latest") {
		id := r.newID()
		m := shoot.MealPlan{ID: shoot.MealID(id), Day: shoot.DayID(dayID), Name: row.text("name", "Lunch"), At: row.clock("at"), Margin: row.number("margin", 0)}
		if row.needs("minutes", "45") {
			m.Minutes = row.number("minutes", 0)
		}
		guests := row.number("guests", 0)
		if guests < 0 {
			row.wrong(row.at("guests"), CodeValue, "%d guests cannot come. Write how many do, or leave the line out.", guests)
		}
		r.add(row, id, []string{dayID}, "meal.set", m)
		r.readRange(row, id)
		if guests != 0 {
			r.add(row, "", []string{id}, "meal.guests", args{"meal": id, "delta": guests})
		}
	}
}

func (r *reader) readHires(day *table, dayID string) {
	for _, row := range day.rows("hires", "hire", maxHires, "name", "from", "terms") {
		id := r.newID()
		name, from := row.text("name", "Studio 2"), row.clock("from")
		if !row.needs("terms", "hall") {
			continue
		}
		terms, line := r.termsFor(row)
		at := *row
		at.line = line
		r.add(&at, id, []string{dayID}, "hire.set", args{"id": id, "day": dayID, "name": name, "from": from, "terms": terms})
	}
}

func (r *reader) readShots(day *table, dayID string, seen map[string]int, light string) {
	order, ids, wishes := []string{}, map[string]string{}, []wish{}
	rows := day.rows("shots", "shot", maxShots, "number", "title", "set-up", "minutes", "priority", "crop", "heroes", "talent", "fallback", "notes",
		"light", "window", "after", "fallback-minutes")
	for _, row := range rows {
		id := r.newID()
		s := shoot.ShotPlan{ID: shoot.ShotID(id), Day: shoot.DayID(dayID), Number: row.text("number", "7"), Title: row.text("title", "The lamp lit"),
			Priority: choice(row, "priority", []shoot.Priority{shoot.Must, shoot.Want, shoot.Spare}), Crop: row.scalar("crop"),
			Heroes: finds[shoot.HeroID](row, "heroes", &r.heroes), Talent: finds[shoot.PersonID](row, "talent", &r.people),
			Fallback: row.scalar("fallback"), Notes: row.scalar("notes")}
		if first := seen[s.Number]; first != 0 && s.Number != "" {
			row.wrong(row.at("number"), CodeDuplicate, "Shot %s is there already, on line %d. People call shots by their number; give this one its own.", clip(s.Number), first)
		}
		seen[s.Number] = row.at("number")
		if key := row.text("set-up", "window"); key != "" {
			s.Setup = shoot.SetupID(row.find(&r.setups, key, row.at("set-up")))
		}
		if row.needs("minutes", "30") {
			s.Minutes = row.number("minutes", 0)
		}
		r.add(row, id, needsOf(s), "shot.set", s)
		order, ids[s.Number], wishes = append(order, id), id, append(wishes, wish{row, id})
	}
	r.readWishes(wishes, ids, light)
	if len(order) > 0 {
		whole := *day
		whole.bad = false
		r.add(&whole, "", append(slices.Clone(order), dayID), "shot.order", args{"day": dayID, "order": order})
	}
}

// needsOf lists what must be there before a shot can be.
func needsOf(s shoot.ShotPlan) []string {
	needs := []string{string(s.Day), string(s.Setup)}
	for _, h := range s.Heroes {
		needs = append(needs, string(h))
	}
	for _, p := range s.Talent {
		needs = append(needs, string(p))
	}
	return needs
}

// readSheet reads a day's call sheet and its calls.
func (r *reader) readSheet(day *table, dayID string) {
	calls := r.readCalls(day, dayID)
	if day.fields["sheet"] == nil {
		return
	}
	row := r.open(day.fields["sheet"], day.at("sheet"), "sheet", "place", "address", "general-call", "planned-wrap", "emergency", "safety", "notes", "publish")
	publish := row.flag("publish")
	s := struct {
		Day string `json:"day"`
		shoot.SheetText
	}{dayID, shoot.SheetText{
		Place:       shoot.Place{Name: row.text("place", "The Mill"), Address: row.scalar("address")},
		GeneralCall: row.clock("general-call"), PlannedWrap: row.clock("planned-wrap"),
		Emergency: row.scalar("emergency"), Safety: row.scalar("safety"), Notes: row.scalar("notes"),
	}}
	sheet := "sheet " + dayID
	r.add(row, sheet, []string{dayID}, "sheet.set", s)
	if publish {
		r.add(row, "", append(calls, dayID, sheet), "sheet.publish", args{"day": dayID, "number": 1})
	}
}

// readCalls reads who is called when, and gives what publishing needs.
func (r *reader) readCalls(day *table, dayID string) (made []string) {
	n := day.fields["calls"]
	if n == nil {
		return nil
	}
	all := r.open(n, day.at("calls"), "list of calls")
	for _, key := range all.keys {
		row := *all
		row.line, row.bad = all.at(key), false
		id := row.find(&r.people, key, row.line)
		c := row.clock(key)
		call := "call " + dayID + id
		r.add(&row, call, []string{dayID, id}, "call.set", args{"day": dayID, "person": id, "call": c})
		made = append(made, call)
	}
	if all.bad {
		r.spoiled["calls "+dayID] = true
		made = append(made, "calls "+dayID)
	}
	return made
}
