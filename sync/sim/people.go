package sim

import (
	"fmt"

	"fairday/domain/shoot"
)

// idea is what the person at the phone enters next: most of it makes sense for
// their role, and some of it does not.
func (p *phone) idea() (name string, args any) {
	role := p.r.Audience().Role
	if role == "" {
		role = allRole[p.n%People]
	}
	shot, hero := shots[p.chance.Below(len(shots))], p.chance.Below(len(heroes))
	onShot := Set{"shot": shot}
	if p.chance.Chance(150) {
		return p.anyone()
	}
	switch role {
	case shoot.Producer:
		return p.pick(idea{"shot.open", onShot}, idea{"query.settle", p.settle()}, idea{"meal.guests", Set{"meal": meal, "delta": 1}},
			idea{"terms.set", Set{"person": Person(3), "base": 0, "terms": Set{}}}, idea{"setup.set", Set{"id": setups[0], "name": "Set", "minutes": p.chance.Below(30), "base": 1}},
			idea{"sheet.publish", Set{"day": day, "number": p.published() + 1}}, p.share(), p.share(), p.ask(), p.answer())
	case shoot.ArtDirector:
		return p.pick(idea{"shot.open", onShot}, idea{"shot.open", onShot}, idea{"shot.cut", onShot}, idea{"shot.reset", Set{"shot": shot, "was": p.progress(shot)}},
			idea{"shot.fallback", Set{"shot": shot, "on": p.chance.Chance(500)}}, idea{"query.settle", p.settle()}, idea{"shot.capture", p.capture(shot)}, p.ask(),
			idea{"pause.start", Set{"day": day, "why": "a cable"}}, idea{"pause.end", Set{"day": day}}, idea{"shot.wishes", Set{"shot": shot, "after": shots[:1]}},
			idea{"call.set", Set{"day": day, "person": Person(8), "call": "08:30", "was": "08:00"}})
	case shoot.Photographer, shoot.Digitech:
		return p.pick(idea{"shot.start", onShot}, idea{"shot.capture", p.capture(shot)}, idea{"shot.frames", p.capture(shot)})
	case shoot.PropStylist, shoot.FoodStylist:
		note := Set{"hero": heroes[hero], "note": "dropped"}
		return p.pick(p.read(hero), p.read(hero), p.read(hero), idea{"hero.swap", note}, idea{"hero.away", note}, idea{"hero.back", Set{"hero": heroes[hero]}})
	case shoot.Client:
		return p.pick(p.read(hero), p.read(hero), idea{"hero.refuse", Set{"hero": heroes[hero], "note": "wrong shade"}}, idea{"shot.approve", onShot}, p.answer())
	case shoot.Caterer:
		onMeal := Set{"meal": meal}
		return p.pick(idea{"meal.guests", Set{"meal": meal, "delta": 1}}, idea{"meal.count", onMeal}, idea{"meal.start", onMeal},
			idea{"meal.serve", Set{"meal": meal, "delta": 2}}, idea{"meal.end", onMeal})
	}
	return p.anyone()
}

type idea struct {
	name string
	args any
}

func (p *phone) pick(all ...idea) (string, any) {
	i := all[p.chance.Below(len(all))]
	return i.name, i.args
}

// anyone is what everybody may do.
func (p *phone) anyone() (string, any) {
	kinds := []shoot.MarkKind{shoot.MarkIn, shoot.MarkOut, shoot.MarkMealOut, shoot.MarkMealIn}
	diets := []string{"vegan", "vegetarian"}
	return p.pick(
		idea{"punch", Set{"day": day, "people": []shoot.PersonID{p.person}, "kind": kinds[p.chance.Below(len(kinds))]}},
		idea{"sheet.seen", Set{"day": day, "number": 1}},
		p.ownHours(), p.ownPay(),
		idea{"diet.set", Set{"person": p.person, "kind": diets[p.chance.Below(len(diets))], "allergens": []string{}}})
}

func (p *phone) read(hero int) idea {
	plate := plates[hero]
	if p.chance.Chance(150) {
		plate.Serial, plate.Designation = "0000", "KT-9"
	}
	return idea{"hero.read", Set{"hero": heroes[hero], "plate": plate, "checked": []string{}}}
}

func (p *phone) capture(s shoot.ShotID) Set {
	return Set{"shot": s, "frames": fmt.Sprint(p.chance.Below(1000))}
}

func (p *phone) progress(s shoot.ShotID) shoot.Progress {
	if st := p.r.State(); st != nil {
		return st.Floor.Shots[s].Progress
	}
	return shoot.Planned
}

func (p *phone) published() int {
	if st := p.r.State(); st != nil {
		return st.Floor.Days[day].Published
	}
	return 1
}

// settle rules on some open query, or on one that does not exist.
func (p *phone) settle() Set {
	best := shoot.QueryID(ID(0xdead))
	if st := p.r.State(); st != nil {
		for id, q := range st.Floor.Queries {
			if q.Ruling == "" && (best == shoot.QueryID(ID(0xdead)) || id < best) {
				best = id
			}
		}
	}
	return Set{"query": best, "ruling": shoot.Keep, "note": ""}
}
