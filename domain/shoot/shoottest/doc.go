// Package shoottest makes edits as people on a shoot make them: mostly sensible,
// from what their own phone shows, and sometimes not. There is one generator for
// each intent, which generated days and simulated people share. It is for tests and
// the simulation alone.
package shoottest

import (
	"cmp"
	"slices"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// Chance is where somebody's choices come from.
type Chance interface {
	Below(n int) int // from 0 to n-1
}

// Somebody enters edits.
type Somebody struct {
	Sees   *shoot.State // what is on their screen
	Me     shoot.PersonID
	Now    when.Instant
	Chance Chance
}

// set are arguments by name.
type set map[string]any

// generator makes the arguments of one intent. Often is how often it is chosen
// beside the others; where due is given and says no, it is 1.
type generator struct {
	often int
	args  func(p *Somebody) set
	due   func(p *Somebody) bool
}

// Has tells whether there is a generator for an intent.
func Has(name string) bool { return generators[name].args != nil }

// Names lists the intents that there are generators for.
func Names() []string { return sorting.Keys(generators) }

// Args makes arguments for an intent that there is a generator for.
func (p *Somebody) Args(name string) any { return generators[name].args(p) }

// Choose picks an intent that some role may send, the common ones more often; with
// none it picks from all.
func (p *Somebody) Choose(role shoot.Role) string {
	names := slices.DeleteFunc(Names(), func(name string) bool { return role != "" && !shoot.MaySend(role, name) })
	var often []int
	sum := 0
	for _, name := range names {
		n := generators[name].often
		if due := generators[name].due; due != nil && !due(p) {
			n = 1
		}
		often, sum = append(often, n), sum+n
	}
	at := p.Chance.Below(sum)
	for i, name := range names {
		if at -= often[i]; at < 0 {
			return name
		}
	}
	return names[0]
}

// often says in so many of a hundred cases.
func (p *Somebody) often(percent int) bool { return p.Chance.Below(100) < percent }

func (p *Somebody) number(least, most int) int { return least + p.Chance.Below(most-least+1) }

func one[T any](p *Somebody, of ...T) T { return of[p.Chance.Below(len(of))] }

// clock is a time of a working day.
func (p *Somebody) clock() when.Clock { return when.Clock(15 * p.number(28, 80)) }

// fresh makes the id of something new.
func (p *Somebody) fresh() string {
	var random [10]byte
	for i := range random {
		random[i] = byte(p.Chance.Below(256))
	}
	return shoot.NewID(p.Now, random)
}

// any gives some row's id; one that does not exist where there is none, and now and
// then though there is.
func anyOf[K ~string, V any](p *Somebody, rows map[K]V, fits func(V) bool) K {
	var ids []K
	for _, id := range sorting.Keys(rows) {
		if fits == nil || fits(rows[id]) {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 || p.often(2) {
		return K(p.fresh())
	}
	return one(p, ids...)
}

// edited is a row to change, or a new one, with the version that the edit is based on;
// a tenth are based on an old one.
func edited[K ~string, V any](p *Somebody, rows map[K]V, newOnes int, version func(V) int) (K, V, int) {
	var none V
	if p.often(newOnes) || len(rows) == 0 {
		return K(p.fresh()), none, 0
	}
	id := anyOf(p, rows, nil)
	return id, rows[id], p.base(version(rows[id]))
}

func (p *Somebody) base(version int) int {
	if p.often(10) {
		return max(0, version-1)
	}
	return version
}

func (p *Somebody) day() shoot.DayID { return anyOf(p, p.Sees.Floor.Days, nil) }

// today is the day that has most to it: the first.
func (p *Somebody) today() shoot.DayID {
	days := p.Sees.DaysInOrder()
	if len(days) == 0 || p.often(5) {
		return p.day()
	}
	return slices.MinFunc(days, func(a, b shoot.Day) int { return cmp.Compare(a.ID, b.ID) }).ID
}
func (p *Somebody) shot() shoot.ShotID     { return anyOf(p, p.Sees.Floor.Shots, nil) }
func (p *Somebody) hero() shoot.HeroID     { return anyOf(p, p.Sees.Floor.Heroes, nil) }
func (p *Somebody) meal() shoot.MealID     { return anyOf(p, p.Sees.Floor.Meals, nil) }
func (p *Somebody) person() shoot.PersonID { return anyOf(p, p.Sees.Floor.People, nil) }

// other is anybody else.
func (p *Somebody) other() shoot.PersonID {
	return anyOf(p, p.Sees.Floor.People, func(o shoot.Person) bool { return o.ID != p.Me })
}

// whose is mostly one's own.
func (p *Somebody) whose() shoot.PersonID {
	if p.often(25) {
		return p.person()
	}
	return p.Me
}

// at is a shot in some progress.
func (p *Somebody) at(progress ...shoot.Progress) shoot.ShotID {
	if p.often(20) {
		return p.shot()
	}
	return anyOf(p, p.Sees.Floor.Shots, func(s shoot.Shot) bool { return slices.Contains(progress, s.Progress) })
}

// note is what people write beside something, mostly nothing.
func (p *Somebody) note() string {
	return one(p, "", "", "the courier is late", "dropped", "as said on the phone")
}
