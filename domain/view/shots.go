package view

import (
	"cmp"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/when"
)

// run lists a day's shots in its order; those that are not in it come last.
func (m *maker) run(day shoot.Day) []shoot.Shot {
	place := map[shoot.ShotID]int{}
	for i, id := range day.Order {
		place[id] = i + 1
	}
	at := func(id shoot.ShotID) int { return cmp.Or(place[id], len(day.Order)+1) }
	var out []shoot.Shot
	for _, shot := range m.s.Floor.Shots {
		if shot.Day == day.ID {
			out = append(out, shot)
		}
	}
	sorting.By(out, func(a, b shoot.Shot) int {
		return cmp.Or(cmp.Compare(at(a.ID), at(b.ID)), natural(a.Number, b.Number), cmp.Compare(a.ID, b.ID))
	})
	return out
}

func (m *maker) shots() *Shots {
	run := m.run(m.day)
	out := &Shots{Day: m.head(), Counts: m.shotCounts(run)}
	var up []string
	for _, shot := range run {
		if isUp(shot) {
			up = append(up, shot.Number)
		}
	}
	left := false
	may := m.move("", run, 0, false)
	for i, shot := range run {
		card := m.shotCard(run, i, up, may)
		setup := m.s.Floor.Setups[shot.Setup]
		if n := len(out.Groups); n == 0 || run[i-1].Setup != shot.Setup {
			g := SetupGroup{Key: string(shot.ID), Setup: setup.Name, Change: lasts(int64(setup.Minutes)) + " to change over"}
			if setup.Minutes == 0 {
				g.Change = "no time to change over"
			}
			out.Groups = append(out.Groups, g)
		}
		g := &out.Groups[len(out.Groups)-1]
		g.Shots = append(g.Shots, card)
		switch {
		case isUp(shot):
			out.Now = append(out.Now, card)
		case shot.Progress == shoot.Planned:
			left = true
			if len(out.Next) == 0 && len(m.holds(shot)) == 0 {
				out.Next = append(out.Next, card)
			}
		}
	}
	if len(out.Now) == 0 {
		out.NowSay = "Nothing is up."
	}
	switch {
	case len(run) == 0:
		out.NextSay = "This day has no shots yet."
	case !left:
		out.NextSay = "No shot is left to open."
	case len(out.Next) == 0:
		out.NextSay = "Every shot that is left is held."
		if m.seesHeroes() {
			out.NextSay += " See the Heroes screen for what is missing."
		}
	}
	return out
}

func isUp(shot shoot.Shot) bool {
	return shot.Progress == shoot.Open || shot.Progress == shoot.Shooting
}

func (m *maker) shotCounts(run []shoot.Shot) string {
	var captured, held, queried, cut int
	for _, shot := range run {
		switch {
		case shot.Progress == shoot.Captured:
			captured++
		case shot.Progress == shoot.Queried:
			queried++
		case shot.Progress == shoot.Cut:
			cut++
		case shot.Progress == shoot.Planned && len(m.holds(shot)) > 0:
			held++
		}
	}
	words := []string{itoa(captured) + " of " + itoa(len(run)-cut) + " captured", itoa(held) + " held"}
	if queried > 0 {
		words = append(words, itoa(queried)+" queried")
	}
	if cut > 0 {
		words = append(words, itoa(cut)+" cut")
	}
	return strings.Join(words, ", ")
}

// holds is the gate, with a word for a hero that this phone does not know: what
// is not known never looks like yes.
func (m *maker) holds(shot shoot.Shot) []string {
	for _, id := range shot.Heroes {
		if _, known := m.s.Floor.Heroes[id]; !known {
			return []string{"a hero of this shot is not known on this phone"}
		}
	}
	return m.s.Gate(shot, m.c.Now)
}

func (m *maker) shotMark(shot shoot.Shot) Mark {
	switch shot.Progress {
	case shoot.Open:
		return Mark{"Open", ShapeHalfDisc, ToneWarn}
	case shoot.Shooting:
		return Mark{"Shooting", ShapeDisc, ToneWarn}
	case shoot.Captured:
		return Mark{"Captured", ShapeSquare, ToneGood}
	case shoot.Queried:
		return Mark{"Queried", ShapeDiamond, ToneStop}
	case shoot.Cut:
		return Mark{"Cut", ShapeSlash, ToneCalm}
	}
	if len(m.holds(shot)) > 0 {
		return Mark{"Held", ShapeBar, ToneStop}
	}
	return Mark{"Ready", ShapeRing, ToneCalm}
}

func (m *maker) shotCard(run []shoot.Shot, i int, up []string, may Action) Shot {
	shot := run[i]
	out := Shot{ID: string(shot.ID), Number: shot.Number, Title: shot.Title, Setup: m.s.Floor.Setups[shot.Setup].Name,
		Priority: priority(shot.Priority), Minutes: lasts(int64(shot.Minutes)) + " planned", Crop: shot.Crop, Mark: m.shotMark(shot),
		Why: m.shotWhy(shot), Times: m.shotTimes(shot), Frames: shot.Frames, Fallback: shot.Fallback, OnFallback: shot.OnFallback,
		Notes: shot.Notes, ToHeroes: m.seesHeroes(), Actions: m.shotActions(shot, up), Order: m.shotMoves(run, i, may)}
	for _, id := range shot.Heroes {
		h, known := m.s.Floor.Heroes[id]
		if !known {
			out.Heroes = append(out.Heroes, ShotHero{string(id), "A hero", Mark{"Not known", ShapeHexagonLine, ToneStop}})
			continue
		}
		st := h.StandingAt(m.c.Now)
		out.Heroes = append(out.Heroes, ShotHero{string(id), h.Name, m.heroMark(h, st)})
	}
	for _, p := range shot.Talent {
		out.Talent = append(out.Talent, m.who(p))
	}
	if shot.Approved != 0 {
		out.Approved = "Approved " + m.clock(shot.Approved) + " by " + m.who(shot.ApprovedBy)
	}
	return out
}

