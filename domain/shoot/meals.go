package shoot

import (
	"cmp"
	"fmt"

	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Meals on the floor. What the kitchen sees of them is in kitchen.go.

var mealRows = rows{
	intents: []intentRow{
		{name: "meal.set", who: office, target: "id", say: "Plan of {name}", args: mealSet{}},
		{name: "meal.drop", far: true, who: office, target: "meal", say: "Drop {meal}"},
		{name: "meal.guests", fact: true, who: []Role{Producer, ArtDirector, Client, Caterer}, say: "{guests} at {meal}", args: mealGuests{}},
		{name: "meal.serve", fact: true, who: kitchen, say: "{plates} at {meal}", args: mealServe{}},
		{name: "meal.count", who: kitchen, target: "meal", say: "Last count of {meal}", args: mealCount{}},
		{name: "meal.start", who: kitchen, target: "meal", say: "Start of {meal}", args: mealStart{}},
		{name: "meal.end", who: kitchen, target: "meal", say: "End of {meal}", args: mealEnd{}},
	},
	events: []eventRow{
		{body: MealSet{}, covers: true, older: []upgrade{same}},
		{body: MealDropped{}},
		{body: GuestsChanged{}, covers: true},
		{body: PlatesServed{}},
		{body: LastCountTaken{}},
		{body: ServiceChanged{}},
	},
}

var mealFar = farRules{
	{"meal.drop", mealDrop{}},
}

// Service is how far a meal has come.
type Service string

// The stages of a meal.
const (
	MealPlanned Service = "planned"
	MealServing Service = "serving"
	MealDone    Service = "done"
)

// MealPlan is what is written about a meal beforehand.
type MealPlan struct {
	ID      MealID     `json:"id"`
	Day     DayID      `json:"day"`
	Name    string     `json:"name"`
	At      when.Clock `json:"at"`
	Minutes int        `json:"minutes"`
	Margin  int        `json:"margin"` // plates made beyond the count
}

// Meal is one meal of a day.
type Meal struct {
	MealPlan
	From        when.Instant `json:"from"` // At, resolved
	Guests      int          `json:"guests"`
	Served      int          `json:"served"` // plates handed out so far
	Service     Service      `json:"service"`
	Began       when.Instant `json:"began,omitempty"` // when somebody told that it began
	Ended       when.Instant `json:"ended,omitempty"` // and that it was over
	LastCount   when.Instant `json:"lastCount"`       // when the number was locked, 0 for not yet
	LastCountBy PersonID     `json:"lastCountBy"`
	Version     int          `json:"version"`
	Before      *MealBefore  `json:"before,omitempty"`
}

type mealSet struct {
	MealPlan
	Base int `json:"base"`
}

// MealSet adds or changes a meal.
type MealSet struct {
	MealPlan
	From    when.Instant `json:"from"`
	Version int          `json:"version"`
	Was     *MealBefore  `json:"was,omitempty"`
}

// MealBefore is when a meal was to be and how long, before that was changed last.
type MealBefore struct {
	At      when.Clock `json:"at"`
	Minutes int        `json:"minutes"`
}

func (a mealSet) decide(d *deciding) *Refusal {
	day, ok := d.s.Floor.Days[a.Day]
	if !ok {
		return unknown("day")
	}
	was := d.s.Floor.Meals[a.ID]
	if r := first(idCheck(a.ID), needed("name of the meal", a.Name, 60), between("minutes of the meal", a.Minutes, 5, 240),
		between("margin of plates", a.Margin, 0, 200), fresh("this meal", a.Base, was.Version, a.MealPlan, was.MealPlan)); r != nil {
		return r
	}
	if was.Version > 0 && was.Day != a.Day {
		return refuse(CodeLocked, "A meal stays on its day. Drop it and make a new one.")
	}
	from, err := day.Zone.At(day.Date, a.At)
	if err != nil {
		return wrong(err)
	}
	before := was.Before
	if was.Version > 0 && (was.At != a.At || was.Minutes != a.Minutes) {
		before = &MealBefore{was.At, was.Minutes}
	}
	d.emit(MealSet{a.MealPlan, from, was.Version + 1, before})
	return nil
}

func (MealSet) kind() string { return "meal.set" }
func (MealSet) topic() Topic { return TopicFloor }
func (e MealSet) apply(s *State, _ Event) {
	m := s.Floor.Meals[e.ID]
	m.MealPlan, m.From, m.Version, m.Before = e.MealPlan, e.From, e.Version, e.Was
	if m.Service == "" {
		m.Service = MealPlanned
	}
	s.Floor.Meals = with(s.Floor.Meals, e.ID, m)
}

// meal changes a copy of a meal's row and puts it back.
func (s *State) meal(id MealID, change func(*Meal)) {
	if m, ok := s.Floor.Meals[id]; ok {
		change(&m)
		s.Floor.Meals = with(s.Floor.Meals, id, m)
	}
}

type mealDrop struct {
	Meal MealID `json:"meal"`
}

// MealDropped takes a meal off the plan.
type MealDropped struct {
	Meal MealID `json:"meal"`
}

func (a mealDrop) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	if !ok {
		return nil // it is gone already
	}
	if m.Service != MealPlanned {
		return refuse(CodeWrongProgress, "%s is being served or was served; it stays on record.", m.Name)
	}
	d.emit(MealDropped(a))
	return nil
}

