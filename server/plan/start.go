package plan

import (
	"encoding/json"
	"errors"
	"io"
	"unicode/utf8"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// Start is what somebody says who starts a shoot without a plan file. Days follow each
// other; whatever else a shoot needs is entered on it.
type Start struct {
	Title, Client  string
	First          when.Date // of Days days
	Days           int
	Zone           when.Zone
	Place, Address string
	Call, Wrap     when.Clock // general call and planned wrap of each day
	Currency       money.Currency
	Producer       string       // the name of who runs it; "" where somebody who comes along does
	Like           *shoot.State // an earlier shoot to take over from, nil for none
	Terms          bool         // the terms of its people come along
}

// MostDays is how many days a shoot may be started with.
const MostDays = maxDays

// mostClient is what the rules take as a client's name, in characters.
const mostClient = 120

// Fault is one thing to put right in a Start.
type Fault struct {
	Field string // as Start names it, in small letters
	Say   string // for a person, with what to do next
}

// Plan turns a start into intents, as Load does with a file. Who comes along from an
// earlier shoot is in keys of the answer's people: their id there.
func (s Start) Plan(now when.Instant, random io.Reader) (Plan, []Fault) {
	m := &maker{s: shoot.New(), now: now, tick: now, random: random}
	for _, f := range s.faults() {
		m.wrong(f.Field, f.Say)
	}
	field := "title"
	if utf8.RuneCountInString(s.Client) > mostClient {
		field = "client"
	}
	m.do(field, "shoot.set", args{"title": s.Title, "client": s.Client})
	m.do("currency", "currency.set", args{"currency": s.Currency})
	if s.Producer != "" {
		m.person("producer", "", args{"name": s.Producer, "role": shoot.Producer, "department": "", "job": "", "phone": ""})
	}
	if s.Like != nil {
		m.like(s.Like, s.Terms)
	}
	if s.days() { // else it was told
		m.days(s)
	}
	if len(m.faults) == 0 && !m.produced {
		m.wrong("producer", "Nobody would be the producer. Write who runs the shoot.")
	}
	if m.fault != nil {
		m.wrong("", "No ids could be made. Try again.")
	}
	if len(m.faults) > 0 {
		return Plan{}, m.faults
	}
	m.plan.Title = s.Title
	return m.plan, nil
}

// days tells whether the days can be made.
func (s Start) days() bool {
	return s.First.Valid() && s.Days >= 1 && s.Days <= MostDays && s.Zone.Check() == nil && s.Place != "" && s.Call < s.Wrap
}

// faults finds what no intent would say as well.
func (s Start) faults() (out []Fault) {
	add := func(bad bool, field, say string) {
		if bad {
			out = append(out, Fault{field, say})
		}
	}
	add(!s.First.Valid(), "first", "Choose the date of the first shoot day.")
	add(s.Days < 1 || s.Days > MostDays, "days", "A shoot is started with 1 to 14 days. More can be added on it.")
	add(s.Zone == "", "zone", "Choose the time zone of the place.")
	add(s.Zone != "" && s.Zone.Check() != nil, "zone", "“"+clip(string(s.Zone))+"” is no time zone. Choose one from the list.")
	add(s.Place == "", "place", "Write where it is shot. It can be changed until the call sheet is published.")
	add(s.Call >= s.Wrap, "wrap", "The planned wrap must be later than the general call.")
	if s.Like != nil && s.Terms && s.Like.Money != nil {
		earlier := s.Like.Money.Currency
		add(len(s.Like.Money.Terms) > 0 && earlier != s.Currency, "currency",
			"The terms of the earlier shoot are in "+string(earlier)+". Choose that currency, or leave the terms behind.")
	}
	return out
}

// maker makes the intents of a start, deciding each as the desk will.
type maker struct {
	s        *shoot.State
	now      when.Instant
	tick     when.Instant
	random   io.Reader
	fault    error // of random
	plan     Plan
	faults   []Fault
	produced bool // somebody is the producer
}

func (m *maker) wrong(field, say string) { m.faults = append(m.faults, Fault{field, say}) }

func (m *maker) newID() string {
	var b [10]byte
	if _, err := io.ReadFull(m.random, b[:]); err != nil && m.fault == nil {
		m.fault = err
	}
	m.tick++
	return shoot.NewID(m.tick, b)
}

// do decides an intent; a refusal is told beside its field, unless the field has one.
func (m *maker) do(field, name string, args any) {
	raw, err := json.Marshal(args)
	if err != nil {
		m.wrong(field, "That could not be written down. Enter it again.")
		return
	}
	in := shoot.Intent{ID: shoot.IntentID(m.newID()), Name: name, Version: shoot.Version(name), Args: raw,
		Actor: shoot.Desk, Happened: m.now, Received: m.now}
	dec, err := shoot.Decide(m.s, in)
	if err != nil {
		say := err.Error()
		if r := (*shoot.Refusal)(nil); errors.As(err, &r) {
			say = r.Say
		}
		m.wrong(field, say)
		return
	}
	for _, e := range dec.Events {
		shoot.Apply(m.s, e)
	}
	m.plan.Intents = append(m.plan.Intents, in)
}

// person makes somebody; key is what whoever asked knows them by.
func (m *maker) person(field, key string, row args) shoot.PersonID {
	id := shoot.PersonID(m.newID())
	row["id"] = id
	m.do(field, "person.set", row)
	who := m.s.Floor.People[id]
	m.plan.People = append(m.plan.People, Person{ID: id, Name: who.Name, Role: who.Role, Key: key})
	m.produced = m.produced || who.Role == shoot.Producer
	return id
}

// days makes the days, each with the draft of its call sheet.
func (m *maker) days(s Start) {
	for n := range s.Days {
		id := m.newID()
		m.do("first", "day.set", args{"id": id, "name": "Day " + itoa(n+1), "date": s.First.Add(n), "zone": s.Zone})
		m.do("place", "sheet.set", args{"day": id, "place": shoot.Place{Name: s.Place, Address: s.Address},
			"generalCall": s.Call, "plannedWrap": s.Wrap, "emergency": "", "safety": "", "notes": ""})
		if s.Like != nil {
			m.meals(s.Like, n, shoot.DayID(id))
		}
		if len(m.faults) > 0 {
			return
		}
	}
}
