package day

import (
	"fmt"
	"strings"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/when"
)

func (m *maker) shots() *Shots {
	run := m.Run(m.Day)
	out := &Shots{Day: m.Head(), Counts: m.shotCounts(run)}
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
		setup := m.State.Floor.Setups[shot.Setup]
		if n := len(out.Groups); n == 0 || run[i-1].Setup != shot.Setup {
			g := SetupGroup{Key: string(shot.ID), Setup: setup.Name, Change: view.Lasts(int64(setup.Minutes)) + " to change over"}
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
			if len(out.Next) == 0 && len(m.Holds(shot)) == 0 {
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
		case shot.Progress == shoot.Planned && len(m.Holds(shot)) > 0:
			held++
		}
	}
	words := []string{view.Itoa(captured) + " of " + view.Itoa(len(run)-cut) + " captured", view.Itoa(held) + " held"}
	if queried > 0 {
		words = append(words, view.Itoa(queried)+" queried")
	}
	if cut > 0 {
		words = append(words, view.Itoa(cut)+" cut")
	}
	return strings.Join(words, ", ")
}

func (m *maker) shotCard(run []shoot.Shot, i int, up []string, may view.Action) Shot {
	shot := run[i]
	out := Shot{ID: string(shot.ID), Number: shot.Number, Title: shot.Title, Setup: m.State.Floor.Setups[shot.Setup].Name,
		Priority: view.Priority(shot.Priority), Minutes: view.Lasts(int64(shot.Minutes)) + " planned", Crop: shot.Crop, Mark: m.ShotMark(shot),
		Why: m.shotWhy(shot), Times: m.shotTimes(shot), Frames: shot.Frames, Fallback: shot.Fallback, OnFallback: shot.OnFallback,
		Notes: shot.Notes, ToHeroes: m.seesHeroes(), Actions: m.shotActions(shot, up), Order: m.shotMoves(run, i, may)}
	for _, id := range shot.Heroes {
		h, known := m.State.Floor.Heroes[id]
		if !known {
			out.Heroes = append(out.Heroes, ShotHero{string(id), "A hero", view.Mark{Word: "Not known", Shape: view.ShapeHexagonLine, Tone: view.ToneStop}})
			continue
		}
		st := h.StandingAt(m.c.Now)
		out.Heroes = append(out.Heroes, ShotHero{string(id), h.Name, m.heroMark(h, st)})
	}
	for _, p := range shot.Talent {
		out.Talent = append(out.Talent, m.Who(p))
	}
	if shot.Approved != 0 {
		out.Approved = "Approved " + m.Clock(shot.Approved) + " by " + m.Who(shot.ApprovedBy)
	}
	return out
}

// shotWhy says what stands in a shot's way or speaks against it.
func (m *maker) shotWhy(shot shoot.Shot) []string {
	var out []string
	switch shot.Progress {
	case shoot.Planned:
		for _, hold := range m.Holds(shot) {
			out = append(out, view.Sentence(hold))
		}
	case shoot.Open, shoot.Shooting:
		for _, hold := range m.Holds(shot) {
			out = append(out, view.Sentence(hold)+" A capture now is kept, but queried.")
		}
	case shoot.Queried:
		for _, q := range m.openQueries() {
			if q.Kind == shoot.QueryCapture && q.Shot == shot.ID {
				out = append(out, view.Sentence(q.Against.Text)+" The art director or the producer settles it.")
			}
		}
	}
	return out
}

func (m *maker) shotTimes(shot shoot.Shot) []string {
	var out []string
	for i, sp := range shot.Spans {
		out = append(out, "opened "+m.Clock(sp.From))
		switch {
		case sp.To == 0:
			out = append(out, "up for "+view.Lasts(max(when.Minutes(sp.From, m.c.Now), 0)))
		case i < len(shot.Spans)-1 || shot.Captured == 0:
			out = append(out, "stood down "+m.Clock(sp.To))
		}
	}
	if shot.Started != 0 {
		out = append(out, "first frame "+m.Clock(shot.Started))
	}
	if shot.Captured != 0 {
		out = append(out, "captured "+m.Clock(shot.Captured)+" by "+m.WhoAt(shot.CapturedBy, shot.Captured))
	}
	return out
}