func (MealDropped) kind() string { return "meal.dropped" }
func (MealDropped) topic() Topic { return TopicFloor }
func (e MealDropped) apply(s *State, _ Event) {
	delete(s.Floor.Meals, e.Meal)
}

type mealGuests struct {
	Meal  MealID `json:"meal"`
	Delta int    `json:"delta"`
}

// GuestsChanged adds guests to a meal or takes some away.
type GuestsChanged struct {
	Meal  MealID `json:"meal"`
	Delta int    `json:"delta"`
}

func (a mealGuests) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	if !ok {
		return unknown("meal")
	}
	if r := between("change of guests", a.Delta, -200, 200); r != nil {
		return r
	}
	if a.Delta = max(a.Delta, -max(m.Guests, 0)); a.Delta == 0 { // two may have taken off the same guest
		return nil
	}
	d.emit(GuestsChanged(a))
	if m.LastCount != 0 {
		d.note(FlagLate, fmt.Sprintf("The last count for %s was taken already. The caterer sees this as late; speak with them.", m.Name), "", "")
	}
	return nil
}

func (GuestsChanged) kind() string { return "meal.guests" }
func (GuestsChanged) topic() Topic { return TopicFloor }
func (e GuestsChanged) apply(s *State, _ Event) {
	s.meal(e.Meal, func(m *Meal) { m.Guests += e.Delta })
}

type mealServe struct {
	Meal  MealID `json:"meal"`
	Delta int    `json:"delta"`
}

// PlatesServed counts plates handed out.
type PlatesServed struct {
	Meal  MealID `json:"meal"`
	Delta int    `json:"delta"`
}

func (a mealServe) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	if !ok {
		return unknown("meal")
	}
	if r := between("number of plates", a.Delta, -200, 200); r != nil {
		return r
	}
	if a.Delta = max(a.Delta, -max(m.Served, 0)); a.Delta != 0 { // two may have taken back the same plate
		d.emit(PlatesServed(a))
	}
	return nil
}

func (PlatesServed) kind() string { return "meal.served" }
func (PlatesServed) topic() Topic { return TopicFloor }
func (e PlatesServed) apply(s *State, _ Event) {
	s.meal(e.Meal, func(m *Meal) { m.Served += e.Delta })
}

type mealCount struct {
	Meal MealID `json:"meal"`
}

// LastCountTaken locks a meal's number.
type LastCountTaken struct {
	Meal MealID `json:"meal"`
}

func (a mealCount) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	switch {
	case !ok:
		return unknown("meal")
	case m.LastCount != 0:
		return nil
	case m.Service == MealDone:
		return refuse(CodeWrongProgress, "%s is over; there is nothing left to count.", m.Name)
	case d.s.Kitchen == nil:
		return notHere()
	}
	d.emit(LastCountTaken(a))
	d.emit(CoversLocked{a.Meal, d.countNow(d.s, m)})
	return nil
}

func (LastCountTaken) kind() string { return "meal.counted" }
func (LastCountTaken) topic() Topic { return TopicFloor }
func (e LastCountTaken) apply(s *State, ev Event) {
	s.meal(e.Meal, func(m *Meal) { m.LastCount, m.LastCountBy = ev.At, ev.By })
}

type mealStart struct {
	Meal MealID `json:"meal"`
}

type mealEnd struct {
	Meal MealID `json:"meal"`
}

// ServiceChanged says how far a meal has come.
type ServiceChanged struct {
	Meal    MealID  `json:"meal"`
	Service Service `json:"service"`
}

func (a mealStart) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	switch {
	case !ok:
		return unknown("meal")
	case m.Service == MealServing:
		return nil
	case m.Service == MealDone:
		return refuse(CodeWrongProgress, "%s is over.", m.Name)
	}
	d.emit(ServiceChanged{a.Meal, MealServing})
	d.opened(m)
	return nil
}

func (a mealEnd) decide(d *deciding) *Refusal {
	m, ok := d.s.Floor.Meals[a.Meal]
	switch {
	case !ok:
		return unknown("meal")
	case m.Service == MealDone:
		return nil
	case m.Service == MealPlanned:
		return refuse(CodeNotServing, "%s has not started. Start serving first.", m.Name)
	}
	d.emit(ServiceChanged{a.Meal, MealDone})
	d.emit(ListClosed(a))
	return nil
}

func (ServiceChanged) kind() string { return "meal.service" }
func (ServiceChanged) topic() Topic { return TopicFloor }
func (e ServiceChanged) apply(s *State, ev Event) {
	s.meal(e.Meal, func(m *Meal) {
		switch m.Service = e.Service; e.Service {
		case MealServing:
			m.Began = ev.At
		case MealDone:
			m.Ended = max(ev.At, m.Began)
		}
	})
}

// Stopped is the stretch in which a meal was eaten, as far as was told: from its
// start to its end, or for as long as it is planned while nobody has told of the
// end. Its end is its start where nobody has told of anything.
func (m Meal) Stopped() Span {
	switch m.Service {
	case MealServing:
		return Span{m.Began, m.Began + when.Instant(m.Minutes)*when.Minute}
	case MealDone:
		return Span{m.Began, m.Ended}
	}
	return Span{m.From, m.From}
}

// MealsOf lists a day's meals in order of time.
func (s *State) MealsOf(day DayID) []Meal {
	var out []Meal
	for _, m := range s.Floor.Meals {
		if m.Day == day {
			out = append(out, m)
		}
	}
	sorting.By(out, func(a, b Meal) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.ID, b.ID)) })
	return out
}
