package sim

import (
	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// ownHours is what somebody says of their own hours, as their phone shows them.
func (p *phone) ownHours() idea {
	var seen []shoot.Stamp
	if st := p.r.State(); st != nil {
		seen = st.Floor.Hours[shoot.KeyOf(day, p.person)].Stamps()
	}
	switch n := len(seen); {
	case n > 0 && p.chance.Chance(300):
		return idea{"punch.undo", Set{"day": day, "person": p.person, "kind": seen[n-1].Kind, "at": seen[n-1].At}}
	case p.chance.Chance(300):
		return idea{"hours.dispute", Set{"day": day, "seen": seen, "say": "I left later."}}
	}
	return idea{"hours.sign", Set{"day": day, "seen": seen}}
}

// ownPay is what somebody says of their own pay; for most it is not shared.
func (p *phone) ownPay() idea {
	var row shoot.Pay
	if st := p.r.State(); st != nil {
		row = st.Pay[shoot.KeyOf(day, p.person)]
	}
	if p.chance.Chance(300) {
		return idea{"pay.dispute", Set{"day": day, "seen": max(row.Version, 1), "say": "Lunch was short."}}
	}
	total := money.Of(1, "EUR")
	if row.Slip != nil {
		total = row.Slip.Total
	}
	return idea{"pay.sign", Set{"day": day, "seen": max(row.Version, 1), "total": total}}
}

// share shows people their own pay, or no longer, or answers what they say of it.
func (p *phone) share() idea {
	whose := Person(2 + p.chance.Below(2)) // of those who have terms
	if p.chance.Chance(200) {
		return idea{"pay.settle", Set{"day": day, "person": whose, "answer": "I look at it."}}
	}
	return idea{"pay.share", Set{"day": day, "people": []shoot.PersonID{whose}, "on": p.chance.Chance(700)}}
}

// asked is the ask that waits, or the next that could be made.
func (p *phone) asked() shoot.Ask {
	n := 0
	if st := p.r.State(); st != nil {
		for ; ; n++ {
			ask, there := st.Asks[shoot.AskID(ID(0x3000+n))]
			if there && ask.Reply == "" {
				return ask
			}
			if !there {
				break
			}
		}
	}
	return shoot.Ask{ID: shoot.AskID(ID(0x3000 + n))}
}

func (p *phone) ask() idea {
	a := p.asked()
	if p.chance.Chance(200) {
		return idea{"overtime.unask", Set{"ask": a.ID}}
	}
	return idea{"overtime.ask", Set{"id": a.ID, "day": day, "until": Start + 13*when.Hour, "note": "the soup", "base": a.Version}}
}

func (p *phone) answer() idea {
	a := p.asked()
	return idea{"overtime.answer", Set{"ask": a.ID, "base": a.Version, "approve": p.chance.Chance(500), "note": ""}}
}