func priority(p shoot.Priority) string {
	switch p {
	case shoot.Must:
		return "Must have"
	case shoot.Want:
		return "Wanted"
	case shoot.Spare:
		return "If time allows"
	}
	return string(p)
}

// shotWhy says what stands in a shot's way or speaks against it.
func (m *maker) shotWhy(shot shoot.Shot) []string {
	var out []string
	switch shot.Progress {
	case shoot.Planned:
		for _, hold := range m.holds(shot) {
			out = append(out, sentence(hold))
		}
	case shoot.Open, shoot.Shooting:
		for _, hold := range m.holds(shot) {
			out = append(out, sentence(hold)+" A capture now is kept, but queried.")
		}
	case shoot.Queried:
		for _, q := range m.openQueries() {
			if q.Kind == shoot.QueryCapture && q.Shot == shot.ID {
				out = append(out, sentence(q.Against.Text)+" The art director or the producer settles it.")
			}
		}
	}
	return out
}

func (m *maker) shotTimes(shot shoot.Shot) []string {
	var out []string
	for i, sp := range shot.Spans {
		out = append(out, "opened "+m.clock(sp.From))
		switch {
		case sp.To == 0:
			out = append(out, "up for "+lasts(max(when.Minutes(sp.From, m.c.Now), 0)))
		case i < len(shot.Spans)-1 || shot.Captured == 0:
			out = append(out, "stood down "+m.clock(sp.To))
		}
	}
	if shot.Started != 0 {
		out = append(out, "first frame "+m.clock(shot.Started))
	}
	if shot.Captured != 0 {
		out = append(out, "captured "+m.clock(shot.Captured)+" by "+m.whoAt(shot.CapturedBy, shot.Captured))
	}
	return out
}

// shotActions are the buttons that go with how far the shot has come.
func (m *maker) shotActions(shot shoot.Shot, up []string) []Action {
	n, it := shot.Number, fields{"shot": shot.ID}
	capture := m.action("Captured", "shot.capture", it)
	frames := m.entry("Note frames", "shot.frames", it, Form{Title: "Frames of shot " + n, Submit: "Keep",
		Fields: []Field{{Key: "frames", Label: "File or frame numbers", Kind: KindText, Value: shot.Frames, As: AsText}}})
	back := m.action("Put back to planned", "shot.reset", fields{"shot": shot.ID, "was": shot.Progress})
	cut := m.action("Cut", "shot.cut", it).confirm(ask("Cut shot %s? It can be put back.", n)).danger()

	var out []Action
	switch shot.Progress {
	case shoot.Planned:
		open := m.action("Open", "shot.open", it)
		if why := m.holds(shot); len(why) > 0 && open.Enabled {
			open = open.off(sentence("held: " + strings.Join(why, "; ")))
		}
		if len(up) > 0 {
			open = open.confirm(ask("Shot %s is up. Open shot %s as well?", list(up), n))
		}
		capture.Label = "Report a capture"
		m.offer(&out, open, m.fallback(shot), cut,
			capture.confirm(ask("Shot %s is not open. The capture is kept, but queried, and has to be settled. Report it?", n)).danger())
		m.offer(&out, m.bonds(shot)...)
	case shoot.Open, shoot.Shooting:
		if shot.Started == 0 {
			m.offer(&out, m.action("First frame", "shot.start", it))
		}
		m.offer(&out, capture, frames, m.fallback(shot), back.confirm(ask("Put shot %s back to planned?", n)), cut)
	case shoot.Captured:
		if shot.Approved == 0 {
			m.offer(&out, m.action("Approve", "shot.approve", it))
		}
		m.offer(&out, frames, back.confirm(ask("Put shot %s back to planned? The time of its capture is lost.", n)).danger())
	case shoot.Queried:
		m.offer(&out, frames)
	case shoot.Cut:
		m.offer(&out, back)
	}
	return out
}

// fallback takes a shot's fallback idea, or the first one again.
func (m *maker) fallback(shot shoot.Shot) Action {
	switch {
	case shot.OnFallback:
		return m.action("Back to the first idea", "shot.fallback", fields{"shot": shot.ID, "on": false})
	case shot.Fallback == "":
		return Action{} // there is none to take
	}
	return m.action("Take the fallback", "shot.fallback", fields{"shot": shot.ID, "on": true}).
		confirm(ask("Make shot %s after its fallback: %s", shot.Number, sentence(shot.Fallback)))
}

// shotMoves moves a shot one place in the order. Whether the order may be changed
// is the same for all of them.
func (m *maker) shotMoves(run []shoot.Shot, i int, may Action) []Action {
	up, down := m.leave("Move up", "shot.order", later{Shot: run[i].ID, Up: true}), m.leave("Move down", "shot.order", later{Shot: run[i].ID})
	for _, a := range []*Action{&up, &down} {
		a.Enabled, a.Why = may.Enabled, may.Why
	}
	if i == 0 {
		up = up.off("It is the first already.")
	}
	if i == len(run)-1 {
		down = down.off("It is the last already.")
	}
	var out []Action
	m.offer(&out, up, down)
	return out
}
