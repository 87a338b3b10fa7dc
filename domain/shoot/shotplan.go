package shoot

import (
	"slices"
	"strings"

	"fairday/domain/sorting"
)

// What is written about shots and heroes beforehand.

var shotPlanRows = rows{
	intents: []intentRow{
		{name: "shot.set", who: lead, target: "id", say: "Plan of shot {number}", args: shotSet{}},
		{name: "shot.drop", far: true, who: lead, target: "shot", say: "Delete {shot}"},
		{name: "hero.set", far: true, who: lead, target: "id", say: "Plan of {name}"},
		{name: "hero.drop", far: true, who: lead, target: "hero", say: "Delete {hero}"},
	},
	events: []eventRow{
		{body: ShotSet{}},
		{body: ShotDropped{}},
		{body: HeroSet{}},
		{body: HeroDropped{}},
	},
}

var shotPlanFar = farRules{
	{"shot.drop", shotDrop{}},
	{"hero.set", heroSet{}},
	{"hero.drop", heroDrop{}},
}

// Priority says how much a shot matters.
type Priority string

// The priorities, from what must be had to what is nice to have.
const (
	Must  Priority = "must"
	Want  Priority = "want"
	Spare Priority = "spare"
)

// ShotPlan is what is written about a shot beforehand.
type ShotPlan struct {
	ID       ShotID     `json:"id"`
	Day      DayID      `json:"day"`
	Number   string     `json:"number"` // how people call it: "7", "7A"
	Title    string     `json:"title"`
	Setup    SetupID    `json:"setup"`
	Minutes  int        `json:"minutes"` // planned, without the change of set-up
	Priority Priority   `json:"priority"`
	Crop     string     `json:"crop"`
	Heroes   []HeroID   `json:"heroes"`
	Talent   []PersonID `json:"talent"`
	Fallback string     `json:"fallback"`
	Notes    string     `json:"notes"`
}

// Plate is what identifies a hero. A field that the brief leaves empty is not
// compared.
type Plate struct {
	Designation string `json:"designation"`
	Finish      string `json:"finish"`
	Size        string `json:"size"`
	Serial      string `json:"serial"` // a serial or batch number
}

// HeroPlan is what the brief says of a hero.
type HeroPlan struct {
	ID          HeroID   `json:"id"`
	Name        string   `json:"name"`
	Plate       Plate    `json:"plate"`
	Checklist   []string `json:"checklist"`
	Needs       int      `json:"needs"` // confirmations by different people, 1 or 2
	Food        bool     `json:"food"`
	HoldMinutes int      `json:"holdMinutes"` // for food: how long a confirmation holds
}

type shotSet struct {
	ShotPlan
	Base int `json:"base"`
}

// ShotSet adds a shot or changes what is planned for it.
type ShotSet struct {
	ShotPlan
	Version int `json:"version"`
}

func (a shotSet) decide(d *deciding) *Refusal {
	f := d.s.Floor
	was := f.Shots[a.ID]
	if r := first(idCheck(a.ID), needed("number of the shot", a.Number, 8), needed("title", a.Title, 160),
		between("planned minutes", a.Minutes, 1, 24*60), text("crop", a.Crop, 80), text("fallback", a.Fallback, 300),
		text("notes", a.Notes, 1000), fresh("this shot", a.Base, was.Version, a.ShotPlan, was.ShotPlan)); r != nil {
		return r
	}
	if _, ok := f.Days[a.Day]; !ok {
		return unknown("day")
	}
	if _, ok := f.Setups[a.Setup]; !ok {
		return unknown("set-up")
	}
	if !slices.Contains([]Priority{Must, Want, Spare}, a.Priority) {
		return refuse(CodeBadArgs, "%q is not a priority. Choose must, want or spare.", clip(string(a.Priority)))
	}
	if was.Version > 0 && was.Day != a.Day && was.Progress != Planned {
		return refuse(CodeWrongProgress, "Shot %s has been up already, so it stays on its day. Put it back to planned first.", was.Number)
	}
	if !known(a.Heroes, f.Heroes) {
		return unknown("hero")
	}
	if !known(a.Talent, f.People) {
		return unknown("person")
	}
	for _, o := range f.Shots {
		if o.ID != a.ID && tidy(o.Number) == tidy(a.Number) && (was.Version == 0 || tidy(was.Number) != tidy(a.Number)) {
			return refuse(CodeBadArgs, "Shot %s is there already: %s. People call shots by their number; give this one its own.", o.Number, o.Title)
		}
	}
	d.emit(ShotSet{a.ShotPlan, was.Version + 1})
	return nil
}

type shotDrop struct {
	Shot ShotID `json:"shot"`
}

// ShotDropped takes a shot that nothing happened to off the plan.
type ShotDropped struct {
	Shot ShotID `json:"shot"`
}

// Untouched tells whether nothing happened to a shot, so that it can be deleted.
func (sh Shot) Untouched() bool {
	return sh.Progress == Planned && len(sh.Spans) == 0 && sh.Frames == ""
}

func (a shotDrop) decide(d *deciding) *Refusal {
	shot, ok := d.s.Floor.Shots[a.Shot]
	if !ok {
		return nil // it is gone already
	}
	touched := !shot.Untouched()
	for _, q := range d.s.Floor.Queries {
		touched = touched || q.Shot == a.Shot
	}
	if touched {
		return refuse(CodeWrongProgress, "Shot %s has been worked on, so it stays on record. Cut it instead.", shot.Number)
	}
	d.emit(ShotDropped(a))
	return nil
}