// shotActions are the buttons that go with how far the shot has come.
func (m *maker) shotActions(shot shoot.Shot, up []string) []view.Action {
	n, it := shot.Number, view.Fields{"shot": shot.ID}
	capture := m.Action("Captured", "shot.capture", it)
	frames := m.Entry("Note frames", "shot.frames", it, view.Form{Title: "Frames of shot " + n, Submit: "Keep",
		Fields: []view.Field{{Key: "frames", Label: "File or frame numbers", Kind: view.KindText, Value: shot.Frames, As: view.AsText}}})
	back := m.Action("Put back to planned", "shot.reset", view.Fields{"shot": shot.ID, "was": shot.Progress})
	cut := m.Action("Cut", "shot.cut", it).Confirming(fmt.Sprintf("Cut shot %s? It can be put back.", n)).Dangerous()

	var out []view.Action
	switch shot.Progress {
	case shoot.Planned:
		open := m.Action("Open", "shot.open", it)
		if why := m.Holds(shot); len(why) > 0 && open.Enabled {
			open = open.Off(view.Sentence("held: " + strings.Join(why, "; ")))
		}
		if len(up) > 0 {
			open = open.Confirming(fmt.Sprintf("Shot %s is up. Open shot %s as well?", view.List(up), n))
		}
		capture.Label = "Report a capture"
		m.Offer(&out, open, m.fallback(shot), cut,
			capture.Confirming(fmt.Sprintf("Shot %s is not open. The capture is kept, but queried, and has to be settled. Report it?", n)).Dangerous())
		m.Offer(&out, m.bonds(shot)...)
	case shoot.Open, shoot.Shooting:
		if shot.Started == 0 {
			m.Offer(&out, m.Action("First frame", "shot.start", it))
		}
		m.Offer(&out, capture, frames, m.fallback(shot), back.Confirming(fmt.Sprintf("Put shot %s back to planned?", n)), cut)
	case shoot.Captured:
		if shot.Approved == 0 {
			m.Offer(&out, m.Action("Approve", "shot.approve", it))
		}
		m.Offer(&out, frames, back.Confirming(fmt.Sprintf("Put shot %s back to planned? The time of its capture is lost.", n)).Dangerous())
	case shoot.Queried:
		m.Offer(&out, frames)
	case shoot.Cut:
		m.Offer(&out, back)
	}
	return out
}

// fallback takes a shot's fallback idea, or the first one again.
func (m *maker) fallback(shot shoot.Shot) view.Action {
	switch {
	case shot.OnFallback:
		return m.Action("Back to the first idea", "shot.fallback", view.Fields{"shot": shot.ID, "on": false})
	case shot.Fallback == "":
		return view.Action{} // there is none to take
	}
	return m.Action("Take the fallback", "shot.fallback", view.Fields{"shot": shot.ID, "on": true}).
		Confirming(fmt.Sprintf("Make shot %s after its fallback: %s", shot.Number, view.Sentence(shot.Fallback)))
}

// shotMoves moves a shot one place in the order. Whether the order may be changed
// is the same for all of them.
func (m *maker) shotMoves(run []shoot.Shot, i int, may view.Action) []view.Action {
	up, down := m.leave("Move up", "shot.order", later{Shot: run[i].ID, Up: true}), m.leave("Move down", "shot.order", later{Shot: run[i].ID})
	for _, a := range []*view.Action{&up, &down} {
		a.Enabled, a.Why = may.Enabled, may.Why
	}
	if i == 0 {
		up = up.Off("It is the first already.")
	}
	if i == len(run)-1 {
		down = down.Off("It is the last already.")
	}
	var out []view.Action
	m.Offer(&out, up, down)
	return out
}
