package shoot

import (
	"slices"

	"fairday/domain/when"
)

// The intents and events of what is written down beforehand: the shoot, its
// days, people, set-ups. Each edit carries the version it was based on, 0 for
// something new.

var planRows = rows{
	intents: []intentRow{
		{name: "shoot.set", far: true, who: office, target: "-", say: "Title of the shoot"},
		{name: "day.set", far: true, who: office, target: "id", say: "Plan of {name}"},
		{name: "person.set", far: true, who: office, target: "id", say: "Plan of {name}"},
		{name: "person.access", far: true, who: office, target: "person", say: "Access of {person}"},
		{name: "setup.set", far: true, who: lead, target: "id", say: "Plan of {name}"},
		{name: "shot.order", who: lead, target: "day", say: "Order of the shots, {day}", args: shotOrder{}},
	},
	events: []eventRow{
		{body: ShootSet{}},
		{body: DaySet{}, pay: paysAll},
		{body: PersonSet{}, covers: true, older: []upgrade{same}}, // withdrawn was added
		{body: AccessChanged{}, covers: true},
		{body: SetupSet{}},
		{body: OrderSet{}, older: []upgrade{same}},
	},
}

var planFar = farRules{
	{"shoot.set", shootSet{}},
	{"day.set", daySet{}},
	{"person.set", personSet{}},
	{"person.access", personAccess{}},
	{"setup.set", setupSet{}},
}

// Shoot is the job itself.
type Shoot struct {
	Title   string `json:"title"`
	Client  string `json:"client"`
	Version int    `json:"version"`
}

// Day is one shoot day. Order is the run of its shots; a shot that is not in it
// comes last.
type Day struct {
	ID           DayID     `json:"id"`
	Name         string    `json:"name"`
	Date         when.Date `json:"date"`
	Zone         when.Zone `json:"zone"`
	Order        []ShotID  `json:"order"`
	OrderVersion int       `json:"orderVersion"`
	OrderWas     []ShotID  `json:"orderWas,omitempty"` // the run before the last change, to go back to
	Published    int       `json:"published"`          // number of the newest call sheet, 0 for none
	Version      int       `json:"version"`
}

// Person is somebody who is called.
type Person struct {
	ID         PersonID     `json:"id"`
	Name       string       `json:"name"`
	Role       Role         `json:"role"`
	Department string       `json:"department"`
	Job        string       `json:"job"` // in words, where the role is not enough: "Hair and make-up"
	Phone      string       `json:"phone"`
	Revoked    bool         `json:"revoked"`
	Withdrawn  when.Instant `json:"withdrawn,omitzero"` // since when it is revoked
	Epoch      int          `json:"epoch"`              // grows when what they may see changes
	Version    int          `json:"version"`
}

// Setup is a camera, light and set position that shots share.
type Setup struct {
	ID      SetupID `json:"id"`
	Name    string  `json:"name"`
	Minutes int     `json:"minutes"` // to change over to it
	Version int     `json:"version"`
}

type shootSet struct {
	Title  string `json:"title"`
	Client string `json:"client"`
	Base   int    `json:"base"`
}

// ShootSet gives the job its title and its client.
type ShootSet struct{ Shoot }

