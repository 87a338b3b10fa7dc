package sim

import (
	"sync"

	"fairday/domain/shoot"
	"fairday/domain/shoot/shoottest"
)

// idea is what the person at the phone enters next: most of it makes sense for
// their role and for what their phone shows, and some of it does not.
func (p *phone) idea() (name string, args any) {
	role := p.r.Audience().Role
	if role == "" {
		role = allRole[p.n%People]
	}
	if p.chance.Chance(30) {
		role = "" // tries what is not theirs to do
	}
	sees := p.r.State()
	if sees == nil {
		sees = planned() // they know the call sheet on paper
	}
	who := &shoottest.Somebody{Sees: sees, Me: p.person, Now: p.clock(), Chance: p.chance}
	for {
		name := who.Choose(role)
		args := who.Args(name)
		if !servers[shoot.Target(name, Args(args))] {
			return name, args
		}
	}
}

// servers are the rows that only the server edits in a run: the count of the covers, and
// what its edits about money are built on, so that two runs can differ in these and in
// nothing else.
var servers = map[string]bool{"covers": true, "currency": true, "terms:" + string(Person(2)): true}

// planned is the shoot as the plan has it.
var planned = sync.OnceValue(func() *shoot.State {
	s := shoot.New()
	for _, e := range Plan() {
		d, err := shoot.Decide(s, shoot.Intent{ID: e.ID, Name: e.Name, Version: e.Version, Args: e.Args, Actor: shoot.Desk, Happened: Start, Received: Start})
		if err != nil { // TestPlanIsAccepted
			panic(err)
		}
		for _, ev := range d.Events {
			shoot.Apply(s, ev)
		}
	}
	return s.For(shoot.Audience{Role: shoot.Crew})
})