func (ShotDropped) kind() string { return "shot.dropped" }
func (ShotDropped) topic() Topic { return TopicFloor }
func (e ShotDropped) apply(s *State, _ Event) {
	is := func(id ShotID) bool { return id == e.Shot }
	if day, ok := s.Floor.Days[s.Floor.Shots[e.Shot].Day]; ok {
		day.Order = slices.DeleteFunc(slices.Clone(day.Order), is)
		s.Floor.Days = with(s.Floor.Days, day.ID, day)
	}
	delete(s.Floor.Shots, e.Shot)
	delete(s.Floor.Wishes, e.Shot)
	for _, id := range sorting.Keys(s.Floor.Wishes) {
		if w := s.Floor.Wishes[id]; slices.ContainsFunc(w.After, is) {
			w.After = slices.DeleteFunc(slices.Clone(w.After), is)
			s.Floor.Wishes[id] = w
		}
	}
}

type heroDrop struct {
	Hero HeroID `json:"hero"`
}

// HeroDropped takes a hero that nothing happened to off the plan.
type HeroDropped struct {
	Hero HeroID `json:"hero"`
}

func (a heroDrop) decide(d *deciding) *Refusal {
	h, ok := d.s.Floor.Heroes[a.Hero]
	if !ok {
		return nil // it is gone already
	}
	if len(h.History) > 0 {
		return refuse(CodeWrongProgress, "%s has been on set, so it stays on record. Take it off its shots instead.", h.Name)
	}
	if shots := d.s.shotsOf(a.Hero); len(shots) > 0 {
		return refuse(CodeWrongProgress, "%s belongs to shot %s. Take it off its shots first.", h.Name, shots[0].Number)
	}
	d.emit(HeroDropped(a))
	return nil
}

func (HeroDropped) kind() string { return "hero.dropped" }
func (HeroDropped) topic() Topic { return TopicFloor }
func (e HeroDropped) apply(s *State, _ Event) {
	delete(s.Floor.Heroes, e.Hero)
}

// known tells whether each id is a key of the rows, and named once.
func known[K ~string, V any](ids []K, rows map[K]V) bool {
	seen := map[K]bool{}
	for _, id := range ids {
		if _, ok := rows[id]; !ok || seen[id] {
			return false
		}
		seen[id] = true
	}
	return true
}

func (ShotSet) kind() string { return "shot.set" }
func (ShotSet) topic() Topic { return TopicFloor }
func (e ShotSet) apply(s *State, _ Event) {
	shot := s.Floor.Shots[e.ID]
	shot.ShotPlan, shot.Version = e.ShotPlan, e.Version
	if shot.Progress == "" {
		shot.Progress = Planned
	}
	s.Floor.Shots = with(s.Floor.Shots, e.ID, shot)
}

type heroSet struct {
	HeroPlan
	Base int `json:"base"`
}

// HeroSet adds a hero or changes what the brief says of it.
type HeroSet struct {
	HeroPlan
	Version int `json:"version"`
}

func (a heroSet) decide(d *deciding) *Refusal {
	was := d.s.Floor.Heroes[a.ID]
	if r := first(idCheck(a.ID), needed("name of the hero", a.Name, 80), between("number of confirmations", a.Needs, 1, 2),
		text("designation", a.Plate.Designation, 120), text("finish", a.Plate.Finish, 120), text("size", a.Plate.Size, 120),
		text("serial or batch number", a.Plate.Serial, 120), between("length of the checklist", len(a.Checklist), 0, 12),
		fresh("this hero", a.Base, was.Version, a.HeroPlan, was.HeroPlan)); r != nil {
		return r
	}
	for i, item := range a.Checklist {
		if r := needed("line of the checklist", item, 120); r != nil {
			return r
		}
		if slices.Contains(a.Checklist[:i], item) {
			return refuse(CodeBadArgs, "The checklist says %q twice.", clip(item))
		}
	}
	if len(a.Plate.fields()) == 0 {
		return refuse(CodeBadArgs, "The brief must name at least one thing that is on the plate: designation, finish, size or serial.")
	}
	if a.Food {
		if r := between("hold time in minutes", a.HoldMinutes, 1, 24*60); r != nil {
			return r
		}
	} else if a.HoldMinutes != 0 {
		return refuse(CodeBadArgs, "Only food has a hold time. Mark the hero as food or leave the time out.")
	}
	d.emit(HeroSet{a.HeroPlan, was.Version + 1})
	if was.Version > 0 && was.StandingAt(d.at).Count > 0 &&
		(was.Plate != a.Plate || was.Needs != a.Needs || was.HoldMinutes != a.HoldMinutes || !slices.Equal(was.Checklist, a.Checklist)) {
		d.emit(HeroLapsed{Hero: a.ID, Why: LapseBrief})
	}
	return nil
}

func (HeroSet) kind() string { return "hero.set" }
func (HeroSet) topic() Topic { return TopicFloor }
func (e HeroSet) apply(s *State, _ Event) {
	h := s.Floor.Heroes[e.ID]
	h.HeroPlan, h.Version = e.HeroPlan, e.Version
	s.Floor.Heroes = with(s.Floor.Heroes, e.ID, h)
}

// plateField is one thing on a plate, with the word people use for it.
type plateField struct{ name, value string }

// fields lists what the plate names.
func (p Plate) fields() []plateField {
	all := []plateField{{"designation", p.Designation}, {"finish", p.Finish}, {"size", p.Size}, {"serial or batch", p.Serial}}
	return slices.DeleteFunc(all, func(f plateField) bool { return tidy(f.value) == "" })
}

// field finds what a plate says under a name.
func (p Plate) field(name string) string {
	for _, f := range p.fields() {
		if f.name == name {
			return f.value
		}
	}
	return ""
}

// tidy makes two readings of the same plate equal: case and runs of space do
// not count.
func tidy(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