func (a shootSet) decide(d *deciding) *Refusal {
	was := d.s.Floor.Shoot
	next := Shoot{Title: a.Title, Client: a.Client, Version: was.Version + 1}
	if r := first(needed("title", a.Title, 120), text("client", a.Client, 120), fresh("the title", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	d.emit(ShootSet{next})
	return nil
}

func (ShootSet) kind() string              { return "shoot.set" }
func (ShootSet) topic() Topic              { return TopicFloor }
func (e ShootSet) apply(s *State, _ Event) { s.Floor.Shoot = e.Shoot }

type daySet struct {
	ID   DayID     `json:"id"`
	Name string    `json:"name"`
	Date when.Date `json:"date"`
	Zone when.Zone `json:"zone"`
	Base int       `json:"base"`
}

// DaySet adds or changes a day.
type DaySet struct {
	ID      DayID     `json:"id"`
	Name    string    `json:"name"`
	Date    when.Date `json:"date"`
	Zone    when.Zone `json:"zone"`
	Version int       `json:"version"`
}

func (a daySet) decide(d *deciding) *Refusal {
	was := d.s.Floor.Days[a.ID]
	next := DaySet{a.ID, a.Name, a.Date, a.Zone, was.Version + 1}
	if r := first(idCheck(a.ID), needed("name of the day", a.Name, 60), fresh("this day", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	if _, err := when.ParseDate(string(a.Date)); err != nil {
		return wrong(err)
	}
	if err := a.Zone.Check(); err != nil {
		return wrong(err)
	}
	if was.Version > 0 && (was.Date != a.Date || was.Zone != a.Zone) && (was.Published > 0 || d.s.dayHasTimes(a.ID)) {
		return refuse(CodeLocked, "This day already has meals or a published call sheet at its date. Make a new day instead.")
	}
	d.emit(next)
	return nil
}

// dayHasTimes tells whether instants were resolved against the day's date on
// the floor.
func (s *State) dayHasTimes(id DayID) bool {
	for _, m := range s.Floor.Meals {
		if m.Day == id {
			return true
		}
	}
	return false
}

func (DaySet) kind() string { return "day.set" }
func (DaySet) topic() Topic { return TopicFloor }
func (e DaySet) apply(s *State, _ Event) {
	day := s.Floor.Days[e.ID]
	day.ID, day.Name, day.Date, day.Zone, day.Version = e.ID, e.Name, e.Date, e.Zone, e.Version
	s.Floor.Days = with(s.Floor.Days, e.ID, day)
}

type personSet struct {
	ID         PersonID `json:"id"`
	Name       string   `json:"name"`
	Role       Role     `json:"role"`
	Department string   `json:"department"`
	Job        string   `json:"job"`
	Phone      string   `json:"phone"`
	Base       int      `json:"base"`
}

// PersonSet adds or changes a person; Epoch has grown when the role is another.
type PersonSet struct{ Person }

func (a personSet) decide(d *deciding) *Refusal {
	was := d.s.Floor.People[a.ID]
	next := Person{ID: a.ID, Name: a.Name, Role: a.Role, Department: a.Department, Job: a.Job, Phone: a.Phone,
		Revoked: was.Revoked, Withdrawn: was.Withdrawn, Epoch: was.Epoch, Version: was.Version + 1}
	if r := first(idCheck(a.ID), needed("name", a.Name, 80), text("department", a.Department, 60), text("job", a.Job, 60),
		text("phone number", a.Phone, 40), fresh("this person", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	if !a.Role.Valid() {
		return refuse(CodeBadArgs, "%q is not a role. Choose one of the list.", clip(string(a.Role)))
	}
	if was.Version > 0 && was.Role != a.Role {
		if r := d.keepsProducer(a.ID, a.Role == Producer); r != nil {
			return r
		}
		next.Epoch++
	}
	d.emit(PersonSet{next})
	return nil
}

// keepsProducer refuses to leave the shoot with nobody who may run it.
func (d *deciding) keepsProducer(p PersonID, stays bool) *Refusal {
	if stays || d.s.Floor.People[p].Role != Producer {
		return nil
	}
	for id, other := range d.s.Floor.People {
		if id != p && other.Role == Producer && !other.Revoked {
			return nil
		}
	}
	return refuse(CodeNotAllowed, "This is the only producer. Make somebody else a producer first.")
}

func (PersonSet) kind() string { return "person.set" }
func (PersonSet) topic() Topic { return TopicFloor }
func (e PersonSet) apply(s *State, _ Event) {
	s.Floor.People = with(s.Floor.People, e.ID, e.Person)
}

type personAccess struct {
	Person  PersonID `json:"person"`
	Revoked bool     `json:"revoked"`
}

// AccessChanged withdraws a person's access or gives it back.
type AccessChanged struct {
	Person  PersonID `json:"person"`
	Revoked bool     `json:"revoked"`
	Epoch   int      `json:"epoch"`
}

func (a personAccess) decide(d *deciding) *Refusal {
	was, ok := d.s.Floor.People[a.Person]
	if !ok {
		return unknown("person")
	}
	if was.Revoked == a.Revoked {
		return nil
	}
	if r := d.keepsProducer(a.Person, !a.Revoked); r != nil {
		return r
	}
	d.emit(AccessChanged{a.Person, a.Revoked, was.Epoch + 1})
	return nil
}

func (AccessChanged) kind() string { return "person.access" }
func (AccessChanged) topic() Topic { return TopicFloor }
func (e AccessChanged) apply(s *State, ev Event) {
	p := s.Floor.People[e.Person]
	p.Revoked, p.Epoch, p.Withdrawn = e.Revoked, e.Epoch, 0
	if e.Revoked {
		p.Withdrawn = ev.At
	}
	s.Floor.People = with(s.Floor.People, e.Person, p)
}

type setupSet struct {
	ID      SetupID `json:"id"`
	Name    string  `json:"name"`
	Minutes int     `json:"minutes"`
	Base    int     `json:"base"`
}

// SetupSet adds or changes a set-up.
type SetupSet struct{ Setup }

func (a setupSet) decide(d *deciding) *Refusal {
	was := d.s.Floor.Setups[a.ID]
	next := Setup{a.ID, a.Name, a.Minutes, was.Version + 1}
	if r := first(idCheck(a.ID), needed("name of the set-up", a.Name, 80), between("minutes of the change", a.Minutes, 0, 600),
		fresh("this set-up", a.Base, was.Version, next, was)); r != nil {
		return r
	}
	d.emit(SetupSet{next})
	return nil
}

func (SetupSet) kind() string { return "setup.set" }
func (SetupSet) topic() Topic { return TopicFloor }
func (e SetupSet) apply(s *State, _ Event) {
	s.Floor.Setups = with(s.Floor.Setups, e.ID, e.Setup)
}

type shotOrder struct {
	Day   DayID    `json:"day"`
	Order []ShotID `json:"order"`
	Base  int      `json:"base"`
}

// OrderSet is the new run of a day's shots.
type OrderSet struct {
	Day     DayID    `json:"day"`
	Order   []ShotID `json:"order"`
	Version int      `json:"version"`
	Was     []ShotID `json:"was,omitempty"`
}

func (a shotOrder) decide(d *deciding) *Refusal {
	day, ok := d.s.Floor.Days[a.Day]
	if !ok {
		return unknown("day")
	}
	seen := map[ShotID]bool{}
	for _, id := range a.Order {
		if s, ok := d.s.Floor.Shots[id]; !ok || s.Day != a.Day || seen[id] {
			return refuse(CodeBadArgs, "That order names a shot twice or one of another day. Reload and order them again.")
		}
		seen[id] = true
	}
	if a.Base != day.OrderVersion {
		r := refuse(CodeStale, "Somebody changed the order meanwhile. Look at both and choose.")
		r.Yours, r.Theirs = d.s.numbers(a.Order), d.s.numbers(day.Order)
		return r
	}
	if slices.Equal(a.Order, day.Order) {
		return nil
	}
	d.emit(OrderSet{a.Day, a.Order, day.OrderVersion + 1, day.Order})
	return nil
}

// numbers writes an order as people read it: "1, 3, 2A".
func (s *State) numbers(order []ShotID) string {
	var out string
	for i, id := range order {
		if i > 0 {
			out += ", "
		}
		out += s.Floor.Shots[id].Number
	}
	return out
}

func (OrderSet) kind() string { return "shot.order" }
func (OrderSet) topic() Topic { return TopicFloor }
func (e OrderSet) apply(s *State, _ Event) {
	day := s.Floor.Days[e.Day]
	day.Order, day.OrderVersion, day.OrderWas = e.Order, e.Version, e.Was
	s.Floor.Days = with(s.Floor.Days, e.Day, day)
}
