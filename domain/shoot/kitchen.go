package shoot

import (
	"slices"

	"fairday/domain/catering"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// What the kitchen sees. A caterer is told numbers by diet and allergen, never
// names, but for the list of a meal while it is being served. The numbers are
// worked out where every diet is known, and sent as events, which say nothing of whose
// change they follow (covers.go).

var kitchenRows = rows{
	intents: []intentRow{
		{name: "diet.set", plane: topicDiet, who: office, own: true, target: "person", say: "What {person} eats", args: dietSet{}, older: []upgrade{severalDiets}},
		{name: "covers.count", plane: TopicKitchen, who: []Role{}, target: "-", say: "Count of the covers", args: coversCount{}}, // the desk's own
	},
	events: []eventRow{
		{body: DietSet{}, covers: true, older: []upgrade{severalDiets}},
		{body: CoversCounted{}, older: []upgrade{severalDiets}},
		{body: CoversLocked{}, older: []upgrade{severalDiets}},
		{body: ListOpened{}, older: []upgrade{severalDiets}},
		{body: ListClosed{}},
	},
}

// ServeList is who eats what, for the people who hand it out.
type ServeList struct {
	At   when.Instant `json:"at"`
	Rows []ServeRow   `json:"rows"`
}

// ServeRow is one person's plate.
type ServeRow struct {
	Person PersonID `json:"person"`
	Diet   Diet     `json:"diet"`
}

// Diet is what a person eats and must not eat.
type Diet struct {
	Kinds     []catering.Diet     `json:"kinds"` // all of them at once; none is everything
	Allergens []catering.Allergen `json:"allergens"`
	Note      string              `json:"note"` // the kitchen reads it before the meal, without the name
}

func (d Diet) same(o Diet) bool {
	return slices.Equal(d.Kinds, o.Kinds) && slices.Equal(d.Allergens, o.Allergens) && d.Note == o.Note
}

type dietSet struct {
	Person PersonID `json:"person"`
	Diet
}

// DietSet says what a person eats and must not eat.
type DietSet struct {
	Person PersonID `json:"person"`
	Diet
}

func (a dietSet) decide(d *deciding) *Refusal {
	if _, ok := d.s.Floor.People[a.Person]; !ok {
		return unknown("person")
	}
	if !d.mayAll && a.Person != d.in.Actor {
		return refuse(CodeNotAllowed, "You can set only your own diet. The producer can do it for others.")
	}
	for i, k := range a.Kinds {
		if k == "" || !k.Valid() || slices.Contains(a.Kinds[:i], k) {
			return refuse(CodeBadArgs, "%q is not a diet on the list, or stands twice. Choose from the list, and write the rest as a note.", clip(string(k)))
		}
	}
	for i, al := range a.Allergens {
		if !al.Valid() || slices.Contains(a.Allergens[:i], al) {
			return refuse(CodeBadArgs, "%q is not an allergen on the list, or stands twice. Choose from the list, and write the rest as a note.", clip(string(al)))
		}
	}
	if r := text("note", a.Note, 200); r != nil {
		return r
	}
	sorting.Up(a.Allergens)
	sorting.Up(a.Kinds)
	if was, ok := d.s.Diets[a.Person]; ok && was.same(a.Diet) {
		return nil
	}
	d.emit(DietSet(a))
	return nil
}

func (DietSet) kind() string   { return "diet.set" }
func (e DietSet) topic() Topic { return dietTopic(e.Person) }
func (e DietSet) apply(s *State, _ Event) {
	s.Diets = with(s.Diets, e.Person, e.Diet)
}

// CoversCounted is a meal's covers as they stand.
type CoversCounted struct {
	Meal   MealID     `json:"meal"`
	Count  Count      `json:"count"`
	Eaters []PersonID `json:"eaters,omitempty"` // who was counted, which everybody can tell from the floor; none where only guests were
}

func (CoversCounted) kind() string { return "covers.counted" }
func (CoversCounted) topic() Topic { return TopicKitchen }
func (e CoversCounted) apply(s *State, _ Event) {
	s.Kitchen.Covers = with(s.Kitchen.Covers, e.Meal, e.Count)
	if len(e.Eaters) > 0 {
		s.Kitchen.Groups = regroup(s.Kitchen.Groups, e.Eaters)
	}
}

// CoversLocked keeps a meal's covers as they were at last count.
type CoversLocked struct {
	Meal  MealID `json:"meal"`
	Count Count  `json:"count"`
}

func (CoversLocked) kind() string { return "covers.locked" }
func (CoversLocked) topic() Topic { return TopicKitchen }
func (e CoversLocked) apply(s *State, _ Event) {
	s.Kitchen.Locked = with(s.Kitchen.Locked, e.Meal, e.Count)
}

// ListOpened gives the kitchen who eats what, while a meal is being served.
type ListOpened struct {
	Meal MealID     `json:"meal"`
	Rows []ServeRow `json:"rows"`
}

func (ListOpened) kind() string { return "list.opened" }
func (ListOpened) topic() Topic { return TopicKitchen }
func (e ListOpened) apply(s *State, ev Event) {
	s.Kitchen.Lists = with(s.Kitchen.Lists, e.Meal, ServeList{At: ev.At, Rows: e.Rows})
}

// ListClosed takes the list away.
type ListClosed struct {
	Meal MealID `json:"meal"`
}

func (ListClosed) kind() string { return "list.closed" }
func (ListClosed) topic() Topic { return TopicKitchen }
func (e ListClosed) apply(s *State, _ Event) {
	delete(s.Kitchen.Lists, e.Meal)
}

// Eaters lists who eats at a meal, in order of id: the people on the clock
// across its time, and those who are called across it and have not signed in.
func (s *State) Eaters(m Meal) []PersonID {
	to := m.From + when.Instant(m.Minutes)*when.Minute
	sheet, _ := s.SheetNow(m.Day)
	var out []PersonID
	for _, id := range sorting.Keys(s.Floor.People) {
		if s.Floor.People[id].Revoked {
			continue
		}
		var there []catering.Stretch
		until := s.Floor.Stays[KeyOf(m.Day, id)].At // who has to go before the meal is not counted, unless it is served and they are still there
		if m.Service == MealServing {
			until = 0
		}
		if hours := s.Floor.Hours[KeyOf(m.Day, id)]; len(hours.Marks) > 0 {
			for _, sp := range hours.Stretches() {
				if sp.To == 0 && until > sp.From {
					sp.To = until
				}
				there = append(there, catering.Stretch{From: sp.From, To: sp.To})
			}
		} else if call, ok := sheet.Calls[id]; ok {
			there = []catering.Stretch{{From: call.At, To: sheet.Wrap}}
			if until != 0 {
				there[0].To = min(sheet.Wrap, until)
			}
		}
		if catering.Present(there, m.From, to) {
			out = append(out, id)
		}
	}
	return out
}
