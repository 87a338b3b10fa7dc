package view

import (
	"slices"

	"fairday/domain/shoot"
)

// bonds are the buttons for what a shot that is still to be made is bound to: its
// light, the shots before it, and the people in it who have to go.
func (m *maker) bonds(shot shoot.Shot) []Action {
	out := []Action{m.leave(wishesLabel, "shot.wishes", later{Shot: shot.ID})}
	for _, p := range shot.Talent {
		out = append(out, m.stay(shot.Day, p))
	}
	return out
}

const wishesLabel = "Light and order"

// wishes is the form for its light and the shots before it, which are many.
func (m *maker) wishes(shot shoot.Shot) Action {
	w := m.s.Floor.Wishes[shot.ID]
	light := Field{Key: "light", Label: "Light", Kind: KindChoice, Value: string(w.Light), As: AsText,
		Options: []Option{{string(shoot.AnyLight), "Any", false}, {string(shoot.Daylight), "Daylight, from sunrise to sunset", false}}}
	window := Field{Key: "window", Label: "In which window", Kind: KindChoice, Value: w.Window, As: AsText,
		Options: []Option{{"", "No window", false}}, Hint: "For sun, or for no sun, in a window."}
	for _, in := range m.s.Floor.Lights[shot.Day].Windows {
		window.Options = append(window.Options, Option{in.Name, in.Name, in.Name == w.Window})
	}
	if len(window.Options) > 1 {
		light.Options = append(light.Options, Option{string(shoot.WantSun), "Sun in a window", false}, Option{string(shoot.NoSun), "No sun in a window", false})
	}
	for i, o := range light.Options {
		light.Options[i].On = o.Value == light.Value
	}
	after := Field{Key: "after", Label: "Only after", Kind: KindTicks, As: AsList}
	for _, other := range m.run(m.day) {
		if other.ID != shot.ID && other.Progress != shoot.Cut && !m.follows(other.ID, shot.ID) {
			after.Options = append(after.Options, Option{string(other.ID), "Shot " + other.Number + ", " + other.Title, slices.Contains(w.After, other.ID)})
		}
	}
	fallback := Field{Key: "fallback", Label: "Minutes of the fallback", Kind: KindNumber, Value: itoa(w.Fallback), As: AsNumber, Hint: "0 for as many as planned."}
	form := Form{Title: "What shot " + shot.Number + " needs", Submit: "Keep", Fields: []Field{light}}
	if len(window.Options) > 1 {
		form.Fields = append(form.Fields, window)
	}
	if len(after.Options) > 0 {
		form.Fields = append(form.Fields, after)
	}
	form.Fields = append(form.Fields, fallback)
	return m.entry(wishesLabel, "shot.wishes", fields{"shot": shot.ID, "light": w.Light, "window": "", "after": append([]shoot.ShotID{}, w.After...),
		"fallback": w.Fallback, "base": w.Version}, form)
}

// follows tells whether a shot is bound to come after another, by itself or by
// those that it follows.
func (m *maker) follows(id, other shoot.ShotID) bool {
	for _, before := range m.s.Floor.Wishes[id].After {
		if before == other || m.follows(before, other) {
			return true
		}
	}
	return false
}

func (m *maker) stay(day shoot.DayID, p shoot.PersonID) Action {
	var was any
	value := ""
	if s := m.s.Floor.Stays[shoot.KeyOf(day, p)]; s.At != 0 {
		was, value = s.Clock, s.Clock.String()
	}
	return m.entry("When "+m.who(p)+" has to go", "stay.until", fields{"day": day, "person": p, "was": was, "until": nil}, Form{
		Title: "When " + m.who(p) + " has to go", Submit: "Keep",
		Fields: []Field{{Key: "until", Label: "Has to go at", Kind: KindTime, Value: value, As: AsMaybe,
			Hint: "Leave it empty for as long as it takes. " + nextMorning}},
	})
}
